#include "check/fault_words.h"

#include "check/failure_rules.h"
#include "check/protection.h"
#include "check/subjects.h"
#include "check/words.h"
#include "physics/shorttime.h"
#include "physics/thermal.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::check {
namespace {

using model::CableIndex;
using model::DeviceIndex;
using model::DeviceKind;

using solve::clearly_more;

std::string duty_words(const FaultScene& scene) {
    return fmt::format("in duty {}{}", scene.duty.id, scene.choice);
}

std::string path_name(const model::Incidental& path) {
    return path.label.empty() || path.label == path.id ? path.id
                                                       : fmt::format("{} \"{}\"", path.id, path.label);
}

/// Warmest stretch at a steady current; nothing where none is steady.
std::optional<double> steady_degc(const Facts& facts, CableIndex cable, double current_a) {
    double hottest = 0;
    for (const solve::SegmentRating& segment : facts.ratings[model::at(cable)].segments) {
        const auto degc = physics::steady_temperature_degc(segment.stretch,
                                                           current_a / facts.harness->cable(cable).parallel);
        if (!degc)
            return std::nullopt;
        hottest = std::max(hottest, *degc);
    }
    return hottest;
}

/// What a cable carries: in all, and as if every run still carried its share.
struct RunLoad {
    double current_a = 0, whole_a = 0;
    double left() const { return current_a / whole_a; } // share of the runs that is left
};

/// A fuse-link that carries the cable's own current and is sure to open before the cable is harmed.
std::optional<Consequence> link_that_saves(const FaultScene& scene, CableIndex cable, const RunLoad& load) {
    const model::Harness& harness = *scene.facts.harness;
    std::optional<Consequence> best;
    const double current_a = load.current_a;
    const double harmed_s = damage_time_s(harness, scene.facts, cable, load.whole_a);
    for (const DeviceIndex index : devices_of(harness, DeviceKind::fuse_link)) {
        const double through_a = std::abs(scene.result.contact_a[model::at(index)]);
        if (std::abs(through_a - current_a) > 0.01 * current_a)
            continue;
        const LinkTogether link = link_alone(harness, index);
        if (link.type == nullptr)
            continue;
        const double slowest_s = band_at(link, through_a).slowest_s;
        if (!(slowest_s < 1e6) || slowest_s > harmed_s || (best && best->value <= slowest_s))
            continue;
        best = Consequence{.harm = Harm::link_opens,
                           .subject = harness.device(index).id,
                           .duty = scene.duty.id,
                           .value = slowest_s,
                           .limit = harmed_s,
                           .ratio = through_a / link.rating_a,
                           .words = fmt::format("{} then carries {} and opens within {} {}",
                                                harness.device(index).id, amps_up(through_a),
                                                base::shown_up(slowest_s, 1, "s"), duty_words(scene)),
                           .unit = "s",
                           .weight = Grave::told};
    }
    return best;
}

Consequence overheated(const FaultScene& scene, CableIndex index, const RunLoad& load, double limit_a,
                       const std::string& heat) {
    const model::Cable& cable = scene.facts.harness->cable(index);
    const std::string what =
        load.left() < 1 ? fmt::format("what is left of {}", with_section(cable)) : with_section(cable);
    return {.harm = Harm::overheats,
            .subject = cable.id,
            .duty = scene.duty.id,
            .value = load.current_a,
            .limit = limit_a * load.left(),
            .ratio = load.whole_a / limit_a,
            .words = fmt::format("{} carries {} {}, {} what it may: {}", what, amps_up(load.current_a),
                                 duty_words(scene), times_up(load.whole_a / limit_a), heat),
            .rule = scene.duty.duration_s ? "cable-short-duty" : "cable-ampacity",
            .unit = "A",
            .weight = Grave::burns};
}

std::optional<Consequence> all_day(const FaultScene& scene, CableIndex index, const RunLoad& load) {
    const double usable_a = scene.facts.ratings[model::at(index)].usable_a;
    if (!(usable_a > 0) || !exceeds(load.whole_a, usable_a))
        return std::nullopt;
    const auto degc = steady_degc(scene.facts, index, load.whole_a);
    return overheated(scene, index, load, usable_a,
                      degc ? fmt::format("its copper reaches {}", degc_up(*degc)) : "it burns");
}

/// Before a pulse with the engine turning the cable is as warm as its worst all-day duty leaves it.
double start_degc(const FaultScene& scene, CableIndex index, double ambient_degc) {
    const WorstDuty& warmed = scene.facts.worst[model::at(index)];
    const double class_degc = scene.facts.harness->cable(index).insulation.class_degc;
    if (!engine_running(scene.duty) || !warmed.duty || warmed.runaway)
        return ambient_degc;
    return std::max(ambient_degc, std::min(warmed.temperature_degc, class_degc));
}

/// A short duty harms the wall at its short-time limit; a fault is not a daily load.
std::optional<Consequence> for_a_while(const FaultScene& scene, CableIndex index, const RunLoad& load) {
    const model::Cable& cable = scene.facts.harness->cable(index);
    const double limit_degc = short_time_limit_of(*scene.facts.harness, index);
    double end_degc = 0;
    for (const solve::SegmentRating& segment : scene.facts.ratings[model::at(index)].segments) {
        const double ambient_degc = segment.stretch.around.ambient_degc + segment.stretch.around.radiant_k;
        end_degc =
            std::max(end_degc, physics::temperature_after_degc(
                                   segment.stretch, {.start_degc = start_degc(scene, index, ambient_degc),
                                                     .current_a = load.whole_a / cable.parallel,
                                                     .duration_s = scene.duty.duration_s->value}));
    }
    if (end_degc <= limit_degc)
        return std::nullopt;
    const double usable_a = std::max(scene.facts.ratings[model::at(index)].usable_a, 1e-3);
    return overheated(
        scene, index, load, usable_a,
        fmt::format("its copper reaches {}{} in {}", end_degc >= 1083 ? "at least " : "", degc_up(end_degc),
                    base::shown_number(scene.duty.duration_s->value, 0, base::Rounding::up) + " s"));
}

/// Units whose regulator no longer sees the terminal it looks at: the network lost it, or the lead from the
/// sense stud to it did.
std::vector<DeviceIndex> blind_units(const FaultScene& scene) {
    const model::Harness& harness = *scene.facts.harness;
    const Topology& topology = scene.facts.topology;
    std::vector<DeviceIndex> blind = scene.result.lost_sense;
    if (!engine_running(scene.duty))
        return blind;
    const auto left = [&](const Link& link) { return !takes_away(harness, scene.result.failure, link); };
    for (const DeviceIndex unit : devices_of(harness, DeviceKind::generator)) {
        const auto looks_at = std::get<model::Generator>(harness.device(unit).data).sense;
        const auto stud = model::terminal_of(harness, unit, model::Role::sense);
        if (!looks_at || !stud || std::find(blind.begin(), blind.end(), unit) != blind.end())
            continue;
        const auto goal = static_cast<std::size_t>(topology.node(*looks_at));
        const int from = topology.node(*stud);
        if (reached_from(topology, from, [](const Link&) { return true; })[goal] &&
            !reached_from(topology, from, left)[goal])
            blind.push_back(unit);
    }
    return blind;
}

} // namespace

std::optional<Consequence> through_incidental(const FaultScene& scene, std::size_t p) {
    const model::Incidental& path = scene.facts.harness->incidentals[p];
    const double limit_a = path.rating_a
                               ? path.rating_a->value
                               : model::limit_in_force(*scene.facts.harness, "incidental-current").value;
    const double current_a = std::abs(scene.result.incidental_a[p]);
    const double before_a = std::abs(scene.healthy.incidental_a[p]);
    if (!exceeds(current_a, limit_a) || current_a <= clearly_more * before_a)
        return std::nullopt;
    return Consequence{.harm = Harm::incidental,
                       .subject = path.id,
                       .duty = scene.duty.id,
                       .value = current_a,
                       .limit = limit_a,
                       .ratio = current_a / limit_a,
                       .words =
                           fmt::format("{} carries {} {}, {} what it stands", path_name(path),
                                       amps_up(current_a), duty_words(scene), times_up(current_a / limit_a)),
                       .rule = "incidental-current",
                       .unit = "A",
                       .weight = Grave::burns};
}

std::vector<Consequence> in_cable(const FaultScene& scene, CableIndex index) {
    const model::Cable& cable = scene.facts.harness->cable(index);
    const double current_a = std::abs(scene.result.cable_a[model::at(index)]);
    const double before_a = std::abs(scene.healthy.cables[model::at(index)].current_a);
    const bool one_run = scene.result.failure.one_run && scene.result.failure.cable == index;
    const RunLoad load{.current_a = current_a,
                       .whole_a = one_run ? current_a * cable.parallel / (cable.parallel - 1) : current_a};
    if (load.whole_a <= clearly_more * before_a || cable.automatic ||
        too_warm_without_current(scene.facts, index))
        return {};
    const auto harm = scene.duty.duration_s ? for_a_while(scene, index, load) : all_day(scene, index, load);
    if (!harm)
        return {};
    const auto saved = link_that_saves(scene, index, load);
    return {saved ? *saved : *harm};
}

std::optional<Consequence> through_part(const FaultScene& scene, DeviceIndex index) {
    const model::Device& device = scene.facts.harness->device(index);
    std::optional<base::Written> rating_a;
    if (const auto* part = std::get_if<model::Switch>(&device.data))
        rating_a = scene.duty.duration_s && part->intermittent_a ? part->intermittent_a : part->rating_a;
    if (const auto* part = std::get_if<model::Relay>(&device.data))
        rating_a = part->rating_a;
    if (const auto* part = std::get_if<model::Shunt>(&device.data))
        rating_a = part->rating_a;
    const double current_a = std::abs(scene.result.contact_a[model::at(index)]);
    const double before_a = std::abs(scene.healthy.devices[model::at(index)].current_a);
    if (!rating_a || !exceeds(current_a, rating_a->value) || current_a <= clearly_more * before_a)
        return std::nullopt;
    return Consequence{.harm = Harm::part,
                       .subject = device.id,
                       .duty = scene.duty.id,
                       .value = current_a,
                       .limit = rating_a->value,
                       .ratio = current_a / rating_a->value,
                       .words =
                           fmt::format("{} carries {} {}, {} its rating", named(device), amps_up(current_a),
                                       duty_words(scene), times_up(current_a / rating_a->value)),
                       .rule = "part-rating",
                       .unit = "A",
                       .weight = Grave::burns};
}

std::optional<Consequence> through_link(const FaultScene& scene, DeviceIndex link) {
    const model::Harness& harness = *scene.facts.harness;
    if (harness.device(link).kind() != DeviceKind::fuse_link)
        return std::nullopt;
    const LinkTogether together = link_alone(harness, link);
    const double current_a = std::abs(scene.result.contact_a[model::at(link)]);
    const double before_a = std::abs(scene.healthy.devices[model::at(link)].current_a);
    if (together.type == nullptr || current_a <= clearly_more * before_a)
        return std::nullopt;
    const auto surely_open = [&](double through_a) {
        const double slowest_s = band_at(together, through_a).slowest_s;
        return std::isfinite(slowest_s) &&
               (!scene.duty.duration_s || slowest_s <= scene.duty.duration_s->value);
    };
    if (!surely_open(current_a) || surely_open(before_a))
        return std::nullopt;
    const double slowest_s = band_at(together, current_a).slowest_s;
    return Consequence{.harm = Harm::link_opens,
                       .subject = harness.device(link).id,
                       .duty = scene.duty.id,
                       .value = slowest_s,
                       .ratio = current_a / together.rating_a,
                       .words = fmt::format("{} then carries {} and opens within {} {}",
                                            harness.device(link).id, amps_up(current_a),
                                            base::shown_up(slowest_s, 1, "s"), duty_words(scene)),
                       .unit = "s",
                       .weight = Grave::told};
}

std::vector<Consequence> in_units(const FaultScene& scene) {
    std::vector<Consequence> found;
    const model::Harness& harness = *scene.facts.harness;
    const auto add = [&](Harm harm, const std::string& subject, std::string words) {
        found.push_back({.harm = harm, .subject = subject, .duty = scene.duty.id, .words = std::move(words)});
        found.back().weight = harm == Harm::dead ? Grave::nothing : Grave::told;
    };
    for (const DeviceIndex unit : scene.result.lost_battery)
        add(Harm::load_dump, harness.device(unit).id,
            fmt::format("{} loses the battery while it charges and its volts leap",
                        named(harness.device(unit))));
    const auto& dumped = scene.result.lost_battery;
    for (const DeviceIndex unit : blind_units(scene))
        if (std::find(dumped.begin(), dumped.end(), unit) == dumped.end())
            add(Harm::lost_sense, harness.device(unit).id,
                fmt::format("{} loses its sense: makers differ, some then run away",
                            named(harness.device(unit))));
    for (const DeviceIndex unit : scene.result.dead)
        add(Harm::dead, harness.device(unit).id,
            fmt::format("{} {}", named(harness.device(unit)),
                        harness.device(unit).kind() == DeviceKind::starter ? "does not turn" : "goes dead"));
    const double limit_v = 15.0 * harness.nominal_v.value / 12;
    if (scene.result.highest_at && scene.result.highest_v > limit_v && scene.result.lost_battery.empty() &&
        scene.result.highest_v >
            clearly_more * scene.healthy.devices[model::at(*scene.result.highest_at)].volts_v) {
        const model::Device& device = harness.device(*scene.result.highest_at);
        found.push_back({.harm = Harm::overvoltage,
                         .subject = device.id,
                         .duty = scene.duty.id,
                         .value = scene.result.highest_v,
                         .limit = limit_v,
                         .ratio = scene.result.highest_v / limit_v,
                         .words = fmt::format("{} stands at {} {}", named(device),
                                              volts_up(scene.result.highest_v), duty_words(scene)),
                         .rule = "consumer-overvoltage",
                         .unit = "V",
                         .weight = Grave::burns});
    }
    return found;
}

bool hand_operated(const model::Harness& harness, const solve::Failure& failure) {
    if (!failure.device)
        return false;
    const auto* about = std::get_if<model::Switch>(&harness.device(*failure.device).data);
    return about != nullptr &&
           (about->closes == model::Closes::always || about->closes == model::Closes::engine_on);
}

Grave gravity_of(const Facts& facts, const solve::Failure& failure,
                 const std::vector<Consequence>& consequences) {
    Grave grave = Grave::nothing;
    for (const Consequence& one : consequences) {
        grave = std::max(grave, one.weight);
        // Anybody may turn a switch at any time; a lead or fuse-link that goes is bad luck, and told.
        if ((one.harm == Harm::load_dump || one.harm == Harm::lost_sense) &&
            hand_operated(*facts.harness, failure))
            return Grave::burns;
    }
    return grave;
}

} // namespace stoutloom::check

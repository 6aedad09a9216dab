// fuse-continuous-load. Does every fuse-link hold its load all day, in the warmth of its place?
#include "check/subjects.h"
#include "check/words.h"
#include "physics/fuselink.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;

struct Load {
    std::optional<model::DutyIndex> duty;
    double current_a = 0;
};

Load heaviest(const Facts& facts, DeviceIndex link) {
    Load load;
    for (const SolvedDuty& solved : facts.duties) {
        if (!solved.point || !is_continuous(facts.harness->duty(solved.duty)))
            continue;
        const double current_a = std::abs(solved.point->devices[model::at(link)].current_a);
        if (!load.duty || current_a > load.current_a)
            load = {solved.duty, current_a};
    }
    return load;
}

// Whether opening the link leaves some charging unit without any battery.
bool only_way_to_battery(const Facts& facts, DeviceIndex link) {
    const model::Harness& harness = *facts.harness;
    for (const DeviceIndex unit : devices_of(harness, model::DeviceKind::generator)) {
        const auto plus = model::terminal_of(harness, unit, model::Role::positive);
        if (!plus)
            continue;
        const auto reaches_battery = [&](bool with_link) {
            const std::vector<bool> near =
                reached_from(facts.topology, facts.topology.node(*plus),
                             [&](const Link& way) { return with_link || way.device != link; });
            const auto batteries = devices_of(harness, model::DeviceKind::battery);
            return std::any_of(batteries.begin(), batteries.end(), [&](DeviceIndex battery) {
                const auto live = model::terminal_of(harness, battery, model::Role::positive);
                return live && near[static_cast<std::size_t>(facts.topology.node(*live))];
            });
        };
        if (reaches_battery(true) && !reaches_battery(false))
            return true;
    }
    return false;
}

struct Allowed {
    double current_a, fraction, ambient_degc, factor;
    std::string source;
};

std::optional<Allowed> allowed_for(const Facts& facts, DeviceIndex index) {
    const model::Harness& harness = *facts.harness;
    const auto& link = std::get<model::FuseLink>(harness.device(index).data);
    const physics::FuseType* type = physics::fuse_type_by_name(link.type);
    const auto ambient_degc = ambient_of(harness, index);
    if (type == nullptr || !ambient_degc || link.automatic || !(link.rating_a.value > 0) ||
        link.type == "link-wire")
        return std::nullopt;
    const model::LimitInForce limit = model::limit_in_force(harness, "continuous-load");
    const double fraction = limit.from_file ? limit.value : std::min(limit.value, type->continuous_fraction);
    const double factor = physics::ambient_factor(*type, *ambient_degc);
    return Allowed{link.rating_a.value * fraction * factor, fraction, *ambient_degc, factor,
                   limit.from_file ? limit.source : "common practice, no source (80 %; 75 % for type SF51)"};
}

void judge_link(const Facts& facts, DeviceIndex index, Judgements& judgements) {
    const model::Harness& harness = *facts.harness;
    const model::Device& device = harness.device(index);
    const auto& link = std::get<model::FuseLink>(device.data);
    Judgement judgement = about(device.id, device.span, {});
    const auto allowed = allowed_for(facts, index);
    const Load load = heaviest(facts, index);
    if (!allowed || !load.duty) {
        judgement.message =
            link.type == "link-wire"
                ? fmt::format("{} is link wire, which has no rating to hold a load against", named(device))
                : fmt::format("{} has no rating, zone or solved duty to judge its load by", named(device));
        judgement.cure = "write a rating and a zone, or fit a rated fuse-link";
        judgements.cannot_tell(std::move(judgement),
                               link.type == "link-wire" ? Severity::warning : Severity::error);
        return;
    }
    judgement.duty = duty_name(harness, *load.duty);
    judgement.values = {{"rating_a", link.rating_a.value}, {"ambient_factor", allowed->factor}};
    judgement = with_figures(std::move(judgement), {.computed = load.current_a, .limit = allowed->current_a},
                             "A", allowed->source);
    const std::string marked = rating(link.rating_a.value);
    judgement.message = fmt::format(
        "{} of {} carries {} in duty {}; at {} it holds {} all day ({} of {})", named(device), marked,
        amps_up(load.current_a), judgement.duty, degc_up(allowed->ambient_degc),
        amps_down(allowed->current_a),
        base::shown_number(100 * allowed->fraction * allowed->factor, 0, base::Rounding::down) + " %",
        marked);
    if (!exceeds(load.current_a, allowed->current_a)) {
        judgements.passes(std::move(judgement));
        return;
    }
    const bool leaves_unit_alone = only_way_to_battery(facts, index);
    const bool opens = load.current_a > link.rating_a.value * allowed->factor;
    if (opens)
        judgement.message += ": it opens sooner or later";
    if (leaves_unit_alone)
        judgement.message += "; when it opens, the charging unit has no battery and its volts leap";
    const auto larger =
        rating_on_sale_from(harness, link.type, load.current_a / (allowed->fraction * allowed->factor));
    judgement.cure = larger ? fmt::format("a fuse-link of {} on a cable that stands it, or a cooler place",
                                          rating(*larger))
                            : "a larger type of fuse-link on a cable that stands it, or two circuits";
    judgements.fails(std::move(judgement), opens || leaves_unit_alone ? Severity::error : Severity::warning);
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const DeviceIndex index : devices_of(*facts.harness, model::DeviceKind::fuse_link))
        judge_link(facts, index, judgements);
}

} // namespace

extern const Rule rule_fuse_continuous_load;
const Rule rule_fuse_continuous_load{
    .slug = "fuse-continuous-load",
    .usual = Severity::warning,
    .asks = "Does every fuse-link hold its load all day, in the warmth of its place?",
    .source = "common practice, no source: 80 % of rating, 75 % for type SF51; rerating by ambient from "
              "typical published curves, "
              "from memory",
    .cure = "a larger fuse-link on a cable that stands it, or a cooler place",
    .explanation =
        R"(A fuse-link run at its rating ages, browns its holder and opens on a hot day. All-day load <= rating x share x
k(T): share 0.80, for 51 mm strip links 0.75 (their 100 % test lasts 4 h only); k(T) is 1 at 23 degC and falls
with the ambient: strip links 0.89 at 60 degC and 0.80 at 85 degC, blades 0.93 and 0.88.
Example: 160 A through a 51 mm strip link of 225 A in 35 degC: k = 0.96, 225 x 0.75 x 0.96 = 162 A: holds. The
same link in 85 degC: 225 x 0.75 x 0.80 = 135 A: too small.
It is an error where the load is over rating x k(T), since the link then opens, or where the link is the only
way from a charging unit to a battery: an open link under load lets the unit's volts leap.
)",
    .subjects = fuse_links,
    .judge = judge,
};

} // namespace stoutloom::check

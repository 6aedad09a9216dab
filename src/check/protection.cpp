#include "check/protection.h"

#include "check/words.h"
#include "physics/shorttime.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::check {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();
constexpr double burnt_degc = 1083;
// Currents of neighbouring questions; the band of a gate spans a factor of some hundred in time.
constexpr double current_step = 1.03;

double greatest_hot_a(const model::Generator& unit) {
    double greatest = 0;
    for (const model::Output& output : unit.outputs)
        greatest = std::max(greatest, output.hot_a.value);
    return greatest;
}

} // namespace

double greatest_rating_a(const Facts& facts, model::CableIndex cable) {
    return facts.ratings[model::at(cable)].usable_a *
           (facts.harness->profile == model::Profile::boat ? boat_allowance : 1.0);
}

std::optional<FeedPath> ending_on_links(const Facts& facts, const FeedPath& feed) {
    const model::Harness& harness = *facts.harness;
    const model::Cable& cable = harness.cable(feed.cable);
    const bool boat = harness.profile == model::Profile::boat;
    const double reach_m =
        model::limit_in_force(harness, boat ? "unprotected-length-boat" : "unprotected-length").value;
    if (cable.length_m.value > reach_m)
        return std::nullopt;
    const int far = facts.topology.node(feed.entry_end == 0 ? cable.to.at : cable.from.at);
    FeedPath own = feed;
    own.cut.clear();
    own.cut_rating_a = 0;
    for (std::size_t t = 0; t < harness.terminals.size(); ++t) {
        if (facts.topology.node_of_terminal[t] != far)
            continue;
        const model::Device& device = harness.device(harness.terminals[t].device);
        if (device.kind() == model::DeviceKind::post)
            continue;
        const auto* link = std::get_if<model::FuseLink>(&device.data);
        if (link == nullptr || link->automatic)
            return std::nullopt;
        own.cut.push_back(harness.terminals[t].device);
        own.cut_rating_a += link->rating_a.value;
    }
    for (const Link& link : facts.topology.links)
        if (link.cable && link.cable != feed.cable && (link.a == far || link.b == far))
            return std::nullopt;
    if (!(own.cut_rating_a > 0))
        return std::nullopt;
    return own;
}

bool ends_on_own_links(const Facts& facts, const FeedPath& feed) {
    const std::optional<FeedPath> own = ending_on_links(facts, feed);
    return own && own->cut_rating_a <= greatest_rating_a(facts, feed.cable);
}

bool source_limits_itself(const Facts& facts, const FeedPath& feed) {
    const auto* unit = std::get_if<model::Generator>(&facts.harness->device(feed.source).data);
    return unit != nullptr && unit->self_limiting &&
           greatest_hot_a(*unit) <= facts.ratings[model::at(feed.cable)].usable_a;
}

LinkTogether link_alone(const model::Harness& harness, model::DeviceIndex link) {
    FeedPath alone;
    alone.cut = {link};
    alone.cut_rating_a = std::get<model::FuseLink>(harness.device(link).data).rating_a.value;
    return link_together(harness, alone);
}

LinkTogether link_together(const model::Harness& harness, const FeedPath& feed) {
    LinkTogether together{.links = feed.cut, .rating_a = feed.cut_rating_a};
    double coldest_degc = 23;
    for (const model::DeviceIndex index : feed.cut) {
        const auto& link = std::get<model::FuseLink>(harness.device(index).data);
        const physics::FuseType* type = physics::fuse_type_by_name(link.type);
        if (type == nullptr || link.automatic || !(link.rating_a.value > 0) || type->ratings_a.empty())
            return {.links = feed.cut, .rating_a = feed.cut_rating_a};
        if (together.type == nullptr || type->gates.back().max_s > together.type->gates.back().max_s)
            together.type = type;
        if (const auto ambient = ambient_of(harness, index))
            coldest_degc = std::min(coldest_degc, *ambient);
    }
    together.ambient_degc = coldest_degc;
    return together;
}

physics::OperatingBand band_at(const LinkTogether& link, double current_a) {
    return physics::operating_band(*link.type, link.rating_a, current_a, link.ambient_degc);
}

double short_time_limit_of(const model::Harness& harness, model::CableIndex cable) {
    return physics::short_time_limit_degc(harness.cable(cable).insulation);
}

namespace {

std::optional<double> time_to_harm_s(const Facts& facts, const physics::Stretch& stretch, double start_degc,
                                     double current_a, double limit_degc) {
    return facts.harm_times ? facts.harm_times->ask(stretch, start_degc, current_a, limit_degc)
                            : physics::time_to_temperature_s(stretch, start_degc, current_a, limit_degc);
}

} // namespace

double damage_time_s(const model::Harness& harness, const Facts& facts, model::CableIndex cable,
                     double current_a) {
    const model::Cable& about = harness.cable(cable);
    const double limit_degc = short_time_limit_of(harness, cable);
    double soonest_s = never;
    for (const solve::SegmentRating& segment : facts.ratings[model::at(cable)].segments)
        if (const auto time_s = time_to_harm_s(facts, segment.stretch, about.insulation.class_degc,
                                               current_a / about.parallel, limit_degc))
            soonest_s = std::min(soonest_s, *time_s);
    return soonest_s;
}

double after_fault_degc(const model::Harness& harness, const Facts& facts, model::CableIndex cable,
                        double current_a, double time_s) {
    const model::Cable& about = harness.cable(cable);
    double hottest_degc = 0;
    for (const solve::SegmentRating& segment : facts.ratings[model::at(cable)].segments)
        hottest_degc = std::max(hottest_degc, physics::temperature_after_degc(
                                                  segment.stretch, {.start_degc = about.insulation.class_degc,
                                                                    .current_a = current_a / about.parallel,
                                                                    .duration_s = time_s}));
    return hottest_degc;
}

std::optional<solve::TerminalShort> short_at(const solve::ShortCurrents& shorts,
                                             model::TerminalIndex terminal, model::DeviceIndex source) {
    for (const solve::TerminalShort& one : shorts.terminals)
        if (one.terminal == terminal && one.source == source)
            return one;
    return std::nullopt;
}

namespace {

/// Time the cable is sure to stand: no loss at all, so never more than the full model's.
double adiabatic_time_s(const model::Harness& harness, model::CableIndex index, double current_a) {
    const model::Cable& cable = harness.cable(index);
    const double k = physics::adiabatic_k(cable.insulation.class_degc, short_time_limit_of(harness, index));
    const double root = k * cable.section_mm2.value * cable.parallel / current_a;
    return root * root;
}

/// Neighbouring currents of a fault: the link is asked at the lower, the cable at the higher.
struct Step {
    double low_a, high_a;
};

bool stands(const Facts& facts, const Coordination& told, const Step& step) {
    const model::Harness& harness = *facts.harness;
    const double slowest_s = band_at(told.link, step.low_a).slowest_s;
    const model::CableIndex cable = told.feed->cable;
    if (slowest_s <= adiabatic_time_s(harness, cable, step.high_a))
        return true;
    return slowest_s <= damage_time_s(harness, facts, cable, step.high_a);
}

/// A current at which the link may be slower than the cable stands, and the link's slowest time there.
struct Overrun {
    double current_a, time_s;
};

/// Never below what the full model tells: no loss at all, or the rest it would come to.
double at_most_degc(const Facts& facts, model::CableIndex cable, const Overrun& at) {
    const model::Cable& about = facts.harness->cable(cable);
    const double start_degc = about.insulation.class_degc, run_a = at.current_a / about.parallel;
    double rest_degc = start_degc;
    for (const solve::SegmentRating& segment : facts.ratings[model::at(cable)].segments)
        rest_degc = std::max(rest_degc,
                             physics::steady_temperature_degc(segment.stretch, run_a).value_or(burnt_degc));
    return std::min(rest_degc, physics::adiabatic_final_degc(start_degc, about.section_mm2.value,
                                                             run_a * run_a * at.time_s));
}

/// What the cable reaches at the worst of these currents. The full model takes long, so it is asked in the
/// order of what can be reached at most, until nothing that is left could be hotter.
double hottest_degc(const Facts& facts, model::CableIndex cable, const std::vector<Overrun>& overruns) {
    std::vector<std::pair<double, const Overrun*>> order;
    order.reserve(overruns.size());
    for (const Overrun& at : overruns)
        order.emplace_back(at_most_degc(facts, cable, at), &at);
    std::stable_sort(order.begin(), order.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    double hottest = 0;
    for (const auto& [most_degc, at] : order) {
        if (hottest >= most_degc)
            break;
        hottest =
            std::max(hottest, after_fault_degc(*facts.harness, facts, cable, at->current_a, at->time_s));
    }
    return std::min(burnt_degc, hottest);
}

bool fill_prospective(const solve::ShortCurrents& shorts, Coordination& told) {
    const solve::ShortPlace near =
        told.feed->entry_end == 0 ? solve::ShortPlace::from : solve::ShortPlace::to;
    bool reached = false;
    for (const solve::ShortCurrent& one : shorts.cables) {
        if (one.cable != told.feed->cable || one.source != told.feed->source)
            continue;
        if (one.place == near)
            told.prospective_a = one.greatest_a;
        else if (one.place != solve::ShortPlace::middle)
            told.least_prospective_a = one.least_a;
        reached = true;
    }
    return reached && told.prospective_a > 0;
}

} // namespace

std::optional<Coordination> coordinate(const Facts& facts, const solve::ShortCurrents& shorts,
                                       const FeedPath& feed) {
    Coordination told{.feed = &feed, .link = link_together(*facts.harness, feed)};
    if (told.link.type == nullptr || !fill_prospective(shorts, told))
        return std::nullopt;
    told.least_fusing_a =
        physics::least_fusing_current_a(*told.link.type, told.link.rating_a, told.link.ambient_degc);
    std::vector<Overrun> overruns;
    const auto fails = [&](double low_a, double high_a) {
        // As `stands` asks: the link's time at the lower current, the heat of the higher; otherwise a fault
        // that harms could be told with a temperature that the wall stands.
        overruns.push_back({high_a, band_at(told.link, low_a).slowest_s});
        if (told.holds)
            told.from_a = low_a;
        told.to_a = high_a;
        told.holds = false;
    };
    if (told.prospective_a <= told.least_fusing_a) {
        // No fault opens the link for certain, so the cable must stand the greatest one for ever.
        if (std::isfinite(damage_time_s(*facts.harness, facts, feed.cable, told.prospective_a)))
            fails(told.prospective_a, told.prospective_a);
    }
    for (double low_a = told.least_fusing_a; low_a < told.prospective_a;) {
        const double high_a = std::min(low_a * current_step, told.prospective_a);
        if (!stands(facts, told, {.low_a = low_a, .high_a = high_a}))
            fails(low_a, high_a);
        low_a = high_a;
    }
    told.reaches_degc = hottest_degc(facts, feed.cable, overruns);
    return told;
}

} // namespace stoutloom::check

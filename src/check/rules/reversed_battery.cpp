// reversed-battery. When a battery or jump leads are put on the wrong way round, does a fuse-link save the
// cables?
#include "check/protection.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using model::DeviceKind;

std::vector<std::string> subjects(const Facts& facts) {
    return generators(facts);
}

// Two silicon diodes in series, each over a volt at fault current.
constexpr double diodes_v = 2.0;

struct Reversal {
    DeviceIndex battery{};
    double greatest_a = 0, least_a = 0;
    std::vector<std::size_t> links; // unavoidable, in order from the battery
};

std::optional<Reversal> reversal_of(const Facts& facts, const solve::ShortCurrents& shorts,
                                    DeviceIndex unit) {
    const auto plus = model::terminal_of(*facts.harness, unit, model::Role::positive);
    if (!plus)
        return std::nullopt;
    std::optional<Reversal> worst;
    for (const DeviceIndex battery : devices_of(*facts.harness, DeviceKind::battery)) {
        const auto live = model::terminal_of(*facts.harness, battery, model::Role::positive);
        const auto at_unit = short_at(shorts, *plus, battery);
        if (!live || !at_unit)
            continue;
        const double share = std::max(0.0, 1 - diodes_v / facts.harness->nominal_v.value);
        const Between nodes{.from = facts.topology.node(*live), .to = facts.topology.node(*plus)};
        Reversal here{.battery = battery,
                      .greatest_a = at_unit->greatest_a,
                      .least_a = share * at_unit->least_a,
                      .links = {}};
        for (const std::size_t index :
             unavoidable_links(facts.topology, nodes, [](const Link&) { return true; }))
            if (facts.topology.links[index].fuse_link)
                here.links.push_back(index);
        if (!worst || here.greatest_a > worst->greatest_a)
            worst = here;
    }
    return worst;
}

// The link on the way that is first to be sure.
struct Saviour {
    std::string id;
    double slowest_s = 0;
};
std::optional<Saviour> saviour(const Facts& facts, const Reversal& reversal) {
    std::optional<Saviour> best;
    for (const std::size_t index : reversal.links) {
        FeedPath alone;
        alone.cut = {*facts.topology.links[index].device};
        const model::Device& device = facts.harness->device(alone.cut.front());
        alone.cut_rating_a = std::get<model::FuseLink>(device.data).rating_a.value;
        const LinkTogether link = link_together(*facts.harness, alone);
        if (link.type == nullptr)
            continue;
        const double slowest_s = band_at(link, reversal.least_a).slowest_s;
        if (slowest_s < 60 && (!best || slowest_s < best->slowest_s))
            best = Saviour{device.id, slowest_s};
    }
    return best;
}

void judge(const Facts& facts, Judgements& judgements) {
    const std::vector<DeviceIndex> units = devices_of(*facts.harness, DeviceKind::generator);
    if (units.empty())
        return;
    const auto shorts = solve::short_currents(*facts.harness);
    for (const DeviceIndex unit : units) {
        const model::Device& device = facts.harness->device(unit);
        Judgement judgement = about(device.id, device.span, {});
        if (!shorts) {
            judgement.message = fmt::format("{}: {}", named(device), shorts.error().message);
            judgements.cannot_tell(std::move(judgement));
            continue;
        }
        const auto reversal = reversal_of(facts, *shorts, unit);
        if (!reversal) {
            judgement.message = fmt::format("{} meets no battery", named(device));
            judgements.passes(std::move(judgement));
            continue;
        }
        const model::Device& battery = facts.harness->device(reversal->battery);
        judgement.subjects.push_back(battery.id);
        judgement.values = {{"greatest_a", reversal->greatest_a}, {"least_a", reversal->least_a}};
        const std::string shock = fmt::format(
            "{} or jump leads the wrong way round drive {} to {} backwards through the diodes of {}",
            battery.id, amps_down(reversal->least_a), amps_up(reversal->greatest_a), named(device));
        if (const auto first = saviour(facts, *reversal)) {
            judgement.message =
                fmt::format("{}; {} opens within {}: the diodes may be lost, the cables are not", shock,
                            first->id, base::shown_up(first->slowest_s, 2, "s"));
            judgements.passes(std::move(judgement));
            continue;
        }
        judgement.message =
            fmt::format("{}, and no fuse-link on the way is sure to open within a minute", shock);
        for (const FeedPath& feed : facts.topology.feeds)
            if (feed.source == reversal->battery && feed.fuse_links.empty() && reversal->links.empty())
                judgement.subjects.push_back(facts.harness->cable(feed.cable).id);
        judgement.yields_to = {"cable-unprotected"};
        judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_reversed_battery;
const Rule rule_reversed_battery{
    .slug = "reversed-battery",
    .usual = Severity::warning,
    .asks = "When a battery or jump leads are put on the wrong way round, does a fuse-link save the cables?",
    .source = "the rectifier of a charging unit conducts from its negative to its positive stud; prospective "
              "current "
              "at that stud, less two diodes of a volt each",
    .cure = "a fuse-link in the charging feed that is sure to open at that current",
    .explanation =
        R"(A battery the wrong way round meets six diodes that all point its way: the unit is a dead short of two diode drops.
The charging cable carries what battery and cable let through until something opens. A fuse-link in that feed, sure
to open at that current within a minute, saves the cables (seldom the diodes). Jump leads the wrong way round on
the battery's posts do the same, with the donor's current.
Asked is the least such current, a weak battery at a quarter charge and hot cables, against the slowest specimen.
Example: 760 A battery, 5.6 m of 95 mm2 and the return: 600 A at the least through a 225 A cube: 2.7 times, within
20 s.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check

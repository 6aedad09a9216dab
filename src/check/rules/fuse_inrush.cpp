// fuse-inrush. Does every fuse-link let the inrush and the cranking current pass that it must pass?
#include "check/protection.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using model::DeviceKind;

// How long a surge lasts. Common practice, no source: a lamp or motor is up to speed in a tenth of a second,
// an engine breaks loose in a fifth.
constexpr double inrush_s = 0.1, breakaway_s = 0.2;

struct Surge {
    DeviceIndex unit{};
    double current_a = 0, time_s = 0;
    std::string_view what;
};

double cranking_s(const model::Harness& harness) {
    double longest = 0;
    for (const model::Duty& duty : harness.duties)
        if (duty.engine == model::Engine::cranking && duty.duration_s)
            longest = std::max(longest, duty.duration_s->value);
    return longest > 0 ? longest : 10;
}

std::vector<Surge> surges_of(const Facts& facts, DeviceIndex unit) {
    const model::Device& device = facts.harness->device(unit);
    std::vector<Surge> surges;
    if (const auto* starter = std::get_if<model::Starter>(&device.data)) {
        surges.push_back({unit, starter->current_a.value, cranking_s(*facts.harness), "cranking"});
        if (starter->inrush_a)
            surges.push_back({unit, starter->inrush_a->value, breakaway_s, "breakaway"});
    }
    if (const auto* consumer = std::get_if<model::Consumer>(&device.data); consumer && consumer->inrush_a)
        surges.push_back({unit, consumer->inrush_a->value, inrush_s, "inrush"});
    return surges;
}

/// Share of a starter's current that goes through a link, from the solved cranking duties; where some battery
/// turns the starter past the link, the link gets the rest only. 1 where it gets everything or nobody knows.
double share_of_cranking(const Facts& facts, DeviceIndex link, DeviceIndex starter) {
    const auto plus = model::terminal_of(*facts.harness, starter, model::Role::positive);
    const auto around = [&](DeviceIndex battery) {
        const auto live = model::terminal_of(*facts.harness, battery, model::Role::positive);
        return live && way_between(facts.topology,
                                   {.from = facts.topology.node(*live), .to = facts.topology.node(*plus)},
                                   [&](const Link& way) { return way.device != link; });
    };
    const std::vector<DeviceIndex> batteries = devices_of(*facts.harness, DeviceKind::battery);
    if (!plus || std::none_of(batteries.begin(), batteries.end(), around))
        return 1;
    double share = -1;
    for (const SolvedDuty& duty : facts.duties) {
        if (facts.harness->duty(duty.duty).engine != model::Engine::cranking)
            continue;
        const double turning_a = duty.point ? std::abs(duty.point->devices[model::at(starter)].current_a) : 0;
        if (!(turning_a > 0))
            return 1;
        share = std::max(share, std::abs(duty.point->devices[model::at(link)].current_a) / turning_a);
    }
    return share < 0 ? 1 : std::min(share, 1.0);
}

// Links that every way from a battery to the unit passes, and the surges that go through them.
std::vector<std::pair<DeviceIndex, Surge>> surges_by_link(const Facts& facts) {
    std::vector<std::pair<DeviceIndex, Surge>> found;
    for (std::size_t d = 0; d < facts.harness->devices.size(); ++d) {
        const auto unit = static_cast<DeviceIndex>(d);
        const std::vector<Surge> surges = surges_of(facts, unit);
        const auto plus = model::terminal_of(*facts.harness, unit, model::Role::positive);
        if (surges.empty() || !plus)
            continue;
        std::vector<DeviceIndex> links;
        for (const DeviceIndex battery : devices_of(*facts.harness, DeviceKind::battery)) {
            const auto live = model::terminal_of(*facts.harness, battery, model::Role::positive);
            if (!live)
                continue;
            const Between nodes{.from = facts.topology.node(*live), .to = facts.topology.node(*plus)};
            for (const std::size_t index :
                 unavoidable_links(facts.topology, nodes, [](const Link&) { return true; }))
                if (const Link& link = facts.topology.links[index];
                    link.fuse_link && std::find(links.begin(), links.end(), *link.device) == links.end())
                    links.push_back(*link.device);
        }
        constexpr double hardly_any = 1e-3; // a contact on the way stands open
        const bool starter = facts.harness->device(unit).kind() == DeviceKind::starter;
        for (const DeviceIndex link : links) {
            const double share = starter ? share_of_cranking(facts, link, unit) : 1;
            for (Surge surge : surges) {
                surge.current_a *= share;
                if (share > hardly_any)
                    found.emplace_back(link, surge);
            }
        }
    }
    std::stable_sort(found.begin(), found.end(),
                     [](const auto& one, const auto& other) { return one.first < other.first; });
    return found;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const auto& [link, surge] : surges_by_link(facts))
        if (const std::string& id = facts.harness->device(link).id;
            std::find(ids.begin(), ids.end(), id) == ids.end())
            ids.push_back(id);
    return ids;
}

// One unit's surges through one link are one cause: the gravest that it does not pass is told, the first of
// equals.
void tell(Judgement judgement, Severity severity, Judgements& judgements) {
    auto& all = judgements.all();
    const auto before = std::find_if(all.begin(), all.end(), [&](const Judgement& one) {
        return one.verdict == Verdict::fails && one.subjects == judgement.subjects;
    });
    if (before == all.end()) {
        judgements.fails(std::move(judgement), severity);
        return;
    }
    if (before->severity >= severity)
        return;
    all.erase(before);
    judgements.fails(std::move(judgement), severity);
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const auto& [index, surge] : surges_by_link(facts)) {
        const model::Device& device = facts.harness->device(index);
        const model::Device& unit = facts.harness->device(surge.unit);
        Judgement judgement = about(device.id, device.span, {});
        judgement.subjects.push_back(unit.id);
        LinkTogether link = link_alone(*facts.harness, index);
        if (link.type == nullptr) {
            judgement.message = fmt::format("{} has no rating or time band to hold the {} of {} against",
                                            named(device), surge.what, named(unit));
            judgements.cannot_tell(std::move(judgement), Severity::note);
            continue;
        }
        // Heat makes it faster; the place of the link decides, not the cold day that damage is judged on.
        link.ambient_degc = ambient_of(*facts.harness, index).value_or(23);
        const physics::OperatingBand band = band_at(link, surge.current_a);
        judgement.values = {{"current_a", surge.current_a}, {"fastest_s", std::min(band.fastest_s, 1e9)}};
        judgement = with_figures(
            std::move(judgement), {.computed = surge.time_s, .limit = std::min(band.fastest_s, 1e9)}, "s",
            fmt::format("{}, fastest edge, {}", link.type->standard, link.type->confidence));
        const std::string what = fmt::format("{} of {}: {} for {}", surge.what, named(unit),
                                             amps_up(surge.current_a), base::shown_up(surge.time_s, 1, "s"));
        if (surge.time_s < band.fastest_s) {
            judgement.message = fmt::format("{} passes the {}", named(device), what);
            judgements.passes(std::move(judgement));
            continue;
        }
        const bool surely = surge.time_s >= band.slowest_s;
        judgement.message = fmt::format(
            "{} of {} {} open in the {}; at that current it opens after {} to {}", named(device),
            rating(link.rating_a), surely ? "will" : "may", what, base::shown_down(band.fastest_s, 2, "s"),
            band.slowest_s < 1e6 ? base::shown_up(band.slowest_s, 1, "s") : "never");
        const auto larger =
            rating_on_sale_from(*facts.harness, std::string(link.type->name), 1.01 * link.rating_a);
        judgement.cure =
            larger ? fmt::format("a fuse-link of {} or more, on cables that stand it", rating(*larger))
                   : "a slower type of fuse-link";
        tell(std::move(judgement), surely ? Severity::error : Severity::warning, judgements);
    }
}

} // namespace

extern const Rule rule_fuse_inrush;
const Rule rule_fuse_inrush{
    .slug = "fuse-inrush",
    .usual = Severity::error,
    .asks = "Does every fuse-link let the inrush and the cranking current pass that it must pass?",
    .source = "operating-time gates of ISO 8820 by type (from memory), fastest edge; surges of 0.1 s "
              "(consumer) and "
              "0.2 s (starter breaking loose), common practice, no source",
    .cure = "a larger or slower fuse-link, on cables that stand it",
    .explanation =
        R"(A lamp draws ten times its current when cold, a motor five times while it starts, a starter three times until the
engine breaks loose. A fuse-link in that way must be slower than the surge, in its fastest specimen and in the
warmth of its place. It is an error when even the slowest specimen would open, otherwise a warning.
Asked are the links that every way from a battery to the unit passes. Where another battery turns the starter past the
link, the link is asked for its share in the solved cranking duty.
Example: 320 A for 10 s through a 150 A strip link (2.1 times): opens after 0.8 to 14 s: it may go on the second
cold morning. 75 A for 0.1 s through a 100 A link: passes.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check

// cable-unprotected. Does a fuse-link stand between every live cable and each source that can feed it?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

namespace stoutloom::check {
namespace {

using model::CableIndex;
using model::DeviceKind;

// How much bare conductor a source may feed before the first fuse-link, by profile and by how the cable lies.
struct Reach {
    double length_m;
    std::string source;
};

Reach allowed_reach(const Facts& facts, const FeedPath& feed) {
    const model::Harness& harness = *facts.harness;
    const bool boat = harness.profile == model::Profile::boat;
    const model::LimitInForce bare =
        model::limit_in_force(harness, boat ? "unprotected-length-boat" : "unprotected-length");
    if (!boat || !feed.all_sheathed)
        return {bare.value, bare.source};
    if (feed.from_battery_terminal) {
        const model::LimitInForce sheathed = model::limit_in_force(harness, "unprotected-length-sheathed");
        return {sheathed.value, sheathed.source};
    }
    return {1.016, "ABYC E-11, 40 in sheathed from a source other than the battery terminal"};
}

double ceiling_a(const model::Generator& unit) {
    double greatest = 0;
    for (const model::Output& output : unit.outputs)
        greatest = std::max(greatest, output.hot_a.value);
    return greatest;
}

// An unfused starter cable is a named exception, with the guard it needs instead of a fuse-link.
void judge_starter_cable(const model::Cable& cable, Judgement judgement, Judgements& judgements) {
    const bool guarded = cable.sheathed && cable.guarded;
    judgement.message =
        fmt::format("{} feeds the starter without a fuse-link, the usual exception; {}", cable.id,
                    guarded ? "sheath and guard are there: keep boots on both studs and a clip every 300 mm, "
                              "clear of the engine"
                            : "it then needs a sheath all the way, a guard against chafe, boots on both "
                              "studs and a clip every 300 mm");
    judgement.cure = guarded ? "look at its sheath and clips at each service"
                             : "sheathe and guard it (sheathed and guarded in the file), or fit a fuse-link "
                               "that outlasts cranking";
    judgements.fails(std::move(judgement), guarded ? Severity::note : Severity::warning);
}

// The cable by which the source comes to this one when no fuse-link stands before either: a link there cures
// both, and its finding is the one to read.
std::optional<CableIndex> bare_cable_before(const Facts& facts, const FeedPath& feed) {
    const model::Harness& harness = *facts.harness;
    const auto plus = model::terminal_of(harness, feed.source, model::Role::positive);
    const model::Cable& cable = harness.cable(feed.cable);
    if (!plus || feed.from_battery_terminal)
        return std::nullopt;
    const model::TerminalIndex entry = feed.entry_end == 0 ? cable.from.at : cable.to.at;
    const auto way =
        way_between(facts.topology, {.from = facts.topology.node(*plus), .to = facts.topology.node(entry)},
                    [&](const Link& link) { return !link.fuse_link && link.cable != feed.cable; });
    for (const std::size_t index : way.value_or(std::vector<std::size_t>{}))
        if (const auto before = facts.topology.links[index].cable)
            return before;
    return std::nullopt;
}

void judge_bare(const Facts& facts, const FeedPath& feed, Judgement judgement, Judgements& judgements) {
    const model::Harness& harness = *facts.harness;
    const model::Cable& cable = harness.cable(feed.cable);
    const model::Device& source = harness.device(feed.source);
    const std::string& entry = harness.terminal(feed.entry_end == 0 ? cable.from.at : cable.to.at).address;
    if (source.kind() == DeviceKind::generator) {
        const auto& unit = std::get<model::Generator>(source.data);
        const double usable_a = facts.ratings[model::at(feed.cable)].usable_a;
        judgement = with_figures(std::move(judgement), {.computed = ceiling_a(unit), .limit = usable_a}, "A",
                                 "what the cable may carry all day in its hottest stretch");
        if (unit.self_limiting && ceiling_a(unit) <= usable_a) {
            judgement.message = fmt::format(
                "{} meets {} at {} without a fuse-link and needs none: the unit limits itself to {} "
                "and the cable may carry {}",
                cable.id, source.id, entry, amps_up(ceiling_a(unit)), amps_down(usable_a));
            judgements.passes(std::move(judgement));
            return;
        }
        judgement.message =
            fmt::format("{} meets {} at {} without a fuse-link: the unit gives {} and the cable may carry {}",
                        cable.id, source.id, entry, amps_up(ceiling_a(unit)), amps_down(usable_a));
        judgement.cure = "a cable that carries the unit's ceiling all day, or a fuse-link at the unit's end";
        // More copper cures both; where the unit's current is over ampacity in a duty, that is the finding to
        // read.
        judgement.yields_to = {"insulation-ambient", "cable-ampacity"};
        judgements.fails(std::move(judgement));
        return;
    }
    const Reach reach = allowed_reach(facts, feed);
    judgement = with_figures(std::move(judgement), {.computed = feed.bare_length_m, .limit = reach.length_m},
                             "m", reach.source);
    if (feed.bare_length_m <= reach.length_m) {
        judgement.message =
            fmt::format("{} runs {} from {} before its fuse-link, within {}", cable.id,
                        metres_up(feed.bare_length_m), source.id, metres_down(reach.length_m));
        judgements.passes(std::move(judgement));
        return;
    }
    if (facts.topology.starter_cable[model::at(feed.cable)]) {
        judge_starter_cable(cable, std::move(judgement), judgements);
        return;
    }
    judgement.message = fmt::format(
        "{} meets {} at {} without a fuse-link: {} of live conductor with nothing before it, {} allowed",
        cable.id, source.id, entry, metres_up(feed.bare_length_m), metres_down(reach.length_m));
    judgement.cure = fmt::format("a fuse-link within {} of {}", metres_down(reach.length_m), source.id);
    if (const auto before = bare_cable_before(facts, feed)) {
        judgement.subjects.push_back(harness.cable(*before).id);
        judgement.yields_to = {"cable-unprotected"};
    }
    judgements.fails(std::move(judgement));
}

// Fused somewhere on the way, but only after more bare conductor than allowed: that conductor is a cable of
// its own and is told there. Here the cable itself is protected.
void judge_fused(const Facts& facts, const FeedPath& feed, Judgement judgement, Judgements& judgements) {
    std::vector<std::string> links;
    for (const model::DeviceIndex link : feed.fuse_links)
        links.push_back(facts.harness->device(link).id);
    judgement.message = fmt::format("{} is protected from {} by {}", facts.harness->cable(feed.cable).id,
                                    facts.harness->device(feed.source).id, listed(links));
    judgement.values = {{"cut_rating_a", feed.cut_rating_a}};
    judgements.passes(std::move(judgement));
}

void judge(const Facts& facts, Judgements& judgements) {
    const model::Harness& harness = *facts.harness;
    // One answer per cable and source: of two ways in, the unfused one, and of two unfused ones the longer.
    std::map<std::pair<CableIndex, model::DeviceIndex>, const FeedPath*> worst;
    for (const FeedPath& feed : facts.topology.feeds) {
        const FeedPath*& so_far = worst[{feed.cable, feed.source}];
        const auto badness = [](const FeedPath& path) {
            return path.fuse_links.empty() ? 1 + path.bare_length_m : 0;
        };
        if (so_far == nullptr || badness(feed) > badness(*so_far))
            so_far = &feed;
    }
    for (const auto& [key, feed] : worst) {
        const model::Cable& cable = harness.cable(feed->cable);
        Judgement judgement = about(cable.id, cable.span, {});
        judgement.subjects.push_back(harness.device(feed->source).id);
        if (feed->fuse_links.empty())
            judge_bare(facts, *feed, std::move(judgement), judgements);
        else
            judge_fused(facts, *feed, std::move(judgement), judgements);
    }
}

} // namespace

extern const Rule rule_cable_unprotected;
const Rule rule_cable_unprotected{
    .slug = "cable-unprotected",
    .usual = Severity::error,
    .asks = "Does a fuse-link stand between every live cable and each source that can feed it?",
    .source = "ISO 10133:2012 clause 8 (200 mm, from memory); ABYC E-11 (7, 40, 72 in) for the boat profile",
    .cure = "a fuse-link close to the source",
    .explanation =
        R"(A cable that chafes through is fed from both ends: by the battery at one, by the charging unit at the other.
Each source must meet a fuse-link before it meets the cable, so both ends are asked, source by source, along
every way that metal offers, the parts' contacts taken as closed.
Exceptions. (1) The first piece, from the source to its fuse-link: 200 mm of bare conductor (boat: 178 mm, or
1.83 m in its own sheath from the battery terminal, 1.02 m from a post or switch). (2) A charging unit that
limits itself needs no fuse-link where the cable carries its greatest hot output all day in its hottest
stretch: 160 A hot against 196 A usable passes, against 54 A it does not. (3) The starter cable, by common
practice unfused: it is named, and needs a sheath, a guard, booted studs and clips instead.
Example: battery - 0.30 m - fuse-link: 0.30 m > 0.20 m, so the piece before the fuse-link is itself unprotected.
)",
    .subjects = live_cables,
    .judge = judge,
};

} // namespace stoutloom::check

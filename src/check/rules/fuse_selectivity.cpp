// fuse-selectivity. Of two fuse-links in series, does the one nearer the fault open first?
#include "check/protection.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;

struct Pair {
    DeviceIndex near, far; // to the source, to the fault
    auto operator<=>(const Pair&) const = default;
};

// Whether every way from the source to either stud of the far link passes the near one. In a ring of two
// feeds neither link stands before the other.
bool always_before(const Facts& facts, const Pair& pair, DeviceIndex source) {
    const auto live = model::terminal_of(*facts.harness, source, model::Role::positive);
    if (!live)
        return false;
    for (const model::TerminalIndex stud : facts.harness->device(pair.far).terminals) {
        const Between nodes{.from = facts.topology.node(*live), .to = facts.topology.node(stud)};
        const auto passed = unavoidable_links(facts.topology, nodes, [](const Link&) { return true; });
        if (std::none_of(passed.begin(), passed.end(),
                         [&](std::size_t index) { return facts.topology.links[index].device == pair.near; }))
            return false;
    }
    return true;
}

// Whether a battery stands between the two: then what lies behind the nearer link keeps its feed when that
// one opens first.
bool battery_between(const Facts& facts, const Pair& pair) {
    for (const model::TerminalIndex stud : facts.harness->device(pair.far).terminals) {
        const auto region = reached_from(facts.topology, facts.topology.node(stud), [&](const Link& link) {
            return link.device != pair.near && link.device != pair.far;
        });
        const auto holds = [&](model::TerminalIndex terminal) {
            return region[static_cast<std::size_t>(facts.topology.node(terminal))];
        };
        const auto& near = facts.harness->device(pair.near).terminals;
        const auto batteries = devices_of(*facts.harness, model::DeviceKind::battery);
        if (std::any_of(near.begin(), near.end(), holds) &&
            std::any_of(batteries.begin(), batteries.end(), [&](DeviceIndex battery) {
                const auto live = model::terminal_of(*facts.harness, battery, model::Role::positive);
                return live && holds(*live);
            }))
            return true;
    }
    return false;
}

// Links that follow one another on some way from a battery, each pair once, with the greatest prospective
// current behind the farther one.
std::map<Pair, std::vector<DeviceIndex>> pairs_of(const Facts& facts) {
    std::map<Pair, std::vector<DeviceIndex>> sources;
    for (const FeedPath& feed : facts.topology.feeds) {
        if (facts.harness->device(feed.source).kind() != model::DeviceKind::battery)
            continue;
        for (std::size_t i = 1; i < feed.fuse_links.size(); ++i) {
            const Pair pair{.near = feed.fuse_links[i - 1], .far = feed.fuse_links[i]};
            if (!always_before(facts, pair, feed.source))
                continue;
            auto& list = sources[pair];
            if (std::find(list.begin(), list.end(), feed.source) == list.end())
                list.push_back(feed.source);
        }
    }
    // A link met from both sides has no near and far: either may open, and nothing is lost that would not be.
    for (auto pair = sources.begin(); pair != sources.end();)
        pair = sources.contains({pair->first.far, pair->first.near}) || battery_between(facts, pair->first)
                   ? sources.erase(pair)
                   : std::next(pair);
    return sources;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const auto& [pair, sources] : pairs_of(facts))
        if (const std::string& id = facts.harness->device(pair.far).id;
            std::find(ids.begin(), ids.end(), id) == ids.end())
            ids.push_back(id);
    return ids;
}

std::optional<LinkTogether> one_link(const Facts& facts, DeviceIndex index) {
    LinkTogether link = link_alone(*facts.harness, index);
    return link.type == nullptr ? std::nullopt : std::optional(std::move(link));
}

enum class Order { certain, likely, uncertain, wrong };
struct Selectivity {
    Order order = Order::certain;
    double uncertain_from_a = 0;
};

double middle_s(const physics::OperatingBand& band) {
    return std::sqrt(band.fastest_s * band.slowest_s);
}

// From the current at which the farther link is sure to open up to the greatest short behind it.
Selectivity compare(const LinkTogether& near, const LinkTogether& far, double prospective_a) {
    Selectivity told;
    constexpr double step = 1.02;
    const double least_a = physics::least_fusing_current_a(*far.type, far.rating_a, far.ambient_degc);
    bool ever_ahead = false, ever_behind = false;
    for (double current_a = least_a; current_a <= std::max(prospective_a, least_a); current_a *= step) {
        const physics::OperatingBand first = band_at(far, current_a), second = band_at(near, current_a);
        const bool ahead = !std::isfinite(second.slowest_s) || middle_s(first) < middle_s(second);
        ever_ahead |= ahead;
        ever_behind |= !ahead && middle_s(second) < middle_s(first);
        if (first.slowest_s < second.fastest_s)
            continue;
        const Order here = ahead ? Order::likely : Order::uncertain;
        if (told.order == Order::certain)
            told.uncertain_from_a = current_a;
        told.order = std::max(told.order, here);
    }
    if (ever_behind && !ever_ahead)
        told.order = Order::wrong;
    return told;
}

void tell(const Facts& facts, const Pair& pair, const Selectivity& told, double prospective_a,
          Judgement judgement, Judgements& judgements) {
    const std::string near = facts.harness->device(pair.near).id, far = facts.harness->device(pair.far).id;
    judgement.values = {{"prospective_a", prospective_a}, {"overlap_from_a", told.uncertain_from_a}};
    switch (told.order) {
    case Order::certain:
        judgement.message = fmt::format("{} opens before {} in any fault behind it, up to {}: certain", far,
                                        near, amps_up(prospective_a));
        judgements.passes(std::move(judgement));
        return;
    case Order::likely:
        judgement.message = fmt::format("{} likely opens before {}; from {} on their bands overlap", far,
                                        near, amps_down(told.uncertain_from_a));
        judgements.passes(std::move(judgement));
        return;
    case Order::uncertain:
        judgement.message =
            fmt::format("a short behind {} may open {} as well or instead: their bands overlap from {} on",
                        far, near, amps_down(told.uncertain_from_a));
        judgement.cure = fmt::format("a ratio of 2 or more between {} and {} of one type", near, far);
        judgements.fails(std::move(judgement), Severity::note);
        return;
    case Order::wrong:
        judgement.message = fmt::format("{} opens before or with {} in any fault behind that one: everything "
                                        "else behind {} goes dead as well",
                                        near, far, near);
        judgements.fails(std::move(judgement));
        return;
    }
}

void judge(const Facts& facts, Judgements& judgements) {
    const auto pairs = pairs_of(facts);
    if (pairs.empty())
        return;
    const auto& shorts = *facts.shorts;
    for (const auto& [pair, sources] : pairs) {
        const model::Device& far = facts.harness->device(pair.far);
        Judgement judgement = about(far.id, far.span, {});
        judgement.subjects.push_back(facts.harness->device(pair.near).id);
        const auto near_link = one_link(facts, pair.near), far_link = one_link(facts, pair.far);
        if (!shorts || !near_link || !far_link) {
            judgement.message = fmt::format("{} and {} in series: a rating or a time band is missing", far.id,
                                            facts.harness->device(pair.near).id);
            judgements.cannot_tell(std::move(judgement), shorts ? Severity::note : Severity::error);
            continue;
        }
        double prospective_a = 0;
        for (const DeviceIndex source : sources)
            for (const model::TerminalIndex terminal : far.terminals)
                if (const auto short_circuit = short_at(*shorts, terminal, source))
                    prospective_a = std::max(prospective_a, short_circuit->greatest_a);
        tell(facts, pair, compare(*near_link, *far_link, prospective_a), prospective_a, std::move(judgement),
             judgements);
    }
}

} // namespace

extern const Rule rule_fuse_selectivity;
const Rule rule_fuse_selectivity{
    .slug = "fuse-selectivity",
    .usual = Severity::warning,
    .asks = "Of two fuse-links in series, does the one nearer the fault open first?",
    .source = "operating-time gates of ISO 8820 by type (from memory): bands compared current by current",
    .cure = "a larger link near the source or a smaller one near the fault; a ratio of 2 for one type",
    .explanation =
        R"(Each link opens somewhere between the fastest and the slowest of its type. Where the slowest time of the farther
link is under the fastest of the nearer one at every current, the farther one is certain to open first. Where the
bands overlap but the middle of one lies under the middle of the other, it is likely; otherwise uncertain, and
the whole board may go dark with one chafed lamp lead: a note, since nothing burns. When the link near the source
is the likely first at some current and the other at none, it is a warning.
Example: 100 A and 60 A strip links (SF51): at 360 A the 60 A link takes 0.1 to 1 s, the 100 A link 0.3 to 5 s:
they overlap, likely. 225 A stud-cube and 5 A blade: 30 A opens the blade in 0.1 s and leaves the other cold.
Two links that are met from both sides, or with a battery between them, have no near and far: whichever opens, nothing
else goes dead.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check

// parallel-runs. When one of several parallel runs opens, do the others carry on, or does their fuse-link
// save them?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::CableIndex;

std::vector<CableIndex> doubled(const Facts& facts) {
    std::vector<CableIndex> cables;
    for (std::size_t c = 0; c < facts.harness->cables.size(); ++c) {
        const model::Cable& cable = facts.harness->cables[c];
        if (cable.parallel > 1 && facts.topology.side_of_cable[c] == Side::feed && !cable.automatic &&
            facts.ratings[c].usable_a > 0 && !too_warm_without_current(facts, static_cast<CableIndex>(c)))
            cables.push_back(static_cast<CableIndex>(c));
    }
    return cables;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const CableIndex cable : doubled(facts))
        ids.push_back(facts.harness->cable(cable).id);
    return ids;
}

// The greatest sum of ratings that lets some source into the cable; nothing where no way is fused.
const FeedPath* loosest(const Facts& facts, CableIndex cable) {
    const FeedPath* found = nullptr;
    for (const FeedPath& feed : facts.topology.feeds)
        if (feed.cable == cable && !feed.cut.empty() &&
            (found == nullptr || feed.cut_rating_a > found->cut_rating_a))
            found = &feed;
    return found;
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const CableIndex index : doubled(facts)) {
        const model::Cable& cable = facts.harness->cable(index);
        const solve::CableRating& rated = facts.ratings[model::at(index)];
        const double left_a = rated.usable_a * (cable.parallel - 1) / cable.parallel;
        const FeedPath* feed = loosest(facts, index);
        Judgement judgement = about(cable.id, cable.span, {});
        if (feed == nullptr) {
            judgement.message = fmt::format("{} meets no fuse-link; that is told elsewhere", cable.id);
            judgements.passes(std::move(judgement));
            continue;
        }
        std::vector<std::string> links;
        for (const model::DeviceIndex link : feed->cut)
            links.push_back(facts.harness->device(link).id);
        judgement.subjects.insert(judgement.subjects.end(), links.begin(), links.end());
        judgement.values = {{"one_run_a", rated.usable_a / cable.parallel}};
        judgement = with_figures(std::move(judgement), {.computed = feed->cut_rating_a, .limit = left_a}, "A",
                                 "what the runs that are left may carry all day in the hottest stretch");
        judgement.message =
            fmt::format("{} has {} of {} for all its runs; when one run comes off, the rest may carry {}",
                        with_section(cable), listed(links), rating(feed->cut_rating_a), amps_down(left_a));
        if (feed->cut_rating_a <= left_a) {
            judgements.passes(std::move(judgement));
            continue;
        }
        judgement.message += ", and the link lets more through without ever opening";
        judgement.yields_to = {"fuse-over-ampacity"};
        judgement.cure =
            fmt::format("a fuse-link for each run at each source, or runs that carry {} one short, "
                        "or one thick cable",
                        rating(feed->cut_rating_a));
        judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_parallel_runs;
const Rule rule_parallel_runs{
    .slug = "parallel-runs",
    .usual = Severity::error,
    .asks = "When one of several parallel runs comes off, does the fuse-link still protect the others?",
    .source = "IEC 60364-4-43, 433.4 and 434.4: conductors in parallel, from memory",
    .cure = "a fuse-link for each run, or one thick cable",
    .explanation =
        R"(Two runs of one section carry twice the current only as long as both are bolted down. One lug works loose, and
the other run has everything; a single link for both, sized for the pair, sees nothing wrong.
Asked is whether the link that lets the most into the cable is still at most what the runs carry with one of them
gone: In <= usable x (n - 1) / n. Otherwise each run needs its own link at each source.
Example: 2 x 16 mm2 of 111 A each at 35 degC, link 175 A: fine for 222 A, but with one run off 175 > 111.
Runs of unlike length or joints share unevenly besides: write them as separate cables, and the solution tells.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check

#include "size/static_rules.h"

#include "check/check.h"
#include "check/subjects.h"
#include "size/verdict.h"
#include "solve/ratings.h"

#include <algorithm>

namespace stoutloom::size {
namespace {

// fuse-over-ampacity: In <= Iz; Iz grows with the section, and the rating that cuts a cable off is a least
// cut of
//   ratings, which never falls as a rating grows.
// cable-unprotected: of choices only the cable's own ampacity counts (a self-limiting unit against it).
// fuse-breaking-capacity: prospective current over a bound that falls as resistance grows; thinner is better.
// ground-return-weak: a greatest flow through return sections against one through feed sections.
// lug-barrel: the cable's own section, in no direction: its box is its own option.
// fuse-coordination: asked at every current up to the prospective one, which grows with every other cable's
// section; of the cable's own section and of the ratings nothing is taken for granted: each is tried.
constexpr std::string_view known[] = {"fuse-over-ampacity", "cable-unprotected", "fuse-breaking-capacity",
                                      "ground-return-weak", "fuse-coordination"};
// Of one widening by trying: a rule about short circuits is slow to ask.
constexpr int most_tried = 24;

} // namespace

bool StaticRules::knows(std::string_view rule) {
    return std::find(std::begin(known), std::end(known), rule) != std::end(known);
}

StaticRules::StaticRules(const model::Harness& harness, const Choices& choices, const check::Facts& facts)
    : harness_(harness), choices_(choices), facts_(facts) {
    has_automatic_links_ = std::any_of(choices.list.begin(), choices.list.end(), [](const Choice& choice) {
        return choice.kind == ChoiceKind::rating;
    });
}

Direction StaticRules::direction(const check::Judgement& judgement, std::size_t choice) const {
    const std::string_view rule = judgement.rule->slug;
    const Choice& about = choices_.list[choice];
    if (about.kind == ChoiceKind::lug)
        return Direction::none;
    if (about.kind == ChoiceKind::stud) // a larger stud is a better joint: more current into a short circuit
        return rule == "fuse-breaking-capacity" || rule == "fuse-coordination" ? Direction::smaller_helps
                                                                               : Direction::none;
    if (rule == "fuse-coordination")
        return about.kind == ChoiceKind::rating || about.id == judgement.subjects.front()
                   ? Direction::either
                   : Direction::smaller_helps;
    if (about.kind == ChoiceKind::rating)
        return rule == "fuse-over-ampacity" ? Direction::smaller_helps : Direction::none;
    if (rule == "fuse-breaking-capacity")
        return Direction::smaller_helps;
    if (rule != "ground-return-weak")
        return Direction::larger_helps;
    const check::Side side = facts_.topology.side_of_cable[about.index];
    if (side == check::Side::feed)
        return Direction::smaller_helps;
    return side == check::Side::back ? Direction::larger_helps : Direction::none;
}

/// Widens the ranges of choices that move the rule in no known direction: a further option is taken in when
/// the rule fails with it and every combination of the others' ranges.
void StaticRules::widen_by_trying(const check::Judgement& judgement, const Assignment& at,
                                  std::vector<Range>& tried) const {
    int left = most_tried;
    const auto fails_with = [&](std::size_t which, std::size_t option) {
        Assignment combination = at;
        for (const Range& range : tried)
            combination[range.variable] = range.low;
        combination[tried[which].variable] = option;
        for (;;) {
            if (--left < 0 || !fails(*judgement.rule, judgement.subjects.front(), combination))
                return false;
            std::size_t i = 0;
            for (; i < tried.size(); ++i) {
                if (i == which)
                    continue;
                if (++combination[tried[i].variable] <= tried[i].high)
                    break;
                combination[tried[i].variable] = tried[i].low;
            }
            if (i == tried.size())
                return true;
        }
    };
    // Thinner cables and greater ratings are the likelier to fail as well.
    for (std::size_t i = 0; i < tried.size(); ++i) {
        const std::size_t last = choices_.list[tried[i].variable].options.size() - 1;
        const bool rating = choices_.list[tried[i].variable].kind == ChoiceKind::rating;
        while (!rating && tried[i].low > 0 && fails_with(i, tried[i].low - 1))
            --tried[i].low;
        while (rating && tried[i].high < last && fails_with(i, tried[i].high + 1))
            ++tried[i].high;
    }
}

std::vector<check::Judgement> StaticRules::answers(const check::Rule& rule,
                                                   const Assignment& assignment) const {
    const model::Harness made = applied(harness_, choices_, assignment);
    check::Facts facts;
    facts.harness = &made;
    facts.harm_times = facts_.harm_times;
    for (std::size_t c = 0; c < made.cables.size(); ++c)
        facts.ratings.push_back(solve::cable_rating(made, static_cast<model::CableIndex>(c)));
    facts.worst.resize(made.cables.size());
    if (rule.slug.rfind("fuse-", 0) == 0) // the slow part: only for the rules that look at it
        facts.shorts = std::make_shared<const base::Outcome<solve::ShortCurrents, solve::Unsolved>>(
            solve::short_currents(made));
    facts.topology = has_automatic_links_ ? check::topology_of(made) : facts_.topology;
    return check::judge_one(rule, facts);
}

bool StaticRules::fails(const check::Rule& rule, const std::string& subject,
                        const Assignment& assignment) const {
    const std::vector<check::Judgement> all = answers(rule, assignment);
    return std::any_of(all.begin(), all.end(), [&](const check::Judgement& answer) {
        return answer.verdict == check::Verdict::fails && answer.severity != check::Severity::note &&
               answer.subjects.front() == subject;
    });
}

bool StaticRules::hopeless(const check::Rule& rule, const std::string& subject) const {
    check::Judgement about;
    about.rule = &rule;
    about.subjects = {subject};
    Assignment best(choices_.list.size(), 0);
    for (std::size_t i = 0; i < best.size(); ++i) {
        const Direction way = direction(about, i);
        if (way == Direction::either)
            return false; // no choice is known to be best
        if (way == Direction::larger_helps)
            best[i] = choices_.list[i].options.size() - 1;
    }
    return fails(rule, subject, best);
}

std::optional<Row> StaticRules::return_row(const check::Judgement& judgement,
                                           const std::vector<Range>& box) const {
    if (judgement.rule->slug != "ground-return-weak" ||
        check::devices_of(harness_, model::DeviceKind::battery).size() != 1)
        return std::nullopt;
    // At the box's corner that is best for the rule: what is asked there is asked wherever the feed is no
    // thinner, and the sections of a cut are never less than what flows through it.
    Assignment corner(choices_.list.size(), 0);
    for (std::size_t i = 0; i < corner.size(); ++i)
        if (direction(judgement, i) == Direction::larger_helps)
            corner[i] = choices_.list[i].options.size() - 1;
    for (const Range& range : box)
        corner[range.variable] =
            direction(judgement, range.variable) == Direction::larger_helps ? range.high : range.low;
    const std::vector<check::Judgement> all = answers(*judgement.rule, corner);
    const auto found = std::find_if(all.begin(), all.end(), [&](const check::Judgement& answer) {
        return answer.verdict == check::Verdict::fails &&
               answer.subjects.front() == judgement.subjects.front();
    });
    if (found == all.end())
        return std::nullopt;
    const double asked_mm2 = check::alike_sections * found->limit * (1 - 1e-9);
    Row row{.terms = {},
            .limit = -asked_mm2,
            .why = std::string(judgement.rule->slug) + " " + judgement.subjects.front()};
    for (std::size_t s = 1; s < found->subjects.size(); ++s) {
        const auto index = model::find_cable(harness_, found->subjects[s]);
        if (!index)
            return std::nullopt;
        const model::Cable& cable = harness_.cable(*index);
        const auto chosen =
            std::find_if(choices_.list.begin(), choices_.list.end(), [&](const Choice& choice) {
                return choice.kind == ChoiceKind::section && choice.index == model::at(*index);
            });
        if (chosen == choices_.list.end()) {
            row.limit += cable.section_mm2.value * cable.parallel;
            continue;
        }
        Term term{static_cast<std::size_t>(chosen - choices_.list.begin()), {}};
        for (const Option& option : chosen->options)
            term.amount.push_back(-option.value * cable.parallel);
        row.terms.push_back(std::move(term));
    }
    for (const Range& range : box) {
        if (direction(judgement, range.variable) != Direction::smaller_helps || range.low == 0)
            continue;
        if (std::any_of(row.terms.begin(), row.terms.end(),
                        [&](const Term& term) { return term.variable == range.variable; }))
            return std::nullopt;
        Term term{range.variable, std::vector<double>(choices_.list[range.variable].options.size(), 0.0)};
        std::fill_n(term.amount.begin(), range.low, -asked_mm2);
        row.terms.push_back(std::move(term));
    }
    return row;
}

std::optional<std::vector<Range>> StaticRules::bad_box(const check::Judgement& judgement,
                                                       const Assignment& assignment) const {
    const check::Rule& rule = *judgement.rule;
    const std::string& subject = judgement.subjects.front();
    if (!fails(rule, subject, assignment))
        return std::nullopt;
    const auto best_of = [&](std::size_t i) {
        return direction(judgement, i) == Direction::larger_helps ? choices_.list[i].options.size() - 1
                                                                  : std::size_t{0};
    };
    // First every choice that the judgement does not name at its best, then the named ones in turn.
    Assignment at = assignment;
    std::vector<bool> free(at.size(), false);
    const auto try_free = [&](const std::vector<std::size_t>& these) {
        Assignment tried = at;
        for (const std::size_t i : these)
            tried[i] = best_of(i);
        if (!fails(rule, subject, tried))
            return false;
        at = tried;
        for (const std::size_t i : these)
            free[i] = true;
        return true;
    };
    std::vector<std::size_t> others, each;
    std::vector<Range> tried;
    for (std::size_t i = 0; i < at.size(); ++i) {
        if (direction(judgement, i) == Direction::either) {
            tried.push_back({i, at[i], at[i]});
            free[i] = true; // told by its own range
            continue;
        }
        const bool named = std::find(judgement.subjects.begin(), judgement.subjects.end(),
                                     choices_.list[i].id) != judgement.subjects.end();
        if (direction(judgement, i) == Direction::none)
            free[i] = true;
        else
            (named ? each : others).push_back(i);
    }
    if (!try_free(others))
        each.insert(each.end(), others.begin(), others.end());
    for (const std::size_t i : each) {
        if (try_free({i}))
            continue;
        // As far towards its best as the rule still fails.
        const bool up = direction(judgement, i) == Direction::larger_helps;
        while (at[i] != best_of(i)) {
            Assignment better = at;
            better[i] = up ? at[i] + 1 : at[i] - 1;
            if (!fails(rule, subject, better))
                break;
            at = better;
        }
    }
    widen_by_trying(judgement, at, tried);
    std::vector<Range> box = tried;
    for (std::size_t i = 0; i < at.size(); ++i) {
        if (free[i])
            continue;
        const std::size_t last = choices_.list[i].options.size() - 1;
        box.push_back(direction(judgement, i) == Direction::larger_helps ? Range{i, 0, at[i]}
                                                                         : Range{i, at[i], last});
    }
    return box;
}

} // namespace stoutloom::size

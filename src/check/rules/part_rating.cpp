// part-rating. Does any switch, relay or shunt carry more than it is rated for?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <cmath>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using model::DeviceKind;

struct Ratings {
    std::optional<double> continuous_a, intermittent_a;
};

Ratings ratings_of(const model::Device& device) {
    const auto value = [](const std::optional<base::Written>& written) {
        return written ? std::optional<double>(written->value) : std::nullopt;
    };
    if (const auto* part = std::get_if<model::Switch>(&device.data))
        return {value(part->rating_a), value(part->intermittent_a)};
    if (const auto* part = std::get_if<model::Relay>(&device.data))
        return {value(part->rating_a), std::nullopt};
    if (const auto* part = std::get_if<model::Shunt>(&device.data))
        return {value(part->rating_a), std::nullopt};
    return {};
}

struct Load {
    std::optional<model::DutyIndex> duty;
    double current_a = 0;
};

Load heaviest(const Facts& facts, DeviceIndex part, bool continuous) {
    Load load;
    for (const SolvedDuty& solved : facts.duties) {
        if (!solved.point || is_continuous(facts.harness->duty(solved.duty)) != continuous)
            continue;
        const double current_a = std::abs(solved.point->devices[model::at(part)].current_a);
        if (!load.duty || current_a > load.current_a)
            load = {solved.duty, current_a};
    }
    return load;
}

// A part without a rating that never carries more than this is nobody's worry.
constexpr double worth_a_rating_a = 5;

std::vector<DeviceIndex> judged_parts(const Facts& facts) {
    std::vector<DeviceIndex> parts;
    for (std::size_t d = 0; d < facts.harness->devices.size(); ++d) {
        const auto index = static_cast<DeviceIndex>(d);
        const model::Device& device = facts.harness->devices[d];
        const DeviceKind kind = device.kind();
        if (kind != DeviceKind::switch_ && kind != DeviceKind::relay && kind != DeviceKind::shunt)
            continue;
        const Ratings ratings = ratings_of(device);
        if (ratings.continuous_a || heaviest(facts, index, true).current_a > worth_a_rating_a ||
            heaviest(facts, index, false).current_a > worth_a_rating_a)
            parts.push_back(index);
    }
    return parts;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const DeviceIndex part : judged_parts(facts))
        ids.push_back(facts.harness->device(part).id);
    return ids;
}

void judge_short(const Facts& facts, DeviceIndex index, const Ratings& ratings, Judgements& judgements) {
    const model::Device& device = facts.harness->device(index);
    const Load load = heaviest(facts, index, false);
    if (!load.duty || !ratings.continuous_a || !exceeds(load.current_a, *ratings.continuous_a))
        return;
    Judgement judgement = about(device.id, device.span, {});
    judgement.duty = duty_name(*facts.harness, *load.duty);
    if (!ratings.intermittent_a) {
        judgement.message = fmt::format(
            "{} carries {} in duty {}, over its {} all day, and no intermittent rating is given",
            named(device), amps_up(load.current_a), judgement.duty, amps_down(*ratings.continuous_a));
        judgement.cure = "write the part's intermittent rating, or take it out of the cranking way";
        judgements.cannot_tell(std::move(judgement), Severity::warning);
        return;
    }
    judgement =
        with_figures(std::move(judgement), {.computed = load.current_a, .limit = *ratings.intermittent_a},
                     "A", "this file, intermittent");
    judgement.message =
        fmt::format("{} carries {} in duty {} and is rated {} for short", named(device),
                    amps_up(load.current_a), judgement.duty, amps_down(*ratings.intermittent_a));
    if (!exceeds(load.current_a, *ratings.intermittent_a))
        judgements.passes(std::move(judgement));
    else
        judgements.fails(std::move(judgement));
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const DeviceIndex index : judged_parts(facts)) {
        const model::Device& device = facts.harness->device(index);
        const Ratings ratings = ratings_of(device);
        const Load load = heaviest(facts, index, true);
        Judgement judgement = about(device.id, device.span, {});
        if (load.duty)
            judgement.duty = duty_name(*facts.harness, *load.duty);
        if (!ratings.continuous_a || !load.duty) {
            judgement.message = fmt::format("{} carries {} and has no rating to hold it against",
                                            named(device), amps_up(load.current_a));
            judgement.cure = "write the part's rating";
            judgements.cannot_tell(std::move(judgement), Severity::note);
            continue;
        }
        judgement =
            with_figures(std::move(judgement), {.computed = load.current_a, .limit = *ratings.continuous_a},
                         "A", "this file, rating");
        judgement.message =
            fmt::format("{} carries {} in duty {} and is rated {}", named(device), amps_up(load.current_a),
                        judgement.duty, amps_down(*ratings.continuous_a));
        if (!exceeds(load.current_a, *ratings.continuous_a)) {
            judgements.passes(std::move(judgement));
        } else {
            judgement.message +=
                fmt::format(": {} its rating", times_up(load.current_a / *ratings.continuous_a));
            judgements.fails(std::move(judgement));
        }
        judge_short(facts, index, ratings, judgements);
    }
}

} // namespace

extern const Rule rule_part_rating;
const Rule rule_part_rating{
    .slug = "part-rating",
    .usual = Severity::error,
    .asks = "Does any switch, relay or shunt carry more than it is rated for?",
    .source = "the part's own rating in the file",
    .cure = "a part of greater rating, or a way around it",
    .explanation =
        R"(A charging circuit is as strong as its weakest part, and that is seldom the cable: battery switches, relays, shunts
and meters in the way carry all of it. All-day duties are held against rating, duties of limited length against
intermittent (switches only).
Example: a 40 A meter shunt in the lead of a unit that now gives 160 A into a flat battery: 4 times its rating.
Bypass it, and fit a voltmeter.
A part without a rating that carries more than 5 A is told, since nobody can say whether it stands that.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check

// duty-missing. Are the hard conditions among the duties that the kit is judged in?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::DeviceKind;

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids = generators(facts);
    const std::vector<std::string> more = starters(facts);
    ids.insert(ids.end(), more.begin(), more.end());
    return ids;
}

// A battery over this charge takes so little that the cables see only the consumers' current.
constexpr double flat_fraction = 0.5;

bool loads_fully(const model::Duty& duty) {
    return is_continuous(duty) && duty.engine == model::Engine::rated && duty.hot &&
           duty.charge_fraction.value <= flat_fraction;
}

struct Asked {
    DeviceKind kind;
    bool met;
    std::string_view missing, cure;
};

void judge_units(const Facts& facts, const Asked& asked, Judgements& judgements) {
    for (const model::DeviceIndex unit : devices_of(*facts.harness, asked.kind)) {
        const model::Device& device = facts.harness->device(unit);
        Judgement judgement = about(device.id, device.span, {});
        judgement.message = asked.met
                                ? fmt::format("{}: its hard condition is among the duties", named(device))
                                : fmt::format("{}: {}", named(device), asked.missing);
        judgement.cure = asked.cure;
        if (asked.met)
            judgements.passes(std::move(judgement));
        else
            judgements.fails(std::move(judgement));
    }
}

void judge(const Facts& facts, Judgements& judgements) {
    const auto& duties = facts.harness->duties;
    judge_units(
        facts,
        {.kind = DeviceKind::generator,
         .met = std::any_of(duties.begin(), duties.end(), loads_fully),
         .missing =
             "no duty of the file lets it give all it can into a flat battery, so drops and temperatures "
             "are told for less current than it will give",
         .cure = "a duty with engine=\"rated\" and charge=\"20 %\", or no duty at all: the built-in ones "
                 "hold it"},
        judgements);
    judge_units(
        facts,
        {.kind = DeviceKind::starter,
         .met = std::any_of(duties.begin(), duties.end(),
                            [](const model::Duty& duty) { return duty.engine == model::Engine::cranking; }),
         .missing = "no duty of the file turns the engine, so nothing is told about cranking",
         .cure = "a duty with engine=\"cranking\""},
        judgements);
}

} // namespace

extern const Rule rule_duty_missing;
const Rule rule_duty_missing{
    .slug = "duty-missing",
    .usual = Severity::warning,
    .asks = "Are the hard conditions among the duties that the kit is judged in?",
    .source =
        "common practice, no source: a charging circuit is judged at rated output, hot, into a flat battery",
    .cure = "add the duty, or leave the duties to the built-in ones",
    .explanation =
        R"(A charging cable tested with a healthy battery carries the lamps and little more, and passes. After a night with
the lamps on, the same unit pours everything it has into the battery for half an hour, and the cable, its joints
and fuse-link meet their real load.
A file with duties of its own must hold one with the engine at rated speed, unit hot, battery at half charge or
less; and, with a starter, one that cranks. A file without duties has both.
Example: drop 0.04 V at 30 A looks fine; at 160 A the same cable loses 0.21 V.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check

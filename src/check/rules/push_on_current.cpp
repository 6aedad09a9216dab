// push-on-current. Does any push-on blade carry more than its spring can pass?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::check {
namespace {

struct BladeRow {
    std::string_view name;
    double current_a;
};
// All-day current of a push-on pair with good springs in warm surroundings: makers' figures for brass blades
// lie about there. From memory.
constexpr BladeRow blades[] = {{"blade 2.8", 10}, {"blade 4.8", 16}, {"blade 6.3", 25}, {"blade 9.5", 40}};

std::optional<double> blade_limit_a(const base::Fastener& stud) {
    for (const BladeRow& row : blades)
        if (row.name == stud.name)
            return row.current_a;
    return std::nullopt;
}

// The contacts of a fuse-link's holder belong to its rating, and fuse-continuous-load holds them.
template <class Visit> void each_blade_end(const Facts& facts, Visit visit) {
    for (std::size_t c = 0; c < facts.harness->cables.size(); ++c)
        for (const model::CableEnd* end : {&facts.harness->cables[c].from, &facts.harness->cables[c].to}) {
            const model::Terminal& terminal = facts.harness->terminal(end->at);
            if (facts.harness->device(terminal.device).kind() != model::DeviceKind::fuse_link &&
                blade_limit_a(terminal.stud))
                visit(c, *end, terminal);
        }
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> addresses;
    each_blade_end(facts, [&](std::size_t, const model::CableEnd&, const model::Terminal& terminal) {
        if (std::find(addresses.begin(), addresses.end(), terminal.address) == addresses.end())
            addresses.push_back(terminal.address);
    });
    return addresses;
}

void judge(const Facts& facts, Judgements& judgements) {
    each_blade_end(facts, [&](std::size_t c, const model::CableEnd& end, const model::Terminal& terminal) {
        const model::Cable& cable = facts.harness->cables[c];
        Judgement judgement = about(terminal.address, end.span, {});
        judgement.subjects.push_back(cable.id);
        const double limit_a = *blade_limit_a(terminal.stud);
        std::optional<model::DutyIndex> duty;
        double current_a = 0;
        for (const SolvedDuty& solved : facts.duties) {
            if (!solved.point || !is_continuous(facts.harness->duty(solved.duty)))
                continue;
            const double here_a = std::abs(solved.point->cables[c].current_a) / cable.parallel;
            if (!duty || here_a > current_a) {
                duty = solved.duty;
                current_a = here_a;
            }
        }
        if (!duty) {
            judgement.message = fmt::format("{}: no all-day duty could be solved", terminal.address);
            judgements.cannot_tell(for_want_of_duties(facts, std::move(judgement)));
            return;
        }
        judgement.duty = duty_name(*facts.harness, *duty);
        judgement = with_figures(std::move(judgement), {.computed = current_a, .limit = limit_a}, "A",
                                 "push-on pair of that width, from memory");
        judgement.message =
            fmt::format("the {} at {} carries {} of {} in duty {}; such a push-on pair stands "
                        "about {} all day",
                        terminal.stud.name, terminal.address, amps_up(current_a), cable.id, judgement.duty,
                        amps_down(limit_a));
        if (exceeds(current_a, limit_a))
            judgements.fails(std::move(judgement));
        else
            judgements.passes(std::move(judgement));
    });
}

} // namespace

extern const Rule rule_push_on_current;
const Rule rule_push_on_current{
    .slug = "push-on-current",
    .usual = Severity::error,
    .asks = "Does any push-on blade carry more than its spring can pass?",
    .source =
        "all-day current of brass push-on pairs by width: 2.8 mm 10 A, 4.8 mm 16 A, 6.3 mm 25 A, 9.5 mm "
        "40 A; from memory",
    .cure = "a bolted joint, or a part with studs",
    .explanation =
        R"(A thick cable into an old bulkhead connector is as strong as the connector. The spring of a push-on pair passes
some 25 A at 6.3 mm width when it is new and warm; beyond that it softens, grips less, and heats more.
Asked is, for each blade but those in a fuse-link's holder, the greatest all-day current of its cable.
Example: a 90 A unit behind a bulkhead plug of 6.3 mm blades: the old 35 A unit was at its limit already. Take the
charging lead through the bulkhead on a stud instead.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check

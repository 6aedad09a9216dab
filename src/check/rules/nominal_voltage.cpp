// nominal-voltage. Does each charging unit hold the volts this system is made for?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

namespace stoutloom::check {
namespace {

struct Range {
    double low_v, high_v;
};

// Regulators of 12 V systems hold 13.8 to 14.8 V and the others in proportion; 48 V systems hold 52 V at the
// low end.
Range usual_range(double nominal_v) {
    const double scale = nominal_v / 12;
    const double low_v = nominal_v > 36 ? 52 : 13.8 * scale;
    return {low_v, 14.8 * scale};
}

void judge(const Facts& facts, Judgements& judgements) {
    const double nominal_v = facts.harness->nominal_v.value;
    const Range usual = usual_range(nominal_v);
    for (const model::DeviceIndex index : devices_of(*facts.harness, model::DeviceKind::generator)) {
        const model::Device& device = facts.harness->device(index);
        const double set_point_v = std::get<model::Generator>(device.data).set_point_v.value;
        const bool low = set_point_v < usual.low_v;
        Judgement judgement = about(device.id, device.span, {});
        judgement = with_figures(std::move(judgement),
                                 {.computed = set_point_v, .limit = low ? usual.low_v : usual.high_v}, "V",
                                 "usual set points of regulators, from memory");
        judgement.message = fmt::format("{} holds {} on a {} system, where {} to {} is usual", named(device),
                                        base::shown(set_point_v, 1, base::Rounding::nearest, "V"),
                                        base::shown_down(nominal_v, 0, "V"),
                                        base::shown_number(usual.low_v, 1, base::Rounding::nearest),
                                        base::shown(usual.high_v, 1, base::Rounding::nearest, "V"));
        if (!low && set_point_v <= usual.high_v) {
            judgements.passes(std::move(judgement));
            continue;
        }
        // A little off is a matter of taste and battery; a quarter off is a unit of another system.
        const bool other_system = set_point_v < 0.75 * usual.low_v || set_point_v > 1.25 * usual.high_v;
        judgement.message += other_system ? ": that is a unit of another system"
                             : low        ? ": the battery is never full"
                                          : ": the battery gasses and lamps live short";
        judgement.cure = other_system ? "a unit made for the system" : "";
        judgements.fails(std::move(judgement), other_system ? Severity::error : Severity::warning);
    }
}

} // namespace

extern const Rule rule_nominal_voltage;
const Rule rule_nominal_voltage{
    .slug = "nominal-voltage",
    .usual = Severity::warning,
    .asks = "Does each charging unit hold the volts this system is made for?",
    .source = "usual set points of regulators: 13.8 to 14.8 V at 12 V nominal, twice and four times that at "
              "24 and 48 V (48 V "
              "systems from 52 V), from memory",
    .cure = "another regulator setting, to the battery maker's charging volts",
    .explanation =
        R"(A 12 V battery of six cells needs 13.8 to 14.8 V to be charged, a 24 V set twice that. Less never fills it; more
boils it and shortens the life of lamps.
Example: set point 28.4 V in a file with nominal 12 V: 28.4 > 1.25 x 14.8: a 24 V unit on a 12 V bank, an error.
15.2 V on 12 V: a warning.
)",
    .subjects = generators,
    .judge = judge,
};

} // namespace stoutloom::check

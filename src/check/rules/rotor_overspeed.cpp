// rotor-overspeed. Does the pulley turn the unit faster than it stands?
#include "check/subjects.h"
#include "check/words.h"
#include "solve/assumed.h"

#include <fmt/format.h>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;

// Units whose greatest speed is told in the file.
std::vector<DeviceIndex> judged_units(const Facts& facts) {
    std::vector<DeviceIndex> units;
    for (const DeviceIndex unit : devices_of(*facts.harness, model::DeviceKind::generator))
        if (std::get<model::Generator>(facts.harness->device(unit).data).greatest_shaft_rpm)
            units.push_back(unit);
    return units;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const DeviceIndex unit : judged_units(facts))
        ids.push_back(facts.harness->device(unit).id);
    return ids;
}

const model::Duty* fastest_duty(const model::Harness& harness) {
    const model::Duty* fastest = nullptr;
    for (const model::Duty& duty : harness.duties)
        if (duty.engine_rpm && (fastest == nullptr || duty.engine_rpm->value > fastest->engine_rpm->value))
            fastest = &duty;
    return fastest;
}

std::string rpm_up(double speed_rpm) {
    return base::shown_up(speed_rpm, 0, "rpm");
}

void judge(const Facts& facts, Judgements& judgements) {
    const model::Duty* fastest = fastest_duty(*facts.harness);
    for (const DeviceIndex index : judged_units(facts)) {
        const model::Device& device = facts.harness->device(index);
        const auto& unit = std::get<model::Generator>(device.data);
        Judgement judgement = about(device.id, device.span, {});
        if (fastest == nullptr) {
            judgement.message =
                fmt::format("{} has a greatest shaft speed, but no duty tells the engine's", named(device));
            judgement.cure = "write engine-speed in the duty with the highest engine speed";
            judgements.cannot_tell(std::move(judgement), Severity::warning);
            continue;
        }
        const double ratio = unit.pulley_ratio ? unit.pulley_ratio->value : solve::assumed_pulley_ratio;
        const double shaft_rpm = fastest->engine_rpm->value * ratio;
        const double limit_rpm = unit.greatest_shaft_rpm->value;
        judgement.duty = fastest->id;
        judgement = with_figures(std::move(judgement), {.computed = shaft_rpm, .limit = limit_rpm}, "rpm",
                                 "this file, greatest-shaft-speed");
        judgement.message =
            fmt::format("{} turns at {} in duty {} ({} of the engine x {}{}); it stands {}", named(device),
                        rpm_up(shaft_rpm), fastest->id, rpm_up(fastest->engine_rpm->value),
                        base::shown_number(ratio, 2, base::Rounding::up),
                        unit.pulley_ratio ? "" : ", ratio assumed", base::shown_down(limit_rpm, 0, "rpm"));
        if (exceeds(shaft_rpm, limit_rpm)) {
            judgement.cure = fmt::format(
                "a pulley ratio of {} or less",
                base::shown_number(limit_rpm / fastest->engine_rpm->value, 2, base::Rounding::down));
            judgements.fails(std::move(judgement));
        } else {
            judgements.passes(std::move(judgement));
        }
    }
}

} // namespace

extern const Rule rule_rotor_overspeed;
const Rule rule_rotor_overspeed{
    .slug = "rotor-overspeed",
    .usual = Severity::error,
    .asks = "Does the pulley turn the unit faster than it stands?",
    .source = "shaft speed = engine speed x pulley ratio against the maker's greatest speed in the file",
    .cure = "a larger pulley on the unit",
    .explanation =
        R"(A small pulley gives more amperes at idle, and takes the rotor apart at full speed: shaft speed = engine speed
x pulley ratio (crank pulley diameter / unit pulley diameter). Makers commonly allow 15 000 to 18 000 rpm.
Example: 5 500 rpm x 2.6 = 14 300 rpm of 16 000: holds. With a ratio of 3.2: 17 600 rpm: the windings fly out.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check

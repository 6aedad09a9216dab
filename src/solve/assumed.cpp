#include "solve/assumed.h"

#include "base/quantity.h"
#include "solve/exciter_lamps.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::solve {
namespace {

void tell_generator(const model::Device& device, std::vector<model::Assumption>& told) {
    const auto& about = std::get<model::Generator>(device.data);
    told.push_back({device.id, "regulates with a droop of " + base::shown_resistance(generator_droop_ohm),
                    "two units on one stud share in a definite way; under the tolerance of any regulator"});
    const auto is_idle = [](const model::Output& output) { return output.speed == model::Speed::idle; };
    const auto has_shaft = [](const model::Output& output) { return output.shaft_rpm.has_value(); };
    if (std::none_of(about.outputs.begin(), about.outputs.end(), is_idle) &&
        std::none_of(about.outputs.begin(), about.outputs.end(), has_shaft))
        told.push_back({device.id,
                        fmt::format("idle output {:.0f} % of the greatest", 100 * assumed_idle_fraction),
                        "no output at idle in the file; common practice, no source"});
}

void tell_starter(const model::Harness& harness, const model::Device& device,
                  std::vector<model::Assumption>& told) {
    const double scale = harness.nominal_v.value / 12.0;
    told.push_back({device.id, "solenoid coil " + base::shown_resistance(starter_coil_ohm * scale * scale),
                    "hold-in coil of about 10 A at 12 V, from memory"});
}

} // namespace

std::vector<model::Assumption> solver_assumptions(const model::Harness& harness) {
    std::vector<model::Assumption> told;
    for (std::size_t i = 0; i < harness.devices.size(); ++i) {
        const model::Device& device = harness.devices[i];
        if (device.kind() == model::DeviceKind::consumer)
            if (const auto ohm = exciter_lamp_ohm(harness, static_cast<model::DeviceIndex>(i)))
                told.push_back({device.id, "a resistance of " + base::shown_resistance(*ohm),
                                "in series with an exciter a filament keeps neither power nor current"});
        if (device.kind() == model::DeviceKind::generator)
            tell_generator(device, told);
        if (device.kind() == model::DeviceKind::starter)
            tell_starter(harness, device, told);
        if (device.seat)
            told.push_back({device.id,
                            "case to " + harness.device(*device.seat).id + " " +
                                base::shown_resistance(seat_resistance_ohm),
                            "bracket bolted to the metal; common practice, no source"});
    }
    return told;
}

} // namespace stoutloom::solve

// fuse-voltage. Is every fuse-link made for the volts of the kit?
#include "check/subjects.h"
#include "check/words.h"
#include "physics/fuselink.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

// The highest volts that stand in the kit: nominal, or a unit's set point.
double highest_v(const Facts& facts) {
    double highest = facts.harness->nominal_v.value;
    for (const model::DeviceIndex unit : devices_of(*facts.harness, model::DeviceKind::generator))
        highest =
            std::max(highest, std::get<model::Generator>(facts.harness->device(unit).data).set_point_v.value);
    return highest;
}

void judge(const Facts& facts, Judgements& judgements) {
    const double system_v = highest_v(facts);
    for (const model::DeviceIndex index : devices_of(*facts.harness, model::DeviceKind::fuse_link)) {
        const model::Device& device = facts.harness->device(index);
        const std::string& type_name = std::get<model::FuseLink>(device.data).type;
        const physics::FuseType* type = physics::fuse_type_by_name(type_name);
        Judgement judgement = about(device.id, device.span, {});
        if (type == nullptr) {
            judgement.message =
                fmt::format("{} is of type {}, whose rated voltage is unknown", named(device), type_name);
            judgements.cannot_tell(std::move(judgement));
            continue;
        }
        judgement = with_figures(std::move(judgement), {.computed = system_v, .limit = type->rated_voltage_v},
                                 "V", std::string(type->standard));
        judgement.message =
            fmt::format("{} of type {} is rated {}; the kit stands at {}", named(device), type_name,
                        base::shown_down(type->rated_voltage_v, 0, "V"), volts_up(system_v));
        if (system_v <= type->rated_voltage_v) {
            judgements.passes(std::move(judgement));
            continue;
        }
        judgement.message += ": opened under load it goes on burning as an arc";
        judgements.fails(std::move(judgement));
    }
}

} // namespace

extern const Rule rule_fuse_voltage;
const Rule rule_fuse_voltage{
    .slug = "fuse-voltage",
    .usual = Severity::error,
    .asks = "Is every fuse-link made for the volts of the kit?",
    .source = "rated voltages: ISO 8820-3, -4, -5 (32 V), ISO 8820-6 (58 V)",
    .cure = "a fuse-link rated for the system, 58 V or more on 48 V",
    .explanation =
        R"(The gap a link leaves when it melts is long enough for its rated voltage only. The highest volts of the kit are
its nominal volts or a charging unit's set point, whichever is more.
Example: a 32 V strip link on a 48 V system stands 54 V while charging: 54 > 32, it goes on as an arc. Bolted
links of 58 V and class T are made for that.
)",
    .subjects = fuse_links,
    .judge = judge,
};

} // namespace stoutloom::check

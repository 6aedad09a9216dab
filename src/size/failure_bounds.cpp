#include "size/failure_bounds.h"

#include "check/protection.h"
#include "size/requirements.h"
#include "solve/failures.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::size {
namespace {

constexpr int most_rounds = 60;
bool is_contact(const model::Harness& harness, model::DeviceIndex device) {
    switch (harness.device(device).kind()) {
    case model::DeviceKind::fuse_link:
    case model::DeviceKind::switch_:
    case model::DeviceKind::relay:
    case model::DeviceKind::shunt:
        return true;
    default:
        return false;
    }
}

/// A failure is blamed for a current that is clearly more than before; what was before is within its limit.
constexpr double clearly_over = solve::clearly_more * (1 + 1e-4);

} // namespace

FailureProver::FailureProver(const model::Harness& harness, const Choices& choices)
    : harness_(harness), choices_(choices), table_(harness, choices) {}

DutyBounds& FailureProver::without(const std::string& part, std::size_t duty) {
    std::unique_ptr<DutyBounds>& known = known_[{part, duty}];
    if (known == nullptr) {
        solve::Variation lost = solve::at_worst();
        if (const auto cable = model::find_cable(harness_, part))
            lost.opened_cables.push_back(*cable);
        else if (const auto device = model::find_device(harness_, part))
            lost.opened_devices.push_back(*device);
        known = std::make_unique<DutyBounds>(harness_, duty, table_, Requirements{}, lost,
                                             DutyBounds::Keeps::no_rules);
    }
    return *known;
}

/// Whether some fuse-link that might carry the cable's own current may open at it.
bool FailureProver::link_may_save(const DutyBounds& duty, std::size_t cable, const OpenOptions& open) const {
    const Interval own = duty.cable_a(cable);
    model::Harness rated = harness_;
    for (std::size_t d = 0; d < harness_.devices.size(); ++d) {
        const auto* link = std::get_if<model::FuseLink>(&harness_.devices[d].data);
        if (link == nullptr)
            continue;
        const Interval through = duty.link_a(d);
        const bool apart = least_magnitude(own) > 1.02 * greatest_magnitude(through) ||
                           least_magnitude(through) > 1.02 * greatest_magnitude(own);
        if (apart)
            continue;
        std::vector<double> ratings = {link->rating_a.value};
        if (const auto choice = table_.choice_of_link(d)) {
            ratings.clear();
            for (std::uint64_t bits = open.bits[*choice]; bits != 0; bits &= bits - 1)
                ratings.push_back(choices_.list[*choice].options[lowest(bits)].value);
        }
        for (const double rating_a : ratings) {
            auto& made = std::get<model::FuseLink>(rated.devices[d].data);
            made.rating_a.value = rating_a;
            made.automatic = false;
            const check::LinkTogether alone = check::link_alone(rated, static_cast<model::DeviceIndex>(d));
            if (alone.type != nullptr &&
                check::band_at(alone, 1.001 * greatest_magnitude(through)).slowest_s < 1e6)
                return true;
        }
    }
    return false;
}

bool FailureProver::cable_burns(const DutyBounds& duty, std::size_t cable, const OpenOptions& open) const {
    const double least_a = least_magnitude(duty.cable_a(cable));
    const auto choice = table_.choice_of_cable(cable);
    for (std::uint64_t bits = choice ? open.bits[*choice] : 1; bits != 0; bits &= bits - 1) {
        const auto usable_a = table_.usable_a(cable, lowest(bits));
        if (!usable_a || !(least_a > clearly_over * *usable_a))
            return false;
    }
    return !link_may_save(duty, cable, open);
}

bool FailureProver::follows(const std::string& part, const check::Consequence& consequence,
                            const Open& open) {
    const auto index = model::find_duty(harness_, consequence.duty);
    const auto device = model::find_device(harness_, part);
    if (!model::find_cable(harness_, part) && !(device && is_contact(harness_, *device)))
        return false; // one run of several, a battery's post: the network without it is another one
    if (!index || accepted(harness_, "single-failure", part))
        return false;
    const bool path = consequence.harm == check::Harm::incidental;
    // A pulse starts from temperatures that no interval tells; a switch's rating is not in the tables here.
    const bool steady_heat = consequence.harm == check::Harm::overheats && !harness_.duty(*index).duration_s;
    if (!path && !steady_heat)
        return false;
    DutyBounds& duty = without(part, model::at(*index));
    OpenOptions working{.bits = open, .changed = false, .left_out = {}, .because = {}};
    duty.reset({});
    std::string why;
    for (int round = 0; round < most_rounds; ++round)
        if (!duty.narrow_once(working, why) || duty.movement() < 1e-3)
            break;
    if (!why.empty())
        return false; // no such network: nothing follows
    if (steady_heat) {
        const auto cable = model::find_cable(harness_, consequence.subject);
        return cable && cable_burns(duty, model::at(*cable), working);
    }
    for (std::size_t p = 0; p < harness_.incidentals.size(); ++p) {
        const model::Incidental& about = harness_.incidentals[p];
        if (about.id != consequence.subject || accepted(harness_, "incidental-current", about.id))
            continue;
        const double limit_a = about.rating_a ? about.rating_a->value
                                              : model::limit_in_force(harness_, "incidental-current").value;
        return least_magnitude(duty.path_a(p)) > clearly_over * limit_a;
    }
    return false;
}

} // namespace stoutloom::size

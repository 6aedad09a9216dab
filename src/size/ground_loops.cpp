// Thin grounds that close loops: what they may carry, and rows against what they carry too much.
#include "check/subjects.h"
#include "size/duty_bounds.h"

#include <algorithm>

namespace stoutloom::size {

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): indices by their names
double DutyBounds::section_mm2(std::size_t cable, std::size_t option) const {
    const auto found = std::find_if(returns_.begin(), returns_.end(),
                                    [&](const ReturnCable& one) { return one.cable == cable; });
    return found == returns_.end() ? 0 : found->sections_mm2[option];
}

/// What a ground in a loop may carry where it is thin: the limit and what the units at its ends draw.
std::optional<double> DutyBounds::stranger_a(const Wire& wire) const {
    if (wire.kind != WireKind::cable || !keeps_rules_)
        return std::nullopt;
    const auto ground = std::find_if(grounds_.begin(), grounds_.end(),
                                     [&](const ThinGround& one) { return one.cable == wire.index; });
    if (ground == grounds_.end())
        return std::nullopt;
    double own_a = 0;
    for (std::size_t k = 0; k < graph_.appliances.size(); ++k)
        if (const auto device = graph_.appliances[k].device;
            device && std::find(ground->own.begin(), ground->own.end(), *device) != ground->own.end())
            own_a += greatest_magnitude(known_.appliance_a[k]);
    return ground->limit_a + own_a;
}

/// Where it is thin whatever else is chosen.
std::optional<double> DutyBounds::loop_allowed_a(const Wire& wire, std::size_t option,
                                                 const OpenOptions& open) const {
    const auto allowed_a = stranger_a(wire);
    if (!allowed_a)
        return std::nullopt;
    const double own_mm2 = section_mm2(wire.index, option);
    if (own_mm2 > check::thin_ground_mm2)
        return std::nullopt;
    for (const ReturnCable& other : returns_) {
        const auto choice = table_.choice_of_cable(other.cable);
        if (own_mm2 <= check::thin_ground_share * other.sections_mm2[choice ? lowest(open.bits[*choice]) : 0])
            return allowed_a;
    }
    return std::nullopt;
}

/// Rows against a ground that is thin at the assignment: against all no thicker, wherever some other return
/// keeps it thin.
void DutyBounds::add_ground_rows(std::size_t w, const OpenOptions& open, const Assignment& at,
                                 std::vector<Row>& rows) const {
    const Wire& wire = graph_.wires[w];
    const auto allowed_a = stranger_a(wire);
    const auto choice = choice_of(wire);
    if (!allowed_a)
        return;
    const double here_mm2 = section_mm2(wire.index, choice ? at[*choice] : 0);
    if (here_mm2 > check::thin_ground_mm2)
        return;
    const ReturnCable* thickest = nullptr; // at the assignment
    double thickest_mm2 = 0;
    for (const ReturnCable& other : returns_) {
        const auto others = table_.choice_of_cable(other.cable);
        if (const double its_mm2 = other.sections_mm2[others ? at[*others] : 0]; its_mm2 > thickest_mm2) {
            thickest = &other;
            thickest_mm2 = its_mm2;
        }
    }
    if (thickest == nullptr || here_mm2 > check::thin_ground_share * thickest_mm2)
        return;
    const std::size_t before = rows.size();
    add_rows_of_wire(
        w, open, at, "return-loop " + name_of(w),
        [&](std::size_t option) {
            return section_mm2(wire.index, option) <= here_mm2 ? allowed_a : std::nullopt;
        },
        rows);
    const auto keeper = table_.choice_of_cable(thickest->cable);
    if (!keeper)
        return;
    for (std::size_t r = before; r < rows.size(); ++r) {
        Row& row = rows[r];
        auto term = std::find_if(row.terms.begin(), row.terms.end(),
                                 [&](const Term& one) { return one.variable == *keeper; });
        if (term == row.terms.end())
            term = row.terms.insert(term, {*keeper, {}});
        term->amount.resize(thickest->sections_mm2.size(), 0.0);
        for (std::size_t o = 0; o < term->amount.size(); ++o)
            if (here_mm2 > check::thin_ground_share * thickest->sections_mm2[o])
                term->amount[o] -= any_v;
    }
}

} // namespace stoutloom::size

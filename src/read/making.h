// The second half of reading: from the checked tree to the model. What only the program can see is refused
// here: references, sums, contradictions. Each step takes the making by reference and goes on after a
// mistake, with a stand-in that is never handed out (a file with a mistake gives no harness).
#pragma once

#include "model/harness.h"
#include "read/complaints.h"
#include "read/form.h"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::read {

template <class Index> using Names = std::map<std::string, Index, std::less<>>;

struct Making {
    const Form& form;
    Complaints& complaints;
    bool in_variant = false; // the XSD does not see what a variant makes of the file
    model::Harness harness{};
    Names<model::ZoneIndex> zones{};
    Names<model::DeviceIndex> devices{};
    Names<model::TerminalIndex> terminals{};
    Names<model::CableIndex> cables{};
    Names<model::IncidentalIndex> incidentals{};
    Names<model::DutyIndex> duties{};

    const Node& root() const { return form.nodes.front(); }
    /// Children of the root with that name, in file order.
    std::vector<const Node*> all(std::string_view name) const;
    std::vector<const Node*> children(const Node& node, std::string_view name) const;
    double volts_ratio() const { return harness.nominal_v.value / 12.0; }

    void assume(std::string subject, std::string what, std::string reason);
    /// The attribute as written, nothing when it is not given (or refused).
    std::optional<model::Written> written(const Node& node, std::string_view attribute) const;
    /// The attribute, or the default; a default is told as an assumption of `subject`, unless `reason` is
    /// empty.
    model::Written written_or(const Node& node, std::string_view attribute, double otherwise,
                              std::string_view subject, std::string_view shown, std::string_view reason);
};

/// Position of the attribute's word in a list separated by |; `otherwise` when it is not given.
template <class Enum> Enum word_of(const Node& node, std::string_view attribute, Enum otherwise) {
    const GivenAttribute* one = node.given(attribute);
    if (one == nullptr)
        return otherwise;
    std::string_view words = one->row->type.words;
    for (int place = 0; !words.empty(); ++place) {
        const std::size_t bar = words.find('|');
        if (words.substr(0, bar) == one->value.text)
            return static_cast<Enum>(place);
        words = bar == std::string_view::npos ? std::string_view{} : words.substr(bar + 1);
    }
    return otherwise;
}

/// The span to point at: the attribute's value, or the element's name.
base::Span place_of(const Node& node, std::string_view attribute);

// --- the steps, in the order they run ---
void check_unique_ids(Making& making);
void make_head(Making& making);    // root attributes, title block, zones
void make_devices(Making& making); // devices with their terminals, seats, sense points
void make_paths(Making& making);   // incidental paths
void make_cables(Making& making);
void make_duties(Making& making);
void make_limits(Making& making);
void make_landings(Making& making);
/// `included`: the checked stock file, if the file names one.
void make_stock(Making& making, const Form* included);
/// What only the program sees in a list of stock, wherever it stands.
void check_stock(const Form& form, const Node& list, Complaints& complaints);
void make_remarks(Making& making); // notes, steps, acceptances

/// Terminals of one device: the file's, the default ones, the implicit ones; then whether the needed ones are
/// there.
void make_terminals(Making& making, const Node& node, model::DeviceIndex device);

/// Refuses a second element of that name in the root.
void at_most_one(Making& making, std::string_view name);

// --- references ---
/// The terminal an address names; refused (once, with the nearest address) when there is none. `bolted`:
/// refuse the implicit ones too, for nothing can be fixed to them.
std::optional<model::TerminalIndex> terminal_at(Making& making, const Node& node, std::string_view attribute,
                                                bool bolted);
std::optional<model::TerminalIndex> terminal_named(Making& making, std::string_view address, base::Span place,
                                                   bool bolted);
/// The zone an attribute names; empty when not given or unknown (check_unique_ids has refused it then).
std::optional<model::ZoneIndex> zone_of(const Making& making, const Node& node);
std::optional<model::ZoneIndex> hottest_zone(const Making& making);

} // namespace stoutloom::read

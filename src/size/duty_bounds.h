// Intervals of one duty: currents, volts and resistances over a box of options, narrowed by the network's
// laws. Room-internal.
#pragma once

#include "size/appliance_law.h"
#include "size/block_flow.h"
#include "size/cable_table.h"
#include "size/duty_graph.h"
#include "size/interval.h"
#include "size/requirements.h"
#include "size/rows.h"

#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace stoutloom::size {

/// What the box leaves open; narrowed by several duties in turn.
struct OpenOptions {
    std::vector<std::uint64_t> bits = {}; // by choice
    bool changed = false;
    std::set<std::string> left_out = {}; // rules, with their subject, that are not asked for
    std::map<std::pair<std::size_t, std::size_t>, std::string> because =
        {}; // choice, option -> rule that closed it
};

/// Volts that free an option of a row.
constexpr double any_v = 1e3;

/// Amounts of a row, by choice, by option.
using TermsByChoice = std::map<std::size_t, std::vector<double>>;

/// A drop requirement in one duty: its ways as legs.
struct DutyDrop {
    std::size_t requirement = 0;
    std::vector<Way> ways, ranked_by, instead;
    double limit_v = 0;
    bool always = true;                           // holds in this duty whatever the others do
    std::optional<std::size_t> high_end, low_end; // a loop: appliances whose volts differ by just this drop
};

class DutyBounds {
  public:
    /// `variation`: one of the worst cases that the rules are asked at, at_worst() or at_least_charge().
    /// `no_rules`: a part is lost (in `variation`), and nothing is taken for granted but the temperatures of
    /// a kit that was good before. `currents`: another choice of what is switched on (in `variation`), of
    /// which only the cables' all-day currents are asked, told for cold cables as solve/worst_case.h tells
    /// them.
    enum class Keeps { rules, no_rules, currents };
    DutyBounds(const model::Harness& harness, std::size_t duty, const CableTable& table,
               const Requirements& requirements, const solve::Variation& variation,
               Keeps keeps = Keeps::rules);

    /// All that is known of the duty's currents, volts and resistances over a box.
    struct Known {
        std::vector<Interval> wire_a, wire_ohm, appliance_a, volts_v;
        std::vector<std::vector<Interval>> pair_v; // by block
    };
    const Known& known() const { return known_; }
    /// Goes on from what was found for a box that holds the present one.
    void start_from(const Known& known);
    /// Nothing but what is true of every kit that keeps the rules but those left out.
    void reset(const std::set<std::string>& left_out);
    /// In every kit each source rests on some piece of its law: what holds on each choice of pieces that is
    /// not refuted. False: all are.
    bool narrow_by_regimes(OpenOptions& open, std::string& why);
    /// One pass over all laws. False: no open choice can be good; `why` tells by which.
    bool narrow_once(OpenOptions& open, std::string& why);
    /// How far the intervals have moved since the last call, relative.
    double movement();

    const std::vector<DutyDrop>& drops() const { return drops_; }
    Interval drop_v(const std::vector<Way>& ways) const;
    /// Terms of a row for a drop: per choice and option the least volts its wires can lose, and what the rest
    /// loses at least. Loops are terms too where an assignment is given: by the bound that touches there.
    void drop_terms(const std::vector<Way>& ways, const OpenOptions& open, TermsByChoice& by_choice,
                    double& rest_v, const Assignment* at = nullptr) const;
    /// What is lost more at least than in another duty, over all choices that are open.
    double least_more_v(const std::vector<Way>& ways, const DutyBounds& other,
                        const std::vector<Way>& others_ways, const OpenOptions& open) const;
    /// Rows against currents in loops that are too great (of paths nobody meant, of cables all day).
    void add_current_rows(const OpenOptions& open, const Assignment& at, std::vector<Row>& rows) const;
    const DutyGraph& graph() const { return graph_; }
    Interval cable_a(std::size_t cable) const { return wire_a_of(WireKind::cable, cable); }
    Interval link_a(std::size_t device) const { return wire_a_of(WireKind::fuse_link, device); }
    Interval path_a(std::size_t incidental) const;

  private:
    struct VoltsBy { // volts of an appliance: along wires, or by way of the reference source
        std::optional<Way> direct;
        std::optional<Way> to_plus, to_minus; // reference plus to its plus, its minus to reference minus
        std::size_t reference = 0;
    };
    struct Regimes;
    bool split(Regimes& regimes, std::size_t source, const OpenOptions& open, std::string& why);
    bool settle_alone(OpenOptions& open, std::string& why);
    /// Resistances that hang together apart from every source (a warning lamp before an exciter), and where
    /// they touch what the sources drive: no volts among them are more than between those places.
    struct Hanging {
        std::vector<std::size_t> appliances;
        std::vector<std::pair<Way, bool>> anchors; // from the reference source's plus, or to its minus
    };
    void find_hanging();
    bool narrow_hanging(std::string& why);
    bool narrow_balances(std::string& why);
    bool narrow_wires(OpenOptions& open, std::string& why);
    bool narrow_resistance(std::size_t wire, OpenOptions& open, std::string& why);
    bool narrow_blocks(std::string& why);
    bool narrow_volts(std::string& why);
    bool narrow_drops(OpenOptions& open, std::string& why);
    bool narrow_row(std::size_t d, OpenOptions& open) const;
    bool narrow_ends(const DutyDrop& drop);
    void find_ends(const DropRequirement& asked, DutyDrop& drop) const;
    Interval leg_v(const Leg& leg) const;
    Interval way_v(const Way& way) const;
    Interval sum_of(const std::vector<Share>& shares) const;
    Interval wire_v(std::size_t wire) const;
    Interval wire_v_at(std::size_t wire, std::size_t option) const;
    Interval wire_a_of(WireKind kind, std::size_t index) const;
    Interval wire_ohm_at(std::size_t wire, std::size_t option, const OpenOptions& open) const;
    Interval cable_ohm_at(std::size_t wire, std::size_t option) const;
    std::optional<double> stranger_a(const Wire& wire) const;
    std::optional<double> loop_allowed_a(const Wire& wire, std::size_t option, const OpenOptions& open) const;
    double section_mm2(std::size_t cable, std::size_t option) const;
    void add_ground_rows(std::size_t wire, const OpenOptions& open, const Assignment& at,
                         std::vector<Row>& rows) const;
    std::optional<std::size_t> choice_of(const Wire& wire) const;
    std::optional<double> least_more_across(const Leg& leg, const DutyBounds& other, const Leg& others_leg,
                                            const OpenOptions& open) const;
    using AllowedA = std::function<std::optional<double>(std::size_t option)>;
    void add_rows_of_wire(std::size_t wire, const OpenOptions& open, const Assignment& at,
                          const std::string& why, const AllowedA& allowed_a, std::vector<Row>& rows) const;
    void joint_terms(const Leg& leg, const OpenOptions& open, TermsByChoice& by_choice) const;
    double block_terms(std::size_t block, std::pair<int, int> pair, const OpenOptions& open,
                       const Assignment& at, TermsByChoice& by_choice) const;
    void note_pairs(const Way& way);
    void prepare_volts(const std::vector<std::size_t>& sources);
    std::string name_of(std::size_t wire) const;
    std::string rule_of_path(const Wire& wire) const;

    const model::Harness& harness_;
    const CableTable& table_;
    std::size_t duty_;
    Keeps keeps_;
    bool keeps_rules_;
    DutyGraph graph_;
    std::optional<std::size_t> reference_;
    std::vector<VoltsBy> volts_by_;
    std::vector<ThinGround> grounds_;
    std::vector<ReturnCable> returns_;
    std::vector<DutyDrop> drops_;
    std::vector<std::string> drop_names_;
    std::vector<std::vector<std::pair<int, int>>> pairs_; // by block
    std::vector<std::size_t> same_volts_;                 // by appliance: the first one at the same studs
    std::vector<Hanging> hanging_;
    Known known_;
    std::vector<Interval> last_;
};

} // namespace stoutloom::size

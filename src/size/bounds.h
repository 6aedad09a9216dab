// What is certain of every good choice within a box of options: intervals of currents, options that cannot be
// good, rows.
//
// The proof is by intervals. Over all choices of the box that clear the rules, each current and each voltage
// lies in an interval; the laws of the network (Kirchhoff, each part's resistance at its own temperature,
// each source's and consumer's law) and the rules themselves (a good kit loses at most so many volts here,
// carries at most so much there) narrow these intervals until nothing moves. An empty interval proves that
// the box holds no good choice. Nothing is assumed about more copper being better: where cables share a
// current, all corners of the sharing are tried.
#pragma once

#include "check/facts.h"
#include "size/choices.h"
#include "size/requirements.h"
#include "size/rows.h"

#include <memory>
#include <set>
#include <string>
#include <vector>

namespace stoutloom::size {

Open all_open(const Choices& choices);
Open only(const Assignment& assignment);

struct Bounds {
    bool possible = true;  // false: proven that no open choice clears the rules
    std::string why;       // the rule or part that proves it
    Open open;             // options that may still be good
    std::vector<Row> rows; // hold for every good choice of the box; when asked for
};

class BoundsProver {
  public:
    /// `facts` of any assignment: its topology and harness; the duties need not be solved. Both must outlive
    /// this. `standing`: see requirements_of.
    BoundsProver(const model::Harness& harness, const Choices& choices, const check::Facts& facts,
                 const StandingNames* standing = nullptr);
    ~BoundsProver();
    BoundsProver(const BoundsProver&) = delete;
    BoundsProver& operator=(const BoundsProver&) = delete;

    /// Fuse-links: what an all-day load may be, by option; read off the rule's own judgements. Empty: not
    /// known.
    void set_link_limits(std::size_t device, std::vector<double> allowed_a);
    /// `left_out`: rules with their subject (as in `why`) that are not asked for.
    Bounds prove(const Open& open, bool want_rows, const std::set<std::string>& left_out = {});
    /// Rows that every good choice keeps and this one breaks, sharp at this one: sums of what each size loses
    /// at least, loops by a bound that touches here. Cheap: no box is searched for. `broken`: the rules with
    /// their subject that it breaks; where none is told over everything, rows are sought that hold near the
    /// choice.
    std::vector<Row> rows_at(const Assignment& assignment, std::set<std::string> broken);
    /// Every rule with its subject that a proof may go by.
    std::set<std::string> rules() const;
    /// Whether an interval proven for a box that holds `assignment` misses the solved facts: a fault of this
    /// program.
    std::string contradicted_by(const check::Facts& facts, const Assignment& assignment);

  private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

} // namespace stoutloom::size

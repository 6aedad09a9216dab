#include "size/cheapest.h"

#include "size/layers.h"
#include "size/merging.h"
#include "size/stages.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <stdexcept>

namespace stoutloom::size {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
/// One run of the tree search: variables in a fixed order, depth first, options by rising reduced cost. Of
/// two places at one depth, the one that costs no less and has no smaller sum in any open row is closed:
/// whatever completes it completes the other as well.
class Tree {
  public:
    Tree(const CheapestQuestion& question, std::vector<double>& multiplier)
        : variables_(*question.variables), rows_(*question.rows), question_(question),
          multiplier_(multiplier) {
        best_cost_ = question.below.value_or(std::numeric_limits<std::int64_t>::max());
    }

    CheapestAnswer run() {
        Open open;
        for (const Variable& variable : variables_)
            for (const std::int64_t cost : variable.cost)
                step_ = std::gcd(step_, cost - variable.cost.front());
        step_ = std::max<std::int64_t>(step_, 1);
        if (question_.below)
            step_ = 1; // the bound asked for need not lie on a step
        for (const Variable& variable : variables_) {
            if (variable.cost.empty() || variable.cost.size() > 60)
                throw std::logic_error("a variable with no option or more than 60: " + variable.name);
            open.push_back((std::uint64_t{1} << variable.cost.size()) - 1);
        }
        if (propagate(open) && tighten(open)) {
            lay_out(open);
            choice_.assign(variables_.size(), 0);
            look();
        }
        answer_.cost = best_cost_;
        return std::move(answer_);
    }

  private:
    /// A short look down the tree for a good choice; if that does not end it, all places of a depth at once,
    /// which forgets none of them; if those are too many, down the tree to the end.
    void look() {
        constexpr std::int64_t short_look = 20'000;
        node_limit_ = std::min(question_.node_limit, short_look);
        visit(0, 0, constant_);
        const auto spent = [&] { return limits_spent(question_, answer_.effort); };
        if (answer_.complete || spent() || look_by_merging() || spent())
            return;
        const StagesAnswer staged =
            cheapest_by_stages({.variables = &variables_,
                                .rows = needed_rows(rows_, open_),
                                .open = &open_,
                                .order = &order_,
                                .reduced = &reduced_,
                                .constant = constant_,
                                .hopeless_over = hopeless_over(),
                                .node_limit = question_.node_limit - answer_.effort.nodes});
        add(answer_.effort, staged.effort);
        answer_.complete = true;
        if (staged.choice)
            offer(*staged.choice);
        if (staged.complete)
            return;
        node_limit_ = question_.node_limit;
        sums_.assign(rows_.size(), 0.0);
        for (std::vector<Reached>& known : reached_)
            known.clear();
        visit(0, 0, constant_);
    }

    /// True: that ended it.
    bool look_by_merging() {
        const MergingQuestion question{.variables = &variables_,
                                       .rows = needed_rows(rows_, open_),
                                       .open = &open_,
                                       .hopeless_over = hopeless_over(),
                                       .mend =
                                           [&](const Assignment& near) {
                                               repair(near, open_);
                                               return hopeless_over();
                                           },
                                       .node_limit = question_.node_limit - answer_.effort.nodes,
                                       .step_limit = question_.step_limit};
        const double known = std::max(root_value_, static_cast<double>(question_.no_less_than));
        const MergingAnswer merged = cheapest_from_below(question, known);
        add(answer_.effort, merged.effort);
        answer_.complete = merged.complete;
        if (merged.choice)
            offer(*merged.choice);
        return merged.complete;
    }

    struct Bound {
        double value = 0;
        Assignment relaxed; // the option that attains each variable's part
    };

    double least_amount(const Term& term, std::uint64_t open) const {
        double least = infinite;
        for (std::uint64_t bits = open; bits != 0; bits &= bits - 1)
            least = std::min(least, term.amount[lowest(bits)]);
        return least;
    }

    /// Closes options that no completion can keep; false when some row cannot hold any more.
    bool propagate(Open& open) const {
        for (bool changed = true; changed;) {
            changed = false;
            for (const Row& row : rows_)
                if (!propagate_row(row, open, changed))
                    return false;
        }
        return true;
    }

    bool propagate_row(const Row& row, Open& open, bool& changed) const {
        double sum = 0;
        for (const Term& term : row.terms)
            sum += least_amount(term, open[term.variable]);
        const double slack = row.limit + 1e-9 * std::max(1.0, std::abs(row.limit)) - sum;
        if (slack < 0)
            return false;
        for (const Term& term : row.terms) {
            const double least = least_amount(term, open[term.variable]);
            std::uint64_t kept = open[term.variable];
            for (std::uint64_t bits = kept; bits != 0; bits &= bits - 1)
                if (term.amount[lowest(bits)] - least > slack)
                    kept &= ~(bits & (~bits + 1));
            changed = changed || kept != open[term.variable];
            open[term.variable] = kept;
        }
        return true;
    }

    void fill_reduced_costs(std::vector<std::vector<double>>& reduced, double& constant) const {
        reduced.resize(variables_.size());
        for (std::size_t i = 0; i < variables_.size(); ++i)
            reduced[i].assign(variables_[i].cost.begin(), variables_[i].cost.end());
        constant = 0;
        for (std::size_t r = 0; r < rows_.size(); ++r) {
            if (multiplier_[r] == 0)
                continue;
            constant -= multiplier_[r] * rows_[r].limit;
            for (const Term& term : rows_[r].terms)
                for (std::size_t option = 0; option < term.amount.size(); ++option)
                    reduced[term.variable][option] += multiplier_[r] * term.amount[option];
        }
    }

    Bound bound_of(const Open& open, const std::vector<std::vector<double>>& reduced, double constant) const {
        Bound bound{constant, Assignment(variables_.size(), 0)};
        for (std::size_t i = 0; i < variables_.size(); ++i) {
            double least = infinite;
            for (std::uint64_t bits = open[i]; bits != 0; bits &= bits - 1) {
                const std::size_t option = lowest(bits);
                if (reduced[i][option] < least) {
                    least = reduced[i][option];
                    bound.relaxed[i] = option;
                }
            }
            bound.value += least;
        }
        return bound;
    }

    /// Subgradient steps on the multipliers; keeps the ones with the best bound.
    void improve_multipliers(const Open& open) {
        multiplier_.resize(rows_.size(), 0.0);
        std::vector<double> best = multiplier_;
        double best_value = -infinite;
        double step = 1.0;
        int stale = 0;
        const double target = aim(open);
        for (int round = 0; round < 300 && step > 1e-4; ++round) {
            double constant = 0;
            fill_reduced_costs(reduced_, constant);
            const Bound bound = bound_of(open, reduced_, constant);
            if (bound.value > best_value) {
                best_value = bound.value;
                best = multiplier_;
                stale = 0;
            } else if (++stale >= 8) {
                step *= 0.6;
                stale = 0;
            }
            if (!step_once(bound, step * std::max(target - bound.value, 1.0)))
                break;
        }
        multiplier_ = best;
        fill_reduced_costs(reduced_, constant_);
    }

    /// One step along the rows' excess; false when the relaxed choice satisfies all rows with no slack
    /// priced.
    bool step_once(const Bound& bound, double length) {
        std::vector<double> excess(rows_.size());
        double norm = 0;
        for (std::size_t r = 0; r < rows_.size(); ++r) {
            excess[r] = (amount_of(rows_[r], bound.relaxed) - rows_[r].limit) * scale_of(r);
            if (excess[r] < 0 && multiplier_[r] == 0)
                excess[r] = 0;
            norm += excess[r] * excess[r];
        }
        if (norm == 0)
            return false;
        for (std::size_t r = 0; r < rows_.size(); ++r)
            multiplier_[r] = std::max(0.0, multiplier_[r] + length / norm * excess[r] * scale_of(r));
        return true;
    }

    /// Rows come in volts, amperes and plain counts: each is measured by its own range.
    double scale_of(std::size_t r) {
        while (scale_.size() <= r) {
            double range = 0;
            for (const Term& term : rows_[scale_.size()].terms) {
                const auto [least, most] = std::minmax_element(term.amount.begin(), term.amount.end());
                range =
                    std::max(range, std::min(*most - *least, std::abs(rows_[scale_.size()].limit) + 1e-12));
            }
            scale_.push_back(range > 0 ? 1 / range : 1);
        }
        return scale_[r];
    }

    /// A cost worth aiming at: the best known, or a quick repair's.
    double aim(const Open& open) {
        repair(Bound{0, cheapest_open(open)}.relaxed, open);
        if (best_cost_ != std::numeric_limits<std::int64_t>::max())
            return static_cast<double>(best_cost_);
        double sum = 0;
        for (std::size_t i = 0; i < variables_.size(); ++i) {
            std::int64_t most = 0;
            for (std::uint64_t bits = open[i]; bits != 0; bits &= bits - 1)
                most = std::max(most, variables_[i].cost[lowest(bits)]);
            sum += static_cast<double>(most);
        }
        return sum;
    }

    Assignment cheapest_open(const Open& open) const {
        Assignment choice(variables_.size());
        for (std::size_t i = 0; i < variables_.size(); ++i) {
            choice[i] = lowest(open[i]);
            for (std::uint64_t bits = open[i]; bits != 0; bits &= bits - 1)
                if (variables_[i].cost[lowest(bits)] < variables_[i].cost[choice[i]])
                    choice[i] = lowest(bits);
        }
        return choice;
    }

    double excess_of(const Assignment& choice) {
        double excess = 0;
        for (std::size_t r = 0; r < rows_.size(); ++r)
            if (!holds(rows_[r], choice))
                excess += (amount_of(rows_[r], choice) - rows_[r].limit) * scale_of(r);
        return excess;
    }

    /// From a relaxed choice to a good one by the changes that mend most for their cost; may fail, never
    /// lies.
    // NOLINTNEXTLINE(bugprone-easily-swappable-parameters): a choice made and what is still open
    void repair(Assignment choice, const Open& open) {
        double excess = excess_of(choice);
        for (int round = 0; excess > 0 && round < 5000; ++round) {
            double best_gain = 0;
            std::size_t variable = 0, option = 0;
            for (std::size_t i = 0; i < variables_.size(); ++i)
                for (std::uint64_t bits = open[i]; bits != 0; bits &= bits - 1) {
                    const std::size_t tried = lowest(bits), old = choice[i];
                    if (tried == old)
                        continue;
                    choice[i] = tried;
                    const double mended = excess - excess_of(choice);
                    choice[i] = old;
                    const auto more =
                        static_cast<double>(variables_[i].cost[tried] - variables_[i].cost[old]);
                    const double gain = mended <= 0 ? 0 : mended / std::max(more, 1.0);
                    if (gain > best_gain)
                        best_gain = gain, variable = i, option = tried;
                }
            if (best_gain == 0)
                return;
            choice[variable] = option;
            excess = excess_of(choice);
        }
        if (excess == 0)
            offer(choice);
    }

    void offer(const Assignment& choice) {
        const std::int64_t cost = cost_of(variables_, choice);
        if (cost >= best_cost_)
            return;
        if (!std::all_of(rows_.begin(), rows_.end(), [&](const Row& row) { return holds(row, choice); }))
            return;
        best_cost_ = cost;
        answer_.choice = choice;
    }

    bool proven() const { return answer_.choice && best_cost_ <= question_.no_less_than; }
    /// A bound over this shows that nothing better than the best known is left.
    double hopeless_over() const {
        if (best_cost_ == std::numeric_limits<std::int64_t>::max())
            return infinite;
        const auto wanted = static_cast<double>(best_cost_ - step_);
        return wanted + 1e-3 + 1e-10 * std::abs(wanted);
    }
    bool hopeless(double value) const { return value > hopeless_over(); }

    /// Multipliers for the root, then options closed by their own bound, until nothing changes. False:
    /// nothing is left.
    bool tighten(Open& open) {
        for (int round = 0; round < 4; ++round) {
            improve_multipliers(open);
            const Bound bound = bound_of(open, reduced_, constant_);
            root_value_ = bound.value;
            repair(bound.relaxed, open);
            if (hopeless(bound.value)) {
                ++answer_.effort.bounded;
                return false;
            }
            if (!close_dear_options(open, bound))
                return true;
            if (propagate(open))
                continue;
            ++answer_.effort.impossible;
            return false;
        }
        return true;
    }

    /// Options whose own bound is over the best cost; true when some were closed.
    bool close_dear_options(Open& open, const Bound& bound) const {
        bool closed = false;
        for (std::size_t i = 0; i < variables_.size(); ++i)
            for (std::uint64_t bits = open[i]; bits != 0; bits &= bits - 1) {
                const std::size_t option = lowest(bits);
                const double value = bound.value + reduced_[i][option] - reduced_[i][bound.relaxed[i]];
                if (option == bound.relaxed[i] || !hopeless(value))
                    continue;
                open[i] &= ~(bits & (~bits + 1));
                closed = true;
            }
        return closed;
    }

    void lay_out(const Open& open) {
        open_ = open;
        const std::vector<std::size_t> order = order_of(variables_.size(), needed_rows(rows_, open), open);
        order_ = order;
        std::vector<std::size_t> place(variables_.size());
        for (std::size_t d = 0; d < order.size(); ++d)
            place[order[d]] = d;
        layers_.assign(order.size(), {});
        for (std::size_t d = 0; d < order.size(); ++d)
            layers_[d].variable = order[d];
        const std::size_t depth = order.size();
        least_left_.assign(rows_.size(), std::vector<double>(depth + 1, 0.0));
        for (std::size_t r = 0; r < rows_.size(); ++r) {
            std::size_t begin = depth, end = 0;
            for (const Term& term : rows_[r].terms) {
                const std::size_t d = place[term.variable];
                layers_[d].rows.emplace_back(r, &term.amount);
                least_left_[r][d] = least_amount(term, open[term.variable]);
                begin = std::min(begin, d);
                end = std::max(end, d);
            }
            for (std::size_t d = depth; d-- > 0;)
                least_left_[r][d] += least_left_[r][d + 1];
            for (std::size_t d = begin + 1; d <= end && d < depth; ++d)
                layers_[d].open_rows.push_back(r);
        }
        least_reduced_.assign(depth + 1, 0.0);
        for (std::size_t d = depth; d-- > 0;) {
            double least = infinite;
            for (std::uint64_t bits = open[order[d]]; bits != 0; bits &= bits - 1)
                least = std::min(least, reduced_[order[d]][lowest(bits)]);
            least_reduced_[d] = least_reduced_[d + 1] + least;
        }
        sums_.assign(rows_.size(), 0.0);
        reached_.assign(depth, {});
    }

    /// Notes the place, unless one reached before is as good in every way.
    bool reached_better(std::size_t depth, std::int64_t cost) {
        constexpr std::size_t most_kept = 3000;
        const std::vector<std::size_t>& rows = layers_[depth].open_rows;
        std::vector<Reached>& known = reached_[depth];
        const auto better = [&](const Reached& other) {
            if (other.cost > cost)
                return false;
            for (std::size_t i = 0; i < rows.size(); ++i)
                if (other.sums[i] > sums_[rows[i]])
                    return false;
            return true;
        };
        if (std::any_of(known.begin(), known.end(), better))
            return true;
        Reached here{cost, {}};
        for (const std::size_t r : rows)
            here.sums.push_back(sums_[r]);
        if (known.size() >= most_kept)
            known.erase(known.begin(), known.begin() + most_kept / 4);
        known.push_back(std::move(here));
        return false;
    }

    bool row_broken(std::size_t r, std::size_t depth) const {
        return sums_[r] + least_left_[r][depth] >
               rows_[r].limit + 1e-9 * std::max(1.0, std::abs(rows_[r].limit));
    }

    void visit(std::size_t depth, std::int64_t cost, double reduced_so_far) {
        if (proven() || !answer_.complete)
            return;
        if (++answer_.effort.nodes > node_limit_) {
            answer_.complete = false;
            return;
        }
        if (depth == layers_.size()) {
            offer(choice_);
            return;
        }
        if (reached_better(depth, cost)) {
            ++answer_.effort.bounded;
            return;
        }
        const Layer& layer = layers_[depth];
        std::vector<std::size_t> options;
        for (std::uint64_t bits = open_[layer.variable]; bits != 0; bits &= bits - 1)
            options.push_back(lowest(bits));
        const std::vector<double>& reduced = reduced_[layer.variable];
        std::stable_sort(options.begin(), options.end(),
                         [&](std::size_t a, std::size_t b) { return reduced[a] < reduced[b]; });
        for (const std::size_t option : options) {
            if (hopeless(reduced_so_far + reduced[option] + least_reduced_[depth + 1])) {
                ++answer_.effort.bounded;
                break; // the options after it are no cheaper
            }
            std::vector<double> before;
            for (const auto& [row, amounts] : layer.rows) {
                before.push_back(sums_[row]);
                sums_[row] += (*amounts)[option];
            }
            const bool broken = std::any_of(layer.rows.begin(), layer.rows.end(),
                                            [&](const auto& in) { return row_broken(in.first, depth + 1); });
            if (broken) {
                ++answer_.effort.impossible;
            } else {
                choice_[layer.variable] = option;
                visit(depth + 1, cost + variables_[layer.variable].cost[option],
                      reduced_so_far + reduced[option]);
            }
            for (std::size_t i = 0; i < before.size(); ++i)
                sums_[layer.rows[i].first] = before[i];
        }
    }

    const std::vector<Variable>& variables_;
    const std::vector<Row>& rows_;
    const CheapestQuestion& question_;
    std::vector<double>& multiplier_;
    std::vector<double> scale_;
    std::vector<std::vector<double>> reduced_;
    double constant_ = 0, root_value_ = 0;
    Open open_;
    std::vector<std::size_t> order_;
    std::int64_t node_limit_ = 0;
    std::vector<Layer> layers_;
    std::vector<std::vector<double>>
        least_left_;                            // by row, by depth: least sum of the variables from there on
    std::vector<double> least_reduced_;         // by depth
    std::vector<double> sums_;                  // by row, of the variables decided so far
    std::vector<std::vector<Reached>> reached_; // by depth
    Assignment choice_;
    std::int64_t step_ = 0; // all costs differ by multiples of this
    std::int64_t best_cost_ = 0;
    CheapestAnswer answer_;
};

} // namespace

CheapestAnswer Cheapest::find(const CheapestQuestion& question) {
    multiplier_.resize(question.rows->size(), 0.0);
    Tree tree(question, multiplier_);
    return tree.run();
}

} // namespace stoutloom::size

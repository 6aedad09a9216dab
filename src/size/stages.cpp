#include "size/stages.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <map>
#include <set>

namespace stoutloom::size {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

struct Span {
    double least = infinite, most = -infinite;
};
Span amounts_of(const Term& term, std::uint64_t open) {
    Span span;
    for (std::uint64_t bits = open; bits != 0; bits &= bits - 1) {
        span.least = std::min(span.least, term.amount[lowest(bits)]);
        span.most = std::max(span.most, term.amount[lowest(bits)]);
    }
    return span;
}

double slack_of(const Row& row) {
    return 1e-9 * std::max(1.0, std::abs(row.limit));
}

/// Whether keeping `strict` keeps `other`: no smaller amount for any open option, no greater limit.
bool implies(const Row& strict, const Row& other, const Open& open) {
    if (strict.limit > other.limit || strict.limit + slack_of(strict) > other.limit + slack_of(other))
        return false;
    double left_over = 0; // least amounts of variables that only the strict row has
    std::size_t matched = 0;
    for (const Term& term : strict.terms) {
        const auto same = std::find_if(other.terms.begin(), other.terms.end(),
                                       [&](const Term& one) { return one.variable == term.variable; });
        if (same == other.terms.end()) {
            left_over = std::min(left_over, amounts_of(term, open[term.variable]).least);
            continue;
        }
        ++matched;
        for (std::uint64_t bits = open[term.variable]; bits != 0; bits &= bits - 1)
            if (term.amount[lowest(bits)] < same->amount[lowest(bits)])
                return false;
    }
    return matched == other.terms.size() && left_over >= 0;
}

/// Which sums a place is told by, as variables are decided one after another: rows whose decided variables
/// add the same amounts have the same sum.
class Sums {
  public:
    Sums(std::size_t variables, const std::vector<const Row*>& rows)
        : rows_of_(variables), sum_(rows.size(), 0), left_(rows.size(), 0) {
        std::vector<std::vector<const std::vector<double>*>> known(variables);
        for (std::size_t r = 0; r < rows.size(); ++r)
            for (const Term& term : rows[r]->terms) {
                auto& amounts = known[term.variable];
                auto same = std::find_if(amounts.begin(), amounts.end(),
                                         [&](const auto* other) { return *other == term.amount; });
                if (same == amounts.end())
                    same = amounts.insert(same, &term.amount);
                rows_of_[term.variable].emplace_back(r, static_cast<std::size_t>(same - amounts.begin()));
                ++left_[r];
            }
    }

    std::size_t shared(std::size_t variable) const { return rows_of_[variable].size(); }
    bool none_open() const { return open_.empty(); }
    std::size_t apart_after(std::size_t variable) const {
        std::map<std::size_t, std::size_t> open = open_;
        std::set<std::pair<std::size_t, std::size_t>> fresh;
        for (const auto& [r, amounts] : rows_of_[variable]) {
            leave(open, sum_[r]);
            if (left_[r] > 1)
                fresh.insert({sum_[r], amounts});
        }
        return open.size() + fresh.size();
    }
    bool open(std::size_t row) const { return sum_[row] != 0 && left_[row] > 0; }
    std::size_t name(std::size_t row) const { return sum_[row]; }
    /// A variable with one option left adds the same to every place: it keeps no sums apart.
    void fix(std::size_t variable) {
        for (const auto& [r, amounts] : rows_of_[variable])
            --left_[r];
    }
    void decide(std::size_t variable) {
        std::map<std::pair<std::size_t, std::size_t>, std::size_t> names;
        for (const auto& [r, amounts] : rows_of_[variable]) {
            leave(open_, sum_[r]);
            const auto [place, fresh] = names.try_emplace({sum_[r], amounts}, next_);
            next_ += fresh ? 1 : 0;
            sum_[r] = place->second;
            if (--left_[r] > 0)
                ++open_[sum_[r]];
        }
    }

  private:
    /// Sum 0 is that of rows not begun: it is no sum to tell a place by.
    static void leave(std::map<std::size_t, std::size_t>& open, std::size_t sum) {
        const auto found = open.find(sum);
        if (found != open.end() && --found->second == 0)
            open.erase(found);
    }

    std::vector<std::vector<std::pair<std::size_t, std::size_t>>> rows_of_; // by variable: row, amounts
    std::vector<std::size_t> sum_, left_;     // by row: name of its sum; variables to be decided
    std::map<std::size_t, std::size_t> open_; // sums that rows go on from, and how many
    std::size_t next_ = 1;
};

/// A sum that places of a depth are told by, and under what it does not matter.
struct Told {
    std::size_t row = 0;
    double matters_over = 0;
};

/// By depth, one row for all those whose sums differ by the same everywhere.
std::vector<std::vector<Told>> told_by(const StagesQuestion& question,
                                       const std::vector<std::vector<double>>& most) {
    const std::vector<std::size_t>& order = *question.order;
    std::vector<double> fixed(question.rows.size(), 0.0); // what variables with one option add
    Sums sums(order.size(), question.rows);
    for (std::size_t r = 0; r < question.rows.size(); ++r)
        for (const Term& term : question.rows[r]->terms)
            if (const std::uint64_t open = (*question.open)[term.variable]; std::popcount(open) == 1)
                fixed[r] += term.amount[lowest(open)];
    std::vector<std::vector<Told>> by_depth(order.size() + 1);
    for (std::size_t d = 0; d < order.size(); ++d) {
        if (std::popcount((*question.open)[order[d]]) == 1)
            sums.fix(order[d]);
        else
            sums.decide(order[d]);
        std::map<std::size_t, Told> told;
        for (std::size_t r = 0; r < question.rows.size(); ++r) {
            if (!sums.open(r))
                continue;
            const Row& row = *question.rows[r];
            const double matters_over = row.limit - most[d + 1][r] - slack_of(row);
            Told& one = told.try_emplace(sums.name(r), Told{r, matters_over}).first->second;
            one.matters_over = std::min(one.matters_over, matters_over - fixed[r] + fixed[one.row]);
        }
        for (const auto& [name, one] : told)
            by_depth[d + 1].push_back(one);
    }
    return by_depth;
}

/// The rows as the stages need them: by place in the order.
struct Prepared {
    struct In {
        std::size_t row = 0;
        const std::vector<double>* amounts = nullptr;
    };
    std::vector<std::vector<In>> rows_at;   // by depth
    std::vector<std::vector<double>> least; // by depth, by row: what the variables from there on add
    std::vector<double> least_reduced;      // by depth
    std::vector<std::vector<Told>> told_by; // by depth
};

Prepared prepared(const StagesQuestion& question) {
    const std::vector<std::size_t>& order = *question.order;
    const std::size_t depth = order.size(), rows = question.rows.size();
    std::vector<std::size_t> place(depth);
    for (std::size_t d = 0; d < depth; ++d)
        place[order[d]] = d;
    Prepared made;
    made.rows_at.resize(depth);
    made.least.assign(depth + 1, std::vector<double>(rows, 0.0));
    std::vector<std::vector<double>> most = made.least;
    for (std::size_t r = 0; r < rows; ++r)
        for (const Term& term : question.rows[r]->terms) {
            const std::size_t d = place[term.variable];
            const Span span = amounts_of(term, (*question.open)[term.variable]);
            made.rows_at[d].push_back({r, &term.amount});
            made.least[d][r] = span.least;
            most[d][r] = span.most;
        }
    made.least_reduced.assign(depth + 1, 0.0);
    for (std::size_t d = depth; d-- > 0;) {
        double least = infinite;
        for (std::uint64_t bits = (*question.open)[order[d]]; bits != 0; bits &= bits - 1)
            least = std::min(least, (*question.reduced)[order[d]][lowest(bits)]);
        made.least_reduced[d] = made.least_reduced[d + 1] + least;
        for (std::size_t r = 0; r < rows; ++r) {
            made.least[d][r] += made.least[d + 1][r];
            most[d][r] += most[d + 1][r];
        }
    }
    made.told_by = told_by(question, most);
    return made;
}

/// How a place was come to.
struct Step {
    std::uint32_t from = 0, option = 0;
};
/// Places of one depth, side by side.
struct Front {
    std::vector<std::int64_t> cost;
    std::vector<double> reduced, sums; // sums: by place, by row
    std::vector<Step> steps;
    std::size_t size() const { return cost.size(); }
};

class Stages {
  public:
    explicit Stages(const StagesQuestion& question)
        : question_(question), made_(prepared(question)), rows_(question.rows.size()) {}

    StagesAnswer run() {
        front_.cost = {0};
        front_.reduced = {question_.constant};
        front_.sums.assign(rows_, 0.0);
        front_.steps = {{}};
        for (std::size_t d = 0; d < question_.order->size(); ++d) {
            Front next;
            for (std::size_t i = 0; i < front_.size(); ++i)
                if (!grow(d, i, next))
                    return {.complete = false, .choice = {}, .effort = effort_};
            thin_out(d + 1, std::move(next));
            if (front_.size() > question_.most_places)
                return {.complete = false, .choice = {}, .effort = effort_};
        }
        StagesAnswer answer{.complete = true, .choice = {}, .effort = effort_};
        if (front_.size() > 0)
            answer.choice = traced();
        return answer;
    }

  private:
    /// The places that follow a place; false when there are too many.
    bool grow(std::size_t d, std::size_t i, Front& next) {
        const std::size_t variable = (*question_.order)[d];
        const std::vector<double>& reduced = (*question_.reduced)[variable];
        for (std::uint64_t bits = (*question_.open)[variable]; bits != 0; bits &= bits - 1) {
            const std::size_t option = lowest(bits);
            if (++effort_.nodes > question_.node_limit || next.size() > 12 * question_.most_places)
                return false;
            if (front_.reduced[i] + reduced[option] + made_.least_reduced[d + 1] > question_.hopeless_over) {
                ++effort_.bounded;
                continue;
            }
            const std::size_t begin = next.sums.size();
            next.sums.insert(next.sums.end(), front_.sums.begin() + static_cast<std::ptrdiff_t>(i * rows_),
                             front_.sums.begin() + static_cast<std::ptrdiff_t>((i + 1) * rows_));
            bool broken = false;
            for (const Prepared::In& in : made_.rows_at[d]) {
                double& sum = next.sums[begin + in.row];
                sum += (*in.amounts)[option];
                const Row& row = *question_.rows[in.row];
                broken = broken || sum + made_.least[d + 1][in.row] > row.limit + slack_of(row);
            }
            if (broken) {
                ++effort_.impossible;
                next.sums.resize(begin);
                continue;
            }
            next.cost.push_back(front_.cost[i] + (*question_.variables)[variable].cost[option]);
            next.reduced.push_back(front_.reduced[i] + reduced[option]);
            next.steps.push_back({static_cast<std::uint32_t>(i), static_cast<std::uint32_t>(option)});
        }
        return true;
    }

    /// Keeps the places that no other of the depth is as good as; by rising cost, so that one pass does it.
    void thin_out(std::size_t d, Front next) {
        const std::vector<Told>& told = made_.told_by[d];
        const std::size_t k = told.size();
        std::vector<double> key(next.size() * k);
        for (std::size_t i = 0; i < next.size(); ++i)
            for (std::size_t t = 0; t < k; ++t)
                key[i * k + t] = std::max(next.sums[i * rows_ + told[t].row], told[t].matters_over);
        std::vector<std::size_t> order(next.size());
        for (std::size_t i = 0; i < order.size(); ++i)
            order[i] = i;
        std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            if (next.cost[a] != next.cost[b])
                return next.cost[a] < next.cost[b];
            for (std::size_t t = 0; t < k; ++t)
                if (key[a * k + t] != key[b * k + t])
                    return key[a * k + t] < key[b * k + t];
            return a < b;
        });
        std::vector<std::size_t> kept; // the one that dropped another last comes first
        const auto drops = [&](std::size_t one, std::size_t other) {
            for (std::size_t t = 0; t < k; ++t)
                if (key[one * k + t] > key[other * k + t])
                    return false;
            return true;
        };
        for (const std::size_t i : order) {
            const auto better =
                std::find_if(kept.rbegin(), kept.rend(), [&](std::size_t other) { return drops(other, i); });
            if (better == kept.rend())
                kept.push_back(i);
            else
                ++effort_.bounded;
        }
        take(next, kept);
    }

    void take(const Front& next, const std::vector<std::size_t>& kept) {
        front_ = {};
        for (const std::size_t i : kept) {
            front_.cost.push_back(next.cost[i]);
            front_.reduced.push_back(next.reduced[i]);
            front_.steps.push_back(next.steps[i]);
            front_.sums.insert(front_.sums.end(), next.sums.begin() + static_cast<std::ptrdiff_t>(i * rows_),
                               next.sums.begin() + static_cast<std::ptrdiff_t>((i + 1) * rows_));
        }
        taken_.push_back(front_.steps);
    }

    /// The first place of the last depth is the cheapest; back along its steps.
    Assignment traced() const {
        Assignment choice(question_.variables->size(), 0);
        std::size_t i = 0;
        for (std::size_t d = taken_.size(); d-- > 0;) {
            choice[(*question_.order)[d]] = taken_[d][i].option;
            i = taken_[d][i].from;
        }
        return choice;
    }

    const StagesQuestion& question_;
    Prepared made_;
    std::size_t rows_;
    Front front_;
    std::vector<std::vector<Step>> taken_; // by depth
    CheapestEffort effort_;
};

} // namespace

std::vector<const Row*> needed_rows(const std::vector<Row>& rows, const Open& open) {
    std::vector<const Row*> needed;
    for (const Row& row : rows) {
        double most = 0;
        for (const Term& term : row.terms)
            most += amounts_of(term, open[term.variable]).most;
        if (most <= row.limit)
            continue; // nothing that is open breaks it
        if (std::any_of(needed.begin(), needed.end(),
                        [&](const Row* other) { return implies(*other, row, open); }))
            continue;
        std::erase_if(needed, [&](const Row* other) { return implies(row, *other, open); });
        needed.push_back(&row);
    }
    return needed;
}

std::vector<std::size_t> order_of(std::size_t variables, const std::vector<const Row*>& rows,
                                  const Open& open) {
    Sums sums(variables, rows);
    std::vector<std::size_t> order;
    std::vector<bool> placed(variables, false);
    const auto place = [&](std::size_t i) {
        sums.decide(i);
        order.push_back(i);
        placed[i] = true;
    };
    for (std::size_t i = 0; i < variables; ++i)
        if (std::popcount(open[i]) == 1) {
            sums.fix(i);
            order.push_back(i);
            placed[i] = true;
        }
    while (order.size() < variables) {
        std::optional<std::size_t> best;
        std::pair<std::size_t, std::size_t> best_rank;
        for (std::size_t i = 0; i < variables; ++i) {
            if (placed[i])
                continue;
            // With nothing open, the widest trunk; otherwise the narrowest branch.
            const std::size_t shared = sums.shared(i);
            const std::pair rank = {sums.apart_after(i), sums.none_open() ? rows.size() - shared : shared};
            if (!best || rank < best_rank) {
                best = i;
                best_rank = rank;
            }
        }
        place(*best);
    }
    return order;
}

StagesAnswer cheapest_by_stages(const StagesQuestion& question) {
    return Stages(question).run();
}

} // namespace stoutloom::size

#include "size/merging.h"

#include "size/layers.h"
#include "size/merged_item.h"
#include "size/row_prices.h"
#include "size/splitting.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::size {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

double slack_of(const Row& row) {
    return 1e-9 * std::max(1.0, std::abs(row.limit));
}

class Merging {
  public:
    explicit Merging(const MergingQuestion& question)
        : question_(question), hopeless_over_(question.hopeless_over), multiplier_(question.rows.size(), 0.0),
          least_(question.rows.size()), most_(question.rows.size()) {
        for (const Row* row : question.rows) {
            limit_.push_back(row->limit + slack_of(*row));
            double range = 0;
            for (const Term& term : row->terms) {
                const auto [least, most] = std::minmax_element(term.amount.begin(), term.amount.end());
                range = std::max(range, std::min(*most - *least, std::abs(row->limit) + 1e-12));
            }
            scale_.push_back(range > 0 ? 1 / range : 1);
        }
        for (std::size_t i = 0; i < question.variables->size(); ++i)
            add_single(i);
    }

    MergingAnswer run() {
        bool left = tidy() && bound(200) && tidy();
        while (left) {
            const auto pair = next_pair();
            if (pair.first == nobody)
                break;
            if (items_[pair.first].size() * items_[pair.second].size() > question_.most_pairs)
                return split();
            if (!merge(pair.first, pair.second) || spent())
                return {.complete = false, .choice = {}, .effort = effort_};
            left = tidy() && bound(30) && tidy();
        }
        MergingAnswer answer{.complete = true, .choice = {}, .effort = effort_};
        if (!left)
            return answer;
        answer.choice.emplace(question_.variables->size(), 0);
        for (std::size_t i = 0; i < items_.size(); ++i)
            if (!items_[i].merged)
                trace(i, cheapest_option(items_[i]), *answer.choice);
        if (static_cast<double>(cost_of(*question_.variables, *answer.choice)) > hopeless_over_)
            answer.choice.reset(); // a cheaper one may have been dropped
        return answer;
    }

  private:
    /// What is left, told as it is by its options.
    MergingAnswer split() {
        SplittingQuestion question{.items = {},
                                   .limit = &limit_,
                                   .scale = &scale_,
                                   .multiplier = &multiplier_,
                                   .hopeless_over = hopeless_over_,
                                   .node_limit = question_.node_limit - effort_.nodes,
                                   .step_limit = question_.step_limit - effort_.steps};
        std::vector<std::size_t> which;
        for (std::size_t i = 0; i < items_.size(); ++i)
            if (!items_[i].merged) {
                question.items.push_back(&items_[i]);
                which.push_back(i);
            }
        const SplittingAnswer found = cheapest_by_splitting(question);
        add(effort_, found.effort);
        MergingAnswer answer{.complete = found.complete, .choice = {}, .effort = effort_};
        if (!found.complete || !found.options)
            return answer;
        answer.choice.emplace(question_.variables->size(), 0);
        for (std::size_t at = 0; at < which.size(); ++at)
            trace(which[at], (*found.options)[at], *answer.choice);
        return answer;
    }

    /// Of wide merged variables sums and comparisons are nearly all the work, and few nodes tell of it.
    void took(std::size_t steps) { effort_.steps += static_cast<std::int64_t>(steps); }
    bool spent() const {
        return effort_.nodes > question_.node_limit || effort_.steps > question_.step_limit;
    }

    void add_single(std::size_t variable) {
        MergedItem item;
        item.first = variable;
        std::vector<const std::vector<double>*> amounts;
        for (std::size_t r = 0; r < question_.rows.size(); ++r)
            for (const Term& term : question_.rows[r]->terms)
                if (term.variable == variable) {
                    item.rows.push_back(r);
                    amounts.push_back(&term.amount);
                }
        for (std::uint64_t bits = (*question_.open)[variable]; bits != 0; bits &= bits - 1) {
            const std::size_t option = lowest(bits);
            item.cost.push_back((*question_.variables)[variable].cost[option]);
            item.from.emplace_back(static_cast<std::uint32_t>(option), 0U);
            for (const auto* by_option : amounts)
                item.amounts.push_back((*by_option)[option]);
        }
        items_.push_back(std::move(item));
    }

    static std::size_t cheapest_option(const MergedItem& item) {
        return static_cast<std::size_t>(std::min_element(item.cost.begin(), item.cost.end()) -
                                        item.cost.begin());
    }

    // NOLINTNEXTLINE(bugprone-easily-swappable-parameters): an item and an option of it
    void trace(std::size_t i, std::size_t option, Assignment& choice) const {
        const MergedItem& item = items_[i];
        if (item.second == nobody) {
            choice[item.first] = item.from[option].first;
            return;
        }
        trace(item.first, item.from[option].first, choice);
        trace(item.second, item.from[option].second, choice);
    }

    /// What all items together add to each row.
    void sum_up() {
        std::fill(least_.begin(), least_.end(), 0.0);
        std::fill(most_.begin(), most_.end(), 0.0);
        for (const MergedItem& item : items_)
            for (std::size_t p = 0; !item.merged && p < item.rows.size(); ++p) {
                const auto [least, most] = span_of(item, p);
                least_[item.rows[p]] += least;
                most_[item.rows[p]] += most;
            }
    }

    /// Options that break a row with the least of all others go; rows that nothing breaks are forgotten; sums
    /// under which a row holds whatever the others add are made alike; then options that another is as good
    /// as go. False: nothing is left.
    bool tidy() {
        for (bool changed = true; changed;) {
            changed = false;
            sum_up();
            for (MergedItem& item : items_) {
                if (item.merged)
                    continue;
                const std::size_t before = item.size();
                drop_broken(item);
                if (item.size() == 0)
                    return false;
                if (item.size() == before)
                    continue;
                changed = true;
                sum_up();
            }
        }
        forget_kept_rows();
        for (MergedItem& item : items_)
            if (!item.merged) {
                make_alike(item);
                drop_worse(item);
            }
        return true;
    }

    /// A row goes out of all items at once, and out of the bound.
    void forget_kept_rows() {
        std::vector<bool> alive(limit_.size(), false);
        for (MergedItem& item : items_)
            if (!item.merged) {
                forget_rows(item);
                for (const std::size_t r : item.rows)
                    alive[r] = true;
            }
        for (std::size_t r = 0; r < alive.size(); ++r)
            if (!alive[r])
                multiplier_[r] = 0;
    }

    void drop_broken(MergedItem& item) {
        const std::size_t k = item.rows.size();
        std::vector<double> over(k);
        for (std::size_t p = 0; p < k; ++p)
            over[p] = limit_[item.rows[p]] - (least_[item.rows[p]] - span_of(item, p).first);
        keep(item, [&](std::size_t o) {
            for (std::size_t p = 0; p < k; ++p)
                if (item.amounts[o * k + p] > over[p]) {
                    ++effort_.impossible;
                    return false;
                }
            return true;
        });
    }

    void forget_rows(MergedItem& item) const {
        const std::size_t k = item.rows.size();
        std::vector<std::size_t> kept;
        for (std::size_t p = 0; p < k; ++p)
            if (most_[item.rows[p]] > limit_[item.rows[p]] - 0.5 * slack_of(*question_.rows[item.rows[p]]))
                kept.push_back(p);
        if (kept.size() == k)
            return;
        std::vector<double> amounts;
        for (std::size_t o = 0; o < item.size(); ++o)
            for (const std::size_t p : kept)
                amounts.push_back(item.amounts[o * k + p]);
        for (std::size_t to = 0; to < kept.size(); ++to)
            item.rows[to] = item.rows[kept[to]]; // `kept` rises
        item.rows.resize(kept.size());
        item.amounts = std::move(amounts);
    }

    void make_alike(MergedItem& item) {
        const std::size_t k = item.rows.size();
        for (std::size_t p = 0; p < k; ++p) {
            const std::size_t r = item.rows[p];
            const double own_most = span_of(item, p).second;
            // Half the slack is kept back, so that sums in another order do not come out over the limit.
            const double matters_over =
                limit_[r] - 0.5 * slack_of(*question_.rows[r]) - (most_[r] - own_most);
            for (std::size_t o = 0; o < item.size(); ++o)
                item.amounts[o * k + p] = std::max(item.amounts[o * k + p], std::min(matters_over, own_most));
        }
    }

    /// By rising cost, so that one pass does it.
    void drop_worse(MergedItem& item) {
        const std::size_t k = item.rows.size();
        std::vector<std::size_t> order(item.size());
        for (std::size_t o = 0; o < order.size(); ++o)
            order[o] = o;
        const auto amount = [&](std::size_t o, std::size_t p) { return item.amounts[o * k + p]; };
        std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            if (item.cost[a] != item.cost[b])
                return item.cost[a] < item.cost[b];
            for (std::size_t p = 0; p < k; ++p)
                if (amount(a, p) != amount(b, p))
                    return amount(a, p) < amount(b, p);
            return a < b;
        });
        constexpr std::int64_t most_compared = 4'000'000; // then the rest is kept: slower later, never wrong
        std::int64_t compared = 0;
        std::vector<std::size_t> kept; // one that dropped another is looked at earlier next time
        std::vector<bool> stays(item.size(), false);
        for (const std::size_t o : order) {
            std::size_t by = kept.size();
            for (std::size_t i = 0; i < kept.size() && by == kept.size() && compared < most_compared; ++i) {
                ++compared;
                bool as_good = true;
                for (std::size_t p = 0; p < k && as_good; ++p)
                    as_good = amount(kept[i], p) <= amount(o, p);
                if (as_good)
                    by = i;
            }
            if (by == kept.size()) {
                kept.push_back(o);
                stays[o] = true;
                continue;
            }
            ++effort_.bounded;
            if (by > 0)
                std::swap(kept[by], kept[by / 2]);
        }
        took(static_cast<std::size_t>(compared) * 2);
        keep(item, [&](std::size_t o) { return stays[o]; });
    }

    double price(MergedItem& item) {
        const std::size_t k = item.rows.size();
        took(item.size() * k);
        item.priced.resize(item.size());
        double least = infinite;
        for (std::size_t o = 0; o < item.size(); ++o) {
            double sum = static_cast<double>(item.cost[o]);
            for (std::size_t p = 0; p < k; ++p)
                sum += multiplier_[item.rows[p]] * item.amounts[o * k + p];
            item.priced[o] = sum;
            least = std::min(least, sum);
        }
        return least;
    }

    /// Subgradient steps on the multipliers of the rows that are left; drops what is then hopeless. False:
    /// nothing is left.
    bool bound(int rounds) {
        std::vector<bool> alive(limit_.size(), false);
        std::size_t options = 0;
        for (const MergedItem& item : items_)
            if (!item.merged) {
                options += item.size();
                for (const std::size_t r : item.rows)
                    alive[r] = true;
            }
        if (options > 30'000)
            rounds = std::min(rounds, 12);
        std::vector<double> best = multiplier_;
        double best_value = -infinite, step = 1;
        int stale = 0;
        for (int round = 0; round < rounds && step > 1e-3; ++round) {
            std::vector<double> excess(limit_.size());
            double value = 0;
            for (std::size_t r = 0; r < limit_.size(); ++r) {
                value -= multiplier_[r] * limit_[r];
                excess[r] = alive[r] ? -limit_[r] : 0;
            }
            for (MergedItem& item : items_) {
                if (item.merged)
                    continue;
                value += price(item);
                const auto o = static_cast<std::size_t>(
                    std::min_element(item.priced.begin(), item.priced.end()) - item.priced.begin());
                for (std::size_t p = 0; p < item.rows.size(); ++p)
                    excess[item.rows[p]] += item.amounts[o * item.rows.size() + p];
            }
            if (value > best_value) {
                best_value = value;
                best = multiplier_;
                stale = 0;
            } else if (++stale >= 5) {
                step *= 0.6;
                stale = 0;
            }
            const double target =
                std::isfinite(hopeless_over_) ? hopeless_over_ : value + 0.02 * std::abs(value);
            if (!step_prices(multiplier_, std::move(excess), scale_, step * std::max(target - value, 1.0)))
                break;
        }
        multiplier_ = best;
        return drop_hopeless();
    }

    bool drop_hopeless() {
        double value = 0;
        for (std::size_t r = 0; r < limit_.size(); ++r)
            value -= multiplier_[r] * limit_[r];
        std::vector<double> least(items_.size(), 0.0);
        Assignment relaxed(question_.variables->size(), 0);
        for (std::size_t i = 0; i < items_.size(); ++i) {
            MergedItem& item = items_[i];
            if (item.merged)
                continue;
            least[i] = price(item);
            value += least[i];
            trace(i,
                  static_cast<std::size_t>(std::min_element(item.priced.begin(), item.priced.end()) -
                                           item.priced.begin()),
                  relaxed);
        }
        if (question_.mend)
            hopeless_over_ = std::min(hopeless_over_, question_.mend(relaxed));
        for (std::size_t i = 0; i < items_.size(); ++i) {
            MergedItem& item = items_[i];
            if (item.merged)
                continue;
            keep(item, [&](std::size_t o) {
                if (value - least[i] + item.priced[o] <= hopeless_over_)
                    return true;
                ++effort_.bounded;
                return false;
            });
            if (item.size() == 0)
                return false;
        }
        return true;
    }

    std::pair<std::size_t, std::size_t> next_pair() const {
        std::vector<std::size_t> users(limit_.size(), 0);
        for (const MergedItem& item : items_)
            for (std::size_t p = 0; !item.merged && p < item.rows.size(); ++p)
                ++users[item.rows[p]];
        std::pair best{nobody, nobody};
        double best_score = infinite;
        for (std::size_t a = 0; a < items_.size(); ++a)
            for (std::size_t b = a + 1; b < items_.size(); ++b) {
                const MergedItem &one = items_[a], &other = items_[b];
                if (one.merged || other.merged)
                    continue;
                std::size_t shared = 0, ended = 0;
                for (const std::size_t r : one.rows)
                    if (other.place(r) != nobody) {
                        ++shared;
                        ended += users[r] == 2 ? 1U : 0U;
                    }
                if (shared == 0)
                    continue;
                const auto apart = static_cast<double>(one.rows.size() + other.rows.size() - shared - ended);
                const double more = apart - static_cast<double>(std::max(one.rows.size(), other.rows.size()));
                const double score =
                    std::log2(static_cast<double>(one.size()) * static_cast<double>(other.size())) + 2 * more;
                if (score < best_score) {
                    best_score = score;
                    best = {a, b};
                }
            }
        return best;
    }

    /// False: more options than the limits allow.
    bool merge(std::size_t a, std::size_t b) {
        sum_up();
        MergedItem made;
        made.first = a;
        made.second = b;
        std::vector<std::pair<std::size_t, std::size_t>> places;
        {
            const MergedItem &one = items_[a], &other = items_[b];
            std::set_union(one.rows.begin(), one.rows.end(), other.rows.begin(), other.rows.end(),
                           std::back_inserter(made.rows));
            for (const std::size_t r : made.rows)
                places.emplace_back(one.place(r), other.place(r));
        }
        const MergedItem &one = items_[a], &other = items_[b];
        const std::size_t k = made.rows.size();
        double value = 0; // bound of all others
        for (std::size_t r = 0; r < limit_.size(); ++r)
            value -= multiplier_[r] * limit_[r];
        for (std::size_t i = 0; i < items_.size(); ++i)
            if (!items_[i].merged && i != a && i != b)
                value += price(items_[i]);
        price(items_[a]);
        price(items_[b]);
        std::vector<double> over(k);
        for (std::size_t p = 0; p < k; ++p) {
            over[p] = limit_[made.rows[p]] - least_[made.rows[p]];
            if (places[p].first != nobody)
                over[p] += span_of(one, places[p].first).first;
            if (places[p].second != nobody)
                over[p] += span_of(other, places[p].second).first;
        }
        std::vector<double> sums(k);
        for (std::size_t x = 0; x < one.size(); ++x) {
            took(other.size());
            if (spent())
                return false;
            for (std::size_t y = 0; y < other.size(); ++y) {
                if (value + one.priced[x] + other.priced[y] > hopeless_over_)
                    continue;
                bool broken = false;
                took(k / 4); // most end at one of the first rows
                for (std::size_t p = 0; p < k && !broken; ++p) {
                    const auto [pa, pb] = places[p];
                    sums[p] = (pa == nobody ? 0 : one.amounts[x * one.rows.size() + pa]) +
                              (pb == nobody ? 0 : other.amounts[y * other.rows.size() + pb]);
                    broken = sums[p] > over[p];
                }
                if (broken)
                    continue;
                ++effort_.nodes;
                if (made.size() > 20 * question_.most_options)
                    return false;
                made.cost.push_back(one.cost[x] + other.cost[y]);
                made.from.emplace_back(static_cast<std::uint32_t>(x), static_cast<std::uint32_t>(y));
                made.amounts.insert(made.amounts.end(), sums.begin(), sums.end());
            }
        }
        items_[a].merged = items_[b].merged = true;
        items_.push_back(std::move(made));
        sum_up();
        forget_kept_rows();
        MergedItem& fresh = items_.back();
        make_alike(fresh);
        drop_worse(fresh);
        return fresh.size() <= question_.most_options;
    }

    const MergingQuestion& question_;
    double hopeless_over_;
    std::vector<double> multiplier_, limit_, scale_, least_, most_; // by row
    std::vector<MergedItem> items_;
    CheapestEffort effort_;
};

} // namespace

MergingAnswer cheapest_by_merging(const MergingQuestion& question) {
    return Merging(question).run();
}

} // namespace stoutloom::size

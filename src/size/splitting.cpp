#include "size/splitting.h"

#include "size/row_prices.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::size {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
using Options = std::vector<std::uint32_t>;
using Places = std::vector<Options>; // by item: the options left

class Splitting {
  public:
    explicit Splitting(const SplittingQuestion& question)
        : question_(question), items_(question.items), limit_(*question.limit),
          hopeless_over_(question.hopeless_over), least_(limit_.size()), alive_(limit_.size(), false) {
        for (const MergedItem* item : items_)
            for (const std::size_t r : item->rows)
                alive_[r] = true;
    }

    SplittingAnswer run() {
        Places all;
        for (const MergedItem* item : items_) {
            all.emplace_back(item->size());
            for (std::size_t o = 0; o < item->size(); ++o)
                all.back()[o] = static_cast<std::uint32_t>(o);
        }
        visit(std::move(all), *question_.multiplier, 150);
        return std::move(answer_);
    }

  private:
    /// What the prices chose over the last rounds, by item.
    struct Wavering {
        double sum = 0, squares = 0;
    };

    double amount(std::size_t i, std::uint32_t option, std::size_t p) const {
        return items_[i]->amounts[option * items_[i]->rows.size() + p];
    }

    /// Drops options that break a row with the least of all others. False: nothing is left.
    bool propagate(Places& places) {
        for (bool changed = true; changed;) {
            changed = false;
            std::fill(least_.begin(), least_.end(), 0.0);
            std::vector<std::vector<double>> own(items_.size());
            for (std::size_t i = 0; i < items_.size(); ++i) {
                const std::size_t k = items_[i]->rows.size();
                own[i].assign(k, infinite);
                for (const std::uint32_t option : places[i])
                    for (std::size_t p = 0; p < k; ++p)
                        own[i][p] = std::min(own[i][p], amount(i, option, p));
                for (std::size_t p = 0; p < k; ++p)
                    least_[items_[i]->rows[p]] += own[i][p];
                answer_.effort.steps += static_cast<std::int64_t>(places[i].size() * k * 2);
            }
            for (std::size_t i = 0; i < items_.size(); ++i) {
                const std::size_t k = items_[i]->rows.size();
                const auto breaks = [&](std::uint32_t option) {
                    for (std::size_t p = 0; p < k; ++p) {
                        const std::size_t r = items_[i]->rows[p];
                        if (amount(i, option, p) - own[i][p] + least_[r] > limit_[r])
                            return true;
                    }
                    return false;
                };
                if (std::erase_if(places[i], breaks) == 0)
                    continue;
                changed = true;
                if (!places[i].empty())
                    continue;
                ++answer_.effort.impossible;
                return false;
            }
        }
        return true;
    }

    /// Cost of the options left at these prices, by item; of each item the least and which has it.
    double price(const Places& places, const std::vector<double>& multiplier) {
        double value = 0;
        for (std::size_t r = 0; r < limit_.size(); ++r)
            value -= multiplier[r] * limit_[r];
        priced_.resize(items_.size());
        relaxed_.resize(items_.size());
        std::vector<std::pair<std::size_t, double>> told; // place, price
        for (std::size_t i = 0; i < items_.size(); ++i) {
            const MergedItem& item = *items_[i];
            told.clear();
            for (std::size_t p = 0; p < item.rows.size(); ++p)
                if (multiplier[item.rows[p]] > 0)
                    told.emplace_back(p, multiplier[item.rows[p]]);
            priced_[i].resize(places[i].size());
            double least = infinite;
            for (std::size_t at = 0; at < places[i].size(); ++at) {
                const double* amounts =
                    item.amounts.data() + places[i][at] * item.rows.size(); // may have no row
                double sum = static_cast<double>(item.cost[places[i][at]]);
                for (const auto& [p, each] : told)
                    sum += each * amounts[p];
                priced_[i][at] = sum;
                if (sum < least) {
                    least = sum;
                    relaxed_[i] = places[i][at];
                }
            }
            value += least;
            answer_.effort.steps += static_cast<std::int64_t>(places[i].size() * (told.size() + 1));
        }
        return value;
    }

    /// Keeps the choice if no row forbids it and it is not hopeless.
    void offer(const std::vector<double>& excess) {
        if (std::any_of(excess.begin(), excess.end(), [](double one) { return one > 0; }))
            return;
        std::int64_t cost = 0;
        for (std::size_t i = 0; i < items_.size(); ++i)
            cost += items_[i]->cost[relaxed_[i]];
        if (static_cast<double>(cost) > hopeless_over_)
            return;
        answer_.options = relaxed_;
        const auto wanted = static_cast<double>(cost - 1); // costs are whole numbers
        hopeless_over_ = std::min(hopeless_over_, wanted + 1e-3 + 1e-10 * std::abs(wanted));
    }

    std::vector<double> excess_of() const {
        std::vector<double> excess(limit_.size());
        for (std::size_t r = 0; r < limit_.size(); ++r)
            excess[r] = alive_[r] ? -limit_[r] : 0;
        for (std::size_t i = 0; i < items_.size(); ++i)
            for (std::size_t p = 0; p < items_[i]->rows.size(); ++p)
                excess[items_[i]->rows[p]] += amount(i, relaxed_[i], p);
        return excess;
    }

    /// Better prices, by steps along what the rows are overrun by; ends where they show that nothing is
    /// left.
    double improve(const Places& places, std::vector<double>& multiplier, int rounds,
                   std::vector<Wavering>& wavering) {
        std::vector<double> best = multiplier;
        double best_value = -infinite, step = 1, counted = 0;
        int stale = 0;
        for (int round = 0; round < rounds; ++round) {
            const double value = price(places, multiplier);
            std::vector<double> excess = excess_of();
            offer(excess);
            if (value > best_value) {
                best_value = value;
                best = multiplier;
                stale = 0;
            } else if (++stale >= 4) {
                step *= 0.6;
                stale = 0;
            }
            if (best_value > hopeless_over_)
                break;
            if (round * 3 >= rounds) {
                ++counted;
                for (std::size_t i = 0; i < items_.size(); ++i) {
                    const auto cost = static_cast<double>(items_[i]->cost[relaxed_[i]]);
                    wavering[i].sum += cost;
                    wavering[i].squares += cost * cost;
                }
            }
            if (!step_prices(multiplier, std::move(excess), *question_.scale,
                             step * std::max(target(best_value) - value, 1.0)))
                break;
        }
        for (Wavering& one : wavering)
            if (counted > 0) {
                one.sum /= counted;
                one.squares = one.squares / counted - one.sum * one.sum;
            }
        multiplier = std::move(best);
        return best_value;
    }

    double target(double value) const {
        return std::isfinite(hopeless_over_) ? hopeless_over_ + 1e-4 * (1 + std::abs(hopeless_over_))
                                             : value + 0.02 * (1 + std::abs(value));
    }

    /// Options whose own bound is hopeless. True: something went.
    bool drop_hopeless(Places& places, double value) {
        bool any = false;
        for (std::size_t i = 0; i < items_.size(); ++i) {
            const double least = *std::min_element(priced_[i].begin(), priced_[i].end());
            std::size_t to = 0;
            for (std::size_t at = 0; at < places[i].size(); ++at)
                if (value - least + priced_[i][at] <= hopeless_over_)
                    places[i][to++] = places[i][at];
            any = any || to != places[i].size();
            places[i].resize(to);
        }
        return any;
    }

    /// The variable to split and at which cost. Nothing: each has one option.
    std::pair<std::size_t, double> where(const Places& places, const std::vector<Wavering>& wavering) const {
        std::pair<std::size_t, double> found{nobody, 0};
        double most = -1;
        for (std::size_t i = 0; i < items_.size(); ++i) {
            if (places[i].size() < 2)
                continue;
            std::int64_t low = std::numeric_limits<std::int64_t>::max(), high = 0;
            for (const std::uint32_t option : places[i]) {
                low = std::min(low, items_[i]->cost[option]);
                high = std::max(high, items_[i]->cost[option]);
            }
            const double range = static_cast<double>(high - low);
            const double score = std::sqrt(std::max(0.0, wavering[i].squares)) + 1e-3 * range;
            if (score <= most)
                continue;
            most = score;
            found = {i, std::clamp(wavering[i].sum, static_cast<double>(low),
                                   std::max(static_cast<double>(low), static_cast<double>(high) - 0.5))};
        }
        return found;
    }

    void visit(Places places, std::vector<double> multiplier, int rounds) {
        ++answer_.effort.nodes;
        if (answer_.effort.nodes > question_.node_limit || answer_.effort.steps > question_.step_limit) {
            answer_.complete = false;
            return;
        }
        std::vector<Wavering> wavering(items_.size());
        for (int again = 0; again < 3; ++again) {
            if (!propagate(places))
                return;
            std::fill(wavering.begin(), wavering.end(), Wavering{});
            const double value = improve(places, multiplier, rounds, wavering);
            if (value > hopeless_over_) {
                ++answer_.effort.bounded;
                return;
            }
            price(places, multiplier);
            if (!drop_hopeless(places, value))
                break;
        }
        if (std::any_of(places.begin(), places.end(), [](const Options& one) { return one.empty(); }))
            return;
        const auto [item, cost] = where(places, wavering);
        if (item == nobody) {
            price(places, multiplier);
            offer(excess_of());
            return;
        }
        Places low = places, high = std::move(places);
        const auto dear = [&, i = item, over = cost](std::uint32_t option) {
            return static_cast<double>(items_[i]->cost[option]) > over;
        };
        std::erase_if(low[item], dear);
        std::erase_if(high[item], [&](std::uint32_t option) { return !dear(option); });
        if (high[item].empty()) { // all cost the same
            high[item] = Options(low[item].begin() + 1, low[item].end());
            low[item].resize(1);
        }
        constexpr int rounds_below = 24;
        visit(std::move(high), multiplier, rounds_below);
        if (answer_.complete)
            visit(std::move(low), std::move(multiplier), rounds_below);
    }

    const SplittingQuestion& question_;
    const std::vector<const MergedItem*>& items_;
    const std::vector<double>& limit_;
    double hopeless_over_;
    std::vector<double> least_;
    std::vector<bool> alive_;
    std::vector<std::vector<double>> priced_; // by item, by place
    std::vector<std::uint32_t> relaxed_;      // by item
    SplittingAnswer answer_;
};

} // namespace

SplittingAnswer cheapest_by_splitting(const SplittingQuestion& question) {
    return Splitting(question).run();
}

} // namespace stoutloom::size

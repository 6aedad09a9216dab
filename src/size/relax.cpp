#include "size/relax.h"

#include "check/paths.h"
#include "physics/conductor.h"
#include "size/looser_limits.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

namespace stoutloom::size {
namespace {

constexpr double beyond_stock_mm2[] = {150, 185, 240};
// All searches together, so that a large kit ends; what was not reached by then is not told.
constexpr std::int64_t most_questions = 300, most_pairs_tried = 300;
constexpr std::size_t most_pairs = 6; // that free the kit: enough to choose from

/// Sections above the stock's, tried for one cable.
void add_beyond_stock(Choices& choices, std::size_t cable) {
    for (Choice& choice : choices.list) {
        if (choice.kind != ChoiceKind::section || choice.index != cable)
            continue;
        const double most_mm2 = choice.options.back().value;
        const std::int64_t most_cost = choice.options.back().cost;
        for (const double section_mm2 : beyond_stock_mm2)
            if (section_mm2 > most_mm2)
                choice.options.push_back({.value = section_mm2,
                                          .text = base::shown_section(section_mm2),
                                          .cost = static_cast<std::int64_t>(static_cast<double>(most_cost) *
                                                                            section_mm2 / most_mm2),
                                          .beyond_stock = true});
    }
}

class Relaxer {
  public:
    Relaxer(const model::Harness& harness, const Choices& choices, const SizeOptions& options)
        : harness_(harness), choices_(choices), limits_(options.limits), failures_(options.failures),
          topology_(check::topology_of(harness)) {
        // A change that needs more than this to be found good is not told: one that is told is certain.
        limits_.questions = std::min<std::int64_t>(limits_.questions, 40);
        limits_.nodes = std::min<std::int64_t>(limits_.nodes, 500'000);
        limits_.steps = std::min<std::int64_t>(limits_.steps, 1'000'000'000);
        limits_.near_kit = false;
    }

    std::vector<Relaxation> run(const std::vector<std::size_t>& cables,
                                const std::vector<std::string>& conflict) {
        for (const std::size_t c : cables) {
            try_change(doubled(c));
            try_change(larger(c));
            shorter_run(c);
            cooler_route(c);
            if (lower_class(c))
                try_change(class_d(c));
        }
        if (found_.empty())
            pairs(cables);
        std::stable_sort(found_.begin(), found_.end(),
                         [](const Relaxation& a, const Relaxation& b) { return a.copper_kg < b.copper_kg; });
        for (const LooserLimit& looser : looser_limits(harness_, conflict))
            loosen(looser);
        return std::move(found_);
    }

  private:
    struct Change {
        std::string what;
        std::function<void(model::Harness&)> make;
        std::optional<std::size_t> beyond_stock = std::nullopt; // cable that may have more than the stock's
    };

    /// Whether intervals leave anything open; asks no rule, so it costs next to nothing.
    static bool may_be_possible(const model::Harness& changed, const Choices& choices) {
        check::Facts facts;
        facts.harness = &changed;
        facts.topology = check::topology_of(changed);
        BoundsProver prover(changed, choices, facts);
        return prover.prove(all_open(choices), false).possible;
    }

    struct Freed {
        double copper_kg = 0;
        model::Harness made;
    };
    /// Choices again, since a change of length or count changes costs.
    std::optional<Freed> freed_by(const std::vector<const Change*>& changes) {
        if (questions_left_ <= 0)
            return std::nullopt;
        model::Harness changed = harness_;
        for (const Change* change : changes)
            change->make(changed);
        auto choices = choices_of(changed, automatic_of(choices_));
        if (!choices)
            return std::nullopt;
        for (const Change* change : changes)
            if (change->beyond_stock)
                add_beyond_stock(*choices, *change->beyond_stock);
        if (!may_be_possible(changed, *choices))
            return std::nullopt;
        Judge judge(changed, *choices, failures_);
        const Solution solution = solve_choices(changed, *choices, limits_, judge);
        questions_left_ -= std::max<std::int64_t>(solution.proof.questions, 1);
        if (!solution.best)
            return std::nullopt;
        Freed freed{.made = applied(changed, *choices, *solution.best)};
        for (const Choice& choice : choices->list)
            if (choice.kind == ChoiceKind::section)
                freed.copper_kg += copper_kg(freed.made.cables[choice.index]);
        return freed;
    }

    /// As it is told: a section above the stock's by what came of it.
    std::string told(const Change& change, const Freed& freed) const {
        if (!change.beyond_stock)
            return change.what;
        const model::Cable& cable = freed.made.cables[*change.beyond_stock];
        return fmt::format("{} of {}, which the stock lacks", cable.id,
                           base::shown_section(cable.section_mm2.value));
    }

    bool try_change(const Change& change) {
        const auto freed = freed_by({&change});
        if (freed)
            found_.push_back({told(change, *freed), freed->copper_kg});
        return freed.has_value();
    }

    Change doubled(std::size_t c) const {
        const bool fed = topology_.side_of_cable[c] == check::Side::feed && !topology_.starter_cable[c];
        return {.what = fmt::format("{} as two in parallel{}", harness_.cables[c].id,
                                    fed ? ", each with its own fuse-links" : ""),
                .make = [c](model::Harness& made) { made.cables[c].parallel *= 2; }};
    }
    Change larger(std::size_t c) const {
        return {.what = {}, .make = [](model::Harness&) {}, .beyond_stock = c};
    }
    bool lower_class(std::size_t c) const { return harness_.cables[c].insulation.class_degc < 150; }
    Change class_d(std::size_t c) const {
        return {.what = fmt::format("{} with insulation of class D (150 degC)", harness_.cables[c].id),
                .make = [c](model::Harness& made) {
                    if (auto better = base::parse_insulation("D"))
                        made.cables[c].insulation = *better;
                }};
    }
    Change shorter(std::size_t c, double factor) const {
        const double length_m = harness_.cables[c].length_m.value * factor;
        return {.what = fmt::format("{} of {} at most instead of {}", harness_.cables[c].id,
                                    base::shown_down(length_m, 2, "m"),
                                    base::shown_up(harness_.cables[c].length_m.value, 2, "m")),
                .make = [c, length_m, factor](model::Harness& made) {
                    made.cables[c].length_m.value = length_m;
                    for (model::Segment& segment : made.cables[c].segments)
                        segment.length_m.value *= factor;
                }};
    }

    /// No change of one cable frees the kit: two cables changed, in like or in different ways. What takes
    /// least thought for the workshop comes first; the first few that free it are enough.
    void pairs(const std::vector<std::size_t>& cables) {
        const auto ways = [&](std::size_t c) {
            std::vector<Change> all = {doubled(c), larger(c), shorter(c, 0.8)};
            if (lower_class(c))
                all.push_back(class_d(c));
            return all;
        };
        for (std::size_t way = 0; way < 4; ++way) // both doubled first of all pairs, then what is mixed
            for (std::size_t i = 0; i < cables.size(); ++i)
                for (std::size_t j = i + 1; j < cables.size(); ++j) {
                    const std::vector<Change> one = ways(cables[i]), other = ways(cables[j]);
                    for (std::size_t a = 0; a < one.size(); ++a)
                        for (std::size_t b = 0; b < other.size(); ++b)
                            if (std::max(a, b) == way && found_.size() < most_pairs)
                                try_both(one[a], other[b]);
                }
    }
    void try_both(const Change& one, const Change& other) {
        if (pairs_left_-- <= 0)
            return;
        if (const auto freed = freed_by({&one, &other}))
            found_.push_back(
                {fmt::format("{}; and {}", told(one, *freed), told(other, *freed)), freed->copper_kg});
    }

    /// The longest run, in steps of a tenth of what it is, that would do.
    void shorter_run(std::size_t c) {
        for (int tenths = 9; tenths >= 5; --tenths)
            if (try_change(shorter(c, tenths / 10.0)))
                return;
    }

    /// The least loosening, in steps, that frees the kit; then each limit of the group that was not needed
    /// goes back.
    void loosen(const LooserLimit& looser) {
        for (const double factor : {1.1, 1.2, 1.3, 1.5, 1.75, 2.0}) {
            std::vector<DropLimit> loosened = looser.limits;
            for (DropLimit& limit : loosened)
                limit.to_v = std::ceil(limit.from_v * factor * 100 - 1e-6) / 100;
            auto freed = with_limits(loosened);
            if (!freed)
                continue;
            for (DropLimit& limit : loosened) {
                const double to_v = std::exchange(limit.to_v, limit.from_v);
                if (const auto again = with_limits(loosened))
                    freed = again;
                else
                    limit.to_v = to_v;
            }
            std::string what;
            for (const DropLimit& limit : loosened)
                if (limit.to_v > limit.from_v)
                    what += fmt::format("{}{} {} instead of {}", what.empty() ? "drop limit " : ", ",
                                        limit.told, base::shown_up(limit.to_v, 2, "V"),
                                        base::shown_down(limit.from_v, 2, "V"));
            found_.push_back({what + "; " + looser.price_of_it, freed->copper_kg});
            return;
        }
    }
    std::optional<Freed> with_limits(const std::vector<DropLimit>& limits) {
        const Change change{.what = {}, .make = [&](model::Harness& made) {
                                for (const DropLimit& limit : limits)
                                    set_limit(made, limit);
                            }};
        return freed_by({&change});
    }

    /// Its hottest zone cooler for this cable alone, in steps of ten degrees.
    void cooler_route(std::size_t c) {
        const model::Cable& cable = harness_.cables[c];
        const auto hottest = std::max_element(cable.segments.begin(), cable.segments.end(),
                                              [&](const model::Segment& a, const model::Segment& b) {
                                                  return harness_.zone(a.zone).ambient_degc.value <
                                                         harness_.zone(b.zone).ambient_degc.value;
                                              });
        const auto segment = static_cast<std::size_t>(hottest - cable.segments.begin());
        const model::Zone& zone = harness_.zone(hottest->zone);
        for (double cooler_k = 10; cooler_k <= 40 && zone.ambient_degc.value - cooler_k >= 30;
             cooler_k += 10) {
            const double degc = zone.ambient_degc.value - cooler_k;
            const bool done =
                try_change({.what = fmt::format("{} on a route of {} at most where it now runs through {}",
                                                cable.id, base::shown_down(degc, 0, "degC"), zone.id),
                            .make = [&](model::Harness& made) {
                                model::Zone cool = zone;
                                cool.ambient_degc.value = degc;
                                cool.radiant_k.value = 0;
                                made.cables[c].segments[segment].zone =
                                    static_cast<model::ZoneIndex>(made.zones.size());
                                made.zones.push_back(cool);
                            }});
            if (done)
                return;
        }
    }

    const model::Harness& harness_;
    const Choices& choices_;
    SearchLimits limits_;
    std::optional<FailuresAsked> failures_;
    check::Topology topology_;
    std::int64_t questions_left_ = most_questions;
    std::int64_t pairs_left_ = most_pairs_tried;
    std::vector<Relaxation> found_;
};

} // namespace

std::vector<Relaxation> relaxations(const model::Harness& harness, const Choices& choices,
                                    const Solution& solution, const SizeOptions& options) {
    std::vector<std::size_t> named, all;
    for (const Choice& choice : choices.list) {
        if (choice.kind != ChoiceKind::section)
            continue;
        all.push_back(choice.index);
        const bool in_conflict =
            std::any_of(solution.conflict.begin(), solution.conflict.end(), [&](const std::string& rule) {
                return rule.size() > choice.id.size() && rule.ends_with(" " + choice.id);
            });
        if (in_conflict)
            named.push_back(choice.index);
    }
    return Relaxer(harness, choices, options).run(named.empty() ? all : named, solution.conflict);
}

} // namespace stoutloom::size

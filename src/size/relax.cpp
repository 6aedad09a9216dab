#include "size/relax.h"

#include "physics/conductor.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>

namespace stoutloom::size {
namespace {

constexpr double beyond_stock_mm2[] = {150, 185, 240};

class Relaxer {
  public:
    Relaxer(const model::Harness& harness, const Choices& choices, const SizeOptions& options)
        : harness_(harness), choices_(choices), limits_(options.limits), failures_(options.failures) {
        // A change that needs more than this to be found good is not told: one that is told is certain.
        limits_.questions = std::min<std::int64_t>(limits_.questions, 40);
        limits_.nodes = std::min<std::int64_t>(limits_.nodes, 500'000);
        limits_.near_kit = false;
    }

    std::vector<Relaxation> run(const std::vector<std::size_t>& cables) {
        for (const std::size_t c : cables) {
            const std::string& id = harness_.cables[c].id;
            try_change(fmt::format("{} as two in parallel, each with its own fuse-links", id),
                       [&](model::Harness& made) { made.cables[c].parallel *= 2; });
            larger_section(c);
            shorter_run(c);
            cooler_route(c);
            if (harness_.cables[c].insulation.class_degc < 150)
                try_change(fmt::format("{} with insulation of class D (150 degC)", id),
                           [&](model::Harness& made) {
                               if (auto better = base::parse_insulation("D"))
                                   made.cables[c].insulation = *better;
                           });
        }
        if (found_.empty())
            pairs(cables);
        std::stable_sort(found_.begin(), found_.end(),
                         [](const Relaxation& a, const Relaxation& b) { return a.copper_kg < b.copper_kg; });
        return std::move(found_);
    }

  private:
    using Change = std::function<void(model::Harness&)>;

    /// Whether intervals leave anything open; asks no rule, so it costs next to nothing.
    static bool may_be_possible(const model::Harness& changed, const Choices& choices) {
        check::Facts facts;
        facts.harness = &changed;
        facts.topology = check::topology_of(changed);
        BoundsProver prover(changed, choices, facts);
        return prover.prove(all_open(choices), false).possible;
    }

    std::optional<double> copper_after(const model::Harness& changed, const Choices& choices) const {
        if (!may_be_possible(changed, choices))
            return std::nullopt;
        Judge judge(changed, choices, failures_);
        const Solution solution = solve_choices(changed, choices, limits_, judge);
        if (!solution.best)
            return std::nullopt;
        double kg = 0;
        const model::Harness made = applied(changed, choices, *solution.best);
        for (const Choice& choice : choices.list)
            if (choice.kind == ChoiceKind::section)
                kg += copper_kg(made.cables[choice.index]);
        return kg;
    }

    /// Choices again, since a change of length or count changes costs.
    std::optional<double> copper_with(const Change& change) const {
        model::Harness changed = harness_;
        change(changed);
        const auto choices = choices_of(changed, automatic_of(choices_));
        if (!choices)
            return std::nullopt;
        return copper_after(changed, *choices);
    }

    bool try_change(const std::string& what, const Change& change) {
        const auto kg = copper_with(change);
        if (kg)
            found_.push_back({what, *kg});
        return kg.has_value();
    }

    void larger_section(std::size_t c) {
        for (std::size_t i = 0; i < choices_.list.size(); ++i) {
            if (choices_.list[i].kind != ChoiceKind::section || choices_.list[i].index != c)
                continue;
            Choices larger = choices_;
            Choice& choice = larger.list[i];
            const double most_mm2 = choice.options.back().value;
            const std::int64_t most_cost = choice.options.back().cost;
            for (const double section_mm2 : beyond_stock_mm2) {
                if (section_mm2 <= most_mm2)
                    continue;
                choice.options.push_back({.value = section_mm2,
                                          .text = base::shown_section(section_mm2),
                                          .cost = static_cast<std::int64_t>(static_cast<double>(most_cost) *
                                                                            section_mm2 / most_mm2),
                                          .beyond_stock = true});
            }
            if (!may_be_possible(harness_, larger))
                return;
            Judge judge(harness_, larger, failures_);
            const Solution solution = solve_choices(harness_, larger, limits_, judge);
            if (!solution.best)
                return;
            const model::Harness made = applied(harness_, larger, *solution.best);
            double kg = 0;
            for (const Choice& other : larger.list)
                if (other.kind == ChoiceKind::section)
                    kg += copper_kg(made.cables[other.index]);
            found_.push_back({fmt::format("{} of {}, which the stock lacks", choice.id,
                                          base::shown_section(made.cables[c].section_mm2.value)),
                              kg});
        }
    }

    /// No change of one cable frees the kit: two cables doubled.
    void pairs(const std::vector<std::size_t>& cables) {
        for (std::size_t i = 0; i < cables.size(); ++i)
            for (std::size_t j = i + 1; j < cables.size(); ++j)
                try_change(fmt::format("{} and {}, each as two in parallel with their own fuse-links",
                                       harness_.cables[cables[i]].id, harness_.cables[cables[j]].id),
                           [&](model::Harness& made) {
                               made.cables[cables[i]].parallel *= 2;
                               made.cables[cables[j]].parallel *= 2;
                           });
    }

    /// The longest run, in steps of a tenth of what it is, that would do.
    void shorter_run(std::size_t c) {
        for (int tenths = 9; tenths >= 5; --tenths) {
            const double factor = tenths / 10.0;
            const double length_m = harness_.cables[c].length_m.value * factor;
            const bool done =
                try_change(fmt::format("{} of {} at most instead of {}", harness_.cables[c].id,
                                       base::shown_down(length_m, 2, "m"),
                                       base::shown_up(harness_.cables[c].length_m.value, 2, "m")),
                           [&](model::Harness& made) {
                               made.cables[c].length_m.value = length_m;
                               for (model::Segment& segment : made.cables[c].segments)
                                   segment.length_m.value *= factor;
                           });
            if (done)
                return;
        }
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
                try_change(fmt::format("{} on a route of {} at most where it now runs through {}", cable.id,
                                       base::shown_down(degc, 0, "degC"), zone.id),
                           [&](model::Harness& made) {
                               model::Zone cool = zone;
                               cool.ambient_degc.value = degc;
                               cool.radiant_k.value = 0;
                               made.cables[c].segments[segment].zone =
                                   static_cast<model::ZoneIndex>(made.zones.size());
                               made.zones.push_back(cool);
                           });
            if (done)
                return;
        }
    }

    const model::Harness& harness_;
    const Choices& choices_;
    SearchLimits limits_;
    std::optional<FailuresAsked> failures_;
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
    return Relaxer(harness, choices, options).run(named.empty() ? all : named);
}

} // namespace stoutloom::size

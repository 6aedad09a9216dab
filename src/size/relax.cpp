#include "size/relax.h"

#include "check/paths.h"
#include "physics/conductor.h"
#include "size/looser_limits.h"
#include "size/static_rules.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <set>
#include <utility>

namespace stoutloom::size {
namespace {

constexpr std::size_t most_pairs = 6; // that free the kit: enough to choose from

/// Sections that are made, beside those of the stock: the trade's usual ones and the special orders above.
std::vector<StockSection> sections_made(const model::Harness& harness) {
    model::Harness plain;
    plain.units = harness.units;
    std::vector<StockSection> made = sections_of(plain); // the built-in stock
    if (harness.units == model::UnitSystem::us) {
        for (const char* name : {"250 kcmil", "300 kcmil", "350 kcmil", "500 kcmil"})
            if (const auto section_mm2 = base::parse_quantity(base::Quantity::section, name))
                made.push_back({.section_mm2 = *section_mm2, .text = name});
    } else {
        for (const double section_mm2 : {150.0, 185.0, 240.0})
            made.push_back({.section_mm2 = section_mm2, .text = base::shown_section(section_mm2)});
    }
    const std::vector<StockSection> stock = sections_of(harness);
    std::erase_if(made, [&](const StockSection& one) {
        return std::any_of(stock.begin(), stock.end(), [&](const StockSection& listed) {
            return std::abs(listed.section_mm2 - one.section_mm2) <= 5e-4 * one.section_mm2;
        });
    });
    return made;
}

/// Sections that the stock lacks, tried for one cable; at the price of its copper, by the dearest listed.
void add_beyond_stock(Choices& choices, std::size_t cable, const std::vector<StockSection>& made) {
    for (Choice& choice : choices.list) {
        if (choice.kind != ChoiceKind::section || choice.index != cable)
            continue;
        const Option least = choice.options.front(), most = choice.options.back();
        for (const StockSection& one : made)
            if (one.section_mm2 > least.value && choice.options.size() < most_options)
                choice.options.push_back({.value = one.section_mm2,
                                          .text = one.text,
                                          .cost = static_cast<std::int64_t>(static_cast<double>(most.cost) *
                                                                            one.section_mm2 / most.value),
                                          .beyond_stock = true});
        std::stable_sort(choice.options.begin(), choice.options.end(),
                         [](const Option& a, const Option& b) { return a.value < b.value; });
    }
}

/// The chosen cables that a conflict is about: those it names or that end on a fuse-link it names, or all
/// where one of its rules names none (the drop of a whole feed).
std::set<std::size_t> cables_of(const Conflict& conflict, const model::Harness& harness,
                                const Choices& choices, const check::Topology& topology) {
    // A drop of the feed alone, or of the return alone, hangs on the cables of that side.
    const auto each_ends = [&](std::string_view end) {
        return std::all_of(conflict.begin(), conflict.end(),
                           [&](const std::string& rule) { return rule.ends_with(end); });
    };
    const bool feed = each_ends(", feed"), back = each_ends(", return");
    std::set<std::size_t> named, all;
    bool each_names_one = true;
    for (const std::string& rule : conflict) {
        const auto ends_with = [&](const std::string& id) {
            return rule.size() > id.size() && rule.ends_with(" " + id);
        };
        bool names_one = false;
        for (const Choice& choice : choices.list) {
            if (choice.kind != ChoiceKind::section)
                continue;
            const check::Side side = topology.side_of_cable[choice.index];
            if ((!feed || side != check::Side::back) && (!back || side != check::Side::feed))
                all.insert(choice.index);
            const auto on_link = [&](const model::CableEnd& end) {
                const model::Device& device = harness.device(harness.terminal(end.at).device);
                return device.kind() == model::DeviceKind::fuse_link && ends_with(device.id);
            };
            const model::Cable& cable = harness.cables[choice.index];
            if (ends_with(cable.id) || on_link(cable.from) || on_link(cable.to)) {
                named.insert(choice.index);
                names_one = true;
            }
        }
        each_names_one = each_names_one && names_one;
    }
    return each_names_one ? named : all;
}

class Relaxer {
  public:
    Relaxer(const model::Harness& harness, const Choices& choices, const Solution& solution,
            const SizeOptions& options)
        : harness_(harness), choices_(choices), standing_(solution.standing), conflicts_(solution.conflicts),
          limits_(options.limits), failures_(options.failures), questions_left_(options.relaxing.questions),
          pairs_left_(options.relaxing.pairs), topology_(check::topology_of(harness)),
          made_(sections_made(harness)) {
        // A change that needs more than this to be found good is not told: one that is told is certain.
        limits_.questions = std::min<std::int64_t>(limits_.questions, 20);
        limits_.nodes = std::min<std::int64_t>(limits_.nodes, 500'000);
        limits_.steps = std::min<std::int64_t>(limits_.steps, 1'000'000'000);
        limits_.near_kit = false;
    }

    std::vector<Relaxation> run() {
        std::set<std::size_t> about;
        for (const Conflict& conflict : conflicts_) {
            about_.push_back(cables_of(conflict, harness_, choices_, topology_));
            about.insert(about_.back().begin(), about_.back().end());
        }
        const std::vector<std::size_t> cables(about.begin(), about.end());
        for (const std::size_t c : cables) {
            if (!meets_all({c}))
                continue;
            try_change(doubled(c));
            try_change(larger(c));
            shorter_run(c);
            cooler_route(c);
            if (lower_class(c))
                try_change(class_d(c));
        }
        // Before pairs, which may use up the work that is left.
        const std::vector<Relaxation> limits = looser();
        if (found_.empty() && cables.size() > 1) {
            try_change({.what = {}, .make = [](model::Harness&) {}, .beyond_stock = cables});
            const std::size_t before = found_.size();
            pairs(cables);
            if (found_.size() == before && cables.size() > 2)
                all_doubled(cables);
        }
        std::stable_sort(found_.begin(), found_.end(),
                         [](const Relaxation& a, const Relaxation& b) { return a.copper_kg < b.copper_kg; });
        found_.insert(found_.end(), limits.begin(), limits.end());
        return std::move(found_);
    }
    /// Whether the limits of work kept something from being tried.
    bool ended() const { return questions_left_ <= 0 || pairs_left_ < 0; }

  private:
    /// Each conflict has to be mended by itself: whether a change of these cables may mend all of them.
    bool meets_all(const std::vector<std::size_t>& cables) const {
        return std::all_of(about_.begin(), about_.end(), [&](const std::set<std::size_t>& about) {
            return std::any_of(cables.begin(), cables.end(),
                               [&](std::size_t c) { return about.contains(c); });
        });
    }

    struct Change {
        std::string what;
        std::function<void(model::Harness&)> make;
        std::vector<std::size_t> beyond_stock = {}; // cables that may have a section the stock lacks
    };

    /// Whether the conflicts' own rules and intervals leave anything open; solves nothing, so it costs next
    /// to nothing.
    bool may_be_possible(const model::Harness& changed, const Choices& choices) const {
        check::Facts facts;
        facts.harness = &changed;
        facts.harm_times = harm_times_;
        facts.topology = check::topology_of(changed);
        const StaticRules rules(changed, choices, facts);
        for (const Conflict& conflict : conflicts_) {
            const std::size_t blank = conflict.front().find(' ');
            const check::Rule* rule = check::rule_by_slug(conflict.front().substr(0, blank));
            if (conflict.size() == 1 && rule != nullptr && StaticRules::knows(rule->slug) &&
                rules.hopeless(*rule, conflict.front().substr(blank + 1)))
                return false;
        }
        BoundsProver prover(changed, choices, facts);
        return prover.prove(all_open(choices), false).possible && !fails_at_largest(changed, choices);
    }
    /// Whether a conflict's rule fails even with the largest of everything: then the change is not worth a
    /// search, though now and then less copper elsewhere would keep the rule.
    bool fails_at_largest(const model::Harness& changed, const Choices& choices) const {
        Assignment largest;
        for (const Choice& choice : choices.list)
            largest.push_back(choice.kind == ChoiceKind::rating ? choice.options.size() / 2
                                                                : choice.options.size() - 1);
        const model::Harness made = applied(changed, choices, largest);
        std::optional<check::Facts> facts;
        for (const Conflict& conflict : conflicts_) {
            const std::size_t blank = conflict.front().find(' ');
            const std::string_view slug = std::string_view(conflict.front()).substr(0, blank);
            const check::Rule* rule = check::rule_by_slug(slug);
            if (conflict.size() > 1 || rule == nullptr ||
                !(slug.ends_with("-drop") || slug == "cable-ampacity" || slug == "cable-short-duty"))
                continue;
            if (!facts)
                facts = check::gather(made, check::Depth::healthy);
            // "cranking-drop M1, return"
            const std::string about = conflict.front().substr(blank + 1) + ",";
            for (const check::Judgement& answer : check::judge_one(*rule, *facts))
                if (answer.verdict == check::Verdict::fails && !answer.subjects.empty() &&
                    about.starts_with(answer.subjects.front() + ","))
                    return true;
        }
        return false;
    }

    struct Freed {
        double copper_kg = 0;
        std::vector<std::pair<std::size_t, std::string>> beyond_stock; // cables that got one, and which
        std::vector<std::string> brings; // findings that no size cures and that the file's own kit has not
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
            for (const std::size_t cable : change->beyond_stock)
                add_beyond_stock(*choices, cable, made_);
        if (!may_be_possible(changed, *choices))
            return std::nullopt;
        Judge judge(changed, *choices, failures_, harm_times_);
        const Solution solution = solve_choices(changed, *choices, limits_, judge);
        questions_left_ -= std::max<std::int64_t>(solution.proof.questions, 1);
        if (!solution.best)
            return std::nullopt;
        Freed freed;
        const model::Harness made = applied(changed, *choices, *solution.best);
        for (std::size_t i = 0; i < choices->list.size(); ++i) {
            const Choice& choice = choices->list[i];
            if (choice.kind != ChoiceKind::section)
                continue;
            freed.copper_kg += copper_kg(made.cables[choice.index]);
            const Option& option = choice.options[(*solution.best)[i]];
            if (option.beyond_stock)
                freed.beyond_stock.emplace_back(choice.index, option.text);
        }
        for (const Standing& one : solution.standing) {
            const bool known = std::any_of(standing_.begin(), standing_.end(), [&](const Standing& old) {
                return old.rule == one.rule && old.subject == one.subject;
            });
            if (!known && one.rule != "parallel-runs") // which doubling says itself
                freed.brings.push_back(one.rule + " " + one.subject);
        }
        return freed;
    }

    /// As it is told: sections that the stock lacks by what came of them. Empty: it was not needed.
    std::string told(const Change& change, const Freed& freed) const {
        if (change.beyond_stock.empty())
            return change.what;
        std::vector<std::string> sections;
        for (const auto& [cable, text] : freed.beyond_stock)
            if (std::find(change.beyond_stock.begin(), change.beyond_stock.end(), cable) !=
                change.beyond_stock.end())
                sections.push_back(fmt::format("{} of {}", harness_.cables[cable].id, text));
        return sections.empty() ? std::string()
                                : fmt::format("{}, which the stock lacks", fmt::join(sections, " and "));
    }

    bool try_change(const Change& change) {
        const auto freed = freed_by({&change});
        if (freed)
            if (std::string what = told(change, *freed); !what.empty())
                found_.push_back({std::move(what), freed->copper_kg, freed->brings});
        return freed.has_value();
    }

    Change doubled(std::size_t c) const {
        const bool fed = topology_.side_of_cable[c] == check::Side::feed && !topology_.starter_cable[c];
        return {.what = fmt::format("{} as two in parallel{}", harness_.cables[c].id,
                                    fed ? ", each with its own fuse-links" : ""),
                .make = [c](model::Harness& made) { made.cables[c].parallel *= 2; }};
    }
    Change larger(std::size_t c) const {
        return {.what = {}, .make = [](model::Harness&) {}, .beyond_stock = {c}};
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
                    if (!meets_all({cables[i], cables[j]}))
                        continue;
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
        const auto freed = freed_by({&one, &other});
        if (!freed)
            return;
        const std::string first = told(one, *freed), second = told(other, *freed);
        // Both of them larger is told once, for all cables.
        if (!first.empty() && !second.empty() && (one.beyond_stock.empty() || other.beyond_stock.empty()))
            found_.push_back({fmt::format("{}; and {}", first, second), freed->copper_kg, freed->brings});
    }

    /// More than two have to change: all doubled, then each of them single again if that is enough.
    void all_doubled(std::vector<std::size_t> cables) {
        const auto with = [&](const std::vector<std::size_t>& these) {
            std::vector<Change> changes;
            changes.reserve(these.size());
            for (const std::size_t c : these)
                changes.push_back(doubled(c));
            std::vector<const Change*> all;
            all.reserve(changes.size());
            for (const Change& change : changes)
                all.push_back(&change);
            return freed_by(all);
        };
        auto freed = with(cables);
        if (!freed)
            return;
        for (std::size_t i = cables.size(); i-- > 0;) {
            std::vector<std::size_t> less = cables;
            less.erase(less.begin() + static_cast<std::ptrdiff_t>(i));
            if (!meets_all(less))
                continue;
            if (const auto still = with(less)) {
                cables = less;
                freed = still;
            }
        }
        std::vector<std::string> what;
        what.reserve(cables.size());
        for (const std::size_t c : cables)
            what.push_back(doubled(c).what);
        found_.push_back({fmt::format("{}", fmt::join(what, "; and ")), freed->copper_kg, freed->brings});
    }

    /// The longest run, in steps of a tenth of what it is, that would do.
    void shorter_run(std::size_t c) {
        for (int tenths = 9; tenths >= 5; --tenths)
            if (try_change(shorter(c, tenths / 10.0)))
                return;
    }

    std::vector<Relaxation> looser() {
        std::vector<Relaxation> all;
        for (const LooserLimit& looser : looser_limits(harness_, conflicts_))
            if (std::all_of(conflicts_.begin(), conflicts_.end(),
                            [&](const Conflict& conflict) { return looser.helps(conflict); }))
                if (auto one = loosen(looser))
                    all.push_back(std::move(*one));
        return all;
    }
    /// The least loosening, in steps, that frees the kit; then each limit of the group that was not needed
    /// goes back.
    std::optional<Relaxation> loosen(const LooserLimit& looser) {
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
            return Relaxation{what + "; " + looser.price_of_it, freed->copper_kg, freed->brings};
        }
        return std::nullopt;
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
    const std::vector<Standing>& standing_; // of the file's own kit
    const std::vector<Conflict>& conflicts_;
    SearchLimits limits_;
    std::optional<FailuresAsked> failures_;
    std::shared_ptr<physics::HarmTimes> harm_times_ = std::make_shared<physics::HarmTimes>();
    std::vector<std::set<std::size_t>> about_; // by conflict
    // All searches together, so that a large kit ends; what was not reached by then is not told.
    std::int64_t questions_left_, pairs_left_;
    check::Topology topology_;
    std::vector<StockSection> made_; // sections that are made and not in stock
    std::vector<Relaxation> found_;
};

} // namespace

void add_relaxations(const model::Harness& harness, const Choices& choices, const Solution& solution,
                     const SizeOptions& options, NoKit& none) {
    Relaxer relaxer(harness, choices, solution, options);
    none.relaxations = relaxer.run();
    none.relaxing_ended = relaxer.ended();
}

} // namespace stoutloom::size

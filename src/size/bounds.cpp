#include "size/bounds.h"

#include "size/duty_bounds.h"
#include "solve/worst_case.h"

#include <fmt/format.h>

#include <bit>
#include <cmath>
#include <limits>
#include <map>

namespace stoutloom::size {
namespace {

constexpr int most_rounds = 60;

/// Term by term the lesser of two; a choice that one of them lacks counts there as nothing.
void take_least(TermsByChoice& least, const TermsByChoice& other) {
    for (const auto& [choice, amounts] : other) {
        std::vector<double>& mine = least[choice];
        mine.resize(std::max(mine.size(), amounts.size()), 0.0);
    }
    for (auto& [choice, mine] : least) {
        const auto found = other.find(choice);
        for (std::size_t o = 0; o < mine.size(); ++o)
            mine[o] =
                std::min(mine[o], found != other.end() && o < found->second.size() ? found->second[o] : 0.0);
    }
}

/// At worst, with only those on that never change.
solve::Variation nothing_on(const model::Harness& harness, const model::Duty& duty) {
    solve::Variation variation = solve::at_worst();
    variation.running.emplace();
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        const auto device = static_cast<model::DeviceIndex>(d);
        if (harness.devices[d].kind() == model::DeviceKind::consumer &&
            model::runs_in(harness, duty, device) && !solve::is_choice(harness, duty, device))
            variation.running->push_back(device);
    }
    return variation;
}

} // namespace

Open all_open(const Choices& choices) {
    Open open;
    for (const Choice& choice : choices.list)
        open.push_back((std::uint64_t{1} << choice.options.size()) - 1);
    return open;
}

Open only(const Assignment& assignment) {
    Open open;
    for (const std::size_t option : assignment)
        open.push_back(std::uint64_t{1} << option);
    return open;
}

struct BoundsProver::Parts {
    const model::Harness* harness;
    const Choices* choices;
    CableTable table;
    Requirements requirements;
    std::vector<DutyBounds> duties; // at worst, by duty
    std::vector<DutyBounds>
        low_charge; // duties with a charging unit turning, at the low end of its set point
    std::vector<DutyBounds>
        unloaded; // the same at worst, with all off that may be: what the battery then takes

    /// What holds for every good choice whatsoever: where the proofs of smaller boxes go on from.
    struct Base {
        bool possible = true;
        std::string why;
        OpenOptions open;
        std::vector<DutyBounds::Known> known; // by duty, as in all()
    };
    std::optional<Base> base;

    std::vector<DutyBounds*> all();
    const Base& learn_base();
    std::vector<bool> in_loops() const;
    bool prove(OpenOptions& open, std::string& why);
    bool settle(OpenOptions& open, std::string& why);
    bool settle_by_regimes(OpenOptions& open, std::string& why);
    void add_rows(const OpenOptions& open, const Assignment* at, std::vector<Row>& rows) const;
    bool keeps_heaviest(const OpenOptions& open, std::string& why) const;
    bool may_be_heaviest(const DropRequirement& asked, std::size_t duty, const OpenOptions& open) const;
    void add_closed(const OpenOptions& open, std::vector<Row>& rows) const;
    void add_heaviest_rows(std::size_t requirement, const OpenOptions& open, const Assignment* at,
                           std::vector<Row>& rows) const;
    void add_row(std::size_t requirement, const OpenOptions& open, const Assignment* at,
                 std::vector<Row>& rows) const;
};

BoundsProver::BoundsProver(const model::Harness& harness, const Choices& choices, const check::Facts& facts,
                           const StandingNames* standing)
    : parts_(new Parts{&harness,
                       &choices,
                       CableTable(harness, choices),
                       requirements_of(facts, choices, standing),
                       {},
                       {},
                       {},
                       {}}) {
    const bool charges = std::any_of(harness.devices.begin(), harness.devices.end(), [](const auto& device) {
        return device.kind() == model::DeviceKind::generator;
    });
    for (std::size_t d = 0; d < harness.duties.size(); ++d) {
        parts_->duties.emplace_back(harness, d, parts_->table, parts_->requirements, solve::at_worst());
        if (charges && check::engine_running(harness.duties[d]))
            parts_->low_charge.emplace_back(harness, d, parts_->table, parts_->requirements,
                                            solve::at_least_charge());
        if (charges && check::engine_running(harness.duties[d]) && !harness.duties[d].duration_s)
            parts_->unloaded.emplace_back(harness, d, parts_->table, Requirements{},
                                          nothing_on(harness, harness.duties[d]),
                                          DutyBounds::Keeps::currents);
    }
}

BoundsProver::~BoundsProver() = default;

void BoundsProver::set_link_limits(std::size_t device, std::vector<double> allowed_a) {
    parts_->table.set_link_limits(device, std::move(allowed_a));
}

std::vector<DutyBounds*> BoundsProver::Parts::all() {
    std::vector<DutyBounds*> list;
    for (auto* some : {&duties, &low_charge, &unloaded})
        for (DutyBounds& duty : *some)
            list.push_back(&duty);
    return list;
}

const BoundsProver::Parts::Base& BoundsProver::Parts::learn_base() {
    if (base)
        return *base;
    Base found;
    found.open.bits = all_open(*choices);
    for (DutyBounds* duty : all())
        duty->reset({});
    found.possible = settle(found.open, found.why) && settle_by_regimes(found.open, found.why);
    for (DutyBounds* duty : all())
        found.known.push_back(duty->known());
    return base.emplace(std::move(found));
}

bool BoundsProver::Parts::prove(OpenOptions& open, std::string& why) {
    if (!open.left_out.empty()) { // other rules, so nothing is known yet
        for (DutyBounds* duty : all())
            duty->reset(open.left_out);
        return settle(open, why) && settle_by_regimes(open, why);
    }
    const Base& known = learn_base();
    if (!known.possible) {
        why = known.why;
        return false;
    }
    for (std::size_t i = 0; i < open.bits.size(); ++i)
        for (std::uint64_t bits = open.bits[i] & ~known.open.bits[i]; bits != 0; bits &= bits - 1) {
            open.bits[i] &= ~(bits & (~bits + 1));
            const std::string& rule = known.open.because.at({i, lowest(bits)});
            open.because.try_emplace({i, lowest(bits)}, rule);
            if (open.bits[i] != 0)
                continue;
            why = rule;
            return false;
        }
    std::size_t place = 0;
    for (DutyBounds* duty : all())
        duty->start_from(known.known[place++]);
    return settle(open, why) && settle_by_regimes(open, why);
}

/// Regime by regime, until that closes no further option.
bool BoundsProver::Parts::settle_by_regimes(OpenOptions& open, std::string& why) {
    for (int round = 0; round < 3; ++round) {
        const std::vector<std::uint64_t> before = open.bits;
        for (DutyBounds* duty : all())
            if (!duty->narrow_by_regimes(open, why))
                return false;
        if (!settle(open, why))
            return false;
        if (open.bits == before)
            break;
    }
    return true;
}

bool BoundsProver::Parts::settle(OpenOptions& open, std::string& why) {
    for (int round = 0; round < most_rounds; ++round) {
        open.changed = false;
        double moved = 0;
        for (DutyBounds* duty : all()) {
            if (!duty->narrow_once(open, why))
                return false;
            moved = std::max(moved, duty->movement());
        }
        if (!open.changed && moved < 1e-3)
            break;
    }
    return keeps_heaviest(open, why);
}

/// A drop judged only where most is lost: broken for certain if it is in every duty that may be that one.
bool BoundsProver::Parts::keeps_heaviest(const OpenOptions& open, std::string& why) const {
    for (std::size_t r = 0; r < requirements.drops.size(); ++r) {
        const DropRequirement& asked = requirements.drops[r];
        if (!asked.in_heaviest_only || open.left_out.contains(asked.why))
            continue;
        const double limit_v = asked.limit_v + 1e-6 * (1 + std::abs(asked.limit_v));
        bool any = false, kept = false;
        for (const std::size_t d : asked.duties)
            for (const DutyDrop& drop : duties[d].drops()) {
                if (drop.requirement != r || !may_be_heaviest(asked, d, open))
                    continue;
                any = true;
                kept = kept || duties[d].drop_v(drop.ways).low <= limit_v;
            }
        if (!any || kept)
            continue;
        why = asked.why;
        return false;
    }
    return true;
}

/// Whether a duty can be the one in which most is lost on the requirement's ranking ways.
bool BoundsProver::Parts::may_be_heaviest(const DropRequirement& asked, std::size_t duty,
                                          const OpenOptions& open) const {
    const auto ranking = [&](std::size_t d) -> const std::vector<Way>* {
        for (const DutyDrop& drop : duties[d].drops())
            if (&requirements.drops[drop.requirement] == &asked)
                return &drop.ranked_by;
        return nullptr;
    };
    const auto* own = ranking(duty);
    if (own == nullptr)
        return false;
    return std::none_of(asked.duties.begin(), asked.duties.end(), [&](std::size_t other) {
        const auto* rival = other == duty ? nullptr : ranking(other);
        return rival != nullptr &&
               (duties[other].drop_v(*rival).low > duties[duty].drop_v(*own).high + 1e-6 ||
                duties[other].least_more_v(*rival, duties[duty], *own, open) > 1e-6);
    });
}

void BoundsProver::Parts::add_row(std::size_t r, const OpenOptions& open, const Assignment* at,
                                  std::vector<Row>& rows) const {
    const DropRequirement& asked = requirements.drops[r];
    // Judged in the heaviest duty only: the least of the duties that may be it, term by term, is below that
    // one's.
    std::map<std::size_t, std::vector<double>> least;
    double least_rest = 0;
    bool first = true;
    for (const std::size_t d : asked.duties) {
        if (asked.in_heaviest_only && !may_be_heaviest(asked, d, open))
            continue;
        for (const DutyDrop& drop : duties[d].drops()) {
            if (drop.requirement != r)
                continue;
            std::map<std::size_t, std::vector<double>> terms;
            double rest_v = 0;
            duties[d].drop_terms(drop.ways, open, terms, rest_v, at);
            for (const Way& way : drop.instead) { // kept on one of them: term by term the lesser of all
                std::map<std::size_t, std::vector<double>> others;
                double others_rest_v = 0;
                duties[d].drop_terms({way}, open, others, others_rest_v, at);
                take_least(terms, others);
                rest_v = std::min(rest_v, others_rest_v);
            }
            if (!asked.in_heaviest_only || first) {
                least = terms;
                least_rest = rest_v;
            } else {
                take_least(least, terms);
                least_rest = std::min(least_rest, rest_v);
            }
            first = false;
            if (asked.in_heaviest_only)
                continue;
            rows.push_back({.terms = {},
                            .limit = asked.limit_v + 1e-6 * (1 + std::abs(asked.limit_v)) - rest_v,
                            .why = asked.why});
            for (const auto& [choice, amounts] : terms)
                rows.back().terms.push_back({choice, amounts});
        }
    }
    if (!asked.in_heaviest_only || first)
        return;
    add_heaviest_rows(r, open, at, rows);
    rows.push_back({.terms = {},
                    .limit = asked.limit_v + 1e-6 * (1 + std::abs(asked.limit_v)) - least_rest,
                    .why = asked.why});
    for (const auto& [choice, amounts] : least)
        rows.back().terms.push_back({choice, amounts});
}

/// In a duty that need not be the heaviest: the heaviest one, h, keeps the limit, and loses no less on the
/// loop. So what is lost here is at most the limit and what h loses more than this duty on the rest of the
/// loop.
void BoundsProver::Parts::add_heaviest_rows(std::size_t r, const OpenOptions& open, const Assignment* at,
                                            std::vector<Row>& rows) const {
    const DropRequirement& asked = requirements.drops[r];
    const auto drop_in = [&](std::size_t d) {
        const auto& drops = duties[d].drops();
        return std::find_if(drops.begin(), drops.end(),
                            [&](const DutyDrop& one) { return one.requirement == r; });
    };
    const auto rest_of = [&](const DutyDrop& drop) {
        std::vector<Way> rest;
        for (std::size_t i = 0; i < asked.ranked_by.size(); ++i)
            if (std::find(asked.ways.begin(), asked.ways.end(), asked.ranked_by[i]) == asked.ways.end())
                rest.push_back(drop.ranked_by[i]);
        return rest;
    };
    for (const std::size_t d : asked.duties) {
        const auto here = drop_in(d);
        if (here == duties[d].drops().end())
            continue;
        double more_v = 0;
        for (const std::size_t h : asked.duties) {
            const auto there = drop_in(h);
            if (h != d && there != duties[h].drops().end() && may_be_heaviest(asked, h, open))
                more_v = std::max(more_v,
                                  -duties[d].least_more_v(rest_of(*here), duties[h], rest_of(*there), open));
        }
        if (!(more_v < asked.limit_v))
            continue;
        TermsByChoice terms;
        double rest_v = 0;
        duties[d].drop_terms(here->ways, open, terms, rest_v, at);
        rows.push_back({.terms = {},
                        .limit = asked.limit_v + more_v + 1e-6 * (1 + std::abs(asked.limit_v)) - rest_v,
                        .why = asked.why});
        for (const auto& [choice, amounts] : terms)
            rows.back().terms.push_back({choice, amounts});
    }
}

void BoundsProver::Parts::add_rows(const OpenOptions& open, const Assignment* at,
                                   std::vector<Row>& rows) const {
    for (std::size_t r = 0; r < requirements.drops.size(); ++r)
        add_row(r, open, at, rows);
    if (at != nullptr)
        for (const auto* list : {&duties, &low_charge})
            for (const DutyBounds& duty : *list)
                duty.add_current_rows(open, *at, rows);
    for (Row& row : rows)
        for (Term& term : row.terms)
            term.amount.resize(choices->list[term.variable].options.size(), 0.0);
    std::erase_if(rows, [](const Row& row) { return row.terms.empty(); });
}

/// A row for the options of one choice that one rule closes.
void BoundsProver::Parts::add_closed(const OpenOptions& open, std::vector<Row>& rows) const {
    std::map<std::pair<std::size_t, std::string>, Row> by_rule;
    for (const auto& [which, rule] : open.because) {
        Row& row = by_rule[{which.first, rule}];
        if (row.terms.empty())
            row = {.terms = {{which.first, {}}}, .limit = 0, .why = rule};
        row.terms.front().amount.resize(choices->list[which.first].options.size(), 0.0);
        row.terms.front().amount[which.second] = 1;
    }
    for (auto& [which, row] : by_rule)
        rows.push_back(std::move(row));
}

Bounds BoundsProver::prove(const Open& open, bool want_rows, const std::set<std::string>& left_out) {
    OpenOptions working{.bits = open, .left_out = left_out};
    Bounds bounds;
    bounds.possible = parts_->prove(working, bounds.why);
    bounds.open = working.bits;
    if (bounds.possible && want_rows) {
        parts_->add_rows(working, nullptr, bounds.rows);
        parts_->add_closed(working, bounds.rows);
    }
    return bounds;
}

/// Choices whose cables share currents in loops.
std::vector<bool> BoundsProver::Parts::in_loops() const {
    std::vector<bool> found(choices->list.size(), false);
    for (const DutyBounds& duty : duties)
        for (const Wire& wire : duty.graph().wires) {
            if (wire.block < 0 || wire.kind == WireKind::fixed)
                continue;
            const auto choice = wire.kind == WireKind::cable ? table.choice_of_cable(wire.index)
                                                             : table.choice_of_link(wire.index);
            if (choice)
                found[*choice] = true;
        }
    return found;
}

std::vector<Row> BoundsProver::rows_at(const Assignment& assignment, std::set<std::string> broken) {
    const Parts::Base& base = parts_->learn_base();
    std::vector<Row> rows;
    if (!base.possible)
        return rows;
    const Open all = all_open(*parts_->choices);
    const std::vector<bool> loops = parts_->in_loops();
    // First for everything; then near the choice, where currents are better known, and free elsewhere.
    enum class Near { everywhere, no_thinner, alike };
    for (const Near near : {Near::everywhere, Near::no_thinner, Near::alike}) {
        OpenOptions box{.bits = base.open.bits}; // as wide as is of use
        for (std::size_t i = 0; near != Near::everywhere && i < box.bits.size(); ++i) {
            if (!loops[i])
                continue;
            const std::uint64_t own = std::uint64_t{1} << assignment[i];
            box.bits[i] &= near == Near::alike ? own : ~(std::max<std::uint64_t>(own >> 1, 1) - 1);
        }
        const Open asked = box.bits;
        std::string why;
        if (near == Near::everywhere) {
            std::size_t place = 0;
            for (DutyBounds* duty : parts_->all())
                duty->start_from(base.known[place++]);
        } else if (!parts_->prove(box, why)) {
            Row row{.terms = {}, .limit = -1, .why = why};
            relax_outside(row, asked, all);
            rows.push_back(std::move(row));
            break;
        }
        std::vector<Row> here;
        std::set<std::string> told;
        parts_->add_rows(box, &assignment, here);
        for (Row& row : here) {
            if (holds(row, assignment))
                continue;
            const auto tells = [&](const std::string& rule) {
                return row.why == rule || row.why.starts_with(rule + ",");
            };
            if (near != Near::everywhere && std::none_of(broken.begin(), broken.end(), tells))
                continue; // told for everything already
            if (near != Near::everywhere)
                relax_outside(row, asked, all);
            told.insert(row.why);
            rows.push_back(std::move(row));
        }
        std::erase_if(broken, [&](const std::string& rule) {
            return std::any_of(told.begin(), told.end(), [&](const std::string& one) {
                return one == rule || one.starts_with(rule + ",");
            });
        });
        if (broken.empty())
            break;
    }
    for (Row& row : rows)
        for (Term& term : row.terms)
            term.amount.resize(parts_->choices->list[term.variable].options.size(), 0.0);
    return rows;
}

std::set<std::string> BoundsProver::rules() const {
    std::set<std::string> rules;
    for (const DropRequirement& asked : parts_->requirements.drops)
        rules.insert(asked.why);
    for (const model::Cable& cable : parts_->harness->cables) {
        rules.insert("cable-ampacity " + cable.id);
        rules.insert("cable-short-duty " + cable.id);
        rules.insert("return-loop " + cable.id);
    }
    for (const model::Device& device : parts_->harness->devices)
        if (device.kind() == model::DeviceKind::fuse_link)
            rules.insert("fuse-continuous-load " + device.id);
    for (const model::Incidental& path : parts_->harness->incidentals)
        rules.insert("incidental-current " + path.id);
    return rules;
}

std::string BoundsProver::contradicted_by(const check::Facts& facts, const Assignment& assignment) {
    OpenOptions working{.bits = only(assignment)};
    std::string why;
    if (!parts_->prove(working, why))
        return {};
    for (std::size_t d = 0; d < parts_->duties.size(); ++d) {
        const check::SolvedDuty& solved = facts.at_worst->duties[d];
        if (!solved.point)
            continue;
        for (std::size_t c = 0; c < solved.point->cables.size(); ++c) {
            const Interval known = parts_->duties[d].cable_a(c);
            const double current_a = solved.point->cables[c].current_a;
            const double dust = 1e-4 * (1 + std::abs(current_a));
            if (current_a < known.low - dust || current_a > known.high + dust)
                return fmt::format("duty {}, cable {}: {} A is outside [{}, {}]",
                                   parts_->harness->duties[d].id, parts_->harness->cables[c].id, current_a,
                                   known.low, known.high);
        }
    }
    return {};
}

} // namespace stoutloom::size

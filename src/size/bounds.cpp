#include "size/bounds.h"

#include "size/duty_bounds.h"

#include <fmt/format.h>

#include <cmath>

namespace stoutloom::size {
namespace {

constexpr int most_rounds = 60;

using TermsByChoice = std::map<std::size_t, std::vector<double>>;

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
    std::vector<DropRequirement> requirements;
    std::vector<DutyBounds> duties; // at worst, by duty
    std::vector<DutyBounds>
        low_charge; // duties with a charging unit turning, at the low end of its set point

    bool settle(OpenOptions& open, std::string& why);
    void add_rows(const OpenOptions& open, std::vector<Row>& rows) const;
    bool keeps_heaviest(const OpenOptions& open, std::string& why) const;
    bool may_be_heaviest(const DropRequirement& asked, std::size_t duty) const;
    void add_closed(const OpenOptions& open, std::vector<Row>& rows) const;
    void add_row(std::size_t requirement, const OpenOptions& open, std::vector<Row>& rows) const;
};

BoundsProver::BoundsProver(const model::Harness& harness, const Choices& choices, const check::Facts& facts)
    : parts_(new Parts{&harness, &choices, CableTable(harness, choices), drop_requirements(facts), {}, {}}) {
    const bool charges = std::any_of(harness.devices.begin(), harness.devices.end(), [](const auto& device) {
        return device.kind() == model::DeviceKind::generator;
    });
    for (std::size_t d = 0; d < harness.duties.size(); ++d) {
        parts_->duties.emplace_back(harness, d, parts_->table, parts_->requirements, solve::at_worst());
        if (charges && check::engine_running(harness.duties[d]))
            parts_->low_charge.emplace_back(harness, d, parts_->table, parts_->requirements,
                                            solve::at_least_charge());
    }
}

BoundsProver::~BoundsProver() = default;

void BoundsProver::set_link_limits(std::size_t device, std::vector<double> allowed_a) {
    parts_->table.set_link_limits(device, std::move(allowed_a));
}

bool BoundsProver::Parts::settle(OpenOptions& open, std::string& why) {
    std::vector<DutyBounds*> all;
    for (auto* list : {&duties, &low_charge})
        for (DutyBounds& duty : *list)
            all.push_back(&duty);
    for (DutyBounds* duty : all)
        duty->reset(open.left_out);
    for (int round = 0; round < most_rounds; ++round) {
        open.changed = false;
        double moved = 0;
        for (DutyBounds* duty : all) {
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
    for (std::size_t r = 0; r < requirements.size(); ++r) {
        const DropRequirement& asked = requirements[r];
        if (!asked.in_heaviest_only || open.left_out.contains(asked.why))
            continue;
        const double limit_v = asked.limit_v + 1e-6 * (1 + std::abs(asked.limit_v));
        bool any = false, kept = false;
        for (const std::size_t d : asked.duties)
            for (const DutyDrop& drop : duties[d].drops()) {
                if (drop.requirement != r || !may_be_heaviest(asked, d))
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
bool BoundsProver::Parts::may_be_heaviest(const DropRequirement& asked, std::size_t duty) const {
    const auto ranking = [&](std::size_t d) -> std::optional<Interval> {
        for (const DutyDrop& drop : duties[d].drops())
            if (&requirements[drop.requirement] == &asked)
                return duties[d].drop_v(drop.ranked_by);
        return std::nullopt;
    };
    const auto own = ranking(duty);
    if (!own)
        return false;
    return std::none_of(asked.duties.begin(), asked.duties.end(), [&](std::size_t other) {
        const auto rival = ranking(other);
        return rival && rival->low > own->high + 1e-6;
    });
}

void BoundsProver::Parts::add_row(std::size_t r, const OpenOptions& open, std::vector<Row>& rows) const {
    const DropRequirement& asked = requirements[r];
    // Judged in the heaviest duty only: the least of the duties that may be it, term by term, is below that
    // one's.
    std::map<std::size_t, std::vector<double>> least;
    double least_rest = 0;
    bool first = true;
    for (const std::size_t d : asked.duties) {
        if (asked.in_heaviest_only && !may_be_heaviest(asked, d))
            continue;
        for (const DutyDrop& drop : duties[d].drops()) {
            if (drop.requirement != r)
                continue;
            std::map<std::size_t, std::vector<double>> terms;
            double rest_v = 0;
            duties[d].drop_terms(drop.ways, open, terms, rest_v);
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
    rows.push_back({.terms = {},
                    .limit = asked.limit_v + 1e-6 * (1 + std::abs(asked.limit_v)) - least_rest,
                    .why = asked.why});
    for (const auto& [choice, amounts] : least)
        rows.back().terms.push_back({choice, amounts});
}

void BoundsProver::Parts::add_rows(const OpenOptions& open, std::vector<Row>& rows) const {
    for (std::size_t r = 0; r < requirements.size(); ++r)
        add_row(r, open, rows);
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
    bounds.possible = parts_->settle(working, bounds.why);
    bounds.open = working.bits;
    if (bounds.possible && want_rows) {
        parts_->add_rows(working, bounds.rows);
        parts_->add_closed(working, bounds.rows);
    }
    return bounds;
}

std::set<std::string> BoundsProver::rules() const {
    std::set<std::string> rules;
    for (const DropRequirement& asked : parts_->requirements)
        rules.insert(asked.why);
    for (const model::Cable& cable : parts_->harness->cables) {
        rules.insert("cable-ampacity " + cable.id);
        rules.insert("cable-short-duty " + cable.id);
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
    if (!parts_->settle(working, why))
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

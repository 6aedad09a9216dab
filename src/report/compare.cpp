#include "report/compare.h"

#include "physics/conductor.h"
#include "report/words.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::report {
namespace {

using check::Judgement;

std::string main_subject(const Judgement& judgement) {
    return judgement.subjects.empty() ? std::string() : judgement.subjects.front();
}

bool same_cause(const Judgement& a, const Judgement& b) {
    return a.rule->slug == b.rule->slug && main_subject(a) == main_subject(b);
}

/// Whether a subject's part, cable or terminal exists; duties and zones count too.
bool exists(const model::Harness& harness, const std::string& id) {
    const auto named = [&](const auto& all) {
        return std::any_of(all.begin(), all.end(), [&](const auto& one) { return one.id == id; });
    };
    return id.empty() || model::find_device(harness, id) || model::find_terminal(harness, id) ||
           model::find_cable(harness, id) || model::find_duty(harness, id) || named(harness.zones) ||
           named(harness.incidentals) || named(harness.landings);
}

std::vector<FindingChange> paired(const Checked& before, const Checked& after) {
    const std::vector<Judgement> old = findings(before);
    const std::vector<Judgement> now = findings(after);
    std::vector<bool> taken(now.size(), false);
    std::vector<std::optional<std::size_t>> partner(old.size());
    for (const bool by_duty : {true, false})
        for (std::size_t i = 0; i < old.size(); ++i)
            for (std::size_t k = 0; k < now.size() && !partner[i]; ++k)
                if (!taken[k] && same_cause(old[i], now[k]) && (!by_duty || old[i].duty == now[k].duty)) {
                    taken[k] = true;
                    partner[i] = k;
                }
    std::vector<FindingChange> all;
    for (std::size_t i = 0; i < old.size(); ++i) {
        FindingChange change{.fate = Fate::standing, .before = old[i], .after = {}};
        if (partner[i])
            change.after = now[*partner[i]];
        else
            change.fate = exists(*after.harness, main_subject(old[i])) ? Fate::cured : Fate::part_gone;
        all.push_back(std::move(change));
    }
    for (std::size_t k = 0; k < now.size(); ++k)
        if (!taken[k])
            all.push_back({.fate = Fate::fresh, .before = {}, .after = now[k]});
    std::stable_sort(all.begin(), all.end(), [](const FindingChange& a, const FindingChange& b) {
        if (a.fate != b.fate)
            return a.fate < b.fate;
        return a.shown().severity > b.shown().severity;
    });
    return all;
}

CableFigure figure_of(const Checked& checked, std::size_t i) {
    const model::Cable& cable = checked.harness->cables[i];
    const check::Facts& facts = checked.facts->at_worst ? *checked.facts->at_worst : *checked.facts;
    const check::WorstDuty& worst = facts.worst.at(i);
    CableFigure figure;
    figure.section = section_words(cable);
    figure.section_mm2 = cable.section_mm2.value;
    figure.length_m = cable.length_m.value;
    figure.copper_kg = physics::copper_kg_per_m(cable.section_mm2.value) * cable.length_m.value *
                       static_cast<double>(cable.parallel);
    figure.current_a = worst.current_a;
    figure.usable_a = facts.ratings.at(i).usable_a;
    figure.temperature_degc = worst.temperature_degc;
    figure.class_degc = cable.insulation.class_degc;
    figure.runaway = worst.runaway;
    figure.original = cable.origin == model::Origin::original;
    if (!worst.duty)
        return figure;
    figure.duty = checked.harness->duty(*worst.duty).id;
    for (const check::Facts* one : check::worst_cases(*checked.facts))
        for (const check::SolvedDuty& solved : one->duties)
            if (solved.point && check::is_continuous(checked.harness->duty(solved.duty)))
                figure.drop_v =
                    std::max(figure.drop_v.value_or(0), std::abs(solved.point->cables.at(i).drop_v));
    return figure;
}

bool differs(const model::Cable& a, const model::Cable& b) {
    return a.section_mm2.value != b.section_mm2.value || a.length_m.value != b.length_m.value ||
           a.parallel != b.parallel || a.insulation.class_degc != b.insulation.class_degc;
}

std::vector<CableChange> cables_of(const Checked& before, const Checked& after) {
    std::vector<CableChange> all;
    for (std::size_t i = 0; i < after.harness->cables.size(); ++i) {
        const model::Cable& cable = after.harness->cables[i];
        CableChange change{.id = cable.id, .before = {}, .after = figure_of(after, i), .changed = true};
        if (const auto old = model::find_cable(*before.harness, cable.id)) {
            change.before = figure_of(before, model::at(*old));
            change.changed = differs(before.harness->cable(*old), cable);
        }
        all.push_back(std::move(change));
    }
    for (std::size_t i = 0; i < before.harness->cables.size(); ++i)
        if (const std::string& id = before.harness->cables[i].id; !model::find_cable(*after.harness, id))
            all.push_back({.id = id, .before = figure_of(before, i), .after = {}, .changed = true});
    return all;
}

} // namespace

std::string_view fate_words(Fate fate) {
    switch (fate) {
    case Fate::cured:
        return "cured";
    case Fate::part_gone:
        return "gone with its part";
    case Fate::fresh:
        return "new";
    case Fate::standing:
        break;
    }
    return "standing";
}

std::size_t Comparison::count(Fate fate) const {
    return static_cast<std::size_t>(std::count_if(
        findings.begin(), findings.end(), [&](const FindingChange& change) { return change.fate == fate; }));
}

Comparison compare(const Checked& before, const Checked& after) {
    Comparison made;
    made.before = &before;
    made.after = &after;
    made.findings = paired(before, after);
    made.changes = changes_between(before, after);
    made.cables = cables_of(before, after);
    for (const CableChange& change : made.cables) {
        if (change.before) {
            made.copper_before_kg += change.before->copper_kg;
            made.length_before_m += change.before->length_m;
        }
        if (change.after) {
            made.copper_after_kg += change.after->copper_kg;
            made.length_after_m += change.after->length_m;
        }
    }
    return made;
}

} // namespace stoutloom::report

#include "check/keying_cure.h"

#include "check/words.h"
#include "physics/joint.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace stoutloom::check {
namespace {

using model::Harness;
using model::TerminalIndex;

constexpr std::array<std::string_view, 5> sizes_on_sale = {"M5", "M6", "M8", "M10", "M12"};
constexpr std::size_t most_changed = 3;

template <class Visit> void each_end_at(Harness& harness, TerminalIndex stud, Visit visit) {
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        for (model::CableEnd* end : {&harness.cables[c].from, &harness.cables[c].to})
            if (end->at == stud)
                visit(static_cast<model::CableIndex>(c), *end);
}

bool lug_can_be_had(const Harness& harness, const model::Cable& cable, const base::Fastener& size) {
    if (harness.stock.lugs.empty())
        return physics::lug_exists(cable.section_mm2.value, size);
    return std::any_of(harness.stock.lugs.begin(), harness.stock.lugs.end(), [&](const auto& lug) {
        return lug.stud == size.name && physics::barrel_takes(lug.section_mm2, cable.section_mm2.value);
    });
}

void make(Harness& harness, const StudChange& change) {
    harness.terminals[model::at(change.stud)].stud = change.to;
    each_end_at(harness, change.stud, [&](model::CableIndex, model::CableEnd& end) {
        if (end.lug.kind == base::FastenerKind::stud)
            end.lug = change.to;
    });
}

struct Candidate {
    StudChange change;
    double step_m = 0; // change of diameter; nothing for lugs only
};

// Every other size one stud could have.
std::vector<Candidate> candidates_for(const Harness& harness, TerminalIndex stud) {
    std::vector<Candidate> found;
    const model::Terminal& terminal = harness.terminal(stud);
    if (terminal.stud.kind != base::FastenerKind::stud)
        return found;
    Harness scratch = harness;
    const auto add = [&](const base::Fastener& size, bool lugs_only) {
        Candidate one{.change = {.stud = stud, .to = size, .lugs_only = lugs_only, .lugs = {}},
                      .step_m = lugs_only ? 0 : std::abs(size.diameter_m - terminal.stud.diameter_m)};
        bool had = true;
        each_end_at(scratch, stud, [&](model::CableIndex cable, const model::CableEnd& end) {
            if (end.lug.name == size.name)
                return;
            one.change.lugs.push_back(cable);
            had = had && lug_can_be_had(harness, harness.cable(cable), size);
        });
        if (had && (!lugs_only || !one.change.lugs.empty()))
            found.push_back(std::move(one));
    };
    add(terminal.stud, true);
    for (const std::string_view name : sizes_on_sale)
        if (const auto size = base::fastener_by_name(name); size && !base::matches(*size, terminal.stud))
            add(*size, false);
    return found;
}

bool keyed_with(const Harness& harness, const LandingVerdict& landing,
                const std::vector<const Candidate*>& chosen) {
    Harness changed = harness;
    for (const Candidate* candidate : chosen)
        make(changed, candidate->change);
    return wrong_assemblies(puzzle_of(changed, landing)).completing.empty();
}

struct Choice {
    std::vector<const Candidate*> candidates;
    double step_m = 0;
    int studs = 0; // lugs alone are cheaper than a stud
};

// All ways to change that many studs of the landing, the gentlest first.
std::vector<Choice> choices_of(const std::vector<std::vector<Candidate>>& by_stud, std::size_t count) {
    std::vector<Choice> open = {{}}, done;
    for (const std::vector<Candidate>& candidates : by_stud) {
        const std::size_t before = open.size();
        for (std::size_t i = 0; i < before; ++i)
            for (const Candidate& candidate : candidates) {
                if (open[i].candidates.size() == count)
                    continue;
                Choice more = open[i];
                more.candidates.push_back(&candidate);
                more.step_m += candidate.step_m;
                more.studs += candidate.change.lugs_only ? 0 : 1;
                open.push_back(std::move(more));
            }
    }
    for (Choice& choice : open)
        if (choice.candidates.size() == count)
            done.push_back(std::move(choice));
    std::stable_sort(done.begin(), done.end(), [](const Choice& one, const Choice& other) {
        return one.studs != other.studs ? one.studs < other.studs : one.step_m < other.step_m;
    });
    return done;
}

std::string sentence_of(const Harness& harness, const std::vector<StudChange>& changes) {
    std::vector<std::string> parts;
    for (const StudChange& change : changes) {
        std::vector<std::string> cables;
        for (const model::CableIndex cable : change.lugs)
            cables.push_back(harness.cable(cable).id);
        const std::string lugs =
            cables.empty() ? "" : fmt::format("{} lugs on {}", change.to.name, listed(cables));
        const std::string& address = harness.terminal(change.stud).address;
        parts.push_back(change.lugs_only ? "put " + lugs
                        : lugs.empty()
                            ? fmt::format("order {} as {}", address, change.to.name)
                            : fmt::format("order {} as {} with {}", address, change.to.name, lugs));
    }
    return listed(parts);
}

} // namespace

model::Harness with_change(const model::Harness& harness, const KeyingCure& cure) {
    Harness changed = harness;
    for (const StudChange& change : cure.changes)
        make(changed, change);
    return changed;
}

std::optional<KeyingCure> keying_cure(const model::Harness& harness, const LandingVerdict& landing) {
    std::vector<std::vector<Candidate>> by_stud;
    for (const TerminalIndex stud : landing.studs)
        if (auto candidates = candidates_for(harness, stud); !candidates.empty())
            by_stud.push_back(std::move(candidates));
    constexpr std::size_t many_studs = 8; // beyond this only one or two changes are tried
    for (std::size_t count = 1; count <= (by_stud.size() > many_studs ? 2 : most_changed); ++count)
        for (const Choice& choice : choices_of(by_stud, count)) {
            if (!keyed_with(harness, landing, choice.candidates))
                continue;
            KeyingCure cure;
            for (const Candidate* candidate : choice.candidates)
                cure.changes.push_back(candidate->change);
            cure.sentence = sentence_of(harness, cure.changes);
            return cure;
        }
    return std::nullopt;
}

} // namespace stoutloom::check

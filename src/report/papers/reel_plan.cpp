#include "report/papers/reel_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace stoutloom::report {
namespace {

constexpr double dust_m = 1e-9;

double used_m(const BoughtLength& bought) {
    return std::accumulate(bought.pieces.begin(), bought.pieces.end(), 0.0,
                           [](double so_far, const auto& piece) { return so_far + piece.second; });
}

} // namespace

std::vector<ReelKind> reel_kinds(const Voice& voice, const std::vector<CutCable>& cuts) {
    std::vector<ReelKind> kinds;
    const double step_m = voice.harness().units == model::UnitSystem::us ? base::metre_per_foot : 1;
    for (const CutCable& cut : cuts) {
        model::Cable one = voice.harness().cable(cut.cable);
        one.parallel = 1; // the pieces are counted, not named
        const std::string words = voice.cable_words(one) + ", " + voice.insulation(one);
        auto found = std::find_if(kinds.begin(), kinds.end(),
                                  [&](const ReelKind& kind) { return kind.words == words; });
        if (found == kinds.end())
            found = kinds.insert(kinds.end(), {.words = words, .cuts = {}, .total_m = 0, .step_m = step_m});
        found->cuts.push_back(&cut);
        found->total_m += cut.cut_m * cut.pieces;
    }
    const auto section = [&](const ReelKind& kind) {
        const model::Cable& cable = voice.harness().cable(kind.cuts.front()->cable);
        return kind.cuts.front()->section_known ? cable.section_mm2.value : 0;
    };
    std::stable_sort(kinds.begin(), kinds.end(),
                     [&](const ReelKind& a, const ReelKind& b) { return section(a) < section(b); });
    return kinds;
}

std::vector<BoughtLength> bought_lengths(const ReelKind& kind) {
    std::vector<std::pair<const CutCable*, double>> pieces;
    for (const CutCable* cut : kind.cuts)
        for (int i = 0; i < cut->pieces; ++i)
            pieces.emplace_back(cut, cut->cut_m);
    std::stable_sort(pieces.begin(), pieces.end(),
                     [](const auto& a, const auto& b) { return a.second > b.second; });
    std::vector<BoughtLength> bought;
    for (const auto& piece : pieces) {
        auto room = std::find_if(bought.begin(), bought.end(), [&](const BoughtLength& length) {
            return used_m(length) + piece.second <= longest_reel_m + dust_m;
        });
        if (room == bought.end())
            room = bought.insert(bought.end(), BoughtLength{});
        room->pieces.push_back(piece);
    }
    for (BoughtLength& length : bought)
        length.length_m = std::ceil((used_m(length) - dust_m) / kind.step_m) * kind.step_m;
    return bought;
}

std::vector<layout::papers::Reel> reel_plan(const Voice& voice, const std::vector<CutCable>& cuts) {
    std::vector<layout::papers::Reel> reels;
    for (const ReelKind& kind : reel_kinds(voice, cuts))
        for (const BoughtLength& bought : bought_lengths(kind)) {
            layout::papers::Reel reel;
            reel.caption =
                voice.say(Phrase::reel_caption, {voice.bought_length(bought.length_m), kind.words});
            reel.length_m = bought.length_m;
            for (const auto& [cut, length_m] : bought.pieces)
                reel.pieces.push_back({.number = cut->number, .length_m = length_m});
            const double left_m = bought.length_m - used_m(bought);
            // What is shown as nothing, rounded down, is not told.
            if (left_m > (voice.harness().units == model::UnitSystem::us ? 0.1 * base::metre_per_foot : 0.01))
                reel.left = voice.say(Phrase::reel_left, {voice.left_length(left_m)});
            reels.push_back(std::move(reel));
        }
    return reels;
}

} // namespace stoutloom::report

#include "size/landing_rows.h"

#include "size/fittings.h"
#include "size/requirements.h"

#include <algorithm>

namespace stoutloom::size {
namespace {

constexpr std::size_t most_tried = 4096;

/// All combinations of the sizes of one landing, as one number each; the first choice counts fastest.
class Combinations {
  public:
    Combinations(const Choices& choices, const std::vector<std::size_t>& fittings) {
        for (const std::size_t i : fittings) {
            step_.push_back(count_);
            options_.push_back(choices.list[i].options.size());
            count_ = count_ > most_tried ? count_ : count_ * options_.back();
        }
    }
    std::size_t count() const { return count_; }
    std::size_t option(std::size_t combination, std::size_t place) const {
        return combination / step_[place] % options_[place];
    }
    std::size_t options(std::size_t place) const { return options_[place]; }
    bool within(std::size_t combination, const std::vector<Range>& box) const {
        for (std::size_t p = 0; p < box.size(); ++p)
            if (const std::size_t o = option(combination, p); o < box[p].low || o > box[p].high)
                return false;
        return true;
    }

  private:
    std::vector<std::size_t> step_, options_;
    std::size_t count_ = 1;
};

bool all_bad(const Combinations& all, const std::vector<bool>& bad, const std::vector<Range>& box) {
    for (std::size_t c = 0; c < all.count(); ++c)
        if (!bad[c] && all.within(c, box))
            return false;
    return true;
}

/// The bad combinations as boxes, each as wide as it goes.
std::vector<std::vector<Range>> boxes_of(const Combinations& all, const std::vector<bool>& bad,
                                         const std::vector<std::size_t>& fittings) {
    std::vector<std::vector<Range>> boxes;
    std::vector<bool> covered(all.count(), false);
    for (std::size_t c = 0; c < all.count(); ++c) {
        if (!bad[c] || covered[c])
            continue;
        std::vector<Range> box;
        for (std::size_t p = 0; p < fittings.size(); ++p)
            box.push_back({fittings[p], all.option(c, p), all.option(c, p)});
        for (std::size_t p = 0; p < box.size(); ++p) {
            const auto widened = [&](Range range) {
                std::vector<Range> wider = box;
                wider[p] = range;
                const bool good = all_bad(all, bad, wider);
                if (good)
                    box = std::move(wider);
                return good;
            };
            while (box[p].high + 1 < all.options(p) &&
                   widened({box[p].variable, box[p].low, box[p].high + 1})) {
            }
            while (box[p].low > 0 && widened({box[p].variable, box[p].low - 1, box[p].high})) {
            }
        }
        for (std::size_t other = 0; other < all.count(); ++other)
            if (all.within(other, box))
                covered[other] = true;
        boxes.push_back(std::move(box));
    }
    return boxes;
}

} // namespace

LandingChoices landing_choices(const check::LandingVerdict& landing, const Choices& choices) {
    const auto has_end = [&](auto test) {
        return std::any_of(landing.ends.begin(), landing.ends.end(), test);
    };
    LandingChoices found;
    for (std::size_t i = 0; i < choices.list.size(); ++i) {
        const Choice& choice = choices.list[i];
        const bool stud = choice.kind == ChoiceKind::stud &&
                          std::any_of(landing.studs.begin(), landing.studs.end(),
                                      [&](model::TerminalIndex t) { return model::at(t) == choice.index; });
        const bool lug = choice.kind == ChoiceKind::lug && has_end([&](const check::LooseEnd& end) {
                             return end_index(model::at(end.cable), end.end) == choice.index;
                         });
        const bool section = choice.kind == ChoiceKind::section && has_end([&](const check::LooseEnd& end) {
                                 return model::at(end.cable) == choice.index;
                             });
        if (stud || lug)
            found.fittings.push_back(i);
        if (section)
            found.sections.push_back(i);
    }
    return found;
}

std::vector<Row> landing_rows(const model::Harness& harness, const Choices& choices,
                              const std::vector<check::LandingVerdict>& landings) {
    std::vector<Row> rows;
    for (const check::LandingVerdict& landing : landings) {
        const std::vector<std::size_t> fittings = landing_choices(landing, choices).fittings;
        if (fittings.empty() || accepted(harness, "keyed-landing", landing.id))
            continue;
        const Combinations all(choices, fittings);
        if (all.count() > most_tried)
            continue;
        // With all sections alike more ends may be exchanged than with any others: what is wrong then is
        // wrong with all.
        Assignment assignment(choices.list.size(), 0);
        std::vector<bool> bad;
        for (std::size_t c = 0; c < all.count(); ++c) {
            for (std::size_t p = 0; p < fittings.size(); ++p)
                assignment[fittings[p]] = all.option(c, p);
            model::Harness made = applied(harness, choices, assignment);
            for (const check::LooseEnd& end : landing.ends)
                made.cables[model::at(end.cable)].section_mm2.value = 10;
            bad.push_back(!check::wrong_assemblies(check::puzzle_of(made, landing)).completing.empty());
        }
        for (const std::vector<Range>& box : boxes_of(all, bad, fittings))
            rows.push_back(row_against(choices.variables(), box, "keyed-landing " + landing.id));
    }
    return rows;
}

} // namespace stoutloom::size

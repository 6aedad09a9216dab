// How low each drawing may be is found by placing it anew at a few heights; the fewest pages that hold the
// row of drawings in its order follow from that.
#include "layout/decks.h"

#include "layout/pen.h"
#include "layout/sheet_search.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <optional>

namespace stoutloom::layout {
namespace {

constexpr double between_mm = 4;
constexpr double step_mm = 14;
constexpr double least_deck_mm = 68; // head, lanes, unit row

class Decks {
  public:
    Decks(const DiagramContent& content, const SheetSize& size, const TextMeasure& measure)
        : content_(content), size_(size), measure_(measure) {
        Arrangement plain;
        plain.size = size;
        plain.share.first = false;
        settle_frame(plain);
        top_ = plain.top_mm;
        whole_ = plain.bottom_mm - plain.top_mm;
    }
    void stack(std::vector<PlacedSheet>& sheets, std::size_t from, std::size_t to) const;

  private:
    const DiagramContent& content_;
    const SheetSize& size_;
    const TextMeasure& measure_;
    double top_ = 0, whole_ = 0;

    std::optional<PlacedSheet> at(const PlacedSheet& sheet, double top, double tall,
                                  Reordering reordering) const;
    double least_height(const PlacedSheet& sheet) const;
    std::vector<PlacedSheet> page(const std::vector<PlacedSheet>& sheets, std::size_t from,
                                  const std::vector<std::size_t>& together,
                                  const std::vector<double>& least) const;
};

/// How much is told at a distance or could be taken for another's.
double strained(const Notes& notes) {
    double sum = 0;
    for (const CableNote& note : notes.cables)
        sum += note.doubt + (note.beside ? 8 : 0);
    return sum;
}

bool as_good(const PlacedSheet& low, const PlacedSheet& full) {
    const Notes& a = low.notes;
    const Notes& b = full.notes;
    return a.without_label() + a.short_labels() <= b.without_label() + b.short_labels() &&
           low.routing.cut <= full.routing.cut && low.routing.crossings <= full.routing.crossings + 2 &&
           strained(a) <= strained(b) + 60 && low.arrangement.volt_line >= full.arrangement.volt_line;
}

/// The same things drawn anew between two heights, if that is as good.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): a place and a length, named so
std::optional<PlacedSheet> Decks::at(const PlacedSheet& sheet, double top, double tall,
                                     Reordering reordering) const {
    SheetShare share = sheet.arrangement.share;
    share.deck_top_mm = top;
    share.deck_bottom_mm = top + tall;
    auto placed = search_sheet(content_, share, size_, measure_,
                               sheet.routing.cut > 0 ? Cutting::when_stuck : Cutting::never, reordering);
    if (!placed || !as_good(*placed, sheet))
        return std::nullopt;
    return std::move(*placed);
}

double Decks::least_height(const PlacedSheet& sheet) const {
    const auto share_of = [&](double parts) {
        return std::floor((whole_ - (parts - 1) * between_mm) / parts * 2) / 2;
    };
    const double half = share_of(2);
    const auto can = [&](double tall) {
        return tall >= least_deck_mm && tall + between_mm + least_deck_mm <= whole_ &&
               at(sheet, top_, tall, Reordering::none);
    };
    if (can(half)) {
        const bool low = sheet.arrangement.share.control && sheet.arrangement.share.cables.size() <= 5;
        return low && can(share_of(3)) ? share_of(3) : can(half - step_mm) ? half - step_mm : half;
    }
    return can(half + step_mm) ? half + step_mm : can(half + 2 * step_mm) ? half + 2 * step_mm : whole_;
}

/// The drawings one under the other, what is left over shared among them; none when one no longer fits.
std::vector<PlacedSheet> Decks::page(const std::vector<PlacedSheet>& sheets, std::size_t from,
                                     const std::vector<std::size_t>& together,
                                     const std::vector<double>& least) const {
    double spare = whole_ + between_mm;
    for (const std::size_t k : together)
        spare -= least[k] + between_mm;
    std::vector<PlacedSheet> made;
    double top = top_;
    for (const std::size_t k : together) {
        const bool last = k == together.back();
        const double tall =
            last ? top_ + whole_ - top
                 : std::floor((least[k] + spare / static_cast<double>(together.size())) * 2) / 2;
        std::optional<PlacedSheet> placed = at(sheets[from + k], top, tall, Reordering::single);
        if (!placed)
            return {};
        placed->under = !made.empty();
        made.push_back(std::move(*placed));
        top += tall + between_mm;
    }
    return made;
}

void Decks::stack(std::vector<PlacedSheet>& sheets, std::size_t from, std::size_t to) const {
    const std::size_t count = to - from;
    std::vector<double> least(count, whole_);
    for (std::size_t i = 0; i < count; ++i) {
        const PlacedSheet& sheet = sheets[from + i];
        const bool alone = count == 1 || !sheet.list.rows.empty() ||
                           (sheet.arrangement.share.first && !sheet.arrangement.share.control);
        if (!alone)
            least[i] = least_height(sheet);
    }
    // In the order of the vehicle, each with the highest of those soon after it that still fits under it.
    constexpr std::size_t look_ahead = 8;
    std::vector<PlacedSheet> made;
    std::vector<bool> placed(count, false);
    for (std::size_t i = 0; i < count; ++i) {
        if (placed[i])
            continue;
        std::vector<std::size_t> together{i};
        double tall = least[i];
        for (;;) {
            std::size_t next = nowhere;
            for (std::size_t k = i + 1; k < std::min(count, i + 1 + look_ahead); ++k)
                if (!placed[k] && std::find(together.begin(), together.end(), k) == together.end() &&
                    tall + between_mm + least[k] <= whole_ + 1e-6 &&
                    (next == nowhere || least[k] > least[next]))
                    next = k;
            if (next == nowhere)
                break;
            together.push_back(next);
            tall += between_mm + least[next];
        }
        std::vector<PlacedSheet> one;
        for (; together.size() > 1 && one.empty(); together.pop_back())
            if (one = page(sheets, from, together, least); !one.empty())
                break;
        if (one.empty())
            one.push_back(sheets[from + i]);
        for (const std::size_t k : together)
            placed[k] = true;
        std::move(one.begin(), one.end(), std::back_inserter(made));
    }
    std::move(made.begin(), made.end(), sheets.begin() + static_cast<std::ptrdiff_t>(from));
}

} // namespace

void stack_decks(std::vector<PlacedSheet>& sheets, std::pair<std::size_t, std::size_t> range,
                 const DiagramContent& content, const SheetSize& size, const TextMeasure& measure) {
    if (range.second > range.first)
        Decks(content, size, measure).stack(sheets, range.first, range.second);
}

} // namespace stoutloom::layout

// How low each drawing may be is found by placing it anew at a few heights; the fewest pages that hold the
// row of drawings in its order follow from that.
#include "layout/decks.h"

#include "layout/flag_room.h"
#include "layout/page_groups.h"
#include "layout/pen.h"
#include "layout/sheet_search.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <optional>
#include <set>

namespace stoutloom::layout {
namespace {

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
    std::optional<PlacedSheet> lower(const PlacedSheet& sheet, double less_mm) const;

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
    // That there is one is all that matters before it is drawn in earnest.
    const auto good = [&](const PlacedSheet& low) {
        return reordering == Reordering::none && low.notes.without_balloon() == 0 && as_good(low, sheet);
    };
    auto placed =
        search_sheet(content_, share, size_, measure_,
                     sheet.routing.cut > 0 ? Cutting::when_stuck : Cutting::never, reordering, good);
    if (!placed || !as_good(*placed, sheet))
        return std::nullopt;
    return std::move(*placed);
}

double Decks::least_height(const PlacedSheet& sheet) const {
    const auto share_of = [&](double parts) {
        return std::floor((whole_ - (parts - 1) * between_decks_mm) / parts * 2) / 2;
    };
    const double half = share_of(2);
    const auto can = [&](double tall) {
        return tall >= least_deck_mm && tall + between_decks_mm + least_deck_mm <= whole_ &&
               at(sheet, top_, tall, Reordering::none);
    };
    if (sheet.arrangement.share.control && sheet.arrangement.share.cables.size() <= 5 && can(share_of(3)))
        return share_of(3);
    double found = whole_;
    double steps = 0; // off the half page
    if (can(half)) {
        found = half;
        for (steps = -1; steps >= -2 && can(half + steps * step_mm); --steps)
            found = half + steps * step_mm;
        return found - step_mm / 2 >= half - 2 * step_mm && can(found - step_mm / 2) ? found - step_mm / 2
                                                                                     : found;
    }
    for (steps = 1; steps <= 2 && found == whole_; ++steps)
        if (can(half + steps * step_mm))
            found = half + steps * step_mm;
    return found < whole_ && can(found - step_mm / 2) ? found - step_mm / 2 : found;
}

/// The drawings one under the other, what is left over shared among them; none when one no longer fits.
std::vector<PlacedSheet> Decks::page(const std::vector<PlacedSheet>& sheets, std::size_t from,
                                     const std::vector<std::size_t>& together,
                                     const std::vector<double>& least) const {
    double spare = whole_ + between_decks_mm;
    for (const std::size_t k : together)
        spare -= least[k] + between_decks_mm;
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
        top += tall + between_decks_mm;
    }
    return made;
}

/// Alone on its page, so much lower, if not a crossing more comes of it and no flag is lost.
std::optional<PlacedSheet> Decks::lower(const PlacedSheet& sheet, double less_mm) const {
    const double tall = sheet.arrangement.bottom_mm - top_ - less_mm;
    std::optional<PlacedSheet> placed = at(sheet, top_, tall, Reordering::single);
    if (!placed || placed->routing.crossings > sheet.routing.crossings)
        return std::nullopt;
    std::set<std::size_t> shown;
    for (const FlagNote& note : sheet.notes.flags)
        if (note.placed)
            shown.insert(note.flag);
    *placed = with_room_for_flags(content_, std::move(*placed), shown, measure_);
    const auto lost = [&](const FlagNote& note) { return !note.placed && shown.contains(note.flag); };
    if (std::any_of(placed->notes.flags.begin(), placed->notes.flags.end(), lost))
        return std::nullopt;
    return placed;
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
    std::map<PageGroup, std::vector<PlacedSheet>> drawn;
    std::set<PageGroup> barred; // one of them found no place at its share of the height
    std::vector<PageGroup> groups;
    for (bool again = true; again;) {
        again = false;
        groups = page_groups(least, whole_, barred);
        for (const PageGroup& group : groups) {
            if (group.size() < 2 || drawn.contains(group))
                continue;
            std::vector<PlacedSheet> one = page(sheets, from, group, least);
            again = one.empty();
            if (again) {
                barred.insert(group);
                break;
            }
            drawn[group] = std::move(one);
        }
    }
    std::vector<PlacedSheet> made;
    for (const PageGroup& group : groups) {
        std::vector<PlacedSheet> one = group.size() < 2 ? std::vector{sheets[from + group[0]]} : drawn[group];
        std::move(one.begin(), one.end(), std::back_inserter(made));
    }
    std::move(made.begin(), made.end(), sheets.begin() + static_cast<std::ptrdiff_t>(from));
}

} // namespace

std::optional<PlacedSheet> drawn_lower(const PlacedSheet& sheet, double less_mm,
                                       const DiagramContent& content, const SheetSize& size,
                                       const TextMeasure& measure) {
    return Decks(content, size, measure).lower(sheet, less_mm);
}

void stack_decks(std::vector<PlacedSheet>& sheets, std::pair<std::size_t, std::size_t> range,
                 const DiagramContent& content, const SheetSize& size, const TextMeasure& measure) {
    if (range.second > range.first)
        Decks(content, size, measure).stack(sheets, range.first, range.second);
}

} // namespace stoutloom::layout

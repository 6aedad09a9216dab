// First what is spare anyway, then the first sheet, then single drawings from the last one on.
#include "layout/findings_room.h"

#include "layout/decks.h"

#include <algorithm>
#include <utility>

namespace stoutloom::layout {
namespace {

class FindingsRoom {
  public:
    FindingsRoom(std::vector<PlacedSheet>& sheets, const Strips& strips, const DiagramContent& content,
                 const SheetSize& size, const TextMeasure& measure)
        : sheets_(sheets), strips_(strips), content_(content), size_(size), measure_(measure) {}
    void make();

  private:
    std::vector<PlacedSheet>& sheets_;
    const Strips& strips_;
    const DiagramContent& content_;
    const SheetSize& size_;
    const TextMeasure& measure_;

    std::vector<Page> blank_pages() const;
    void restore(const std::vector<PlacedSheet>& whole);
    bool lower_first();
    void give_room();
};

void FindingsRoom::make() {
    if (strips_.hold_all(blank_pages()))
        return;
    const std::vector<PlacedSheet> whole = sheets_;
    for (std::size_t i = 0; i < sheets_.size(); ++i)
        if (i + 1 == sheets_.size() || !sheets_[i + 1].under)
            sheets_[i].arrangement.bottom_mm -= strips_.spare_mm(sheets_[i]);
    if (strips_.hold_all(blank_pages())) {
        restore(whole);
        return;
    }
    sheets_ = whole;
    if (!lower_first())
        give_room();
}

/// The first sheet's drawing anew as much lower as its box of findings needs to hold the rest.
bool FindingsRoom::lower_first() {
    const std::vector<PlacedSheet> whole = sheets_;
    const bool strip = size_.has_strip && !sheets_.empty() && sheets_.front().arrangement.share.first &&
                       !sheets_.front().arrangement.share.control && sheets_.front().list.rows.empty();
    for (double less_mm = 12; strip && less_mm <= 60; less_mm += 12) {
        sheets_.front().arrangement.bottom_mm -= less_mm;
        const bool would_do = strips_.hold_all(blank_pages());
        sheets_ = whole;
        if (!would_do)
            continue;
        auto lower = drawn_lower(sheets_.front(), less_mm, content_, size_, measure_);
        if (!lower)
            return false;
        sheets_.front() = std::move(*lower);
        if (strips_.hold_all(blank_pages()))
            return true;
        sheets_ = whole;
    }
    return false;
}

/// Draws single drawings anew a little lower, the last first, until the boxes at their foot hold every
/// finding; if none can, all is as it was.
void FindingsRoom::give_room() {
    const std::vector<PlacedSheet> whole = sheets_;
    std::vector<std::size_t> alone;
    for (std::size_t i = 0; i < sheets_.size(); ++i)
        if (size_.has_strip && sheets_[i].list.rows.empty() && !sheets_[i].under &&
            (i + 1 == sheets_.size() || !sheets_[i + 1].under) &&
            (sheets_[i].arrangement.share.control || !sheets_[i].arrangement.share.first))
            alone.push_back(i);
    for (const double row_mm : {34.0, 46.0}) {
        for (const std::size_t i : alone)
            sheets_[i].arrangement.bottom_mm -= row_mm;
        const bool would_do = strips_.hold_all(blank_pages());
        sheets_ = whole;
        if (!would_do)
            continue;
        for (std::size_t k = alone.size(); k-- > 0;)
            if (auto lower = drawn_lower(sheets_[alone[k]], row_mm, content_, size_, measure_)) {
                sheets_[alone[k]] = std::move(*lower);
                if (strips_.hold_all(blank_pages()))
                    return;
            }
        sheets_ = whole;
    }
}

/// No drawing gives more than is needed: first those without a flag take their height back.
void FindingsRoom::restore(const std::vector<PlacedSheet>& whole) {
    for (const bool flagged : {false, true})
        for (std::size_t i = sheets_.size(); i-- > 0;) {
            const auto& flags = whole[i].notes.flags;
            const double high = whole[i].arrangement.bottom_mm;
            if (flagged !=
                std::any_of(flags.begin(), flags.end(), [](const FlagNote& note) { return note.placed; }))
                continue;
            const double low = std::exchange(sheets_[i].arrangement.bottom_mm, high);
            if (low < high && !strips_.hold_all(blank_pages()))
                sheets_[i].arrangement.bottom_mm = low;
        }
}

/// As many as there are, for what depends on their number alone.
std::vector<Page> FindingsRoom::blank_pages() const {
    return std::vector<Page>(static_cast<std::size_t>(std::count_if(
        sheets_.begin(), sheets_.end(), [](const PlacedSheet& sheet) { return !sheet.under; })));
}

} // namespace

void make_room_for_findings(std::vector<PlacedSheet>& sheets, const Strips& strips,
                            const DiagramContent& content, const SheetSize& size,
                            const TextMeasure& measure) {
    FindingsRoom(sheets, strips, content, size, measure).make();
}

} // namespace stoutloom::layout

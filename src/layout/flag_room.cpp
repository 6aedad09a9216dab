// Heights first, then a wider panel, then the room of the volt line, then another order; what changes least
// and leaves no flag over is kept.
#include "layout/flag_room.h"

#include "layout/rearrange.h"
#include "layout/sheet_search.h"
#include "layout/wandering.h"

#include <algorithm>
#include <optional>
#include <utility>

namespace stoutloom::layout {
namespace {

constexpr int most_orders = 24;

class FlagRoom {
  public:
    FlagRoom(const DiagramContent& content, const PlacedSheet& sheet, const std::set<std::size_t>& wanted,
             const TextMeasure& measure)
        : content_(content), measure_(measure), wanted_(wanted), first_(sheet), best_(sheet),
          missing_(missing(sheet)) {
        for (const RunGlyph& run : content.cables)
            labels_.push_back(label_size(run, false, measure));
    }
    PlacedSheet found();

  private:
    const DiagramContent& content_;
    const TextMeasure& measure_;
    const std::set<std::size_t>& wanted_;
    const PlacedSheet& first_;
    PlacedSheet best_;
    std::size_t missing_;
    std::vector<LabelBox> labels_;

    std::size_t missing(const PlacedSheet& sheet) const;
    bool as_tidy(const PlacedSheet& sheet) const;
    std::optional<PlacedSheet> drawn(const SheetShare& share, ArrangeWish wish, const Heights& heights) const;
    void attempt(const SheetShare& share, const ArrangeWish& wish, const Heights& heights);
    void other_heights(const ArrangeWish& wish, bool volt_line);
};

std::size_t FlagRoom::missing(const PlacedSheet& sheet) const {
    const std::vector<FlagNote>& flags = sheet.notes.flags;
    const std::vector<FlagNote>& before = first_.notes.flags;
    std::size_t count = 0;
    for (std::size_t i = 0; i < flags.size(); ++i)
        if (!flags[i].placed && (before[i].placed || (flags[i].here && wanted_.contains(flags[i].flag))))
            ++count;
    return count;
}

bool FlagRoom::as_tidy(const PlacedSheet& sheet) const {
    const Notes& now = sheet.notes;
    const Notes& before = first_.notes;
    return sheet.routing.cut <= first_.routing.cut && sheet.routing.crossings <= first_.routing.crossings &&
           now.without_balloon() == 0 &&
           now.without_label() + now.short_labels() <= before.without_label() + before.short_labels() &&
           now.incidentals.size() >= before.incidentals.size();
}

std::optional<PlacedSheet> FlagRoom::drawn(const SheetShare& share, ArrangeWish wish,
                                           const Heights& heights) const {
    auto across = arranged_close(content_, share, first_.arrangement.size, measure_, wish);
    if (!across || !arrange_down(*across, heights) || !stands_free(*across, measure_))
        return std::nullopt;
    const Cutting cutting = first_.routing.cut > 0 ? Cutting::when_stuck : Cutting::never;
    std::optional<Routing> best;
    for (const TagsFirst first : {TagsFirst::no, TagsFirst::yes}) {
        Routing routing = route_sheet(*across, labels_, measure_, cutting, first);
        if (routing.stuck.empty() && (!best || routing.cost < best->cost))
            best = std::move(routing);
    }
    if (!best || best->crossings > first_.routing.crossings)
        return std::nullopt;
    PlacedSheet sheet;
    sheet.standing = {wish, heights};
    sheet.under = first_.under;
    sheet.notes = place_notes(*across, *best, measure_, Crowding::make_room);
    sheet.arrangement = std::move(*across);
    sheet.routing = std::move(*best);
    return sheet;
}

void FlagRoom::attempt(const SheetShare& share, const ArrangeWish& wish, const Heights& heights) {
    if (missing_ == 0)
        return;
    std::optional<PlacedSheet> sheet = drawn(share, wish, heights);
    if (!sheet || !as_tidy(*sheet))
        return;
    if (const std::size_t left = missing(*sheet); left < missing_) {
        missing_ = left;
        best_ = std::move(*sheet);
    }
}

void FlagRoom::other_heights(const ArrangeWish& wish, bool volt_line) {
    const Heights usual = first_.standing.heights;
    for (const double lower : {0.0, -6.0, -12.0, -20.0, 8.0, 16.0})
        for (const double higher : {0.0, 5.0, 10.0, -5.0})
            if (usual.return_mm + lower >= 8 && usual.upper_mm + higher >= 20)
                attempt(first_.arrangement.share, wish,
                        {usual.upper_mm + higher, usual.return_mm + lower, volt_line});
}

PlacedSheet FlagRoom::found() {
    const SheetShare& share = first_.arrangement.share;
    const ArrangeWish wish = first_.standing.wish;
    const bool volts = first_.standing.heights.volt_line;
    other_heights(wish, volts);
    for (const double gap_mm : {14.0, 10.0, 6.0, 3.0})
        if (gap_mm > wish.gap_mm) {
            ArrangeWish wide = wish;
            wide.gap_mm = gap_mm;
            attempt(share, wide, first_.standing.heights);
        }
    for (const double room_mm : {30.0, 16.0})
        for (std::size_t panel = 0; panel < share.panels.size(); ++panel) {
            ArrangeWish wide = wish;
            wide.label_room_mm = room_mm;
            wide.label_panel = panel;
            attempt(share, wide, first_.standing.heights);
        }
    if (volts)
        other_heights(wish, false);
    // Another order, from the sheet as it was.
    int orders = 0;
    for (std::size_t panel = 0; panel < share.panels.size(); ++panel) {
        const std::vector<std::size_t>& units = share.panels[panel].units;
        for (std::size_t i = 0; i < units.size() && orders < most_orders; ++i, ++orders) {
            attempt(rearranged(share, {Rearrangement::Kind::mirror, units[i], 0}), wish,
                    first_.standing.heights);
            if (i + 1 < units.size())
                attempt(rearranged(share, {Rearrangement::Kind::exchange, units[i], units[i + 1]}), wish,
                        first_.standing.heights);
        }
    }
    return std::move(best_);
}

} // namespace

std::set<std::size_t> flags_without_place(const std::vector<PlacedSheet>& sheets) {
    std::set<std::size_t> wanted;
    for (const PlacedSheet& sheet : sheets)
        for (const FlagNote& note : sheet.notes.flags)
            if (note.here)
                wanted.insert(note.flag);
    for (const PlacedSheet& sheet : sheets)
        for (const FlagNote& note : sheet.notes.flags)
            if (note.placed)
                wanted.erase(note.flag);
    return wanted;
}

PlacedSheet with_room_for_flags(const DiagramContent& content, PlacedSheet sheet,
                                const std::set<std::size_t>& wanted, const TextMeasure& measure) {
    const bool concerned =
        std::any_of(sheet.notes.flags.begin(), sheet.notes.flags.end(), [&](const FlagNote& note) {
            return note.here && !note.placed && wanted.contains(note.flag);
        });
    if (!concerned || !sheet.list.rows.empty())
        return sheet;
    return FlagRoom(content, sheet, wanted, measure).found();
}

} // namespace stoutloom::layout

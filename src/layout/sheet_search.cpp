// The coarse search: everything finer is decided by the router and the label search inside it.
#include "layout/sheet_search.h"

#include "layout/volt_line.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {

double sheet_cost(const PlacedSheet& sheet) {
    double cost = 1e5 * static_cast<double>(sheet.notes.without_balloon()) +
                  4000 * static_cast<double>(sheet.notes.without_label()) +
                  900 * static_cast<double>(sheet.notes.short_labels());
    for (const FlagNote& flag : sheet.notes.flags)
        cost += flag.placed ? 0.5 * (flag.dot.y_mm - flag.box.y_mm) : 60;
    cost += 120.0 * sheet.routing.crossings;
    for (const Routed& route : sheet.routing.routes)
        cost += 0.5 * track_length_mm(route.track) + 12.0 * track_bends(route.track);
    for (const CableNote& note : sheet.notes.cables)
        cost += note.beside ? 60 : 0;
    // The volt line is worth some crowding, not a missing label.
    return cost + (sheet.arrangement.content->volt_line && !sheet.arrangement.volt_line &&
                           !sheet.arrangement.share.control
                       ? 500
                       : 0);
}

namespace {
class SheetSearch {
  public:
    SheetSearch(const DiagramContent& content, const TextMeasure& measure)
        : content_(content), measure_(measure) {
        for (const RunGlyph& run : content.cables)
            labels_.push_back(label_size(run, false, measure));
    }
    void heights(const Arrangement& across);
    std::optional<PlacedSheet> best;
    double least = 1e18;
    bool complete() const { return best && least < 900; }
    bool labelled() const {
        return best &&
               best->notes.without_label() + best->notes.without_balloon() + best->notes.short_labels() == 0;
    }

  private:
    const DiagramContent& content_;
    const TextMeasure& measure_;
    std::vector<LabelBox> labels_;

    void attempt(Arrangement arrangement, const Heights& heights);
};

void SheetSearch::attempt(Arrangement arrangement, const Heights& heights) {
    if (!arrange_down(arrangement, heights))
        return;
    Routing routing = route_sheet(arrangement, labels_, measure_);
    if (routing.routes.size() != arrangement.share.cables.size()) {
                     heights.return_mm);
        return;
    }
    PlacedSheet sheet{std::move(arrangement), std::move(routing), {}};
    sheet.notes = place_notes(sheet.arrangement, sheet.routing, measure_);
    // Room above the highest thing is wasted; a fuller sheet reads better.
    if (const double cost = sheet_cost(sheet); cost < least) {
        least = cost;
        best = std::move(sheet);
    }
}

void SheetSearch::heights(const Arrangement& across) {
    const bool hanging = std::any_of(across.studs.begin(), across.studs.end(), [](const PlacedStud& stud) {
        return stud.hanging || stud.row == Row::bed;
    });
    const bool raised =
        std::any_of(across.beds.begin(), across.beds.end(), [](const PlacedBed& bed) { return bed.raised; });
    const bool upper = std::any_of(across.units.begin(), across.units.end(),
                                   [](const PlacedUnit& unit) { return unit.upper; });
    const bool volts = content_.volt_line && volt_line_fits(across, *content_.volt_line);
    std::vector<double> returns{8};
    if (hanging || raised)
        returns = {34, 40, 46, 52, 58, 66, 76};
    if (across.beds.empty() && hanging)
        returns = {20, 26, 34, 42, 52, 64};
    std::vector<double> uppers{33};
    if (upper)
        uppers = {38, 33, 28, 24};
    for (const bool with_volts : {true, false}) {
        if (with_volts && !volts)
            continue;
        for (const double above : uppers)
            for (const double below : returns)
                attempt(across, {above, below, 0, with_volts});
        if (best && labelled())
            return;
    }
}
} // namespace

std::optional<PlacedSheet> search_sheet(const DiagramContent& content, const Ends& ends,
                                        const SheetShare& share, const SheetSize& size,
                                        const TextMeasure& measure) {
    SheetSearch search(content, measure);
    int tried = 0;
    for (const double gap : {14.0, 11.0, 8.0, 6.0, 4.0, 2.5, 1.0, 0.0}) {
        const std::optional<Arrangement> across =
            arrange_across(content, ends, share, size, measure, {0, 0, gap});
        if (!across)
            continue;
        search.heights(*across);
        if (search.labelled() || ++tried >= 2)
            break;
    }
    // Labels that found no place get room: one panel is widened, each in turn.
    for (std::size_t panel = 0; panel < share.panels.size() && !search.labelled() && tried > 0; ++panel)
        for (const double gap : {4.0, 0.0}) {
            const std::optional<Arrangement> across =
                arrange_across(content, ends, share, size, measure, {58, panel, gap});
            if (!across)
                continue;
            search.heights(*across);
            break;
        }
    return std::move(search.best);
}

} // namespace stoutloom::layout

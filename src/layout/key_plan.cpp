// Where the zones are: in columns with their units while the words fit, else numbered along the vehicle, with
// an index that tells the sheets of each.
#include "layout/direction.h"
#include "layout/pen.h"
#include "layout/sheet_paint.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace stoutloom::layout {

// Words from left to right as they stand in the head.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters)
Element titled_box(const std::string& id, const Box& box, const std::string& title, const std::string& aside,
                   const TextMeasure& measure) {
    Element made = element(Role::panel, id);
    made.title = title;
    add(made, rectangle(box, Paint::white, pen(0.35)));
    Text head =
        written(measure, {box.x_mm + 3.5, box.y_mm + 5.6}, title, {.height_mm = 3.5, .weight = Weight::bold});
    const double room = box.width_mm - 7 - head.box.width_mm - 3;
    add(made, std::move(head));
    if (room > 12)
        add(made, written(measure, {box.right_mm() - 3.5, box.y_mm + 5.6},
                          shortened(measure, aside, room, {}), {.anchor = Anchor::right}));
    return made;
}

namespace {
const Lettering bold{.weight = Weight::bold};
const Lettering bold_middle{.weight = Weight::bold, .anchor = Anchor::middle};

std::string zone_name(const DiagramContent& content, std::size_t index) {
    const ZonePanel& zone = content.zones[index];
    return zones_by_id(content) ? "+" + zone.id : zone.label.empty() ? zone.id : zone.label;
}

struct Columns {
    double left, top, width, gap, foot;
    double middle(std::size_t zone) const {
        return left + static_cast<double>(zone) * (width + gap) + width / 2;
    }
};

bool fed(const DiagramContent& content, std::size_t zone) {
    return std::any_of(content.cables.begin(), content.cables.end(), [&](const RunGlyph& run) {
        return run.flow == Flow::feed &&
               std::find(run.zones.begin(), run.zones.end(), zone) != run.zones.end();
    });
}

/// The feed along the vehicle at a height, from the first zone it passes to the last.
void draw_feed(Element& to, const DiagramContent& content, const Columns& columns, double y) {
    double low = 1e9;
    double high = 0;
    for (std::size_t z = 0; z < content.zones.size(); ++z)
        if (fed(content, z)) {
            low = std::min(low, columns.middle(z));
            high = std::max(high, columns.middle(z));
        }
    if (high <= low)
        return;
    add(to, line({low, y}, {high, y}, pen(2.0, Dash::solid, Paint::feed_edge)));
    add(to, line({low, y}, {high, y}, pen(1.5, Dash::solid, Paint::feed_core)));
    add(to, circle({low, y}, 1.2, Paint::ink));
    add(to, circle({high, y}, 1.2, Paint::ink));
}

void draw_front(Element& to, Point at, const TitleFields& fields, const TextMeasure& measure) {
    add(to, line({at.x_mm + 2, at.y_mm}, {at.x_mm + 12, at.y_mm}, pen(0.5)));
    add(to, polyline({at, {at.x_mm + 3, at.y_mm - 1.1}, {at.x_mm + 3, at.y_mm + 1.1}}, true, Paint::ink, {}));
    add(to, written(measure, {at.x_mm + 14, at.y_mm + 1.25}, said(fields, "front")));
}

/// What stands in one column, line by line; nothing when it does not fit.
std::optional<std::vector<Text>> column_words(const DiagramContent& content, std::size_t zone,
                                              const Columns& columns, const TextMeasure& measure) {
    std::vector<Text> made;
    double baseline = columns.top + 4.2;
    bool fits = true;
    const auto write = [&](const std::string& words, const Lettering& lettering) {
        fits = fits && measure.width_mm(words, 2.5, lettering.weight) <= columns.width - 1.5 &&
               baseline < columns.foot - 6;
        made.push_back(written(measure, {columns.middle(zone), baseline}, words, lettering));
        baseline += line_pitch(2.5);
    };
    std::string rest = zone_name(content, zone);
    while (!rest.empty()) { // word by word, as many on a line as it takes
        std::size_t cut = rest.size();
        while (measure.width_mm(rest.substr(0, cut), 2.5, Weight::bold) > columns.width - 1.5) {
            const std::size_t blank = rest.rfind(' ', cut - 1);
            if (blank == std::string::npos)
                return std::nullopt;
            cut = blank;
        }
        write(rest.substr(0, cut), bold_middle);
        rest = cut < rest.size() ? rest.substr(cut + 1) : "";
    }
    for (const UnitGlyph& unit : content.units)
        if (unit.zone == zone && unit.symbol != UnitSymbol::fuse_link)
            write(designation(unit.id), {.anchor = Anchor::middle});
    if (!fits)
        return std::nullopt;
    return made;
}

/// Names and sheets of the zones by number, in columns as narrow as they may be; false when they do not fit.
bool write_index(Element& to, const Box& area, const StripContent& strip, bool sheets,
                 const TextMeasure& measure) {
    const DiagramContent& content = *strip.content;
    const auto rows = static_cast<std::size_t>(std::max(1.0, std::floor(area.height_mm / line_pitch(2.5))));
    const std::size_t count = (content.zones.size() + rows - 1) / rows;
    const double width = area.width_mm / static_cast<double>(count);
    std::vector<Text> made;
    for (std::size_t z = 0; z < content.zones.size(); ++z) {
        const std::size_t column = z / rows;
        const double x = area.x_mm + static_cast<double>(column) * width;
        const double y = area.y_mm + 2.5 + static_cast<double>(z % rows) * line_pitch(2.5);
        made.push_back(written(measure, {x, y}, std::to_string(z + 1), bold));
        std::string words = content.zones[z].label.empty() ? content.zones[z].id : content.zones[z].label;
        if (sheets && z < strip.zone_sheets.size() && !strip.zone_sheets[z].empty())
            words = running_right(words) + ": " + strip.zone_sheets[z];
        made.push_back(written(measure, {x + 5, y}, words));
        if (made.back().box.right_mm() > x + width - 1.5)
            return false;
    }
    for (Text& each : made)
        add(to, std::move(each));
    return true;
}
} // namespace

Element key_plan_element(const Box& box, const StripContent& strip, const TextMeasure& measure) {
    const DiagramContent& content = *strip.content;
    const std::string title = said(content.title, "Key plan");
    const double title_mm = measure.width_mm(title, 3.5, Weight::bold);
    const double front_mm = 17 + measure.width_mm(said(content.title, "front"), 2.5, Weight::regular);
    std::string aside = said(content.title, "not to scale");
    if (title_mm + front_mm + measure.width_mm(aside, 2.5, Weight::regular) + 14 > box.width_mm)
        aside.clear(); // the arrow needs the room
    Element made = titled_box("key-plan", box, title, aside, measure);
    const auto count = static_cast<double>(std::max<std::size_t>(content.zones.size(), 1));
    const double gap = count > 12 ? 0.8 : 2;
    const double left = box.x_mm + 4;
    const double width = (box.width_mm - 8 - gap * (count - 1)) / count;
    Columns columns{left, box.y_mm + 10, width, gap, box.bottom_mm() - 9};
    std::vector<Text> words;
    bool all = true;
    for (std::size_t z = 0; z < content.zones.size() && all; ++z) {
        const auto column = column_words(content, z, columns, measure);
        all = column.has_value();
        if (column)
            words.insert(words.end(), column->begin(), column->end());
    }
    const auto zones = [&] {
        for (std::size_t z = 0; z < content.zones.size(); ++z)
            add(made,
                rectangle({columns.middle(z) - width / 2, columns.top, width, columns.foot - columns.top},
                          Paint::none, pen(0.25, Dash::dash_dot)));
    };
    if (all) {
        zones();
        for (Text& each : words)
            add(made, std::move(each));
        draw_feed(made, content, columns, columns.foot - 3.5);
        draw_front(made, {left, box.bottom_mm() - 4.5}, content.title, measure);
        seal(made);
        return made;
    }
    const bool beside = left + title_mm + 3 + front_mm <= box.right_mm() - 2;
    draw_front(made, beside ? Point{left + title_mm + 3, box.y_mm + 4.4} : Point{left, box.y_mm + 9.2},
               content.title, measure);
    columns.top = box.y_mm + (beside ? 8.5 : 12.5);
    columns.foot = columns.top + 9.5;
    zones();
    for (std::size_t z = 0; z < content.zones.size(); ++z)
        add(made, written(measure, {columns.middle(z), columns.top + 4}, std::to_string(z + 1), bold_middle));
    draw_feed(made, content, columns, columns.foot - 2.8);
    const Box area{left, columns.foot + 2, box.width_mm - 6, box.bottom_mm() - columns.foot - 3};
    if (!write_index(made, area, strip, true, measure))
        write_index(made, area, strip, false, measure);
    seal(made);
    return made;
}

} // namespace stoutloom::layout

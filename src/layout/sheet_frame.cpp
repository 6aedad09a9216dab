// Frame and grid after ISO 5457, title block with the fields of ISO 7200.
#include "layout/sheet_frame.h"

#include "layout/direction.h"
#include "layout/pen.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {
namespace {
constexpr double left_margin_mm = 20;
constexpr double margin_mm = 10;
constexpr double band_mm = 5;
constexpr double field_mm = 50;

/// Borders between reference fields: every 50 from the sheet's centre while a rest of at least 5 stays.
// A length and a stretch of it, in the order of reading.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters)
std::vector<double> field_borders(double sheet_mm, double from, double to) {
    std::vector<double> borders;
    const double centre = sheet_mm / 2;
    for (double at = centre - field_mm * std::floor((centre - from) / field_mm); at < to - 5; at += field_mm)
        if (at > from + 5)
            borders.push_back(at);
    return borders;
}

std::size_t field_index(const std::vector<double>& borders, double at) {
    return static_cast<std::size_t>(std::upper_bound(borders.begin(), borders.end(), at) - borders.begin());
}

char row_letter(std::size_t index) {
    static constexpr std::string_view letters = "ABCDEFGHJKLMNPQRSTUVWXYZ"; // no I, no O
    return letters[std::min(index, letters.size() - 1)];
}
} // namespace

SheetSize sheet_size(Sheet sheet) {
    switch (sheet) {
    case Sheet::a3:
        break;
    case Sheet::a4:
        return {297, 210, 33.6, false, 6, 5, 4};
    case Sheet::letter:
        return {279.4, 215.9, 33.6, false, 6, 5, 4};
    case Sheet::tabloid:
        return {431.8, 279.4, 36, true, 12, 8, 5};
    }
    return {};
}

Box frame_box(const SheetSize& size) {
    return {left_margin_mm, margin_mm, size.width_mm - left_margin_mm - margin_mm,
            size.height_mm - 2 * margin_mm};
}

Box content_box(const SheetSize& size) {
    return grown(frame_box(size), -4);
}

Box title_box(const SheetSize& size) {
    const Box frame = frame_box(size);
    const double width = 180;
    return {frame.right_mm() - width, frame.bottom_mm() - size.title_height_mm, width, size.title_height_mm};
}

std::string grid_reference(const SheetSize& size, Point at) {
    const Box frame = frame_box(size);
    const auto column = field_index(field_borders(size.width_mm, frame.x_mm, frame.right_mm()), at.x_mm);
    const auto row = field_index(field_borders(size.height_mm, frame.y_mm, frame.bottom_mm()), at.y_mm);
    return row_letter(row) + std::to_string(column + 1);
}

namespace {
void label_columns(Element& frame, const SheetSize& size, const TextMeasure& measure) {
    const Box box = frame_box(size);
    std::vector<double> borders = field_borders(size.width_mm, box.x_mm, box.right_mm());
    double from = box.x_mm;
    const std::size_t fields = borders.size() + 1;
    borders.push_back(box.right_mm());
    for (std::size_t i = 0; i < fields; ++i) {
        const double to = borders[i];
        const double middle = (from + to) / 2;
        for (const double top : {box.y_mm - band_mm, box.bottom_mm()}) {
            add(frame, written(measure, {middle, top + band_mm / 2 + 1.25}, std::to_string(i + 1),
                               {.anchor = Anchor::middle}));
            if (i + 1 < fields)
                add(frame, line({to, top}, {to, top + band_mm}, pen(0.35)));
        }
        from = to;
    }
}

void label_rows(Element& frame, const SheetSize& size, const TextMeasure& measure) {
    const Box box = frame_box(size);
    std::vector<double> borders = field_borders(size.height_mm, box.y_mm, box.bottom_mm());
    double from = box.y_mm;
    const std::size_t fields = borders.size() + 1;
    borders.push_back(box.bottom_mm());
    for (std::size_t i = 0; i < fields; ++i) {
        const double to = borders[i];
        for (const double left : {box.x_mm - band_mm, box.right_mm()}) {
            add(frame, written(measure, {left + band_mm / 2, (from + to) / 2 + 1.25},
                               std::string(1, row_letter(i)), {.anchor = Anchor::middle}));
            if (i + 1 < fields)
                add(frame, line({left, to}, {left + band_mm, to}, pen(0.35)));
        }
        from = to;
    }
}
} // namespace

bool zones_by_id(const DiagramContent& content) {
    return std::all_of(content.zones.begin(), content.zones.end(),
                       [](const ZonePanel& zone) { return zone.id.size() <= 4; });
}

Element frame_element(const SheetSize& size, const TextMeasure& measure) {
    Element frame = element(Role::frame, "frame");
    const Box box = frame_box(size);
    add(frame, rectangle(grown(box, band_mm), Paint::none, pen(0.35)));
    add(frame, rectangle(box, Paint::none, pen(0.7)));
    label_columns(frame, size, measure);
    label_rows(frame, size, measure);
    const double middle_x = size.width_mm / 2;
    const double middle_y = size.height_mm / 2;
    const double reach = band_mm + 3;
    add(frame, line({middle_x, box.y_mm - band_mm}, {middle_x, box.y_mm - band_mm + reach}, pen(0.7)));
    // The bottom and right marks stop at the frame where a title block may stand.
    add(frame, line({middle_x, box.bottom_mm()}, {middle_x, box.bottom_mm() + band_mm}, pen(0.7)));
    add(frame, line({box.x_mm - band_mm, middle_y}, {box.x_mm - band_mm + reach, middle_y}, pen(0.7)));
    add(frame,
        line({box.right_mm() + band_mm - reach, middle_y}, {box.right_mm() + band_mm, middle_y}, pen(0.7)));
    seal(frame);
    return frame;
}

namespace {
struct TitleCell {
    double x, y, width, height; // fractions of nothing: millimetres from the block's corner
    std::string caption;
    std::string value;
    double value_height_mm;
    Weight weight;
};

void draw_cell(Element& block, const Box& at, const TitleCell& cell, const TextMeasure& measure) {
    const Box box{at.x_mm + cell.x, at.y_mm + cell.y, cell.width, cell.height};
    add(block, rectangle(box, Paint::none, pen(0.25)));
    const bool low = box.height_mm < 8.6; // the smaller sheets' block
    if (!cell.caption.empty())
        add(block, written(measure, {box.x_mm + 1.6, box.y_mm + (low ? 2.5 : 3.0)}, cell.caption,
                           {.height_mm = 1.8, .paint = Paint::grey}));
    const Lettering lettering{.height_mm = cell.value_height_mm, .weight = cell.weight};
    // A value too long for its cell takes the smaller legible height before it is cut.
    const Lettering smaller{.height_mm = 2.5, .weight = cell.weight};
    const bool fits = measure.width_mm(cell.value, lettering.height_mm, lettering.weight) <= cell.width - 3;
    const Lettering& used = fits ? lettering : smaller;
    add(block, written(measure, {box.x_mm + 1.6, box.bottom_mm() - (low ? 1.6 : 1.9)},
                       shortened(measure, cell.value, cell.width - 3, used), used));
}

void draw_owner(Element& block, const Box& box, const TitleFields& fields, const TextMeasure& measure) {
    add(block, rectangle(box, Paint::none, pen(0.25)));
    add(block, written(measure, {box.x_mm + 1.6, box.y_mm + 3.0}, said(fields, "Legal owner"),
                       {.height_mm = 1.8, .paint = Paint::grey}));
    const Lettering lettering{.height_mm = 3.5, .weight = Weight::bold};
    const std::vector<std::string> lines = wrapped(measure, fields.owner, box.width_mm - 3, lettering, 2);
    double baseline = box.bottom_mm() - 2.2 - line_pitch(3.5) * (static_cast<double>(lines.size()) - 1);
    for (const std::string& each : lines) {
        add(block, written(measure, {box.x_mm + 1.6, baseline}, each, lettering));
        baseline += line_pitch(3.5);
    }
}

void draw_title(Element& block, const Box& box, const TitleFields& fields, const TextMeasure& measure) {
    add(block, rectangle(box, Paint::none, pen(0.25)));
    add(block, written(measure, {box.x_mm + 1.6, box.y_mm + 3.0}, said(fields, "Title, supplementary title"),
                       {.height_mm = 1.8, .paint = Paint::grey}));
    Lettering lettering{.height_mm = 5, .weight = Weight::bold};
    const bool low = box.height_mm < 16.6; // no room for both lines under the caption
    if (low || marks_above(fields.title) ||
        measure.width_mm(fields.title, 5, Weight::bold) > box.width_mm - 3)
        lettering.height_mm = 3.5;
    add(block, written(measure,
                       {box.x_mm + 1.6, box.y_mm + (low                  ? 7.6
                                                    : box.height_mm > 18 ? 10.4
                                                                         : 9.6)},
                       shortened(measure, fields.title, box.width_mm - 3, lettering), lettering));
    add(block, written(measure, {box.x_mm + 1.6, box.bottom_mm() - 2.0},
                       shortened(measure, fields.subtitle, box.width_mm - 3, {}), {}));
}
} // namespace

Element title_element(const SheetSize& size, const TitleFields& fields, const std::string& sheet_number,
                      const TextMeasure& measure) {
    Element block = element(Role::title, "title-block");
    block.title = said(fields, "Title block");
    const Box at = title_box(size);
    const double top = 9;                          // first row
    const double kind = 9;                         // document type
    const double rest = at.height_mm - top - kind; // title
    const double third = (at.height_mm - top) / 3; // right column
    const std::string approved =
        fields.approved_by.empty() ? said(fields, "not yet approved") : fields.approved_by;
    const auto plain = Weight::regular;
    const std::vector<TitleCell> cells{
        {0, 0, 34, top, said(fields, "Responsible dept."), fields.department, 2.5, plain},
        {34, 0, 40, top, said(fields, "Technical reference"), fields.technical_reference, 2.5, plain},
        {74, 0, 36, top, said(fields, "Created by"), fields.created_by, 2.5, plain},
        {110, 0, 36, top, said(fields, "Approved by"), approved, 2.5, plain},
        {146, 0, 34, top, said(fields, "Document status"), fields.status, 2.5, plain},
        {42, top, 88, kind, said(fields, "Document type"), fields.document_type, 2.5, plain},
        {130, top, 50, third, said(fields, "Identification number"), fields.identification, 3.5,
         Weight::bold},
        {130, top + third, 13, third, said(fields, "Rev."), fields.revision, 3.5, Weight::bold},
        {143, top + third, 37, third, said(fields, "Date of issue"), fields.date, 3.5, plain},
        {130, top + 2 * third, 18, third, said(fields, "Lang."), fields.language, 2.5, plain},
        {148, top + 2 * third, 32, third, said(fields, "Sheet"), sheet_number, 3.5, Weight::bold}};
    add(block, rectangle(at, Paint::white));
    for (const TitleCell& cell : cells)
        draw_cell(block, at, cell, measure);
    draw_owner(block, {at.x_mm, at.y_mm + top, 42, at.height_mm - top}, fields, measure);
    draw_title(block, {at.x_mm + 42, at.y_mm + top + kind, 88, rest}, fields, measure);
    add(block, rectangle(at, Paint::none, pen(0.7)));
    seal(block);
    return block;
}

std::string said(const TitleFields& fields, const std::string& english,
                 const std::vector<std::string>& values) {
    const auto at = fields.words.find(english);
    std::string words = at == fields.words.end() ? english : at->second;
    for (std::size_t i = 0; i < values.size(); ++i) {
        const std::string mark = "{" + std::to_string(i) + "}";
        if (const std::size_t place = words.find(mark); place != std::string::npos)
            words.replace(place, mark.size(), values[i]);
    }
    return words;
}

} // namespace stoutloom::layout

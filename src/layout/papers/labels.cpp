#include "layout/papers/labels.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout::papers {
namespace {

constexpr double edge_mm = 4, pad_mm = 2.4;

Box label_box(const LabelGrid& grid, std::size_t index) {
    const std::size_t column = index % grid.columns, row = index / grid.columns;
    return {grid.left_mm + static_cast<double>(column) * grid.pitch_x_mm,
            grid.top_mm + static_cast<double>(row) * grid.pitch_y_mm, grid.width_mm, grid.height_mm};
}

/// As many lines as the label holds; the first ones matter most.
void draw_label(Page& page, const LabelText& label, const Box& place, const TextMeasure& measure) {
    Pen pen(label.id, Role::label, measure);
    const Box inside = grown(place, -pad_mm);
    double y = inside.y_mm + strong_height_mm;
    const Measured strong{.width_mm = inside.width_mm, .height_mm = strong_height_mm, .weight = Weight::bold};
    const std::string both = label.terminal.empty() ? label.strong : label.strong + "  " + label.terminal;
    const bool one_line = measure.width_mm(both, strong_height_mm, Weight::bold) <= inside.width_mm;
    const auto put = [&](const std::string& words, double height, Weight weight) {
        if (y > inside.bottom_mm() + 0.001 || words.empty())
            return;
        const Measured room{.width_mm = inside.width_mm, .height_mm = height, .weight = weight};
        pen.text({.at = {inside.x_mm, y},
                  .words = shortened(words, room, measure),
                  .height_mm = height,
                  .weight = weight});
    };
    if (one_line)
        put(both, strong_height_mm, Weight::bold);
    else {
        put(label.strong, strong_height_mm, Weight::bold);
        y += line_pitch * strong_height_mm;
        put(label.terminal, strong_height_mm, Weight::bold);
    }
    y += line_pitch * text_height_mm + 0.6;
    std::vector<std::string> lines = label.lines;
    // A low label has no line of its own for the insulation: it then follows the section, if it can.
    const double last = y + line_pitch * text_height_mm * (static_cast<double>(lines.size()) - 1);
    if (lines.size() > 2 && last > inside.bottom_mm()) {
        const std::string insulation = ", " + lines.back();
        lines.pop_back();
        lines.back() += insulation;
    }
    for (const std::string& line : lines)
        for (const std::string& part : wrapped(line, {.width_mm = strong.width_mm}, measure)) {
            put(part, text_height_mm, Weight::regular);
            y += line_pitch * text_height_mm;
        }
    pen.put_on(page);
}

/// Corner marks, so that a sheet of plain paper can be cut: hair lines outside the labels only.
void draw_cut_marks(Page& page, const LabelGrid& grid, const TextMeasure& measure) {
    Pen pen(page.id + "-marks", Role::furniture, measure);
    const double right =
        grid.left_mm + grid.pitch_x_mm * static_cast<double>(grid.columns - 1) + grid.width_mm;
    const double bottom = grid.top_mm + grid.pitch_y_mm * static_cast<double>(grid.rows - 1) + grid.height_mm;
    // Printers leave about 3 mm of the paper's edge white.
    const double across = std::clamp(grid.left_mm - 3, 0.9, 2.5),
                 along = std::clamp(grid.top_mm - 3, 0.9, 2.5);
    for (std::size_t c = 0; c <= grid.columns; ++c) {
        const double x = c == grid.columns ? right : grid.left_mm + grid.pitch_x_mm * static_cast<double>(c);
        pen.line({x, grid.top_mm - along}, {x, grid.top_mm - 0.3}, hair_mm);
        pen.line({x, bottom + 0.3}, {x, bottom + along}, hair_mm);
    }
    for (std::size_t r = 0; r <= grid.rows; ++r) {
        const double y = r == grid.rows ? bottom : grid.top_mm + grid.pitch_y_mm * static_cast<double>(r);
        pen.line({grid.left_mm - across, y}, {grid.left_mm - 0.3, y}, hair_mm);
        pen.line({right + 0.3, y}, {right + across, y}, hair_mm);
    }
    pen.put_on(page);
}

} // namespace

LabelGrid grid_for(PaperSize size, double width_mm, double height_mm) {
    const SheetForm form{.size = size, .portrait = true};
    const double wide = sheet_width_mm(form), tall = sheet_height_mm(form);
    LabelGrid grid{
        .width_mm = width_mm, .height_mm = height_mm, .pitch_x_mm = width_mm, .pitch_y_mm = height_mm};
    grid.columns =
        static_cast<std::size_t>(std::max(1.0, std::floor((wide - 2 * edge_mm) / width_mm + 1e-9)));
    grid.rows = static_cast<std::size_t>(std::max(1.0, std::floor((tall - 2 * edge_mm) / height_mm + 1e-9)));
    grid.left_mm = (wide - static_cast<double>(grid.columns) * width_mm) / 2;
    grid.top_mm = (tall - static_cast<double>(grid.rows) * height_mm) / 2;
    return grid;
}

std::vector<Page> build_labels(const LabelsContent& content, PaperSize size, const LabelGrid& grid,
                               const TextMeasure& measure) {
    const std::size_t on_sheet = grid.columns * grid.rows;
    // One label a sheet can only be a grid of giants: it then carries neither title nor caution.
    const std::size_t reserved = on_sheet > 2 ? 2 : 0;
    std::vector<Page> pages;
    for (std::size_t next = 0; next < content.labels.size() || pages.empty();) {
        const std::string id = pages.empty() ? "labels" : "labels-" + std::to_string(pages.size() + 1);
        Page page = blank_page({.size = size, .portrait = true}, id, content.page_title);
        draw_cut_marks(page, grid, measure);
        if (reserved > 0) {
            LabelText title = content.title;
            title.id = id + "-title";
            draw_label(page, title, label_box(grid, 0), measure);
            draw_label(page,
                       {.id = id + "-caution",
                        .strong = content.caution_word,
                        .terminal = {},
                        .lines = {content.caution_text}},
                       label_box(grid, 1), measure);
        }
        for (std::size_t i = reserved; i < on_sheet && next < content.labels.size(); ++i)
            draw_label(page, content.labels[next++], label_box(grid, i), measure);
        pages.push_back(std::move(page));
    }
    return pages;
}

} // namespace stoutloom::layout::papers

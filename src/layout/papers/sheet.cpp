#include "layout/papers/sheet.h"

#include "layout/sheet_frame.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout::papers {
namespace {

constexpr double binding_mm = 20, margin_mm = 10, clear_mm = 4, side_mm = 5;
constexpr double block_width_mm = 180, block_landscape_mm = 33.6, block_portrait_mm = 36,
                 caution_strip_mm = 12.4;

struct Cell {
    Box box;
    std::string caption, value;
    double height_mm = text_height_mm;
    Weight weight = Weight::regular;
};

void draw_cell(Pen& pen, const Cell& cell) {
    pen.box(cell.box, {.width_mm = rule_mm});
    const double room = cell.box.width_mm - 2.4;
    const auto caption =
        shortened(cell.caption, {.width_mm = room, .height_mm = caption_height_mm}, pen.measure());
    pen.text({.at = {cell.box.x_mm + 1.2, cell.box.y_mm + 2.6},
              .words = caption,
              .height_mm = caption_height_mm,
              .paint = Paint::grey});
    double height = cell.height_mm;
    if (pen.width_mm(cell.value, height, cell.weight) > room)
        height = text_height_mm;
    // A cell of several rows holds a long value in several lines.
    const auto lines =
        wrapped(cell.value, {.width_mm = room, .height_mm = height, .weight = cell.weight}, pen.measure());
    if (lines.size() > 1 && lines_height_mm(lines.size(), height) + 6 < cell.box.height_mm) {
        const double first = cell.box.bottom_mm() - 1.2 - lines_height_mm(lines.size(), height) + height;
        pen.lines(
            {.at = {cell.box.x_mm + 1.2, first}, .words = {}, .height_mm = height, .weight = cell.weight},
            lines);
        return;
    }
    const auto value =
        shortened(cell.value, {.width_mm = room, .height_mm = height, .weight = cell.weight}, pen.measure());
    pen.text({.at = {cell.box.x_mm + 1.2, cell.box.bottom_mm() - 1.2},
              .words = value,
              .height_mm = height,
              .weight = cell.weight});
}

/// The sheet's title above what it belongs to; that in two lines where one does not hold it.
void draw_titles(Pen& pen, const Cell& cell, const std::string& title) {
    const double x = cell.box.x_mm + 1.2, room = cell.box.width_mm - 2.4;
    auto lines = wrapped(cell.value, {.width_mm = room}, pen.measure());
    if (lines.size() > 2)
        lines = {lines[0], shortened(cell.value.substr(lines[0].size()), {.width_mm = room}, pen.measure())};
    draw_cell(pen, {.box = cell.box, .caption = cell.caption, .value = {}});
    const double foot = cell.box.bottom_mm() - 1.6,
                 above = foot - 3.9 - text_height_mm - 1.6; // of two lines, under the title
    pen.text(
        {.at = {x, lines.size() > 1 ? above : cell.box.y_mm + 9.2},
         .words = shortened(title, {.width_mm = room, .height_mm = strong_height_mm, .weight = Weight::bold},
                            pen.measure()),
         .height_mm = strong_height_mm,
         .weight = Weight::bold});
    for (std::size_t i = 0; i < lines.size(); ++i)
        pen.text({.at = {x, foot - 3.9 * static_cast<double>(lines.size() - 1 - i)}, .words = lines[i]});
}

void draw_title_block(Pen& pen, const Box& block, const Dress& dress) {
    const TitleFields& title = dress.title;
    const SheetWords& words = dress.words;
    const double x = block.x_mm, y = block.y_mm, width = block.width_mm, first = block.height_mm * 0.245;
    const std::string approved = title.approved_by.empty() ? words.not_yet_approved : title.approved_by;
    const std::vector<std::pair<std::string, std::string>> top{
        {words.department, title.department},
        {words.technical_reference, title.technical_reference},
        {words.created_by, title.created_by},
        {words.approved_by, approved},
        {words.status, title.status}};
    for (std::size_t i = 0; i < top.size(); ++i) {
        const double part = width / static_cast<double>(top.size());
        draw_cell(pen, {.box = {x + part * static_cast<double>(i), y, part, first},
                        .caption = top[i].first,
                        .value = top[i].second});
    }
    const double rest = block.height_mm - first, row = rest / 3, left = width * 0.235, right = width * 0.28;
    const double middle_x = x + left, right_x = x + width - right, top_y = y + first;
    draw_cell(pen, {.box = {x, top_y, left, rest},
                    .caption = words.owner,
                    .value = title.owner,
                    .height_mm = strong_height_mm,
                    .weight = Weight::bold});
    draw_cell(pen, {.box = {middle_x, top_y, right_x - middle_x, row},
                    .caption = words.document_type,
                    .value = title.document_type});
    const Box title_box{middle_x, top_y + row, right_x - middle_x, 2 * row};
    draw_titles(pen, {.box = title_box, .caption = words.title, .value = title.subtitle}, title.title);
    draw_cell(pen, {.box = {right_x, top_y, right, row},
                    .caption = words.identification,
                    .value = title.identification,
                    .height_mm = strong_height_mm,
                    .weight = Weight::bold});
    const double narrow = right * 0.36;
    draw_cell(pen, {.box = {right_x, top_y + row, narrow, row},
                    .caption = words.revision,
                    .value = title.revision,
                    .height_mm = strong_height_mm,
                    .weight = Weight::bold});
    draw_cell(pen, {.box = {right_x + narrow, top_y + row, right - narrow, row},
                    .caption = words.date,
                    .value = title.date,
                    .height_mm = strong_height_mm});
    draw_cell(
        pen,
        {.box = {right_x, top_y + 2 * row, narrow, row}, .caption = words.language, .value = title.language});
    draw_cell(pen, {.box = {right_x + narrow, top_y + 2 * row, right - narrow, row},
                    .caption = words.sheet,
                    .value = dress.sheet_number,
                    .height_mm = strong_height_mm,
                    .weight = Weight::bold});
    pen.box(block, {.width_mm = broad_mm});
}

void draw_triangle(Pen& pen, Point centre) {
    pen.polygon({{centre.x_mm, centre.y_mm - 2.6},
                 {centre.x_mm + 3, centre.y_mm + 2.4},
                 {centre.x_mm - 3, centre.y_mm + 2.4}},
                {.width_mm = medium_mm, .fill = Paint::flag});
    pen.line({centre.x_mm, centre.y_mm - 0.9}, {centre.x_mm, centre.y_mm + 0.8}, medium_mm);
    pen.circle({centre.x_mm, centre.y_mm + 1.5}, 0.3, {.width_mm = 0, .fill = Paint::ink});
}

/// Signal word in its field, the sentence beside or below it.
void draw_caution(Pen& pen, const Box& place, const Caution& caution, bool beside) {
    const Paint field = caution.signal == Signal::warning   ? Paint::warning_panel
                        : caution.signal == Signal::caution ? Paint::caution_panel
                                                            : Paint::white;
    const double word_width = pen.width_mm(caution.word, strong_height_mm, Weight::bold);
    const double head_height = beside ? place.height_mm : 7.6;
    const Box head{place.x_mm, place.y_mm, beside ? word_width + 15 : place.width_mm, head_height};
    pen.box(head, {.width_mm = medium_mm, .fill = field});
    double x = head.x_mm + 3;
    const double middle = head.y_mm + head.height_mm / 2;
    if (caution.signal != Signal::notice) {
        draw_triangle(pen, {x + 3, middle});
        x += 8.4;
    }
    pen.text({.at = {x, middle + strong_height_mm / 2},
              .words = caution.word,
              .height_mm = strong_height_mm,
              .weight = Weight::bold});
    const double text_x = beside ? head.right_mm() + 2.5 : place.x_mm;
    const auto lines =
        wrapped(caution.text, {.width_mm = place.right_mm() - text_x - (beside ? 1.5 : 0)}, pen.measure());
    const double tall = lines_height_mm(lines.size(), text_height_mm);
    const double first =
        beside ? middle - tall / 2 + text_height_mm : head.bottom_mm() + 2.0 + text_height_mm;
    pen.lines({.at = {text_x, first}, .words = {}}, lines);
    if (beside)
        pen.box(place, {.width_mm = medium_mm});
}

} // namespace

double sheet_width_mm(const SheetForm& form) {
    if (form.size == PaperSize::a4)
        return form.portrait ? 210 : 297;
    return form.portrait ? 215.9 : 279.4;
}

double sheet_height_mm(const SheetForm& form) {
    return sheet_width_mm({.size = form.size, .portrait = !form.portrait});
}

Box frame_box(const SheetForm& form) {
    return {binding_mm, margin_mm, sheet_width_mm(form) - binding_mm - margin_mm,
            sheet_height_mm(form) - 2 * margin_mm};
}

Box content_box(const SheetForm& form) {
    const Box frame = frame_box(form);
    const double foot =
        form.portrait ? block_portrait_mm + caution_strip_mm + 2 * clear_mm : block_landscape_mm + clear_mm;
    return {frame.x_mm + side_mm, frame.y_mm + clear_mm, frame.width_mm - 2 * side_mm,
            frame.height_mm - clear_mm - foot};
}

Page blank_page(const SheetForm& form, std::string id, std::string title) {
    return {.id = std::move(id),
            .title = std::move(title),
            .label = {},
            .width_mm = sheet_width_mm(form),
            .height_mm = sheet_height_mm(form),
            .elements = {}};
}

void dress(Page& page, const SheetForm& form, const Dress& dress, const TextMeasure& measure) {
    const Box frame = frame_box(form);
    SheetSize size;
    size.width_mm = page.width_mm;
    size.height_mm = page.height_mm;
    page.elements.insert(page.elements.begin(), frame_element(size, measure));

    const double tall = form.portrait ? block_portrait_mm : block_landscape_mm;
    const double wide = form.portrait ? frame.width_mm : block_width_mm;
    const Box block{frame.right_mm() - wide, frame.bottom_mm() - tall, wide, tall};
    Pen caution("caution", Role::panel, measure);
    caution.told(dress.caution.word, dress.caution.text);
    const Box place = form.portrait ? Box{frame.x_mm + side_mm, block.y_mm - clear_mm - caution_strip_mm,
                                          frame.width_mm - 2 * side_mm, caution_strip_mm}
                                    : Box{frame.x_mm + side_mm, block.y_mm + clear_mm,
                                          block.x_mm - frame.x_mm - clear_mm - side_mm, tall - 2 * clear_mm};
    draw_caution(caution, place, dress.caution, form.portrait);
    caution.put_on(page);
    Pen title("title-block", Role::title, measure);
    if (!form.portrait)
        title.line({frame.x_mm, block.y_mm}, {block.x_mm, block.y_mm}, broad_mm);
    draw_title_block(title, block, dress);
    title.put_on(page);
}

void tell_sheet_count(Page& page, const std::string& words, const TextMeasure& measure) {
    for (Element& element : page.elements) {
        if (element.role != Role::title)
            continue;
        for (Text& text : element.texts) {
            if (text.words != page.label || text.weight != Weight::bold)
                continue;
            text.words = words;
            text.box.width_mm = measure.width_mm(words, text.height_mm, text.weight);
        }
    }
}

double draw_heading(Page& page, const Box& content, const Heading& heading, const TextMeasure& measure) {
    Pen pen(page.id + "-heading", Role::label, measure);
    const Box words = pen.text({.at = {content.x_mm, content.y_mm + 6.2},
                                .words = heading.words,
                                .height_mm = heading_height_mm,
                                .weight = Weight::bold});
    // Beside the heading, in two lines where one does not hold it.
    const double left = words.right_mm() + 4;
    const Measured room{.width_mm = content.right_mm() - heading.keep_free_mm - left};
    std::vector<std::string> lines = wrapped(heading.remark, room, measure);
    if (lines.size() > 2) {
        std::string rest = lines[1];
        for (std::size_t i = 2; i < lines.size(); ++i)
            rest += " " + lines[i];
        lines = {lines[0], shortened(rest, room, measure)};
    }
    pen.lines({.at = {left, content.y_mm + (lines.size() == 2 ? 3.2 : 6.2)}, .words = {}}, lines);
    pen.put_on(page);
    return content.y_mm + 10.5;
}

} // namespace stoutloom::layout::papers

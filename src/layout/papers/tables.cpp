#include "layout/papers/tables.h"

#include <algorithm>
#include <numeric>

namespace stoutloom::layout::papers {
namespace {

constexpr double after_paragraph_mm = 1.8, longest_second_row_mm = 25, most_kept_rows_mm = 28;
constexpr std::size_t most_strips = 4, least_folded_rows = 7, most_kept_rows = 4;
constexpr double pitch_mm = line_pitch * text_height_mm;

void draw_cells(Pen& pen, const LaidRow& laid, const TableBlock& block, Point top_left, bool strong) {
    const std::vector<Column>& columns = block.columns;
    double x = top_left.x_mm;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const Column& column = columns[i];
        double at = x;
        if (column.anchor == Anchor::right)
            at = x + column.width_mm - block.gap_mm;
        if (column.anchor == Anchor::middle)
            at = x + (column.width_mm - block.gap_mm) / 2;
        pen.lines({.at = {at, top_left.y_mm + block.pad_mm + text_height_mm},
                   .words = {},
                   .weight = strong ? Weight::bold : column.weight,
                   .anchor = column.anchor},
                  laid.cells[i]);
        x += column.width_mm;
    }
}

/// How many strips of the table stand side by side; a long cell may wrap for that.
std::size_t strips_of(const TableBlock& block, double width_mm, const TextMeasure& measure) {
    if (!block.folds || block.rows.size() < least_folded_rows)
        return 1;
    double need = block.boxes ? tick_mm + tick_gap_mm : 0;
    for (const double whole : whole_widths_mm(block, measure))
        need += std::min(whole, widest_strip_cell_mm);
    return std::clamp<std::size_t>(
        static_cast<std::size_t>((width_mm + between_strips_mm) / (need + between_strips_mm)), 1,
        most_strips);
}

/// How many of the rows from `first` on go into each strip of that height.
std::vector<std::size_t> filled(const std::vector<double>& heights, std::size_t first, std::size_t strips,
                                double tall_mm) {
    std::vector<std::size_t> counts(strips, 0);
    for (std::size_t& count : counts)
        for (double used = 0; first < heights.size() && used + heights[first] <= tall_mm + 0.001; ++first) {
            used += heights[first];
            ++count;
        }
    return counts;
}

/// The least height of strips that hold all the rows.
double strips_mm(const std::vector<double>& heights, std::size_t strips) {
    const double total = std::accumulate(heights.begin(), heights.end(), 0.0);
    double tall = total / static_cast<double>(strips);
    const auto holds = [&](double height) {
        const auto counts = filled(heights, 0, strips, height);
        return std::accumulate(counts.begin(), counts.end(), std::size_t{0}) == heights.size();
    };
    while (!holds(tall) && tall < total)
        tall += 0.5;
    return tall;
}

} // namespace

LaidRow laid_row(const std::vector<std::string>& cells, const TableBlock& block, bool strong,
                 const TextMeasure& measure) {
    const std::vector<Column>& columns = block.columns;
    LaidRow laid;
    std::size_t most = 1;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const std::string words = i < cells.size() ? cells[i] : std::string();
        const Weight weight = strong ? Weight::bold : columns[i].weight;
        laid.cells.push_back(
            wrapped(words, {.width_mm = columns[i].width_mm - block.gap_mm, .weight = weight}, measure));
        most = std::max(most, laid.cells.back().size());
    }
    laid.height_mm = lines_height_mm(most, text_height_mm) + 2 * block.pad_mm + 0.4;
    return laid;
}

PaperFlow::PaperFlow(Form form, const TextMeasure& measure)
    : form_(std::move(form)), measure_(&measure), content_(content_box(form_.sheet)) {
    new_page();
}

void PaperFlow::new_page() {
    const std::size_t number = pages_.size() + 1;
    const std::string id = number == 1 ? form_.id : form_.id + "-" + std::to_string(number);
    pages_.push_back(blank_page(form_.sheet, id, form_.heading.words));
    Heading heading = form_.heading;
    if (number > 1)
        heading.remark = form_.continued;
    y_mm_ = draw_heading(pages_.back(), content_, heading, *measure_);
    top_mm_ = y_mm_;
    draw_head();
}

void PaperFlow::draw_head() {
    if (!head_)
        return;
    y_mm_ += head_(*this);
    top_mm_ = y_mm_;
}

void PaperFlow::need(double height_mm) {
    if (y_mm_ + height_mm > content_.bottom_mm() + 0.001 && !fresh())
        new_page();
}

std::string PaperFlow::next_id(const std::string& stem) {
    return form_.id + "-" + stem + "-" + std::to_string(++ids_);
}

void PaperFlow::subheading(const std::string& words, double keep_mm) {
    const double gap = fresh() ? 1.0 : 4.5;
    need(subheading_height_mm() + keep_mm);
    if (!fresh())
        y_mm_ += gap;
    Pen pen(next_id("heading"), Role::label, *measure_);
    pen.text({.at = {content_.x_mm, y_mm_ + strong_height_mm},
              .words = words,
              .height_mm = strong_height_mm,
              .weight = Weight::bold});
    pen.put_on(page());
    y_mm_ += strong_height_mm + 2.5;
}

void PaperFlow::paragraph(const std::string& words, double indent_mm) {
    const auto lines = wrapped(words, {.width_mm = content_.width_mm - indent_mm}, *measure_);
    flow_lines(lines, indent_mm, false);
}

double PaperFlow::paragraph_height_mm(const std::string& words, double indent_mm) const {
    const std::size_t lines = wrapped(words, {.width_mm = content_.width_mm - indent_mm}, *measure_).size();
    return lines == 0 ? 0 : lines_height_mm(lines, text_height_mm) + after_paragraph_mm;
}

void PaperFlow::bullet(const std::string& words) {
    flow_lines(wrapped(words, {.width_mm = content_.width_mm - bullet_mm}, *measure_), bullet_mm, true);
}

/// Kept together unless longer than a page.
void PaperFlow::flow_lines(std::vector<std::string> lines, double indent_mm, bool dash) {
    while (!lines.empty()) {
        const double tall = lines_height_mm(lines.size(), text_height_mm) + after_paragraph_mm;
        need(std::min(tall, content_.height_mm - (top_mm_ - content_.y_mm)));
        const auto fitting = static_cast<std::size_t>(
            std::max(1.0, (left_mm() - after_paragraph_mm - text_height_mm) / pitch_mm + 1));
        const std::size_t count = std::min(lines.size(), fitting);
        Pen pen(next_id("text"), Role::label, *measure_);
        if (dash)
            pen.text({.at = {content_.x_mm, y_mm_ + text_height_mm}, .words = "–"});
        pen.lines({.at = {content_.x_mm + indent_mm, y_mm_ + text_height_mm}, .words = {}},
                  {lines.begin(), lines.begin() + static_cast<long>(count)});
        pen.put_on(page());
        y_mm_ += lines_height_mm(count, text_height_mm) + after_paragraph_mm;
        lines.erase(lines.begin(), lines.begin() + static_cast<long>(count));
        dash = false;
    }
}

/// A row never splits, unless it is taller than a page: then it goes on as a second row.
std::vector<TableRow> PaperFlow::page_sized(const TableRow& row, const TableBlock& block) const {
    const auto most = static_cast<std::size_t>((content_.height_mm - 30) / pitch_mm);
    const LaidRow laid = laid_row(row.cells, block, row.strong, *measure_);
    std::size_t tallest = 0;
    for (const auto& lines : laid.cells)
        tallest = std::max(tallest, lines.size());
    if (tallest <= most)
        return {row};
    std::vector<TableRow> rows;
    for (std::size_t from = 0; from < tallest; from += most) {
        TableRow part = row;
        if (from > 0)
            part.id.clear();
        for (std::size_t i = 0; i < part.cells.size() && i < laid.cells.size(); ++i) {
            part.cells[i].clear();
            for (std::size_t k = from; k < std::min(from + most, laid.cells[i].size()); ++k)
                part.cells[i] += laid.cells[i][k] + " ";
        }
        rows.push_back(std::move(part));
    }
    return rows;
}

void PaperFlow::draw_row(const TableBlock& block, const TableRow& row, const LaidRow& laid,
                         const Box& strip) {
    Pen pen(row.id.empty() ? next_id("row") : row.id, Role::rule_line, *measure_);
    if (!row.desc.empty())
        pen.told(row.cells.empty() ? row.id : row.cells.front(), row.desc);
    draw_cells(pen, laid, block, {strip.x_mm, strip.y_mm}, row.strong);
    if (block.boxes && !row.strong)
        pen.box({strip.right_mm() - tick_mm, strip.y_mm + (laid.height_mm - tick_mm) / 2, tick_mm, tick_mm},
                {.width_mm = thin_mm});
    const double foot = strip.y_mm + laid.height_mm;
    pen.line({strip.x_mm, foot}, {strip.right_mm(), foot}, rule_mm);
    pen.put_on(page());
}

void PaperFlow::draw_titles(const TableBlock& block, const LaidRow& head, const Box& strip) {
    Pen pen(next_id("head"), Role::rule_line, *measure_);
    pen.line({strip.x_mm, strip.y_mm}, {strip.right_mm(), strip.y_mm}, medium_mm);
    draw_cells(pen, head, block, {strip.x_mm, strip.y_mm}, true);
    const double foot = strip.y_mm + head.height_mm;
    pen.line({strip.x_mm, foot}, {strip.right_mm(), foot}, medium_mm);
    pen.put_on(page());
}

/// Strips of the table side by side, read down each before the next; on its last sheet all equally long.
void PaperFlow::folded_table(TableBlock block, std::size_t strips) {
    const double wide = (content_.width_mm - between_strips_mm * static_cast<double>(strips - 1)) /
                        static_cast<double>(strips);
    const std::vector<double> whole = whole_widths_mm(block, *measure_);
    for (std::size_t i = 0; i < whole.size(); ++i)
        block.columns[i].width_mm = std::min(whole[i], widest_strip_cell_mm);
    fit_columns(block, wide - (block.boxes ? tick_mm + tick_gap_mm : 0), *measure_);
    std::vector<std::string> titles;
    for (const Column& column : block.columns)
        titles.push_back(column.title);
    const LaidRow head = laid_row(titles, block, true, *measure_);
    std::vector<LaidRow> rows;
    std::vector<double> heights;
    for (const TableRow& row : block.rows) {
        rows.push_back(laid_row(row.cells, block, row.strong, *measure_));
        heights.push_back(rows.back().height_mm);
    }
    const double total = std::accumulate(heights.begin(), heights.end(), 0.0);
    // A few rows do not begin at a sheet's foot.
    const double least = head.height_mm + std::min(total / static_cast<double>(strips), 18.0) + 2;
    // Whole on the next sheet rather than begun at the foot of this one, where that takes no more sheets.
    constexpr double foot_share = 0.4;
    const double whole_mm = head.height_mm + strips_mm(heights, strips) + 2,
                 over_mm = block.caption.empty() ? 0 : subheading_height_mm(),
                 sheet_mm = content_.height_mm - (top_mm_ - content_.y_mm);
    if (over_mm + whole_mm > left_mm() && over_mm + whole_mm <= sheet_mm && left_mm() < foot_share * sheet_mm)
        need(sheet_mm);
    if (!block.caption.empty())
        subheading(block.caption, least);
    else
        need(least);
    for (std::size_t next = 0; next < rows.size();) {
        if (next > 0)
            new_page();
        const double rest = std::accumulate(heights.begin() + static_cast<long>(next), heights.end(), 0.0);
        double tall = std::min(left_mm() - head.height_mm, rest / static_cast<double>(strips));
        const auto holds = [&](double height) {
            const auto counts = filled(heights, next, strips, height);
            return next + std::accumulate(counts.begin(), counts.end(), std::size_t{0}) == rows.size();
        };
        while (!holds(tall) && tall < left_mm() - head.height_mm)
            tall = std::min(tall + 0.5, left_mm() - head.height_mm);
        std::vector<std::size_t> counts = filled(heights, next, strips, tall);
        counts.front() = std::max<std::size_t>(counts.front(), 1); // taller than a sheet: it would never end
        double deepest = 0;
        for (std::size_t k = 0; k < strips && next < rows.size(); ++k) {
            const double x = content_.x_mm + static_cast<double>(k) * (wide + between_strips_mm);
            draw_titles(block, head, {x, y_mm_, wide, head.height_mm});
            double y = y_mm_ + head.height_mm;
            for (std::size_t n = 0; n < counts[k] && next < rows.size(); ++n, ++next) {
                draw_row(block, block.rows[next], rows[next], {x, y, wide, rows[next].height_mm});
                y += rows[next].height_mm;
            }
            deepest = std::max(deepest, y - y_mm_);
        }
        y_mm_ += deepest;
    }
}

void PaperFlow::table(TableBlock block) {
    if (const std::size_t strips = strips_of(block, content_.width_mm, *measure_); strips > 1) {
        folded_table(std::move(block), strips);
        return;
    }
    const double tick_room = block.boxes ? tick_mm + tick_gap_mm : 0;
    if (!block.fitted)
        fit_columns(block, content_.width_mm - tick_room, *measure_);
    std::vector<std::string> titles;
    for (const Column& column : block.columns)
        titles.push_back(column.title);
    const LaidRow head = laid_row(titles, block, true, *measure_);
    const auto row_height = [&](const TableRow& row) {
        return laid_row(row.cells, block, row.strong, *measure_).height_mm;
    };
    // The head does not stand alone at a sheet's foot, nor with one row of several.
    double first_row = block.rows.empty() ? 6 : row_height(block.rows[0]);
    if (block.rows.size() > 1)
        first_row += std::min(row_height(block.rows[1]), longest_second_row_mm);
    // A few short rows are not parted at all.
    if (block.rows.size() <= most_kept_rows) {
        const double all =
            std::accumulate(block.rows.begin(), block.rows.end(), 0.0,
                            [&](double so_far, const TableRow& row) { return so_far + row_height(row); });
        if (all <= most_kept_rows_mm)
            first_row = std::max(first_row, all);
    }
    if (!block.caption.empty())
        subheading(block.caption, head.height_mm + first_row);
    else
        need(head.height_mm + first_row);
    const auto titles_again = [&block, head](PaperFlow& flow) {
        const Box& area = flow.content();
        flow.draw_titles(block, head, {area.x_mm, flow.y_mm(), area.width_mm, head.height_mm});
        return head.height_mm;
    };
    y_mm_ += titles_again(*this);
    set_head(titles_again);
    if (block.rows.empty()) {
        drop_head();
        y_mm_ += block.pad_mm;
        paragraph(block.empty_words);
        return;
    }
    std::size_t left = block.rows.size(), on_sheet = 0;
    for (const TableRow& whole : block.rows) {
        // Nor does the last row: the one before it comes over with it.
        if (left == 2 && on_sheet > 2) {
            const double last = row_height(block.rows.back()), both = row_height(whole) + last;
            if (last <= longest_second_row_mm)
                need(both);
        }
        --left;
        for (const TableRow& row : page_sized(whole, block)) {
            const LaidRow laid = laid_row(row.cells, block, row.strong, *measure_);
            const std::size_t sheets = pages_.size();
            need(laid.height_mm);
            on_sheet = pages_.size() > sheets ? 1 : on_sheet + 1;
            draw_row(block, row, laid, {content_.x_mm, y_mm_, content_.width_mm, laid.height_mm});
            y_mm_ += laid.height_mm;
        }
    }
    drop_head();
}

} // namespace stoutloom::layout::papers

// Several narrow tables in two strips side by side: a list of few short columns would leave half the sheet
// empty.
#include "layout/papers/tables.h"

#include <algorithm>
#include <numeric>

namespace stoutloom::layout::papers {

/// A table at the width of a strip.
struct StripTable {
    TableBlock block;
    LaidRow head;
    std::vector<LaidRow> rows;
};
/// So many rows of one table in a strip; its caption stands over its first row, and over a rest that would
/// be taken for that of the table beside it.
struct StripPart {
    std::size_t table = 0, first = 0, count = 0;
    bool named = false; // its caption stands over it
    double y_mm = 0;    // from the strip's top
};
struct StripPlace {
    std::size_t table = 0, row = 0;
};
struct FilledStrip {
    std::vector<StripPart> parts;
    StripPlace next; // what has no room in it
    double deep_mm = 0;
};

namespace {

constexpr double caption_mm = strong_height_mm + 2.5, over_caption_mm = 5.5, worth_it = 0.8,
                 least_list_mm = 36; // of cables and the like: it goes on in a second line
constexpr std::size_t strips = 2, most_lines = 3, least_parted_rows = 4, least_rows_of_part = 2;

StripTable strip_table(TableBlock block, double wide_mm, const TextMeasure& measure) {
    const std::vector<double> whole = whole_widths_mm(block, measure);
    for (std::size_t i = 0; i < whole.size(); ++i)
        block.columns[i].width_mm = std::min(whole[i], widest_strip_cell_mm);
    fit_columns(block, wide_mm - (block.boxes ? tick_mm + tick_gap_mm : 0), measure);
    StripTable table;
    std::vector<std::string> titles;
    for (const Column& column : block.columns)
        titles.push_back(column.title);
    table.head = laid_row(titles, block, true, measure);
    for (const TableRow& row : block.rows)
        table.rows.push_back(laid_row(row.cells, block, row.strong, measure));
    table.block = std::move(block);
    return table;
}

double caption_height_mm(const StripTable& table) {
    return table.block.caption.empty() ? 0 : caption_mm;
}

/// Its head may stand in two lines for that.
bool has_room(const TableBlock& block, double wide_mm, const TextMeasure& measure) {
    TableBlock bare = block;
    for (Column& column : bare.columns) {
        column.title.clear();
        column.width_mm = 0;
    }
    const std::vector<double> cells = whole_widths_mm(bare, measure);
    double need = block.boxes ? tick_mm + tick_gap_mm : 0;
    for (std::size_t i = 0; i < cells.size(); ++i)
        need += std::max(std::min(cells[i], least_list_mm),
                         longest_piece_mm(block.columns[i].title, text_height_mm, Weight::bold, measure) +
                             block.gap_mm + 0.1);
    return need <= wide_mm;
}

/// Rows of the table from `first` on that stand in `tall_mm`. A table of few rows is not parted, and no row
/// of a longer one stands alone on either side; `any` where the strip is a whole sheet and nothing else
/// helps.
std::size_t rows_with_room(const StripTable& table, std::size_t first, double tall_mm, bool any) {
    std::size_t count = 0;
    const std::size_t left = table.rows.size() - first;
    for (double used = 0; count < left; ++count) {
        used += table.rows[first + count].height_mm;
        if (used > tall_mm + 0.001)
            break;
    }
    if (count == left)
        return count;
    if (any)
        return std::max<std::size_t>(1, count);
    if (table.rows.size() < least_parted_rows || left <= least_rows_of_part)
        return 0;
    count = std::min(count, left - least_rows_of_part);
    return count < least_rows_of_part ? 0 : count;
}

/// How a strip is filled: `any` as in rows_with_room, `beside` the table at the head of the first strip.
struct Filling {
    double tall_mm = 0;
    bool any = false;
    std::size_t beside = 0;
};

FilledStrip filled_strip(const std::vector<StripTable>& tables, StripPlace from, const Filling& how) {
    FilledStrip strip{.parts = {}, .next = from};
    while (strip.next.table < tables.size()) {
        const StripTable& table = tables[strip.next.table];
        const double top = strip.deep_mm + (strip.parts.empty() ? 0 : over_caption_mm);
        const bool named =
            !table.block.caption.empty() && (strip.next.row == 0 || strip.next.table != how.beside);
        const double over = (named ? caption_height_mm(table) : 0) + table.head.height_mm;
        const std::size_t count =
            rows_with_room(table, strip.next.row, how.tall_mm - top - over, how.any && strip.parts.empty());
        if (count == 0)
            return strip;
        strip.parts.push_back({.table = strip.next.table,
                               .first = strip.next.row,
                               .count = count,
                               .named = named,
                               .y_mm = top});
        strip.deep_mm = top + over;
        for (std::size_t i = 0; i < count; ++i)
            strip.deep_mm += table.rows[strip.next.row + i].height_mm;
        if (strip.next.row + count < table.rows.size()) {
            strip.next.row += count;
            return strip;
        }
        strip.next = {.table = strip.next.table + 1, .row = 0};
    }
    return strip;
}

std::vector<FilledStrip> filled_strips(const std::vector<StripTable>& tables, StripPlace from, double tall_mm,
                                       bool any) {
    std::vector<FilledStrip> all;
    const Filling how{.tall_mm = tall_mm, .any = any, .beside = from.table};
    for (std::size_t k = 0; k < strips; ++k) {
        all.push_back(filled_strip(tables, from, how));
        from = all.back().next;
    }
    return all;
}

double strip_width_mm(const Box& content) {
    return (content.width_mm - between_strips_mm * (strips - 1)) / strips;
}

double table_height_mm(const StripTable& table) {
    double tall = caption_height_mm(table) + table.head.height_mm;
    for (const LaidRow& row : table.rows)
        tall += row.height_mm;
    return tall;
}

/// A caption keeps away from what stands over it.
double gap_over_mm(const StripTable& table, bool fresh) {
    if (table.block.caption.empty())
        return 0;
    return fresh ? 1.0 : 4.5;
}

/// As high as they must be and no higher: on the last sheet the strips are equally long.
std::vector<FilledStrip> even_strips(const std::vector<StripTable>& tables, StripPlace from, double most_mm) {
    double rest = 0;
    for (std::size_t i = from.table; i < tables.size(); ++i)
        rest += table_height_mm(tables[i]);
    double tried = std::min(most_mm, rest / strips / 2);
    std::vector<FilledStrip> now = filled_strips(tables, from, tried, false);
    while (now.back().next.table < tables.size() && tried < most_mm) {
        tried = std::min(tried + 0.5, most_mm);
        now = filled_strips(tables, from, tried, false);
    }
    return now;
}

/// A list that goes on in the next strip has its head level with that in the first, under the caption there,
/// where there is room.
double level_mm(const std::vector<FilledStrip>& all, std::size_t k, const std::vector<StripTable>& tables,
                double room_mm) {
    if (k == 0 || all[k].parts.empty() || all[k].parts.front().named)
        return 0;
    const StripPart& first = all.front().parts.front();
    const double down = first.named ? caption_height_mm(tables[first.table]) : 0;
    return all[k].deep_mm + down <= room_mm + 0.001 ? down : 0;
}

double one_under_other_mm(const std::vector<TableBlock>& blocks, double wide_mm, const TextMeasure& measure) {
    double tall = 0;
    for (TableBlock block : blocks) {
        fit_columns(block, wide_mm - (block.boxes ? tick_mm + tick_gap_mm : 0), measure);
        for (const TableRow& row : block.rows)
            tall += laid_row(row.cells, block, row.strong, measure).height_mm;
        std::vector<std::string> titles;
        for (const Column& column : block.columns)
            titles.push_back(column.title);
        tall += laid_row(titles, block, true, measure).height_mm + after_table_mm +
                (block.caption.empty() ? 0 : over_caption_mm + caption_mm);
    }
    return tall;
}

} // namespace

void PaperFlow::draw_strip(const FilledStrip& strip, const std::vector<StripTable>& tables,
                           const Box& place) {
    for (const StripPart& part : strip.parts) {
        const StripTable& table = tables[part.table];
        double y = place.y_mm + part.y_mm;
        if (part.named) {
            Pen pen(next_id("heading"), Role::label, *measure_);
            const Box caption = pen.text({.at = {place.x_mm, y + strong_height_mm},
                                          .words = table.block.caption,
                                          .height_mm = strong_height_mm,
                                          .weight = Weight::bold});
            if (part.first > 0)
                pen.text({.at = {caption.right_mm() + 3, y + strong_height_mm}, .words = form_.continued});
            pen.put_on(page());
            y += caption_mm;
        }
        draw_titles(table.block, table.head, {place.x_mm, y, place.width_mm, table.head.height_mm});
        y += table.head.height_mm;
        for (std::size_t i = part.first; i < part.first + part.count; ++i) {
            draw_row(table.block, table.block.rows[i], table.rows[i],
                     {place.x_mm, y, place.width_mm, table.rows[i].height_mm});
            y += table.rows[i].height_mm;
        }
    }
}

std::vector<StripTable> PaperFlow::strip_tables(const std::vector<TableBlock>& blocks) const {
    const double wide = strip_width_mm(content_);
    std::vector<StripTable> tables;
    double tall = 0;
    for (const TableBlock& block : blocks) {
        if (block.rows.empty() || !has_room(block, wide, *measure_))
            return {};
        tables.push_back(strip_table(block, wide, *measure_));
        // A long list in a narrow column is read worse than in one of two lines.
        if (std::any_of(tables.back().rows.begin(), tables.back().rows.end(), [](const LaidRow& row) {
                return std::any_of(row.cells.begin(), row.cells.end(),
                                   [](const auto& lines) { return lines.size() > most_lines; });
            }))
            return {};
        tall += table_height_mm(tables.back()) + over_caption_mm;
    }
    if (tall / strips > worth_it * one_under_other_mm(blocks, content_.width_mm, *measure_))
        tables.clear();
    return tables;
}

double PaperFlow::tables_in_strips_mm(const std::vector<TableBlock>& blocks) const {
    const std::vector<StripTable> tables = strip_tables(blocks);
    if (tables.empty())
        return one_under_other_mm(blocks, content_.width_mm, *measure_);
    double deep = 0;
    const std::vector<FilledStrip> all = even_strips(tables, {}, 1e6);
    for (std::size_t k = 0; k < strips; ++k)
        deep = std::max(deep, level_mm(all, k, tables, 1e6) + all[k].deep_mm);
    return gap_over_mm(tables.front(), false) + deep;
}

void PaperFlow::tables_in_strips(std::vector<TableBlock> blocks) {
    const double wide = strip_width_mm(content_);
    const std::vector<StripTable> tables = strip_tables(blocks);
    if (tables.empty()) {
        for (TableBlock& block : blocks) {
            table(std::move(block));
            advance(after_table_mm);
        }
        return;
    }
    for (StripPlace next; next.table < tables.size();) {
        const double gap = next.row > 0 ? 0 : gap_over_mm(tables[next.table], fresh());
        std::vector<FilledStrip> now = even_strips(tables, next, left_mm() - gap);
        if (now.front().parts.empty()) {
            if (!fresh()) {
                new_page();
                continue;
            }
            now = filled_strips(tables, next, left_mm() - gap, true);
        }
        advance(gap);
        double deep = 0;
        for (std::size_t k = 0; k < strips; ++k) {
            const double level = level_mm(now, k, tables, left_mm());
            draw_strip(now[k], tables,
                       {content_.x_mm + static_cast<double>(k) * (wide + between_strips_mm), y_mm_ + level,
                        wide, 0});
            deep = std::max(deep, level + now[k].deep_mm);
        }
        advance(deep + after_table_mm);
        next = now.back().next;
        if (next.table < tables.size())
            new_page();
    }
}

} // namespace stoutloom::layout::papers

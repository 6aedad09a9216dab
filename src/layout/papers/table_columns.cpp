// How wide the columns of a table are.
#include "layout/papers/tables.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace stoutloom::layout::papers {
namespace {

constexpr double prose_mm = 60, least_prose_mm = 38, narrow_gap_mm = 2;
constexpr std::size_t short_table_rows = 9;

/// Each wanting column gets its part of what the others do not need, none more than it wants.
void share_surplus(std::vector<Column>& columns, const std::vector<double>& whole_mm) {
    double surplus = 0, wanted = 0;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        surplus += std::max(0.0, columns[i].width_mm - whole_mm[i]);
        wanted += std::max(0.0, whole_mm[i] - columns[i].width_mm);
    }
    if (surplus <= 0 || wanted <= 0)
        return;
    const double moved = std::min(surplus, wanted);
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const double more = whole_mm[i] - columns[i].width_mm;
        columns[i].width_mm += more > 0 ? more * moved / wanted : more * moved / surplus;
    }
}

/// A column without a title parts its neighbours: it keeps the width it asks for.
double kept_mm(const Column& column) {
    return column.title.empty() ? column.width_mm : 0;
}

/// Names ("fuse-breaking-capacity") are looked up: whole, or in two lines where whole ones make a table
/// longer.
enum class Names { whole, in_two };

double name_mm(const std::string& name, Names names, Weight weight, const TextMeasure& measure) {
    double least = measure.width_mm(name, text_height_mm, weight);
    if (names == Names::in_two)
        for (std::size_t at = name.find('-'); at != std::string::npos; at = name.find('-', at + 1))
            least = std::min(least, std::max(measure.width_mm(name.substr(0, at + 1), text_height_mm, weight),
                                             measure.width_mm(name.substr(at + 1), text_height_mm, weight)));
    return least;
}

/// A column of nothing but such names.
bool holds_names(const TableBlock& block, std::size_t column) {
    bool hyphen = false;
    for (const TableRow& row : block.rows) {
        if (column >= row.cells.size())
            continue;
        if (row.cells[column].find_first_of(" /") != std::string::npos)
            return false;
        hyphen = hyphen || row.cells[column].find('-') != std::string::npos;
    }
    return hyphen;
}

/// Lines that each row's cells take at a column's width, remembered by quarter millimetre.
class RowLines {
  public:
    RowLines(const TableBlock& block, const TextMeasure& measure)
        : block_(&block), measure_(&measure), known_(block.columns.size()) {
        std::vector<std::string> titles;
        for (const Column& column : block.columns)
            titles.push_back(column.title);
        rows_.push_back({.cells = std::move(titles), .strong = true});
        rows_.insert(rows_.end(), block.rows.begin(), block.rows.end());
        for (std::size_t i = 0; i < block.columns.size(); ++i) {
            whole_.emplace_back();
            for (const TableRow& row : rows_)
                whole_.back().push_back(i < row.cells.size()
                                            ? measure.width_mm(row.cells[i], text_height_mm, weight(row, i))
                                            : 0);
        }
    }
    /// Of the whole table, its head included.
    std::size_t together(const std::vector<double>& widths) {
        std::vector<std::size_t> most(rows_.size(), 1);
        for (std::size_t i = 0; i < widths.size(); ++i) {
            const std::vector<std::size_t>& lines = at(i, widths[i]);
            for (std::size_t r = 0; r < most.size(); ++r)
                most[r] = std::max(most[r], lines[r]);
        }
        return std::accumulate(most.begin(), most.end(), std::size_t{0});
    }
    std::size_t rows() const { return rows_.size(); }

  private:
    Weight weight(const TableRow& row, std::size_t column) const {
        return row.strong ? Weight::bold : block_->columns[column].weight;
    }
    const std::vector<std::size_t>& at(std::size_t column, double wide) {
        std::vector<std::size_t>& lines = known_[column][std::lround(std::floor(wide * 4))];
        if (!lines.empty())
            return lines;
        const double room = std::floor(wide * 4) / 4 - block_->gap_mm;
        for (std::size_t r = 0; r < rows_.size(); ++r) {
            const TableRow& row = rows_[r];
            lines.push_back(whole_[column][r] <= room
                                ? 1
                                : std::max<std::size_t>(
                                      1, wrapped(row.cells[column],
                                                 {.width_mm = room, .weight = weight(row, column)}, *measure_)
                                             .size()));
        }
        return lines;
    }
    const TableBlock* block_;
    const TextMeasure* measure_;
    std::vector<TableRow> rows_;
    std::vector<std::vector<double>> whole_;
    std::vector<std::map<long, std::vector<std::size_t>>> known_;
};

/// Room goes from column to column as long as the table gets shorter by it: the widest step first, none under
/// its longest word.
std::size_t shorten(TableBlock& block, const std::vector<double>& least, const TextMeasure& measure) {
    RowLines lines(block, measure);
    std::vector<double> widths;
    for (const Column& column : block.columns)
        widths.push_back(column.width_mm);
    std::size_t now = lines.together(widths);
    for (bool better = now > lines.rows(); better;) {
        better = false;
        std::vector<double> best = widths;
        for (const double step : {2.0, 6.0, 14.0, 30.0})
            for (std::size_t from = 0; from < widths.size(); ++from)
                for (std::size_t to = 0; to < widths.size(); ++to) {
                    if (from == to || widths[from] - step < least[from])
                        continue;
                    std::vector<double> tried = widths;
                    tried[from] -= step;
                    tried[to] += step;
                    if (const std::size_t then = lines.together(tried); then < now) {
                        now = then;
                        best = std::move(tried);
                        better = true;
                    }
                }
        widths = std::move(best);
    }
    for (std::size_t i = 0; i < widths.size(); ++i)
        block.columns[i].width_mm = widths[i];
    return now;
}

/// Fitted with the gap that the table has; returns its lines.
std::size_t fit(TableBlock& block, double width_mm, Names names, const TextMeasure& measure) {
    // No word is cut if that can be had: a column is at least as wide as its longest word, up to a third of
    // the table.
    std::vector<double> least;
    for (std::size_t i = 0; i < block.columns.size(); ++i) {
        const Column& column = block.columns[i];
        // A head of one word is not parted, also in a script that may break between any two signs.
        double need = column.title.find(' ') == std::string::npos
                          ? measure.width_mm(column.title, text_height_mm, Weight::bold)
                          : longest_piece_mm(column.title, text_height_mm, Weight::bold, measure);
        const bool named = holds_names(block, i);
        for (const TableRow& row : block.rows)
            if (i < row.cells.size()) {
                const Weight weight = row.strong ? Weight::bold : column.weight;
                need =
                    std::max(need, named ? name_mm(row.cells[i], names, weight, measure)
                                         : longest_piece_mm(row.cells[i], text_height_mm, weight, measure));
            }
        least.push_back(std::max(kept_mm(column), std::min(need + block.gap_mm + 0.1, width_mm / 3)));
    }
    // A column that has more than its longest cell gives to those whose cells would wrap.
    const std::vector<double> whole = whole_widths_mm(block, measure);
    const double asked =
        std::accumulate(block.columns.begin(), block.columns.end(), 0.0,
                        [](double so_far, const Column& column) { return so_far + column.width_mm; });
    double missing = 0, slack = 0;
    for (std::size_t i = 0; i < block.columns.size(); ++i) {
        double& wide = block.columns[i].width_mm;
        wide *= width_mm / asked;
    }
    share_surplus(block.columns, whole);
    for (std::size_t i = 0; i < block.columns.size(); ++i) {
        const double wide = block.columns[i].width_mm;
        missing += std::max(0.0, least[i] - wide);
        slack += std::max(0.0, wide - least[i]);
    }
    if (missing > 0 && slack > 0) {
        const double share = std::min(1.0, missing / slack);
        for (std::size_t i = 0; i < block.columns.size(); ++i) {
            double& wide = block.columns[i].width_mm;
            // What is given is what is taken, also where not all can be had.
            wide += wide < least[i] ? (least[i] - wide) * std::min(1.0, slack / missing)
                                    : -(wide - least[i]) * share;
        }
    }
    // Prose in a sliver is hard to read, however short the table gets by it.
    std::vector<double> readable = least;
    for (std::size_t i = 0; i < readable.size(); ++i)
        if (whole[i] > prose_mm)
            readable[i] = std::max(readable[i], least_prose_mm);
    return shorten(block, readable, measure);
}

/// With names whole where that costs no line.
std::size_t fit_with_names(TableBlock& block, double width_mm, const TextMeasure& measure) {
    bool names = false;
    for (std::size_t i = 0; i < block.columns.size(); ++i)
        names = names || holds_names(block, i);
    TableBlock whole = block;
    const std::size_t lines = fit(block, width_mm, Names::in_two, measure);
    if (names && fit(whole, width_mm, Names::whole, measure) <= lines)
        block.columns = std::move(whole.columns);
    return lines;
}

} // namespace

std::vector<double> whole_widths_mm(const TableBlock& block, const TextMeasure& measure) {
    std::vector<double> whole;
    for (std::size_t i = 0; i < block.columns.size(); ++i) {
        const Column& column = block.columns[i];
        double need = measure.width_mm(column.title, text_height_mm, Weight::bold);
        for (const TableRow& row : block.rows)
            if (i < row.cells.size())
                need = std::max(need, measure.width_mm(row.cells[i], text_height_mm,
                                                       row.strong ? Weight::bold : column.weight));
        whole.push_back(std::max(kept_mm(column), need + block.gap_mm + 0.1));
    }
    return whole;
}

void fit_columns(TableBlock& block, double width_mm, const TextMeasure& measure) {
    TableBlock near = block;
    near.gap_mm = narrow_gap_mm;
    const std::size_t lines = fit_with_names(block, width_mm, measure);
    // One line in twenty and two at least are worth the narrower gap, one where the table is short.
    const std::size_t least = block.rows.size() < short_table_rows ? 1 : 2;
    if (lines > block.rows.size() + 1 &&
        fit_with_names(near, width_mm, measure) + std::max<std::size_t>(least, lines / 20) <= lines) {
        block.columns = std::move(near.columns);
        block.gap_mm = narrow_gap_mm;
    }
}

} // namespace stoutloom::layout::papers

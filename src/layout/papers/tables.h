// Tables and paragraphs that flow over pages: heads repeat, a row never splits, nothing passes the foot of
// the content.
#pragma once

#include "layout/papers/sheet.h"

#include <functional>

namespace stoutloom::layout::papers {

struct Column {
    std::string title;
    double width_mm = 20;
    Anchor anchor = Anchor::left;
    Weight weight = Weight::regular;
};
struct TableRow {
    std::string id = {};            // unique in the paper; empty gives "row-n"
    std::vector<std::string> cells; // wrapped to their column
    bool strong = false;            // a total
    std::string desc = {};
};
struct TableBlock {
    std::string caption = {};
    std::vector<Column> columns;
    std::vector<TableRow> rows;
    std::string empty_words = {}; // printed instead of no rows
    bool boxes = false;           // a tick box at the end of every row
    bool folds = false;           // short rows: strips side by side where the sheet is wide enough
    double gap_mm = 3;            // between two cells
    double pad_mm = 1.2;          // over and under the lines of a row
    bool fitted = false;          // its columns have their widths already
};
/// A row as it will stand: its cells' lines.
struct LaidRow {
    std::vector<std::vector<std::string>> cells;
    double height_mm = 0;
};
LaidRow laid_row(const std::vector<std::string>& cells, const TableBlock& block, bool strong,
                 const TextMeasure& measure);
/// A tick box and its distance from the cells; between strips side by side; a longer cell wraps in a strip.
inline constexpr double tick_mm = 3.8, tick_gap_mm = 4, between_strips_mm = 7, widest_strip_cell_mm = 52,
                        after_table_mm = 1.5;
/// What each column needs so that none of its cells wraps.
std::vector<double> whole_widths_mm(const TableBlock& block, const TextMeasure& measure);
/// Columns stretched in proportion so that together they are `width_mm`; one that would have to cut a word
/// takes room from those that have some. The cells stand a little nearer to each
/// other where that makes the table shorter.
void fit_columns(TableBlock& block, double width_mm, const TextMeasure& measure);

struct FilledStrip; // of several tables, in table_strips.cpp
struct StripTable;

/// A paper being written from top to foot, page after page.
class PaperFlow {
  public:
    struct Form {
        SheetForm sheet;
        std::string id;        // "check-record": the pages are "check-record", "check-record-2" ...
        Heading heading;       // first page
        std::string continued; // remark on the following pages
    };
    PaperFlow(Form form, const TextMeasure& measure);

    const Box& content() const { return content_; }
    double y_mm() const { return y_mm_; }
    double left_mm() const { return content_.bottom_mm() - y_mm_; }
    bool fresh() const { return y_mm_ <= top_mm_ + 0.001; } // nothing below the heading yet
    Page& page() { return pages_.back(); }
    std::size_t sheets() const { return pages_.size(); }
    const TextMeasure& measure() const { return *measure_; }
    /// A new page unless that much is left.
    void need(double height_mm);
    void new_page();
    void advance(double height_mm) { y_mm_ += height_mm; }
    /// Drawn at the top of every page from now on (also at once): returns the height it took.
    void set_head(std::function<double(PaperFlow&)> head) { head_ = std::move(head); }
    void draw_head();
    void drop_head() { head_ = nullptr; }

    void subheading(const std::string& words, double keep_mm = 12);
    /// With the gap over it.
    double subheading_height_mm() const { return (fresh() ? 1.0 : 4.5) + strong_height_mm + 2.5; }
    void paragraph(const std::string& words, double indent_mm = 0);
    /// What it takes of a page.
    double paragraph_height_mm(const std::string& words, double indent_mm = 0) const;
    double bullet_height_mm(const std::string& words) const { return paragraph_height_mm(words, bullet_mm); }
    void bullet(const std::string& words);
    void table(TableBlock block);
    /// Narrow tables in two strips side by side, read down the left one first, where that is shorter than one
    /// under the other.
    void tables_in_strips(std::vector<TableBlock> blocks);
    /// What that takes where all of it has room on one sheet.
    double tables_in_strips_mm(const std::vector<TableBlock>& blocks) const;
    std::vector<Page> done() { return std::move(pages_); }
    /// "row-12": an element id that no other element of the paper has.
    std::string next_id(const std::string& stem);

  private:
    static constexpr double bullet_mm = 4; // from the dash to the words
    std::vector<StripTable> strip_tables(const std::vector<TableBlock>& blocks) const; // none: not worth it
    void draw_strip(const FilledStrip& strip, const std::vector<StripTable>& tables, const Box& place);
    void folded_table(TableBlock block, std::size_t strips);
    void draw_row(const TableBlock& block, const TableRow& row, const LaidRow& laid, const Box& strip);
    void draw_titles(const TableBlock& block, const LaidRow& head, const Box& strip);
    void flow_lines(std::vector<std::string> lines, double indent_mm, bool dash);
    std::vector<TableRow> page_sized(const TableRow& row, const TableBlock& block) const;
    Form form_;
    const TextMeasure* measure_;
    Box content_;
    std::vector<Page> pages_;
    double y_mm_ = 0, top_mm_ = 0;
    std::size_t ids_ = 0;
    std::function<double(PaperFlow&)> head_;
};

} // namespace stoutloom::layout::papers

// Words that several views share: plain sentences, wrapped lines, aligned tables, figures rounded to the safe
// side.
#pragma once

#include "check/rule.h"
#include "model/harness.h"

#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::report {

/// Characters, not bytes.
std::size_t characters(std::string_view text);
/// The author's words made fit for one line of a terminal: control characters become blanks.
std::string one_line(std::string_view text);
/// Lines no wider than `width` characters where the words allow it; every line begins with `indent`, the
/// first with `first_indent`. Ends with a line end.
std::string wrapped(std::string_view text, std::size_t width, std::string_view first_indent,
                    std::string_view indent);
std::string joined(const std::vector<std::string>& words, std::string_view between);

/// Columns as wide as their widest cell. A row may be followed by a remark over the whole width.
class Table {
  public:
    struct Column {
        std::string title;
        bool right = false;
    };
    explicit Table(std::vector<Column> columns) : columns_(std::move(columns)) {}
    void row(std::vector<std::string> cells) { rows_.push_back({.cells = std::move(cells), .remark = {}}); }
    void remark(std::string text) { rows_.push_back({.cells = {}, .remark = std::move(text)}); }
    bool empty() const { return rows_.empty(); }
    std::string text(std::string_view indent) const;

  private:
    struct Row {
        std::vector<std::string> cells;
        std::string remark;
    };
    std::vector<Column> columns_;
    std::vector<Row> rows_;
};

/// A figure and its limit as they may be shown side by side. Which side is the dangerous one is taken from
/// the verdict: a load is shown up and its limit down, a yield down and its floor up, and digits are added
/// until a pass does not look like a fail or a tie like a pass.
struct ShownPair {
    std::string computed, limit;
};
ShownPair shown_pair(double computed, double limit, std::string_view unit, bool passes);

/// "C (125 degC)", "105 degC".
std::string insulation_words(const base::Insulation& insulation);
/// "35 mm2", "2 x 35 mm2", "auto", "1/0 AWG".
std::string section_words(const model::Cable& cable);
/// The other system's figure for a section: "1 AWG" for a fresh 35 mm2 (never thinner), "about 2 AWG" for one
/// that is there already, "53.5 mm2" for 1/0 AWG; empty if there is none.
std::string other_section_words(const model::Cable& cable);
/// "to 0.30 m (11.8 in)", "161 degC (322 degF)": each length and temperature of a sentence with its US
/// figure.
std::string with_us_figures(const std::string& words);
/// "5.3 ft", rounded up.
std::string feet(double length_m);
std::string engine_words(model::Engine engine);
std::string duty_words(const model::Duty& duty); // "Cranking (engine cranking, 10 s)"

} // namespace stoutloom::report

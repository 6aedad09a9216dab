// The installer's papers as one document: the harness diagram first, then what the workshop works from.
#pragma once

#include "base/outcome.h"
#include "report/csv.h"
#include "report/phrases.h"
#include "report/report.h"

#include <optional>
#include <string>
#include <vector>

namespace stoutloom::report {

enum class Paper {
    diagram,
    cut_list,
    shopping_list,
    stud_stacks,
    loom_boards,
    labels,
    measurements,
    check_record,
    plots,
    index
};
struct PaperName {
    Paper paper;
    std::string_view name; // "cut-list": on the command line and as the name of files
};
/// In the order of the pack.
const std::vector<PaperName>& paper_names();

struct PackOptions {
    layout::Sheet sheet =
        layout::Sheet::a3;            // of the diagram; A3 and A4 put the papers on A4, the others on Letter
    std::optional<Language> language; // the title block's otherwise
    std::vector<Paper> only;          // empty: all
    bool loom_tiles = false;          // the loom boards once more at true size
    std::optional<double> label_width_mm, label_height_mm;
};
struct Pack {
    layout::Document document;
    std::vector<CsvTable> tables;
    std::vector<std::string> remarks; // for the one who printed it, e.g. a language without a column
};
struct NoPack {
    std::string message;
};
/// Errors: the diagram cannot be placed. A kit with findings is printed all the same, "For review".
base::Outcome<Pack, NoPack> build_pack(const Checked& checked, const PackOptions& options,
                                       const layout::TextMeasure& measure);

} // namespace stoutloom::report

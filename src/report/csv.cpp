#include "report/csv.h"

namespace stoutloom::report {
namespace {

std::string cell_text(const std::string& cell) {
    if (cell.find_first_of(",\"\r\n") == std::string::npos)
        return cell;
    std::string quoted = "\"";
    for (const char c : cell) {
        if (c == '"')
            quoted += '"';
        quoted += c;
    }
    return quoted + '"';
}

} // namespace

std::string csv_text(const CsvTable& table) {
    std::string text;
    for (const std::vector<std::string>& row : table.rows) {
        // A lone empty cell would read as an empty line.
        if (row.size() == 1 && row.front().empty())
            text += "\"\"";
        for (std::size_t i = 0; i < row.size(); ++i)
            text += (i > 0 ? "," : "") + cell_text(row[i]);
        text += "\r\n";
    }
    return text;
}

} // namespace stoutloom::report

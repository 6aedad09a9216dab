// Tables as comma-separated values after RFC 4180: CRLF line ends, quotes where a cell needs them.
#pragma once

#include <string>
#include <vector>

namespace stoutloom::report {

/// A table beside a paper. The first row names the columns; units are in the names.
struct CsvTable {
    std::string name; // of the file, without ending: "cut-list"
    std::vector<std::vector<std::string>> rows;
};
std::string csv_text(const CsvTable& table);

} // namespace stoutloom::report

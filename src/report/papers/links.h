// What ties the sheets of a pack together once each has its number: jumps, what the outline says of each
// sheet, the index.
#pragma once

#include "report/papers/contents.h"

namespace stoutloom::report {

/// Id of a finding's row in the record of check: "finding-3".
std::string finding_row_id(std::size_t number);

/// Balloons jump to the row of the cut list, flags to the finding, findings to their cable or part.
void link_papers(const Voice& voice, layout::Document& document);

/// "W5 to W12": what of a paper stands on a sheet, for the outline; the zones of a sheet of the diagram.
void tell_contents(const Voice& voice, layout::Document& document);

/// Which sheets show each cable and each part, by the labels of the pages.
layout::papers::SectionedPaper index_content(const Voice& voice, const layout::Document& document);
CsvTable index_table(const Voice& voice, const layout::Document& document);

} // namespace stoutloom::report

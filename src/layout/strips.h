// What stands at the foot of the pages: key plan, findings, reading this sheet, caution, title block. Private
// to this room.
#pragma once

#include "layout/sheet_paint.h"

#include <string>
#include <vector>

namespace stoutloom::layout {

class Strips {
  public:
    Strips(const std::vector<PlacedSheet>& sheets, const DiagramContent& content, const SheetSize& size,
           const TextMeasure& measure)
        : sheets_(sheets), content_(content), size_(size), measure_(measure) {}
    /// Height that a page's lowest drawing does not need; 0 when it is too little for a row of findings.
    double spare_mm(const PlacedSheet& lowest) const;
    /// Whether the boxes under these pages hold every finding.
    bool hold_all(std::vector<Page> pages) const;
    void add_to(std::vector<Page>& pages) const;

  private:
    const std::vector<PlacedSheet>& sheets_;
    const DiagramContent& content_;
    const SheetSize& size_;
    const TextMeasure& measure_;
    using Drawings = std::vector<const PlacedSheet*>; // of one page, from the top

    StripContent strip_content(const Drawings& here) const;
    std::vector<std::string> unlabelled(const Drawings& here) const;
    std::vector<FlagPlace> flag_places() const;
    std::vector<std::string> zone_sheets() const;
    void add_foot(Page& page, const Drawings& here, Findings& findings,
                  std::vector<std::string>& left_over) const;
    Page key_page(const std::vector<std::string>& lines, Findings& findings) const;
    void add_feet(std::vector<Page>& pages, Findings& findings) const;
};

} // namespace stoutloom::layout

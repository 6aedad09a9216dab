// What the flags mean: in a box under each sheet as far as it holds them, and all of them on a sheet of their
// own where the boxes together do not. Private to this room.
#pragma once

#include "layout/diagram.h"
#include "layout/sheet_frame.h"

#include <optional>
#include <string>
#include <vector>

namespace stoutloom::layout {

/// Where a flag stands first; where none does, where it would.
struct FlagPlace {
    std::string field; // "1b C6"; empty when no sheet shows its subject
    std::string link;  // the flag there, to jump to; empty without one
};

class Findings {
  public:
    Findings(const DiagramContent& content, std::vector<FlagPlace> places, const TextMeasure& measure);
    /// The box of the strip: findings in their order, then the notes and what was not checked.
    Element first_box(const Box& box);
    /// Under a further sheet: what is flagged there and not told yet, then the others. Empty when that is
    /// nothing, or the box holds none of it.
    std::optional<Element> further_box(const std::string& id, const Box& box,
                                       const std::vector<std::size_t>& flagged_here);
    /// Every error and warning stands whole in a box. Notes ask for nothing to be done: those that find no
    /// room are in the record of the check.
    bool all_told() const;
    /// Begins again; all of it will follow on the sheet so called.
    void begin_again(std::string sheet);
    /// Findings, notes and what was not checked, as many sheets as it takes.
    std::vector<Page> sheets(const SheetSize& size, const std::string& number) const;

  private:
    struct Worded {
        std::vector<std::string> what, cure;
        double height_mm() const;
        double last_mm() const;
    };
    const DiagramContent& content_;
    std::vector<FlagPlace> places_;
    const TextMeasure& measure_;
    std::vector<bool> told_;
    std::size_t remarks_told_ = 0;
    std::string sheet_; // where all of it stands; empty: on none

    double text_left_mm(double left) const;
    Worded worded(std::size_t flag, double width_mm) const;
    void write(Element& to, Point at, double width_mm, std::size_t flag, const Worded& finding) const;
    std::vector<std::string> note_lines(std::size_t remark, double width_mm) const;
    double write_plain(Element& to, Point at, double width_mm, const std::vector<std::string>& lines) const;
    void write_notes(Element& to, const Box& box, double y);
};

} // namespace stoutloom::layout

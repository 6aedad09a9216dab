// The last resort for what no drawing holds: every stud with its lugs in rows, each lug's cable a stub with a
// balloon, a label and a tag that says where it goes. A flowing list always fits. Private to this room.
#pragma once

#include "layout/arrangement.h"
#include "layout/notes.h"

#include <string>
#include <vector>

namespace stoutloom::layout {

struct StudListRow {
    enum class Kind { unit, bed, stud, lug } kind = Kind::stud;
    Box box;
    std::string owner, title, aside; // heads: id, bold words, plain words
    const StudGlyph* stud = nullptr;
    const LugGlyph* lug = nullptr;
    std::size_t step = 0;   // place in the tightening order, from 1
    bool off_sheet = false; // told on the other kind of sheet
    double flags_mm = 0;    // at the row's top, for flags over the first one
};
struct StudList {
    std::vector<StudListRow> rows; // empty: the sheet is drawn
    double tag_width_mm = 44;
};

/// As many sheets' rows as the share needs; the arrangement is that of each sheet, without anything placed.
std::vector<StudList> list_studs(const Arrangement& arrangement, const TextMeasure& measure);
/// Flags at the rows of what they tell about.
std::vector<FlagNote> list_flags(const StudList& list, const DiagramContent& content);
/// Where the end of a cable stands in the list; nothing when it does not.
const StudListRow* row_of(const StudList& list, std::size_t cable, int end);
std::vector<Element> stud_list_elements(const StudList& list, const DiagramContent& content,
                                        const std::vector<FlagNote>& flags,
                                        const std::vector<std::vector<std::string>>& goes_on,
                                        const TextMeasure& measure);

} // namespace stoutloom::layout

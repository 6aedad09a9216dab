// The sheets of the papers: sizes, the space inside the frame, and what every page carries round its content:
// frame, title block, one caution.
#pragma once

#include "layout/diagram.h"
#include "layout/papers/pen.h"

namespace stoutloom::layout::papers {

enum class PaperSize { a4, letter };
struct SheetForm {
    PaperSize size = PaperSize::a4;
    bool portrait = false;
};
double sheet_width_mm(const SheetForm& form);
double sheet_height_mm(const SheetForm& form);
Box frame_box(const SheetForm& form);
/// Where content may stand: 5 beside the frame (clear of its centring marks), 4 under it, above title block
/// and caution.
Box content_box(const SheetForm& form);
/// An empty page of that form.
Page blank_page(const SheetForm& form, std::string id, std::string title);

/// Captions of the title block and of the caution, in the language of the sheet.
struct SheetWords {
    std::string department, technical_reference, created_by, approved_by, status, owner, document_type, title,
        identification, revision, date, language, sheet, not_yet_approved;
};
enum class Signal { warning, caution, notice };
struct Caution {
    Signal signal = Signal::warning;
    std::string word; // "WARNING"
    std::string text;
};
struct Dress {
    TitleFields title;
    std::string sheet_number; // "3 / 6"
    Caution caution;
    SheetWords words;
};
/// Frame and reference band first, title block and caution last.
void dress(Page& page, const SheetForm& form, const Dress& dress, const TextMeasure& measure);

/// The diagram knows its own sheet's label only: writes "1 / 9" into its title block once the pack is bound.
void tell_sheet_count(Page& page, const std::string& words, const TextMeasure& measure);

/// Sheet heading at the top of the content with a remark beside it; returns the y where content goes on.
struct Heading {
    std::string words, remark;
    double keep_free_mm = 0; // at the right of the line, for what the paper puts there itself
};
double draw_heading(Page& page, const Box& content, const Heading& heading, const TextMeasure& measure);

} // namespace stoutloom::layout::papers

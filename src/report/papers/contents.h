// What each paper says, made from one check. Geometry is layout/papers; here are only words and figures.
#pragma once

#include "layout/papers/check_record.h"
#include "layout/papers/cut_list.h"
#include "layout/papers/labels.h"
#include "layout/papers/loom_board.h"
#include "layout/papers/measurements.h"
#include "layout/papers/plots.h"
#include "layout/papers/stud_stacks.h"
#include "report/csv.h"
#include "report/papers/cut_cables.h"

namespace stoutloom::report {

/// The captions of a sheet's title block in the language of the papers.
layout::papers::SheetWords sheet_words(const Voice& voice);

/// Under the last rows of the cut list, or with the cable that is bought where that saves a sheet.
enum class ReelPlanPlace { cut_list, shopping_list };
layout::papers::CutListContent cut_list_content(const Voice& voice, const std::vector<CutCable>& cuts,
                                                ReelPlanPlace reels = ReelPlanPlace::cut_list);
CsvTable cut_list_table(const Voice& voice, const std::vector<CutCable>& cuts);

/// "19 → 9.5 mm with adhesive"; in the cut list with its order code. Or that none in stock fits, and in the
/// shopping list what would.
enum class SleeveUse { cut, shop };
std::string sleeve_size(const Voice& voice, const CutEndFigures& end, SleeveUse use);

layout::papers::SectionedPaper shopping_content(const Voice& voice, const std::vector<CutCable>& cuts,
                                                ReelPlanPlace reels = ReelPlanPlace::cut_list);
CsvTable shopping_table(const Voice& voice, const std::vector<CutCable>& cuts);

/// Needs the diagram's studs: the same order of lugs stands on both papers.
layout::papers::StacksContent stacks_content(const Voice& voice, const layout::DiagramContent& diagram);
CsvTable stacks_table(const Voice& voice, const layout::DiagramContent& diagram);

/// A letter for every stud that is measured; the letters of the diagram first, more where it has none.
struct ProbeLetters {
    std::vector<std::pair<model::TerminalIndex, std::string>> known;
    std::string letter(model::TerminalIndex terminal); // gives a new one if need be
};
ProbeLetters probe_letters(const Voice& voice, const layout::DiagramContent& diagram);

layout::papers::MeasurementsContent measurements_content(const Voice& voice, ProbeLetters& letters);
CsvTable measurements_table(const Voice& voice, const layout::papers::MeasurementsContent& content);

layout::papers::SectionedPaper record_content(const Voice& voice);
CsvTable judgements_table(const Voice& voice);

layout::papers::LoomBoardsContent loom_boards_content(const Voice& voice);
CsvTable loom_table(const Voice& voice);

layout::papers::LabelsContent labels_content(const Voice& voice);
CsvTable labels_table(const Voice& voice);

layout::papers::PlotsContent plots_content(const Voice& voice);
CsvTable temperatures_table(const Voice& voice);

/// "W5, W6 and W7" for remarks; long lists end in "and 12 more".
std::string some_of(const Voice& voice, const std::vector<std::string>& ids, std::size_t most);

} // namespace stoutloom::report

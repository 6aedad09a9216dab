#include "report/papers/papers.h"

#include "layout/remembered_measure.h"
#include "report/papers/contents.h"
#include "report/papers/links.h"
#include "report/protection_page.h"
#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace stoutloom::report {
namespace {

using layout::papers::PaperSize;
using layout::papers::SheetForm;
using layout::papers::Signal;

/// Pages of one kind with what their frame says.
struct Part {
    Paper paper;
    SheetForm form;
    Phrase name = Phrase::cut_list;
    Signal signal = Signal::warning;
    Phrase caution = Phrase::caution_battery;
    std::vector<layout::Page> pages;
    bool framed = true; // label sheets have no room for a frame
};

layout::papers::Caution caution_of(const Voice& voice, const Part& part) {
    const Phrase word = part.signal == Signal::warning   ? Phrase::word_warning
                        : part.signal == Signal::caution ? Phrase::word_caution
                                                         : Phrase::word_notice;
    return {.signal = part.signal, .word = voice.say(word), .text = voice.say(part.caution)};
}

class Builder {
  public:
    Builder(const Voice& voice, const PackOptions& options, const layout::TextMeasure& measure)
        : voice_(&voice), options_(&options), measure_(&measure) {
        const bool metric = options.sheet == layout::Sheet::a3 || options.sheet == layout::Sheet::a4;
        size_ = metric ? PaperSize::a4 : PaperSize::letter;
    }

    base::Outcome<Pack, NoPack> build() {
        content_ = diagram_content(voice_->checked(), options_->sheet, voice_->language());
        letters_ = probe_letters(*voice_, content_);
        for (const layout::RunGlyph& run : content_.cables)
            numbers_.push_back(run.number);
        cuts_ = cut_cables(*voice_, numbers_);
        // Before the diagram: its studs carry the letters that the measurements use.
        measurements_ = measurements_content(*voice_, letters_);
        if (wants(Paper::diagram)) {
            set_letters();
            auto placed = layout::place_diagram(content_, *measure_);
            if (!placed)
                return base::failure(NoPack{placed.error().message});
            diagram_ = std::move(*placed);
        }
        add_cutting();
        add_fitting();
        add_record();
        return bound();
    }

  private:
    bool wants(Paper paper) const {
        return options_->only.empty() ||
               std::find(options_->only.begin(), options_->only.end(), paper) != options_->only.end();
    }

    void set_letters() {
        const auto set = [&](layout::StudGlyph& stud) {
            const auto index = model::find_terminal(voice_->harness(), stud.id);
            for (const auto& [terminal, letter] : letters_.known)
                if (index && *index == terminal)
                    stud.probe = letter;
        };
        for (layout::UnitGlyph& unit : content_.units)
            for (layout::StudGlyph& stud : unit.studs)
                set(stud);
        for (layout::BedGlyph& bed : content_.beds)
            for (layout::StudGlyph& stud : bed.studs)
                set(stud);
    }

    void add(Part part) { parts_.push_back(std::move(part)); }

    struct CuttingPages {
        std::vector<layout::Page> cut, shop;
    };
    CuttingPages cutting_pages(ReelPlanPlace reels) const {
        return {.cut = build_cut_list(cut_list_content(*voice_, cuts_, reels), size_, *measure_),
                .shop = build_sections(shopping_content(*voice_, cuts_, reels), {.size = size_}, *measure_)};
    }

    void add_cutting() {
        const SheetForm wide{.size = size_, .portrait = false}, tall{.size = size_, .portrait = true};
        // Nothing to cut needs no sheet; it is printed only for one who asks for it by name.
        const bool cutting = wants(Paper::cut_list) && !(cuts_.empty() && options_->only.empty()),
                   buying = wants(Paper::shopping_list);
        CuttingPages pages = cutting_pages(ReelPlanPlace::cut_list);
        if (cutting && buying)
            if (CuttingPages other = cutting_pages(ReelPlanPlace::shopping_list);
                other.cut.size() + other.shop.size() < pages.cut.size() + pages.shop.size())
                pages = std::move(other);
        if (cutting)
            add({.paper = Paper::cut_list,
                 .form = wide,
                 .name = Phrase::cut_list,
                 .signal = Signal::notice,
                 .caution = Phrase::caution_cutting,
                 .pages = std::move(pages.cut)});
        if (wants(Paper::cut_list))
            tables_.push_back(cut_list_table(*voice_, cuts_));
        if (buying) {
            add({.paper = Paper::shopping_list,
                 .form = wide,
                 .name = Phrase::shopping_list,
                 .signal = Signal::notice,
                 .caution = Phrase::caution_buying,
                 .pages = std::move(pages.shop)});
            tables_.push_back(shopping_table(*voice_, cuts_));
        }
        if (wants(Paper::stud_stacks)) {
            add({.paper = Paper::stud_stacks,
                 .form = wide,
                 .name = Phrase::stud_stacks,
                 .signal = Signal::warning,
                 .caution = Phrase::caution_battery,
                 .pages = build_stud_stacks(stacks_content(*voice_, content_), size_, *measure_)});
            tables_.push_back(stacks_table(*voice_, content_));
        }
        add_looms(wide);
        if (wants(Paper::labels)) {
            const bool a4 = size_ == PaperSize::a4;
            const auto grid =
                layout::papers::grid_for(size_, options_->label_width_mm.value_or(a4 ? 48.5 : 66.7),
                                         options_->label_height_mm.value_or(25.4));
            add({.paper = Paper::labels,
                 .form = tall,
                 .name = Phrase::labels,
                 .signal = Signal::warning,
                 .caution = Phrase::caution_labels,
                 .pages = build_labels(labels_content(*voice_), size_, grid, *measure_),
                 .framed = false});
            tables_.push_back(labels_table(*voice_));
        }
    }

    void add_looms(const SheetForm& wide) {
        if (!wants(Paper::loom_boards))
            return;
        const layout::papers::LoomBoardsContent looms = loom_boards_content(*voice_);
        // A kit without looms has no board; the paper is printed only for one who asks for it by name.
        if (looms.boards.empty() && options_->only.empty())
            return;
        std::vector<layout::Page> pages = build_loom_boards(looms, size_, *measure_);
        if (options_->loom_tiles)
            for (layout::Page& page : build_loom_tiles(looms, size_, *measure_))
                pages.push_back(std::move(page));
        add({.paper = Paper::loom_boards,
             .form = wide,
             .name = Phrase::loom_boards,
             .signal = Signal::caution,
             .caution = Phrase::caution_looms,
             .pages = std::move(pages)});
        tables_.push_back(loom_table(*voice_));
    }

    void add_fitting() {
        const SheetForm tall{.size = size_, .portrait = true};
        if (!wants(Paper::measurements))
            return;
        add({.paper = Paper::measurements,
             .form = tall,
             .name = Phrase::measurements,
             .signal = Signal::warning,
             .caution = Phrase::caution_running,
             .pages = build_measurements(measurements_, size_, *measure_)});
        tables_.push_back(measurements_table(*voice_, measurements_));
    }

    void add_record() {
        const SheetForm wide{.size = size_, .portrait = false}, tall{.size = size_, .portrait = true};
        if (wants(Paper::check_record)) {
            add({.paper = Paper::check_record,
                 .form = tall,
                 .name = Phrase::check_record,
                 .signal = Signal::notice,
                 .caution = Phrase::caution_record,
                 .pages = build_sections(record_content(*voice_), tall, *measure_)});
            tables_.push_back(judgements_table(*voice_));
        }
        if (wants(Paper::plots)) {
            add({.paper = Paper::plots,
                 .form = wide,
                 .name = Phrase::plots,
                 .signal = Signal::notice,
                 .caution = Phrase::caution_record,
                 .pages = plot_pages()});
            tables_.push_back(temperatures_table(*voice_));
        }
    }

    /// The bars, then the fuse-links that matter most, each against the cable it protects.
    std::vector<layout::Page> plot_pages() const {
        constexpr std::size_t most_links = 4;
        std::vector<layout::Page> pages = build_plots(plots_content(*voice_), size_, *measure_);
        for (const model::CableIndex cable : protection_worth_a_sheet(voice_->checked(), most_links)) {
            pages.push_back(protection_sheet(*voice_, cable, size_, *measure_));
            pages.back().id = "plots-protection-" + voice_->harness().cable(cable).id;
            pages.back().content = pages.back().title;
            pages.back().title = voice_->say(Phrase::plots);
        }
        return pages;
    }

    /// A thin pack is leafed through; a thick one needs to be told where a cable stands.
    Part index_of(const layout::Document& document) {
        constexpr std::size_t thick_pages = 30;
        const SheetForm tall{.size = size_, .portrait = true};
        Part part{.paper = Paper::index,
                  .form = tall,
                  .name = Phrase::index,
                  .signal = Signal::notice,
                  .caution = Phrase::caution_index,
                  .pages = {}};
        if (options_->only.empty() ? document.pages.size() < thick_pages : !wants(Paper::index))
            return part;
        part.pages = build_sections(index_content(*voice_, document), tall, *measure_);
        tables_.push_back(index_table(*voice_, document));
        return part;
    }

    /// The number after the last sheet of the diagram, whose own may be "1a", "1b", "2".
    std::size_t first_number() const {
        std::size_t last = 0;
        for (const layout::Page& page : diagram_) {
            std::size_t number = 0;
            std::from_chars(page.label.data(), page.label.data() + page.label.size(), number);
            last = std::max(last, number);
        }
        return last + 1;
    }

    layout::papers::Dress dress_of(const Part& part, const std::string& number) const {
        const model::Harness& harness = voice_->harness();
        layout::papers::Dress dress;
        dress.title = content_.title;
        dress.title.document_type = voice_->say(part.name);
        dress.title.title = voice_->say(part.name);
        dress.title.subtitle = one_line(harness.title_block.subtitle.empty()
                                            ? harness.title
                                            : harness.title + ": " + harness.title_block.subtitle);
        dress.title.language = std::string(language_tag(voice_->language()));
        if (!tally(voice_->checked()).clean())
            dress.title.status = voice_->say(Phrase::status_for_review);
        dress.sheet_number = number;
        dress.caution = caution_of(*voice_, part);
        dress.words = sheet_words(*voice_);
        return dress;
    }

    /// Every page in its order with its label; the index comes last, so that it moves no number.
    Pack bound() {
        Pack pack;
        std::size_t number = first_number();
        for (layout::Page& page : diagram_)
            pack.document.pages.push_back(std::move(page));
        std::vector<std::pair<std::size_t, const Part*>> framed; // page and what its frame says
        const auto add_pages = [&](Part& part) {
            for (layout::Page& page : part.pages) {
                page.label = std::to_string(number++);
                if (part.framed)
                    framed.emplace_back(pack.document.pages.size(), &part);
                pack.document.pages.push_back(std::move(page));
            }
        };
        for (Part& part : parts_)
            add_pages(part);
        Part index = index_of(pack.document);
        add_pages(index);
        const std::string of = " / " + std::to_string(number - 1);
        for (std::size_t i = 0; i < diagram_.size(); ++i)
            layout::papers::tell_sheet_count(pack.document.pages[i], pack.document.pages[i].label + of,
                                             *measure_);
        for (const auto& [at, part] : framed) {
            layout::Page& page = pack.document.pages[at];
            layout::papers::dress(page, part->form, dress_of(*part, page.label + of), *measure_);
        }
        link_papers(*voice_, pack.document);
        tell_contents(*voice_, pack.document);
        const model::TitleBlock& block = voice_->harness().title_block;
        pack.document.title = one_line(voice_->harness().title);
        pack.document.author = block.created_by;
        pack.document.subject = block.subtitle;
        pack.document.language = std::string(language_tag(voice_->language()));
        pack.document.date = block.date;
        pack.tables = std::move(tables_);
        return pack;
    }

    const Voice* voice_;
    const PackOptions* options_;
    const layout::TextMeasure* measure_;
    PaperSize size_ = PaperSize::a4;
    layout::DiagramContent content_;
    ProbeLetters letters_;
    std::vector<std::string> numbers_;
    std::vector<CutCable> cuts_;
    layout::papers::MeasurementsContent measurements_;
    std::vector<layout::Page> diagram_;
    std::vector<Part> parts_;
    std::vector<CsvTable> tables_;
};

} // namespace

layout::papers::SheetWords sheet_words(const Voice& voice) {
    return {.department = voice.say(Phrase::sheet_department),
            .technical_reference = voice.say(Phrase::sheet_technical_reference),
            .created_by = voice.say(Phrase::sheet_created_by),
            .approved_by = voice.say(Phrase::sheet_approved_by),
            .status = voice.say(Phrase::sheet_status),
            .owner = voice.say(Phrase::sheet_owner),
            .document_type = voice.say(Phrase::sheet_document_type),
            .title = voice.say(Phrase::sheet_title),
            .identification = voice.say(Phrase::sheet_identification),
            .revision = voice.say(Phrase::sheet_revision),
            .date = voice.say(Phrase::sheet_date),
            .language = voice.say(Phrase::sheet_language),
            .sheet = voice.say(Phrase::sheet_number),
            .not_yet_approved = voice.say(Phrase::sheet_not_approved)};
}

const std::vector<PaperName>& paper_names() {
    static const std::vector<PaperName> names = {{Paper::diagram, "diagram"},
                                                 {Paper::cut_list, "cut-list"},
                                                 {Paper::shopping_list, "shopping-list"},
                                                 {Paper::stud_stacks, "stud-stacks"},
                                                 {Paper::loom_boards, "loom-boards"},
                                                 {Paper::labels, "labels"},
                                                 {Paper::measurements, "measurements"},
                                                 {Paper::check_record, "check-record"},
                                                 {Paper::plots, "plots"},
                                                 {Paper::index, "index"}};
    return names;
}

base::Outcome<Pack, NoPack> build_pack(const Checked& checked, const PackOptions& options,
                                       const layout::TextMeasure& measure) {
    const std::string& tag = checked.harness->title_block.language;
    const std::optional<Language> known = options.language ? options.language : language_named(tag);
    const Voice voice(checked, known.value_or(Language::english));
    const layout::RememberedMeasure remembered(measure);
    auto pack = Builder(voice, options, remembered).build();
    if (pack && !known)
        pack->remarks.push_back(
            fmt::format("the papers' fixed words are in English: there are none in \"{}\"", tag));
    return pack;
}

} // namespace stoutloom::report

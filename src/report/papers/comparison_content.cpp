// The page that is laid before the customer: words and figures of a comparison, in the language of the second
// file.
#include "layout/papers/comparison.h"
#include "report/compare.h"
#include "report/diagram_parts.h"
#include "report/papers/contents.h"
#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>

namespace stoutloom::report {

namespace {

namespace papers = layout::papers;

papers::ComparedKit kit_of(const Voice& voice, const Checked& checked, Phrase when) {
    const Tally count = tally(checked);
    const std::string name = std::filesystem::path(checked.source->path()).filename().string();
    return {.when = voice.say(when),
            .file = one_line(name),
            .verdict = count.clean() ? voice.say(Phrase::kit_fit, {std::to_string(count.warnings)})
                                     : voice.say(Phrase::kit_errors, {std::to_string(count.errors),
                                                                      std::to_string(count.warnings)}),
            .fit = count.clean()};
}

std::string arrow(const std::string& before, const std::string& after) {
    return before == after ? after : before + " → " + after;
}

bool loaded(const std::optional<CableFigure>& figure) {
    return figure && !figure->duty.empty();
}

double bar_of(const std::optional<CableFigure>& figure) {
    if (!loaded(figure) || figure->current_a < 0.05)
        return -1;
    return figure->share();
}

papers::ComparedCable cable_of(const Voice& voice, const CableChange& change) {
    const bool us = voice.harness().units == model::UnitSystem::us;
    const auto section = [](const std::optional<CableFigure>& figure) {
        return figure ? with_signs(figure->section) : std::string("–");
    };
    const auto load = [](const std::optional<CableFigure>& figure) {
        if (!loaded(figure))
            return std::string("–");
        return figure->usable_a > 0 ? base::shown_number(100 * figure->share(), 0, base::Rounding::up)
                                    : std::string("∞");
    };
    const auto heat = [&](const std::optional<CableFigure>& figure) {
        if (!loaded(figure))
            return std::string("–");
        if (figure->runaway || !std::isfinite(figure->temperature_degc))
            return voice.say(Phrase::burns);
        return base::shown_number(us ? base::fahrenheit(figure->temperature_degc) : figure->temperature_degc,
                                  0, base::Rounding::up);
    };
    const auto drop = [](const std::optional<CableFigure>& figure) {
        return figure && figure->drop_v ? base::shown_number(*figure->drop_v, 2, base::Rounding::up)
                                        : std::string("–");
    };
    papers::ComparedCable row;
    row.id = change.id;
    row.label = change.id + "  " + arrow(section(change.before), section(change.after));
    row.before = bar_of(change.before);
    row.after = bar_of(change.after);
    row.load = arrow(load(change.before), load(change.after)) + " %";
    row.heat = arrow(heat(change.before), heat(change.after)) + (us ? " °F" : " °C");
    row.drop = arrow(drop(change.before), drop(change.after)) + " V";
    row.desc = row.load + ", " + row.heat + ", " + row.drop;
    return row;
}

/// What the page should tell first: the cables that were or are worst off.
std::vector<papers::ComparedCable> cables_of(const Voice& voice, const Comparison& comparison) {
    std::vector<const CableChange*> order;
    order.reserve(comparison.cables.size());
    for (const CableChange& change : comparison.cables)
        order.push_back(&change);
    std::stable_sort(order.begin(), order.end(), [](const CableChange* a, const CableChange* b) {
        return std::max(bar_of(a->before), bar_of(a->after)) > std::max(bar_of(b->before), bar_of(b->after));
    });
    std::vector<papers::ComparedCable> rows;
    rows.reserve(order.size());
    for (const CableChange* change : order)
        rows.push_back(cable_of(voice, *change));
    return rows;
}

std::vector<papers::ComparedFindings> findings_of(const Voice& voice, const Comparison& comparison) {
    struct Block {
        Fate fate;
        Phrase heading;
    };
    static constexpr std::array<Block, 4> blocks = {{{Fate::standing, Phrase::findings_standing},
                                                     {Fate::fresh, Phrase::findings_new},
                                                     {Fate::cured, Phrase::findings_cured},
                                                     {Fate::part_gone, Phrase::findings_gone}}};
    std::vector<papers::ComparedFindings> all;
    for (const Block& block : blocks) {
        papers::ComparedFindings made;
        for (const FindingChange& change : comparison.findings)
            if (change.fate == block.fate && change.shown().severity != check::Severity::note)
                made.lines.push_back(with_signs(true_minus(one_line(change.shown().message))));
        // "Standing: 0" is good news and told; the others only where there is something.
        if (made.lines.empty() && block.fate != Fate::standing)
            continue;
        made.heading = voice.say(block.heading, {std::to_string(made.lines.size())});
        all.push_back(std::move(made));
    }
    return all;
}

/// One line for each part, cable or stud; sections stand beside the bars already.
papers::ComparedFindings changes_of(const Voice& voice, const Comparison& comparison) {
    static constexpr std::array<Phrase, 16> names = {
        Phrase::change_part,   Phrase::change_cable,  Phrase::change_fuse_link, Phrase::change_rating,
        Phrase::change_zone,   Phrase::change_stud,   Phrase::change_section,   Phrase::change_insulation,
        Phrase::change_colour, Phrase::change_length, Phrase::change_route,     Phrase::change_ends,
        Phrase::change_lug,    Phrase::change_sleeve, Phrase::change_air,       Phrase::change_limit};
    const auto side = [&](const std::string& words) {
        return words.empty() ? std::string("–") : words == "to choose" ? voice.say(Phrase::size_open) : words;
    };
    papers::ComparedFindings made;
    std::string subject;
    for (const PartChange& change : comparison.changes) {
        if (change.what == Change::section)
            continue;
        std::string words = voice.say(names.at(static_cast<std::size_t>(change.what)));
        if (!change.place.empty())
            words += " −" + change.place;
        if (change.before.empty())
            words = voice.say(Phrase::change_new, {words}) + " " + side(change.after);
        else if (change.after.empty())
            words = voice.say(Phrase::change_gone, {words}) + " " + side(change.before);
        else
            words += " " + side(change.before) + " → " + side(change.after);
        const bool same = !made.lines.empty() && change.subject == subject;
        if (same)
            made.lines.back() += "; ";
        else
            made.lines.push_back(true_minus(change.subject) + ": ");
        made.lines.back() += with_signs(true_minus(one_line(words)));
        subject = change.subject;
    }
    made.heading = voice.say(Phrase::changes_built, {std::to_string(made.lines.size())});
    return made;
}

papers::ComparisonContent content_of(const Voice& voice, const Comparison& comparison) {
    papers::ComparisonContent content;
    content.heading = {.words = voice.say(Phrase::comparison), .remark = one_line(voice.harness().title)};
    content.before = kit_of(voice, *comparison.before, Phrase::before);
    content.after = kit_of(voice, *comparison.after, Phrase::after);
    content.cables_heading = voice.say(Phrase::comparison_cables);
    content.load = voice.say(Phrase::comparison_load);
    content.heat = voice.say(Phrase::comparison_heat);
    content.drop = voice.say(Phrase::comparison_drop);
    content.legend = voice.say(Phrase::comparison_legend);
    content.cables = cables_of(voice, comparison);
    content.findings = findings_of(voice, comparison);
    if (papers::ComparedFindings changes = changes_of(voice, comparison); !changes.lines.empty())
        content.findings.push_back(std::move(changes));
    content.foot = {
        voice.say(Phrase::comparison_copper,
                  {base::shown_up(comparison.copper_before_kg, 1, "kg"),
                   base::shown_up(comparison.copper_after_kg, 1, "kg"),
                   voice.length(comparison.length_before_m), voice.length(comparison.length_after_m)}) +
            "; " + voice.say(Phrase::comparison_notes),
        voice.say(Phrase::comparison_foot)};
    content.more = voice.say(Phrase::comparison_more, {"{0}"});
    return content;
}

} // namespace

layout::Document compare_page(const Comparison& comparison, const PackOptions& options,
                              const layout::TextMeasure& measure) {
    const Checked& after = *comparison.after;
    const model::TitleBlock& block = after.harness->title_block;
    const std::optional<Language> known =
        options.language ? options.language : language_named(block.language);
    const Voice voice(after, known.value_or(Language::english));
    const bool letter = options.sheet == layout::Sheet::letter || options.sheet == layout::Sheet::tabloid;
    const papers::PaperSize size = letter ? papers::PaperSize::letter : papers::PaperSize::a4;
    layout::Page page = papers::build_comparison(content_of(voice, comparison), size, measure);
    page.label = "1";
    papers::Dress dress;
    dress.title = title_fields(after);
    dress.title.document_type = voice.say(Phrase::comparison);
    dress.title.title = voice.say(Phrase::comparison);
    dress.title.subtitle = one_line(after.harness->title);
    dress.title.language = std::string(language_tag(voice.language()));
    if (!tally(after).clean())
        dress.title.status = voice.say(Phrase::status_for_review);
    dress.sheet_number = "1 / 1";
    dress.caution = {.signal = papers::Signal::warning,
                     .word = voice.say(Phrase::word_warning),
                     .text = voice.say(Phrase::caution_battery)};
    dress.words = sheet_words(voice);
    papers::dress(page, {.size = size, .portrait = true}, dress, measure);
    layout::Document document;
    document.title = voice.say(Phrase::comparison) + ": " + one_line(after.harness->title);
    document.author = block.created_by;
    document.subject = block.subtitle;
    document.language = std::string(language_tag(voice.language()));
    document.date = block.date;
    document.pages.push_back(std::move(page));
    return document;
}

} // namespace stoutloom::report

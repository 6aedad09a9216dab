// Fills the diagram's words from a checked harness. Everything is finished text and figures here; where a
// thing stands on the sheet is layout's business.
#include "report/report.h"

#include "report/diagram_parts.h"
#include "report/words.h"

#include <fmt/format.h>
#include <map>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>

namespace stoutloom::report {

layout::TitleFields title_fields(const Checked& checked) {
    const model::Harness& harness = *checked.harness;
    const model::TitleBlock& block = harness.title_block;
    layout::TitleFields title;
    title.owner = block.owner;
    title.identification = harness.drawing;
    title.date = block.date;
    title.title = harness.title;
    title.subtitle = block.subtitle;
    title.approved_by = block.approved_by;
    title.created_by = block.created_by;
    title.document_type = "Wiring diagram, heavy current";
    title.revision = harness.revision;
    title.language = block.language;
    title.department = block.department;
    title.technical_reference = block.technical_reference;
    // Whatever the file calls itself: with an error standing it is not to be built from.
    title.status = tally(checked).clean() ? block.status : "For review";
    return title;
}

namespace {

std::vector<layout::ZonePanel> zone_panels(const Voice& voice) {
    const model::Harness& harness = voice.harness();
    std::vector<layout::ZonePanel> panels;
    for (const model::Zone& zone : harness.zones) {
        const double air_degc = zone.ambient_degc.value + zone.radiant_k.value;
        panels.push_back({.id = zone.id,
                          .label = one_line(zone.label.empty() ? zone.id : zone.label),
                          .ambient = diagram_temperature(air_degc, harness.units),
                          .ambient_degc = air_degc});
    }
    if (panels.empty())
        panels.push_back(
            {.id = "all", .label = voice.say(Phrase::diagram_vehicle), .ambient = "", .ambient_degc = 20});
    return panels;
}

void add_incidentals(const Checked& checked, layout::DiagramContent& content) {
    const model::Harness& harness = *checked.harness;
    const auto end = [&](model::TerminalIndex index) {
        const model::Terminal& terminal = harness.terminal(index);
        return terminal.implicit ? harness.device(terminal.device).id : terminal.address;
    };
    for (const model::Incidental& path : harness.incidentals)
        content.incidentals.push_back({.id = path.id,
                                       .name = one_line(path.label.empty() ? path.id : path.label),
                                       .from = end(path.from),
                                       .to = end(path.to)});
}

// Probe points in the order in which they are measured: the source, then along the feed, then the returns.
void add_probes(layout::DiagramContent& content) {
    using layout::UnitSymbol;
    static constexpr std::string_view letters = "ABCDEFGHJKLMNPQRSTUVWXYZ"; // no I, no O
    std::size_t next = 0;
    const auto mark = [&](layout::StudGlyph& stud) {
        if (next < letters.size() && !stud.lugs.empty() && stud.probe.empty() &&
            (stud.kind == layout::StudGlyph::Kind::stud || stud.kind == layout::StudGlyph::Kind::post))
            stud.probe = std::string(1, letters[next++]);
    };
    for (const layout::Flow flow : {layout::Flow::feed, layout::Flow::back})
        for (const UnitSymbol symbol : {UnitSymbol::generator, UnitSymbol::battery, UnitSymbol::starter})
            for (layout::UnitGlyph& unit : content.units)
                if (unit.symbol == symbol)
                    for (layout::StudGlyph& stud : unit.studs)
                        if (stud.flow == flow)
                            mark(stud);
    for (layout::BedGlyph& bed : content.beds)
        for (layout::StudGlyph& stud : bed.studs)
            mark(stud);
}

} // namespace

std::string with_signs(std::string text) {
    for (const auto& [plain, sign] : {std::pair{" <= ", " ≤ "}, std::pair{" >= ", " ≥ "}})
        for (std::size_t at = text.find(plain); at != std::string::npos; at = text.find(plain, at + 1))
            text.replace(at, 4, sign);
    static constexpr std::array<std::pair<std::string_view, std::string_view>, 6> signs = {
        {{"mm2", "mm²"}, {"degC", "°C"}, {"degF", "°F"}, {"mohm", "mΩ"}, {"uohm", "µΩ"}, {"ohm", "Ω"}}};
    const auto letter = [&](std::size_t i) {
        return i < text.size() && std::isalpha(static_cast<unsigned char>(text[i])) != 0;
    };
    for (const auto& [plain, sign] : signs)
        for (std::size_t at = text.find(plain); at != std::string::npos; at = text.find(plain, at + 1))
            if ((at == 0 || !letter(at - 1)) && !letter(at + plain.size()))
                text.replace(at, plain.size(), sign);
    // "G1.B-", "E9.-", "battery - to": the minus of a terminal, not a hyphen.
    for (std::size_t at = text.find('-'); at != std::string::npos; at = text.find('-', at + 1)) {
        const bool ends =
            at + 1 == text.size() || std::string_view(" ,;:.)").find(text[at + 1]) != std::string_view::npos;
        const bool of_terminal =
            at > 0 && (text[at - 1] == '.' || text[at - 1] == 'B' || text[at - 1] == ' ');
        if (ends && of_terminal)
            text.replace(at, 1, "−");
    }
    return text;
}

std::string diagram_temperature(double degc, model::UnitSystem units) {
    std::string metric = base::shown_up(degc, 0, "°C"), us = base::shown_up(base::fahrenheit(degc), 0, "°F");
    if (units == model::UnitSystem::metric)
        return metric;
    return units == model::UnitSystem::us ? us : fmt::format("{} ({})", metric, us);
}

layout::Flow flow_of(check::Side side) {
    switch (side) {
    case check::Side::feed:
        return layout::Flow::feed;
    case check::Side::back:
        return layout::Flow::back;
    case check::Side::control:
    case check::Side::unknown:
        return layout::Flow::control;
    }
    return layout::Flow::control;
}

std::vector<double> greatest_currents_a(const Checked& checked) {
    std::vector<double> greatest(checked.harness->cables.size(), 0.0);
    for (const check::SolvedDuty& solved : checked.facts->duties)
        if (solved.point)
            for (std::size_t i = 0; i < greatest.size(); ++i)
                greatest[i] = std::max(greatest[i], std::abs(solved.point->cables.at(i).current_a));
    return greatest;
}

bool is_light_lead(const Checked& checked, std::size_t cable) {
    constexpr double light_mm2 = 6, light_a = 1.5;
    const model::Cable& about = checked.harness->cables.at(cable);
    if (about.section_mm2.value > light_mm2)
        return false;
    const auto& duties = checked.facts->duties;
    return std::all_of(duties.begin(), duties.end(), [&](const check::SolvedDuty& solved) {
        return solved.point && std::abs(solved.point->cables.at(cable).current_a) <= light_a;
    });
}

std::optional<model::DutyIndex> rated_duty(const Checked& checked) {
    std::optional<model::DutyIndex> found;
    for (const check::SolvedDuty& solved : checked.facts->duties) {
        const model::Duty& duty = checked.harness->duty(solved.duty);
        if (duty.engine != model::Engine::rated || !solved.point)
            continue;
        if (!found || (duty.hot && !checked.harness->duty(*found).hot))
            found = solved.duty;
    }
    return found;
}

namespace {
/// Every phrase that the drawing asks for by its English.
std::map<std::string, std::string> drawn_words(Language language) {
    std::map<std::string, std::string> words;
    for (const PhraseRow& row : phrase_rows())
        if (row.name.starts_with("diagram_") || row.name.starts_with("sheet_") || row.name == "word_warning")
            words.emplace(row.words[0], row.words.at(static_cast<std::size_t>(language)));
    return words;
}
} // namespace

layout::DiagramContent diagram_content(const Checked& checked, layout::Sheet sheet, Language language) {
    const Voice voice(checked, language);
    layout::DiagramContent content;
    content.sheet = sheet;
    content.title = title_fields(checked);
    if (language != Language::english)
        content.title.words = drawn_words(language);
    if (language_named(content.title.language) != language)
        content.title.language = std::string(language_tag(language));
    content.title.document_type = phrase(Phrase::diagram_document, language);
    if (!tally(checked).clean())
        content.title.status = phrase(Phrase::status_for_review, language);
    content.zones = zone_panels(voice);
    add_units_and_beds(voice, content);
    add_runs(voice, content);
    add_incidentals(checked, content);
    add_probes(content);
    add_flags(voice, content);
    content.volt_line = volt_line(voice);
    content.cautions = cautions();
    content.cautions.at(0) = phrase(Phrase::diagram_caution_battery, language);
    content.cautions.at(1) = phrase(Phrase::diagram_caution_errors, language);
    for (std::size_t i = 2; i < content.cautions.size(); ++i)
        content.cautions[i] = voice.told(content.cautions[i]);
    // One line for a box that has room for few; the report of the check has the whole list.
    content.notes = {phrase(Phrase::diagram_not_checked, language)};
    return content;
}

} // namespace stoutloom::report

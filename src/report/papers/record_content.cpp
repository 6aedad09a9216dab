// The record of check: enough that another engineer can repeat it. Findings stay in the words of the rules.
#include "report/papers/contents.h"

#include "report/diagram_parts.h"
#include "report/digest.h"
#include "report/papers/finding_groups.h"
#include "report/papers/id_ranges.h"
#include "report/papers/links.h"
#include "report/papers/told_before.h"
#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace stoutloom::report {
namespace {

using layout::Anchor;
using layout::papers::Section;
using layout::papers::TableBlock;

std::string file_name(const std::string& path) {
    const std::size_t slash = path.find_last_of("/\\");
    return slash == std::string::npos ? path : path.substr(slash + 1);
}

std::string severity_words(const Voice& voice, const check::Judgement& judgement) {
    if (judgement.accepted)
        return voice.say(Phrase::severity_accepted);
    switch (judgement.severity) {
    case check::Severity::error:
        return voice.say(Phrase::severity_error);
    case check::Severity::warning:
        return voice.say(Phrase::severity_warning);
    case check::Severity::note:
        return voice.say(Phrase::severity_note);
    }
    return {};
}

Section inputs_section(const Voice& voice) {
    const model::Harness& harness = voice.harness();
    const base::SourceText& source = *voice.checked().source;
    Section section{
        .heading = voice.say(Phrase::record_inputs), .paragraphs = {}, .bullets = {}, .tables = {}};
    TableBlock table{.caption = {},
                     .columns = {{.title = voice.say(Phrase::column_what), .width_mm = 45},
                                 {.title = voice.say(Phrase::column_value), .width_mm = 127}},
                     .rows = {},
                     .empty_words = {}};
    const auto row = [&](Phrase what, const std::string& value) {
        table.rows.push_back({.id = {}, .cells = {voice.say(what), value}});
    };
    const auto& block = harness.title_block;
    row(Phrase::record_file, fmt::format("{}, {} B", file_name(source.path()), source.text().size()));
    row(Phrase::record_digest, sha256_hex(source.text()));
    row(Phrase::record_title,
        one_line(block.subtitle.empty() ? harness.title : harness.title + "; " + block.subtitle));
    row(Phrase::record_drawing, fmt::format("{}  {}  {}", harness.drawing, harness.revision, block.date));
    row(Phrase::record_program, fmt::format("stoutloom {}", STOUTLOOM_VERSION));
    row(Phrase::record_profile,
        voice.say(harness.profile == model::Profile::boat ? Phrase::profile_boat : Phrase::profile_vehicle));
    row(Phrase::record_nominal, base::shown(harness.nominal_v.value, 0, base::Rounding::nearest, "V"));
    row(Phrase::record_method, voice.say(Phrase::method_words));
    const Tally count = tally(voice.checked());
    row(Phrase::record_verdict,
        voice.say(Phrase::verdict_words,
                  {std::to_string(count.errors), std::to_string(count.warnings), std::to_string(count.notes),
                   std::to_string(count.passes), std::to_string(count.judgements)}));
    section.tables = {table};
    return section;
}

std::string figures_of(const Voice& voice, const check::Judgement& judgement) {
    const ShownPair pair = shown_pair(judgement.computed, judgement.limit, judgement.unit,
                                      judgement.verdict == check::Verdict::passes);
    const auto with_us = [&voice](const std::string& figures) {
        return voice.harness().units == model::UnitSystem::metric ? figures : with_us_figures(figures);
    };
    const std::string reached =
                          voice.say(Phrase::named, {voice.say(Phrase::computed), with_us(pair.computed)}),
                      held_to = voice.say(Phrase::named, {voice.say(Phrase::limit), with_us(pair.limit)});
    return fmt::format("{} ({})", voice.say(Phrase::and_then, {reached, held_to}),
                       voice.told(judgement.limit_source));
}

/// "2", "2, 3" or "2 to 5", as the diagram numbers its flags.
std::string numbers_of(const Voice& voice, const std::vector<std::size_t>& group) {
    std::string first = std::to_string(group.front() + 1);
    const std::string last = std::to_string(group.back() + 1);
    if (group.size() == 1)
        return first;
    return group.size() == 2 ? first + ", " + last : unbroken(voice.say(Phrase::range, {first, last}));
}

/// What is found of the first, and the others that it is found of too.
std::string found_words(const Voice& voice, const std::vector<check::Judgement>& found,
                        const std::vector<std::size_t>& group, ToldBefore& told) {
    const check::Judgement& judgement = found[group.front()];
    std::string words = told.shortened({.rule = std::string(judgement.rule->slug),
                                        .number = std::to_string(group.front() + 1),
                                        .sentence = one_line(voice.found(judgement.message))});
    std::vector<std::string> others;
    for (std::size_t i = 1; i < group.size(); ++i)
        others.push_back(found[group[i]].subjects.front());
    if (!others.empty())
        words = voice.say(Phrase::and_then, {words, voice.say(Phrase::likewise, {id_ranges(voice, others)})});
    words += " [" + std::string(judgement.rule->slug) + "]";
    if (judgement.has_figures)
        words += " " + figures_of(voice, judgement);
    return words;
}

Section findings_section(const Voice& voice) {
    const std::vector<check::Judgement> found = findings(voice.checked());
    const std::vector<std::vector<std::size_t>> groups = alike_findings(found);
    const bool gathered = groups.size() < found.size();
    TableBlock table{
        .caption = voice.say(Phrase::record_findings),
        .columns = {{.title = voice.say(Phrase::column_number), .width_mm = gathered ? 13.0 : 8.0},
                    {.title = voice.say(Phrase::column_severity),
                     .width_mm = 19,
                     .anchor = Anchor::left,
                     .weight = layout::Weight::bold},
                    {.title = voice.say(Phrase::column_finding), .width_mm = 86},
                    {.title = voice.say(Phrase::column_cure), .width_mm = 58}},
        .rows = {},
        .empty_words = voice.say(Phrase::no_findings)};
    ToldBefore told([&voice](const std::string& number) { return voice.say(Phrase::further_as, {number}); });
    std::string last_cure, last_number; // told once where findings in a row have the same
    for (const std::vector<std::size_t>& group : groups) {
        const check::Judgement& judgement = found[group.front()];
        std::string cure = judgement.accepted
                               ? voice.say(Phrase::accepted_because, {one_line(judgement.accepted_reason)})
                           : judgement.cure.empty() ? voice.found(std::string(judgement.rule->cure))
                                                    : voice.found(judgement.cure);
        if (cure == last_cure) {
            cure = voice.say(Phrase::state_as, {last_number});
        } else {
            last_cure = cure;
            last_number = std::to_string(group.front() + 1);
        }
        table.rows.push_back(
            {.id = finding_row_id(group.front() + 1), // flags of the diagram jump here
             .cells = {numbers_of(voice, group), severity_words(voice, judgement),
                       with_signs(true_minus(found_words(voice, found, group, told))), with_signs(cure)}});
    }
    return {.heading = {}, .paragraphs = {}, .bullets = {}, .tables = {table}};
}

std::string limit_value(const Voice& voice, const model::LimitRow& row, double value) {
    switch (row.quantity) {
    case base::Quantity::voltage:
        return base::shown(value, 2, base::Rounding::nearest, "V");
    case base::Quantity::current:
        return base::shown(value, 2, base::Rounding::nearest, "A");
    case base::Quantity::length:
        return voice.limit_length(value);
    case base::Quantity::fraction:
        return base::shown(value * 100, 0, base::Rounding::nearest, "%");
    default:
        return base::shown_number(value, 0, base::Rounding::nearest);
    }
}

Section limits_section(const Voice& voice) {
    TableBlock table{
        .caption = voice.say(Phrase::record_limits),
        .columns = {{.title = voice.say(Phrase::limit), .width_mm = 40},
                    {.title = voice.say(Phrase::column_value), .width_mm = 18, .anchor = Anchor::right},
                    {.title = voice.say(Phrase::column_meaning), .width_mm = 56},
                    {.title = voice.say(Phrase::column_source), .width_mm = 58}},
        .rows = {},
        .empty_words = {}};
    for (const model::LimitRow& row : model::limit_rows()) {
        const model::LimitInForce force = model::limit_in_force(voice.harness(), row.name);
        table.rows.push_back({.id = {},
                              .cells = {std::string(row.name), limit_value(voice, row, force.value),
                                        voice.told(row.meaning), voice.told(force.source)}});
    }
    for (const model::Limit& limit : voice.harness().limits)
        if (limit.name.empty() && limit.from && limit.to)
            table.rows.push_back({.id = {},
                                  .cells = {voice.terminal(*limit.from) + " – " + voice.terminal(*limit.to),
                                            base::shown(limit.value.value, 2, base::Rounding::nearest, "V"),
                                            "", voice.say(Phrase::this_file)}});
    return {.heading = {}, .paragraphs = {}, .bullets = {}, .tables = {table}};
}

Section duties_section(const Voice& voice) {
    TableBlock table{
        .caption = voice.say(Phrase::record_duties),
        .columns = {{.title = voice.say(Phrase::column_duty), .width_mm = 46},
                    {.title = voice.say(Phrase::column_engine), .width_mm = 26},
                    {.title = voice.say(Phrase::column_heat), .width_mm = 16},
                    {.title = voice.say(Phrase::column_charge), .width_mm = 18, .anchor = Anchor::right},
                    {.title = voice.say(Phrase::column_lasting), .width_mm = 24, .anchor = Anchor::right},
                    {.title = voice.say(Phrase::column_solved), .width_mm = 46}},
        .rows = {},
        .empty_words = {}};
    static constexpr std::array<Phrase, 5> engines = {Phrase::engine_off, Phrase::engine_cranking,
                                                      Phrase::engine_idle, Phrase::engine_cruise,
                                                      Phrase::engine_rated};
    for (const check::SolvedDuty& solved : voice.facts().duties) {
        const model::Duty& duty = voice.harness().duty(solved.duty);
        const std::string lasting = duty.duration_s
                                        ? base::shown(duty.duration_s->value, 0, base::Rounding::nearest, "s")
                                        : voice.say(Phrase::all_day);
        const std::string effort =
            solved.point ? voice.say(Phrase::solved_in, {std::to_string(solved.point->thermal_rounds),
                                                         std::to_string(solved.point->regime_changes)})
                         : voice.say(Phrase::not_solved, {solved.unsolved ? solved.unsolved->message : "?"});
        table.rows.push_back(
            {.id = {},
             .cells = {voice.duty(duty), voice.say(engines.at(static_cast<std::size_t>(duty.engine))),
                       voice.say(duty.hot ? Phrase::hot : Phrase::cold),
                       base::shown(duty.charge_fraction.value * 100, 0, base::Rounding::nearest, "%"),
                       lasting, effort}});
    }
    return {.heading = {}, .paragraphs = {}, .bullets = {}, .tables = {table}};
}

/// "86 / 125 °C (187 / 257 °F)": a line breaks before the bracket only.
std::string pairs_whole(std::string words) {
    for (std::size_t at = words.find(" / "); at != std::string::npos; at = words.find(" / ", at))
        words.replace(at, 3, "\u00A0/\u00A0");
    return words;
}

Section cables_section(const Voice& voice) {
    TableBlock table{
        .caption = voice.say(Phrase::record_cables),
        .columns = {{.title = voice.say(Phrase::column_cable), .width_mm = 24},
                    {.title = voice.say(Phrase::column_section), .width_mm = 35},
                    {.title = voice.say(Phrase::column_length), .width_mm = 19, .anchor = Anchor::right},
                    {.title = voice.say(Phrase::column_load), .width_mm = 18, .anchor = Anchor::right},
                    {.title = voice.say(Phrase::column_usable), .width_mm = 18, .anchor = Anchor::right},
                    {.title = voice.say(Phrase::column_temperature), .width_mm = 25, .anchor = Anchor::right},
                    {.title = voice.say(Phrase::column_duty), .width_mm = 44}},
        .rows = {},
        .empty_words = voice.say(Phrase::none)};
    bool any_kept = false;
    for (const std::size_t i : cables_to_look_up(voice.harness())) {
        const model::Cable& cable = voice.harness().cables[i];
        const check::WorstDuty& worst = check::worst_duty(voice.facts(), static_cast<model::CableIndex>(i));
        const bool kept = cable.origin == model::Origin::original;
        any_kept = any_kept || kept;
        const std::string temperature =
            worst.runaway ? voice.say(Phrase::burns)
                          : voice.temperature_of(worst.temperature_degc, cable.insulation.class_degc);
        table.rows.push_back(
            {.cells = {kept ? cable.id + " " + voice.say(Phrase::kept) : cable.id, voice.cable_words(cable),
                       voice.length(cable.length_m.value), base::shown_up(worst.current_a, 1, "A"),
                       base::shown_down(voice.facts().ratings.at(i).usable_a, 0, "A"),
                       worst.duty ? pairs_whole(temperature) : "–",
                       worst.duty ? voice.duty(voice.harness().duty(*worst.duty)) : "–"}});
    }
    Section section{.heading = {}, .paragraphs = {}, .bullets = {}, .tables = {table}, .remarks = {}};
    section.remarks = {voice.say(Phrase::aged_remark)};
    if (any_kept)
        section.remarks.push_back(voice.say(Phrase::kept_remark));
    return section;
}

struct Verdicts {
    std::size_t passes = 0, fails = 0, cannot_tell = 0;
};

Section rules_section(const Voice& voice) {
    std::map<std::string_view, Verdicts> counts;
    for (const check::Judgement& judgement : voice.checked().record->judgements) {
        Verdicts& count = counts[judgement.rule->slug];
        if (judgement.verdict == check::Verdict::passes)
            ++count.passes;
        else if (judgement.verdict == check::Verdict::fails)
            ++count.fails;
        else
            ++count.cannot_tell;
    }
    TableBlock table{
        .caption = voice.say(Phrase::record_rules),
        .columns = {{.title = voice.say(Phrase::column_rule), .width_mm = 32},
                    {.title = voice.say(Phrase::column_question), .width_mm = 52},
                    {.title = voice.say(Phrase::column_source), .width_mm = 54},
                    {.title = voice.say(Phrase::column_passes), .width_mm = 13, .anchor = Anchor::right},
                    {.title = voice.say(Phrase::column_fails), .width_mm = 12, .anchor = Anchor::right},
                    {.title = voice.say(Phrase::column_cannot), .width_mm = 15, .anchor = Anchor::right}},
        .rows = {},
        .empty_words = {}};
    std::vector<std::string> idle;
    for (const check::Rule* rule : check::all_rules()) {
        const Verdicts count = counts[rule->slug];
        if (count.passes + count.fails + count.cannot_tell == 0) {
            idle.emplace_back(rule->slug);
            continue;
        }
        table.rows.push_back({.id = {},
                              .cells = {std::string(rule->slug), voice.told(rule->asks),
                                        with_signs(voice.told(rule->source)), std::to_string(count.passes),
                                        std::to_string(count.fails), std::to_string(count.cannot_tell)}});
    }
    Section section{.heading = {}, .paragraphs = {}, .bullets = {}, .tables = {table}, .remarks = {}};
    if (!idle.empty())
        section.remarks.push_back(voice.say(Phrase::rules_without_subject, {joined(idle, ", ")}));
    return section;
}

/// A lug made for its stud is taken for granted at nearly every end: one row for all of them; which it is at
/// each end, stud stacks and cut list tell.
struct GivenLugs {
    std::vector<std::string> cables, sizes;
    std::string reason;

    bool take(const model::Assumption& assumption) {
        constexpr std::string_view what = "lug ", both = " and ";
        if (!assumption.what.starts_with(what) || (!reason.empty() && assumption.reason != reason))
            return false;
        reason = assumption.reason;
        for (std::string& cable : parted(assumption.subject))
            cables.push_back(std::move(cable));
        const std::string names = assumption.what.substr(what.size());
        const std::size_t cut = names.find(both);
        add_size(names.substr(0, cut));
        if (cut != std::string::npos)
            add_size(names.substr(cut + both.size()));
        return true;
    }
    void add_size(const std::string& size) {
        if (std::find(sizes.begin(), sizes.end(), size) == sizes.end())
            sizes.push_back(size);
    }
    std::vector<std::string> cells(const Voice& voice) {
        std::stable_sort(sizes.begin(), sizes.end(), stands_before);
        std::vector<std::string> names;
        for (const std::string& size : sizes)
            names.push_back(unbroken(voice.fastener(size)));
        return {id_ranges(voice, cables), voice.say(Phrase::assumed_lugs, {joined(names, ", ")}),
                voice.told(reason)};
    }
};

Section assumptions_section(const Voice& voice) {
    TableBlock table{.caption = voice.say(Phrase::record_assumptions),
                     .columns = {{.title = voice.say(Phrase::column_subject), .width_mm = 84},
                                 {.title = voice.say(Phrase::column_assumed), .width_mm = 42},
                                 {.title = voice.say(Phrase::column_reason), .width_mm = 46}},
                     .rows = {},
                     .empty_words = voice.say(Phrase::none)};
    GivenLugs lugs;
    for (const model::Assumption& assumption : voice.harness().assumptions)
        if (!lugs.take(assumption))
            table.rows.push_back({.id = {},
                                  .cells = {voice.told(id_ranges(voice, parted(assumption.subject))),
                                            with_signs(voice.told(assumption.what)),
                                            with_signs(voice.told(assumption.reason))}});
    if (!lugs.cables.empty())
        table.rows.push_back({.id = {}, .cells = lugs.cells(voice)});
    return {.heading = {}, .paragraphs = {}, .bullets = {}, .tables = {table}};
}

Section list_section(const std::string& heading, const std::vector<std::string>& lines) {
    return {.heading = heading, .paragraphs = {}, .bullets = lines, .tables = {}};
}

std::vector<std::string> told_all(const Voice& voice, std::vector<std::string> lines) {
    for (std::string& line : lines)
        line = voice.told(line);
    return lines;
}

std::vector<std::string> notes_of(const model::Harness& harness) {
    std::vector<std::string> lines;
    for (const model::Note& note : harness.notes)
        if (!note.step)
            lines.push_back(note_words(note, ""));
    return lines;
}

/// The rules speak the letters of a plain terminal; on paper stand the signs that they mean.
void set_signs(layout::papers::SectionedPaper& paper) {
    for (Section& section : paper.sections)
        for (TableBlock& table : section.tables)
            for (layout::papers::TableRow& row : table.rows)
                for (std::string& cell : row.cells)
                    cell = with_signs(std::move(cell));
}

} // namespace

layout::papers::SectionedPaper record_content(const Voice& voice) {
    layout::papers::SectionedPaper paper;
    paper.id = "check-record";
    paper.heading = {.words = voice.say(Phrase::check_record), .remark = {}};
    paper.continued = voice.say(Phrase::continued);
    paper.may_close = true;
    paper.sections = {inputs_section(voice), findings_section(voice)};
    if (voice.language() != Language::english)
        paper.sections.back().remarks = {voice.say(Phrase::findings_in_english)};
    if (const auto notes = notes_of(voice.harness()); !notes.empty())
        paper.sections.push_back(list_section(voice.say(Phrase::record_notes), notes));
    paper.sections.push_back(cables_section(voice));
    paper.sections.push_back(duties_section(voice));
    paper.sections.push_back(limits_section(voice));
    paper.sections.push_back(assumptions_section(voice));
    paper.sections.push_back(rules_section(voice));
    paper.sections.push_back(
        list_section(voice.say(Phrase::record_not_checked), told_all(voice, not_checked())));
    paper.sections.push_back(list_section(voice.say(Phrase::record_cautions), told_all(voice, cautions())));
    set_signs(paper);
    return paper;
}

CsvTable judgements_table(const Voice& voice) {
    CsvTable table{.name = "judgements",
                   .rows = {{"rule", "verdict", "severity", "subjects", "duty", "computed", "limit", "unit",
                             "limit_source", "accepted", "message"}}};
    static constexpr std::array<const char*, 3> verdicts = {"passes", "fails", "cannot-tell"};
    for (const check::Judgement& judgement : voice.checked().record->judgements) {
        std::string subjects;
        for (const std::string& subject : judgement.subjects)
            subjects += (subjects.empty() ? "" : " ") + subject;
        const bool passes = judgement.verdict == check::Verdict::passes;
        table.rows.push_back(
            {std::string(judgement.rule->slug), verdicts.at(static_cast<std::size_t>(judgement.verdict)),
             passes ? "" : std::string(check::severity_name(judgement.severity)), subjects, judgement.duty,
             judgement.has_figures ? plain(judgement.computed, 4) : "",
             judgement.has_figures ? plain(judgement.limit, 4) : "", judgement.unit, judgement.limit_source,
             judgement.accepted ? "yes" : "no", one_line(judgement.message)});
    }
    return table;
}

} // namespace stoutloom::report

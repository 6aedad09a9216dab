// The comparison for people and, beside it, for programs.
#include "report/compare.h"
#include "report/json_words.h"
#include "report/words.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cmath>

namespace stoutloom::report {
namespace {

constexpr std::size_t page_width = 100;
constexpr std::array<Fate, 4> fates = {Fate::standing, Fate::fresh, Fate::cured, Fate::part_gone};

std::string kilograms(double kg) {
    return base::shown_up(kg, 2, "kg");
}

std::string signed_words(double value, int decimals, std::string_view unit) {
    return (value >= 0 ? "+" : "") + base::shown(value, decimals, base::Rounding::nearest, unit);
}

std::string section(const std::optional<CableFigure>& figure) {
    return figure ? figure->section : "-";
}

std::string length(const std::optional<CableFigure>& figure, bool us) {
    if (!figure)
        return "-";
    return us ? feet(figure->length_m) : base::shown_up(figure->length_m, 2, "m");
}

std::string current(const std::optional<CableFigure>& figure) {
    return figure && !figure->duty.empty() ? base::shown_up(figure->current_a, 1, "A") : "-";
}

std::string used(const std::optional<CableFigure>& figure) {
    if (!figure || figure->duty.empty())
        return "-";
    return figure->usable_a > 0 ? base::shown_up(100 * figure->share(), 0, "%") : "over";
}

std::string temperature(const std::optional<CableFigure>& figure, bool us) {
    if (!figure || figure->duty.empty())
        return "-";
    if (figure->runaway || !std::isfinite(figure->temperature_degc))
        return "burns";
    return us ? base::shown_up(base::fahrenheit(figure->temperature_degc), 0, "degF")
              : base::shown_up(figure->temperature_degc, 0, "degC");
}

std::string drop(const std::optional<CableFigure>& figure) {
    return figure && figure->drop_v ? base::shown_up(*figure->drop_v, 3, "V") : "-";
}

std::string cables_table(const Comparison& comparison) {
    const bool us = comparison.after->harness->units == model::UnitSystem::us;
    Table table({{"cable"},
                 {""},
                 {"section"},
                 {"length", true},
                 {"load", true},
                 {"used", true},
                 {"hottest", true},
                 {"drop", true},
                 {"duty"}});
    const auto row = [&](const std::string& id, const char* when, const std::optional<CableFigure>& figure) {
        table.row({id, when, section(figure), length(figure, us), current(figure), used(figure),
                   temperature(figure, us), drop(figure), figure ? figure->duty : ""});
    };
    for (const CableChange& change : comparison.cables) {
        row(change.id, "before", change.before);
        row("", "after", change.after);
    }
    return table.text("  ");
}

std::string findings_of(const Comparison& comparison, Fate fate) {
    std::string text;
    for (const FindingChange& change : comparison.findings) {
        if (change.fate != fate)
            continue;
        const check::Judgement& shown = change.shown();
        text += wrapped(fmt::format("{}: {}: {}", check::severity_name(shown.severity), shown.rule->slug,
                                    one_line(shown.message)),
                        page_width, "  - ", "    ");
        if (change.before && change.after && change.before->severity != change.after->severity)
            text += wrapped(fmt::format("was {} before", check::severity_name(change.before->severity)),
                            page_width, "    ", "    ");
        if (fate == Fate::standing || fate == Fate::fresh) {
            const std::string cure = shown.cure.empty() ? std::string(shown.rule->cure) : shown.cure;
            text += wrapped("cure: " + cure, page_width, "    ", "      ");
        }
    }
    return text;
}

std::string change_line(const PartChange& change) {
    const std::string what =
        std::string(change_words(change.what)) + (change.place.empty() ? "" : " at " + change.place);
    if (change.before.empty())
        return fmt::format("new {}: {}", what, change.after);
    if (change.after.empty())
        return fmt::format("{} left out: {}", what, change.before);
    return fmt::format("{}: {}, now {}", what, change.before, change.after);
}

/// A paragraph for each part, cable, stud.
std::string changes_of(const Comparison& comparison) {
    std::string text;
    std::size_t count = 0;
    for (std::size_t i = 0; i < comparison.changes.size();) {
        const std::string& subject = comparison.changes[i].subject;
        std::string words = subject + ": " + change_line(comparison.changes[i]);
        for (++i; i < comparison.changes.size() && comparison.changes[i].subject == subject; ++i)
            words += "; " + change_line(comparison.changes[i]);
        text += wrapped(words, page_width, "  - ", "    ");
        ++count;
    }
    return fmt::format("\nBuilt differently: {}\n", count) + text;
}

/// As it is printed, so that the difference beside it adds up.
double shown_kg(double kg) {
    return std::ceil(kg * 100 - 1e-9) / 100;
}

std::string copper_text(const Comparison& comparison) {
    return wrapped(
        fmt::format("copper {} before, {} after ({}); cable {} before, {} after ({})",
                    kilograms(comparison.copper_before_kg), kilograms(comparison.copper_after_kg),
                    signed_words(shown_kg(comparison.copper_after_kg) - shown_kg(comparison.copper_before_kg),
                                 2, "kg"),
                    base::shown_up(comparison.length_before_m, 1, "m"),
                    base::shown_up(comparison.length_after_m, 1, "m"),
                    signed_words(comparison.length_after_m - comparison.length_before_m, 1, "m")),
        page_width, "  ", "    ");
}

std::string verdict_line(const Checked& checked) {
    const Tally count = tally(checked);
    return fmt::format("{}: {}: {}", checked.source->path(), count.clean() ? "no errors" : "NOT FIT TO BUILD",
                       tally_words(count));
}

using Json = nlohmann::ordered_json;

Json number(double value) {
    return std::isfinite(value) ? Json(rounded_for_json(value)) : Json(nullptr);
}

Json side_json(const Checked& checked) {
    const Tally count = tally(checked);
    return {{"file", checked.source->path()}, {"title", checked.harness->title},
            {"errors", count.errors},         {"warnings", count.warnings},
            {"notes", count.notes},           {"clean", count.clean()}};
}

Json cable_json(const std::optional<CableFigure>& figure) {
    if (!figure)
        return nullptr;
    return {{"section", figure->section},
            {"section_mm2", number(figure->section_mm2)},
            {"length_m", number(figure->length_m)},
            {"copper_kg", number(figure->copper_kg)},
            {"current_a", figure->duty.empty() ? Json(nullptr) : number(figure->current_a)},
            {"usable_a", number(figure->usable_a)},
            {"temperature_c",
             figure->duty.empty() || figure->runaway ? Json(nullptr) : number(figure->temperature_degc)},
            {"runaway", figure->runaway},
            {"drop_v", figure->drop_v ? number(*figure->drop_v) : Json(nullptr)},
            {"duty", figure->duty}};
}

Json finding_json(const check::Judgement& judgement) {
    Json one = {{"severity", std::string(check::severity_name(judgement.severity))},
                {"message", judgement.message},
                {"duty", judgement.duty}};
    if (judgement.has_figures) {
        one["computed"] = number(judgement.computed);
        one["limit"] = number(judgement.limit);
        one["unit"] = judgement.unit;
    }
    return one;
}

} // namespace

std::string compare_text(const Comparison& comparison) {
    std::string text = "Before and after\n";
    text += wrapped("before  " + verdict_line(*comparison.before), page_width, "  ", "          ");
    text += wrapped("after   " + verdict_line(*comparison.after), page_width, "  ", "          ");
    for (const Fate fate : fates)
        text += fmt::format("\nFindings {}: {}\n", fate_words(fate), comparison.count(fate)) +
                findings_of(comparison, fate);
    text += changes_of(comparison);
    text += "\nCables, at the worst of ageing and tolerance, in the all-day duty that heats them most\n" +
            cables_table(comparison);
    text += "\nCopper and length\n" + copper_text(comparison);
    text += "\nNot checked\n";
    for (const std::string& line : not_checked())
        text += wrapped(line, page_width, "  - ", "    ");
    text += "\nCautions\n";
    for (const std::string& line : cautions())
        text += wrapped(line, page_width, "  - ", "    ");
    return text + "\n" + verdict_line(*comparison.after) + "\n";
}

std::string compare_json(const Comparison& comparison) {
    Json all = {{"program", "stoutloom"},
                {"before", side_json(*comparison.before)},
                {"after", side_json(*comparison.after)}};
    static constexpr std::array<const char*, 4> names = {"cured", "part-gone", "new", "standing"};
    all["findings"] = Json::array();
    for (const FindingChange& change : comparison.findings) {
        const check::Judgement& shown = change.shown();
        all["findings"].push_back({{"fate", names.at(static_cast<std::size_t>(change.fate))},
                                   {"rule", std::string(shown.rule->slug)},
                                   {"subjects", shown.subjects},
                                   {"before", change.before ? finding_json(*change.before) : Json(nullptr)},
                                   {"after", change.after ? finding_json(*change.after) : Json(nullptr)}});
    }
    all["changes"] = Json::array();
    const auto side = [](const std::string& words) { return words.empty() ? Json(nullptr) : Json(words); };
    for (const PartChange& change : comparison.changes)
        all["changes"].push_back({{"subject", change.subject},
                                  {"what", std::string(change_words(change.what))},
                                  {"at", side(change.place)},
                                  {"before", side(change.before)},
                                  {"after", side(change.after)}});
    all["cables"] = Json::array();
    for (const CableChange& change : comparison.cables)
        all["cables"].push_back({{"id", change.id},
                                 {"changed", change.changed},
                                 {"before", cable_json(change.before)},
                                 {"after", cable_json(change.after)}});
    all["copper_kg"] = {{"before", number(comparison.copper_before_kg)},
                        {"after", number(comparison.copper_after_kg)}};
    all["length_m"] = {{"before", number(comparison.length_before_m)},
                       {"after", number(comparison.length_after_m)}};
    return all.dump(2) + "\n";
}

} // namespace stoutloom::report

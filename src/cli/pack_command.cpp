// `stoutloom pack FILE -o X.pdf`: the installer's papers in one PDF, on request also page by page and as
// tables.
#include "cli/commands.h"
#include "cli/palette_option.h"

#include "base/quantity.h"
#include "draw/draw.h"
#include "report/papers/papers.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>

namespace stoutloom::cli {

const Grammar pack_grammar{
    .command = "pack",
    .purpose = "prints the installer's papers as one PDF",
    .words = "FILE",
    .least_words = 1,
    .most_words = 1,
    .options =
        {{.name = "--output", .value = "X.pdf", .help = "where to", .short_name = "-o"},
         {.name = "--sheet",
          .value = "SIZE",
          .help = "of the diagram: A3 (default), A4, Letter or Tabloid; the other papers are A4 or Letter to "
                  "match"},
         mono_option,
         colour_safe_option,
         {.name = "--language", .value = "TAG", .help = "en, de, fr, es or ja; the title block's otherwise"},
         {.name = "--only",
          .value = "NAMES",
          .help = "some papers, with commas between: diagram cut-list shopping-list stud-stacks loom-boards "
                  "labels measurements check-record plots index"},
         {.name = "--loom-tiles", .value = "", .help = "the loom boards once more at true size, in tiles"},
         {.name = "--label",
          .value = "WIDTHxHEIGHT",
          .help = "size of one label, for example \"70 mm x 37 mm\"; 48.5 mm x 25.4 mm on A4 otherwise"},
         {.name = "--svg-folder", .value = "DIR", .help = "every page once more as an SVG of its own"},
         {.name = "--csv-folder", .value = "DIR", .help = "every table as CSV (RFC 4180)"},
         variant_option(
             "one kit of a file with variants; otherwise each is printed, as X-ID.pdf and DIR/ID")},
    .epilogue = "Papers that are true to size carry a bar of 50 mm: print at 100 % and lay a rule on it.\n"
                "Findings do not keep the papers from being printed; the sheets then say \"For review\".\n"
                "exit code: 0 printed, 2 a file cannot be read, written or drawn, or wrong usage"};

namespace {

std::string trimmed(std::string_view text) {
    while (!text.empty() && text.front() == ' ')
        text.remove_prefix(1);
    while (!text.empty() && text.back() == ' ')
        text.remove_suffix(1);
    return std::string(text);
}

using Wrong = std::string; // what to say about wrong usage; empty: nothing

Wrong set_sheet(const Arguments& arguments, report::PackOptions& options) {
    static constexpr std::array<std::pair<std::string_view, layout::Sheet>, 4> sheets = {
        {{"a3", layout::Sheet::a3},
         {"a4", layout::Sheet::a4},
         {"letter", layout::Sheet::letter},
         {"tabloid", layout::Sheet::tabloid}}};
    const std::string name = arguments.value("--sheet").value_or("A3");
    const auto* found = std::find_if(sheets.begin(), sheets.end(),
                                     [&](const auto& sheet) { return sheet.first == lower(name); });
    if (found == sheets.end())
        return fmt::format("there is no sheet \"{}\"; A3, A4, Letter and Tabloid are known", name);
    options.sheet = found->second;
    return {};
}

Wrong set_language(const Arguments& arguments, report::PackOptions& options) {
    const auto tag = arguments.value("--language");
    if (!tag)
        return {};
    options.language = report::language_named(*tag);
    return options.language
               ? Wrong()
               : fmt::format("there are no words in \"{}\"; en, de, fr, es and ja are known", *tag);
}

Wrong set_papers(const Arguments& arguments, report::PackOptions& options) {
    const auto list = arguments.value("--only");
    if (!list)
        return {};
    std::vector<std::string> names;
    for (const report::PaperName& known : report::paper_names())
        names.emplace_back(known.name);
    for (std::size_t from = 0; from <= list->size();) {
        const std::size_t comma = std::min(list->find(',', from), list->size());
        const std::string name = trimmed(lower(std::string_view(*list).substr(from, comma - from)));
        const auto found = std::find(names.begin(), names.end(), name);
        if (found == names.end()) {
            const std::string nearest = base::nearest_name(name, names);
            return fmt::format("there is no paper \"{}\"{}", name,
                               nearest.empty() ? "" : fmt::format("; did you mean \"{}\"?", nearest));
        }
        options.only.push_back(
            report::paper_names().at(static_cast<std::size_t>(found - names.begin())).paper);
        from = comma + 1;
    }
    return {};
}

Wrong set_label(const Arguments& arguments, report::PackOptions& options) {
    const auto text = arguments.value("--label");
    if (!text)
        return {};
    const std::size_t cross = text->find('x');
    if (cross == std::string::npos)
        return fmt::format("\"{}\" is no size of a label; write for example \"70 mm x 37 mm\"", *text);
    for (const bool width : {true, false}) {
        const std::string one = trimmed(width ? text->substr(0, cross) : text->substr(cross + 1));
        const auto length = base::parse_quantity(base::Quantity::length, one);
        if (!length)
            return fmt::format("label: {}; {}", length.error().wrong, length.error().mend);
        // Two lines at least, and something left of a sheet.
        if (*length < (width ? 0.025 : 0.010) || *length > 0.19)
            return fmt::format(
                "a label of {} cannot be printed: 25 mm wide and 10 mm high at least, 190 mm at most", one);
        (width ? options.label_width_mm : options.label_height_mm) = *length * 1000;
    }
    return {};
}

/// Makes the folder if it is not there.
int ready_folder(const std::string& folder) {
    std::error_code refused;
    std::filesystem::create_directories(folder, refused);
    if (std::filesystem::is_directory(folder))
        return exit_clean;
    return trouble(fmt::format("{}: error: is no folder and cannot be made one", folder));
}

std::string joined_path(const std::string& folder, const std::string& name) {
    return (std::filesystem::path(folder) / name).string();
}

int write_svgs(const layout::Document& document, draw::Palette palette, const std::string& folder,
               const std::vector<std::string>& inputs) {
    if (const int code = ready_folder(folder); code != exit_clean)
        return code;
    for (std::size_t page = 0; page < document.pages.size(); ++page) {
        const auto svg = draw::paint_svg(document, page, palette);
        if (!svg)
            return trouble(
                fmt::format("{}: error: cannot be drawn: {}", document.pages[page].id, svg.error().message));
        const int code = deliver(joined_path(folder, document.pages[page].id + ".svg"), *svg, inputs);
        if (code != exit_clean)
            return code;
    }
    return exit_clean;
}

int write_tables(const std::vector<report::CsvTable>& tables, const std::string& folder,
                 const std::vector<std::string>& inputs) {
    if (const int code = ready_folder(folder); code != exit_clean)
        return code;
    for (const report::CsvTable& table : tables) {
        const int code = deliver(joined_path(folder, table.name + ".csv"), report::csv_text(table), inputs);
        if (code != exit_clean)
            return code;
    }
    return exit_clean;
}

/// Where the papers of one kit go.
struct Targets {
    std::string pdf;
    std::optional<std::string> svg_folder, csv_folder;
};
Targets targets_for(const Arguments& arguments, const CheckedFile& kit, std::size_t kits) {
    Targets targets{.pdf = path_for(*arguments.value("--output"), kit, kits),
                    .svg_folder = arguments.value("--svg-folder"),
                    .csv_folder = arguments.value("--csv-folder")};
    for (std::optional<std::string>* folder : {&targets.svg_folder, &targets.csv_folder})
        if (*folder && kits > 1)
            *folder = joined_path(**folder, kit.harness.variant);
    return targets;
}

int write_pack(const Arguments& arguments, const report::Pack& pack, const Targets& targets) {
    const draw::Palette palette = palette_of(arguments);
    const auto pdf = draw::paint_pdf(pack.document, palette);
    if (!pdf)
        return trouble(fmt::format("{}: error: cannot be drawn: {}", targets.pdf, pdf.error().message));
    int code = deliver(targets.pdf, *pdf, arguments.words);
    if (code == exit_clean && targets.svg_folder)
        code = write_svgs(pack.document, palette, *targets.svg_folder, arguments.words);
    if (code == exit_clean && targets.csv_folder)
        code = write_tables(pack.tables, *targets.csv_folder, arguments.words);
    return code;
}

int pack_kit(const CheckedFile& kit, const Arguments& arguments, const report::PackOptions& options,
             const Targets& targets) {
    const auto lettering = draw::lettering();
    const auto pack = report::build_pack(kit.view, options, *lettering);
    if (!pack)
        return trouble(
            fmt::format("{}: error: cannot be drawn: {}", arguments.words.front(), pack.error().message));
    if (const int code = write_pack(arguments, *pack, targets); code != exit_clean)
        return code;
    for (const std::string& remark : pack->remarks)
        say(fmt::format("{}: {}\n", targets.pdf, remark));
    const report::Tally count = report::tally(kit.view);
    if (!count.clean())
        say(fmt::format("{}: printed with {} flagged; not to be built from\n", targets.pdf,
                        report::tally_words(count)));
    return exit_clean;
}

} // namespace

int run_pack(const Arguments& arguments) {
    const auto path = arguments.value("--output");
    if (!path || !lower(*path).ends_with(".pdf"))
        return wrong_usage(pack_grammar, "say where to with -o X.pdf");
    report::PackOptions options;
    for (const auto set : {set_sheet, set_language, set_papers, set_label})
        if (const Wrong wrong = set(arguments, options); !wrong.empty())
            return wrong_usage(pack_grammar, wrong);
    options.loom_tiles = arguments.has("--loom-tiles");
    const Kits kits = kits_of(arguments.words.front(), arguments.value("--variant").value_or(""));
    if (!kits.front()->read) {
        say(refusal_text(kits.front()->source, kits.front()->mistakes));
        return exit_trouble;
    }
    judge(kits);
    int code = exit_clean;
    for (const auto& kit : kits)
        code = std::max(code, pack_kit(*kit, arguments, options, targets_for(arguments, *kit, kits.size())));
    return code;
}

} // namespace stoutloom::cli

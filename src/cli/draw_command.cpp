// `stoutloom draw FILE -o X.pdf`: the harness diagram on paper or screen.
#include "cli/commands.h"
#include "cli/palette_option.h"

#include "draw/draw.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace stoutloom::cli {

const Grammar draw_grammar{
    .command = "draw",
    .purpose = "draws the harness diagram as PDF or SVG",
    .words = "FILE",
    .least_words = 1,
    .most_words = 1,
    .options = {{.name = "--output",
                 .value = "X.pdf|X.svg",
                 .help = "where to; the ending tells the kind",
                 .short_name = "-o"},
                {.name = "--sheet", .value = "SIZE", .help = "A3 (default), A4, Letter or Tabloid"},
                mono_option,
                colour_safe_option,
                variant_option("one kit of a file with variants; otherwise each is drawn, as X-ID.pdf")},
    .epilogue = "A diagram of several sheets gives one PDF; as SVG each further sheet gets a file of its "
                "own, X-2.svg.\n"
                "Findings are flagged on the drawing; errors do not keep it from being drawn.\n"
                "exit code: 0 drawn, 2 a file cannot be read, written or drawn, or wrong usage"};

namespace {

std::optional<layout::Sheet> sheet_named(std::string_view name) {
    static constexpr std::array<std::pair<std::string_view, layout::Sheet>, 4> sheets = {
        {{"a3", layout::Sheet::a3},
         {"a4", layout::Sheet::a4},
         {"letter", layout::Sheet::letter},
         {"tabloid", layout::Sheet::tabloid}}};
    for (const auto& [known, sheet] : sheets)
        if (lower(name) == known)
            return sheet;
    return std::nullopt;
}

layout::Document document_of(const CheckedFile& file, std::vector<layout::Page> pages) {
    const model::TitleBlock& block = file.harness.title_block;
    layout::Document document;
    document.title = file.harness.title;
    document.author = block.created_by;
    document.subject = block.subtitle;
    document.language = block.language;
    document.date = block.date;
    document.pages = std::move(pages);
    return document;
}

int write_svgs(const layout::Document& document, draw::Palette palette, const std::string& path,
               const std::vector<std::string>& inputs) {
    const std::string stem = path.substr(0, path.size() - 4);
    std::vector<std::string> painted;
    for (std::size_t page = 0; page < document.pages.size(); ++page) {
        auto svg = draw::paint_svg(document, page, palette);
        if (!svg)
            return trouble(fmt::format("{}: error: cannot be drawn: {}", path, svg.error().message));
        painted.push_back(std::move(*svg));
    }
    for (std::size_t page = 0; page < painted.size(); ++page) {
        const std::string name = page == 0 ? path : fmt::format("{}-{}.svg", stem, page + 1);
        if (const int code = deliver(name, painted[page], inputs); code != exit_clean)
            return code;
        if (page > 0)
            say(fmt::format("{}: sheet {} of {}\n", name, page + 1, painted.size()));
    }
    return exit_clean;
}

int draw_kit(const CheckedFile& kit, const Arguments& arguments, layout::Sheet sheet,
             const std::string& path) {
    const auto lettering = draw::lettering();
    const report::Language language =
        report::language_named(kit.harness.title_block.language).value_or(report::Language::english);
    auto pages = layout::place_diagram(report::diagram_content(kit.view, sheet, language), *lettering);
    if (!pages)
        return trouble(
            fmt::format("{}: error: cannot be drawn: {}", arguments.words.front(), pages.error().message));
    const layout::Document document = document_of(kit, std::move(*pages));
    const draw::Palette palette = palette_of(arguments);
    int code = exit_clean;
    if (lower(path).ends_with(".svg")) {
        code = write_svgs(document, palette, path, arguments.words);
    } else {
        const auto bytes = draw::paint_pdf(document, palette);
        if (!bytes)
            return trouble(fmt::format("{}: error: cannot be drawn: {}", path, bytes.error().message));
        code = deliver(path, *bytes, arguments.words);
    }
    const report::Tally count = report::tally(kit.view);
    if (code == exit_clean && !count.clean())
        say(fmt::format("{}: drawn with {} flagged; not to be built from\n", path,
                        report::tally_words(count)));
    return code;
}

} // namespace

int run_draw(const Arguments& arguments) {
    const auto path = arguments.value("--output");
    if (!path)
        return wrong_usage(draw_grammar, "say where to with -o X.pdf or -o X.svg");
    const bool pdf = lower(*path).ends_with(".pdf"), svg = lower(*path).ends_with(".svg");
    if (!pdf && !svg)
        return wrong_usage(draw_grammar, fmt::format("\"{}\" ends neither in .pdf nor in .svg", *path));
    const auto sheet = sheet_named(arguments.value("--sheet").value_or("A3"));
    if (!sheet)
        return wrong_usage(draw_grammar,
                           fmt::format("there is no sheet \"{}\"; A3, A4, Letter and Tabloid are known",
                                       *arguments.value("--sheet")));
    const Kits kits = kits_of(arguments.words.front(), arguments.value("--variant").value_or(""));
    if (!kits.front()->read) {
        say(refusal_text(kits.front()->source, kits.front()->mistakes));
        return exit_trouble;
    }
    judge(kits);
    int code = exit_clean;
    for (const auto& kit : kits)
        code = std::max(code, draw_kit(*kit, arguments, *sheet, path_for(*path, *kit, kits.size())));
    return code;
}

} // namespace stoutloom::cli

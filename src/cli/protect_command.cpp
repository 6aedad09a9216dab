// `stoutloom protect FILE CABLE -o X.pdf`: how the fuse-links guard one cable, as a time-current plot.
#include "cli/commands.h"
#include "cli/palette_option.h"

#include "draw/draw.h"
#include "report/protection_page.h"

#include <fmt/format.h>

namespace stoutloom::cli {

const Grammar protect_grammar{
    .command = "protect",
    .purpose = "plots fuse-link bands, damage curve, load and short-circuit current of one cable",
    .words = "FILE CABLE",
    .least_words = 2,
    .most_words = 2,
    .options = {{.name = "--output",
                 .value = "X.pdf|X.svg",
                 .help = "where to; the ending tells the kind",
                 .short_name = "-o"},
                {.name = "--sheet", .value = "SIZE", .help = "A4 (default) or Letter"},
                mono_option,
                colour_safe_option,
                variant_option("which kit of a file with variants")},
    .epilogue = "CABLE is the id of a live cable, or of a fuse-link: then the cable on it that may carry "
                "least.\n"
                "exit code: 0 drawn, 2 a file cannot be read, written or drawn, or wrong usage"};

namespace {

int write(const layout::Document& document, const Arguments& arguments, const std::string& path) {
    const draw::Palette palette = palette_of(arguments);
    const auto bytes = lower(path).ends_with(".svg") ? draw::paint_svg(document, 0, palette)
                                                     : draw::paint_pdf(document, palette);
    if (!bytes)
        return trouble(fmt::format("{}: error: cannot be drawn: {}", path, bytes.error().message));
    return deliver(path, *bytes, {arguments.words.front()});
}

} // namespace

int run_protect(const Arguments& arguments) {
    const auto path = arguments.value("--output");
    if (!path)
        return wrong_usage(protect_grammar, "say where to with -o X.pdf or -o X.svg");
    if (!lower(*path).ends_with(".pdf") && !lower(*path).ends_with(".svg"))
        return wrong_usage(protect_grammar, fmt::format("\"{}\" ends neither in .pdf nor in .svg", *path));
    const std::string sheet = lower(arguments.value("--sheet").value_or("A4"));
    if (sheet != "a4" && sheet != "letter")
        return wrong_usage(protect_grammar,
                           fmt::format("there is no sheet \"{}\" for this page (A4, Letter)", sheet));
    const auto file = one_kit(protect_grammar, arguments, arguments.words.front());
    if (!file)
        return exit_trouble;
    const auto cable = report::protected_cable(file->view, arguments.words.back());
    if (!cable)
        return wrong_usage(protect_grammar,
                           fmt::format("\"{}\" is no live cable with a rating, and no fuse-link before one",
                                       arguments.words.back()));
    const auto lettering = draw::lettering();
    const auto size = sheet == "letter" ? layout::papers::PaperSize::letter : layout::papers::PaperSize::a4;
    return write(report::protection_page(file->view, *cable, size, *lettering), arguments, *path);
}

} // namespace stoutloom::cli

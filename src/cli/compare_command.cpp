// `stoutloom compare A B`: what the second file cures of the first, what it brings, what stands.
#include "cli/commands.h"
#include "cli/palette_option.h"

#include "draw/draw.h"
#include "report/compare.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::cli {

const Grammar compare_grammar{
    .command = "compare",
    .purpose = "tells before and after: what a second file cures, brings and leaves",
    .words = "A B",
    .least_words = 2,
    .most_words = 2,
    .options = {{.name = "--output",
                 .value = "X.pdf",
                 .help = "one page to lay before the customer, besides the text",
                 .short_name = "-o"},
                {.name = "--sheet", .value = "SIZE", .help = "of that page: A4 (default) or Letter"},
                mono_option,
                colour_safe_option,
                {.name = "--language",
                 .value = "TAG",
                 .help = "fixed words of the page: en, de, fr, es, ja; the second file's own otherwise"},
                variant_option("which kit of files with variants"),
                {.name = "--json",
                 .value = "PATH",
                 .help = "the comparison as JSON; - prints it instead of the text"}},
    .epilogue =
        "exit code: 0 nothing at error level in B, 1 errors in B, 2 a file cannot be read or wrong usage"};

namespace {

/// What is wrong with the options, empty if nothing.
std::string set_options(const Arguments& arguments, report::PackOptions& options) {
    if (const auto path = arguments.value("--output"); path && !lower(*path).ends_with(".pdf"))
        return "the page is a PDF: name it -o X.pdf";
    options.sheet = layout::Sheet::a4;
    if (const auto sheet = arguments.value("--sheet")) {
        if (lower(*sheet) != "a4" && lower(*sheet) != "letter")
            return fmt::format("there is no sheet \"{}\" for this page (A4, Letter)", *sheet);
        if (lower(*sheet) == "letter")
            options.sheet = layout::Sheet::letter;
    }
    if (const auto tag = arguments.value("--language")) {
        options.language = report::language_named(*tag);
        if (!options.language)
            return fmt::format("there are no words in \"{}\" (en, de, fr, es, ja)", *tag);
    }
    return {};
}

int write_page(const Arguments& arguments, const report::Comparison& comparison,
               const report::PackOptions& options, const std::string& path) {
    const auto lettering = draw::lettering();
    const layout::Document document = report::compare_page(comparison, options, *lettering);
    const auto pdf = draw::paint_pdf(document, palette_of(arguments));
    if (!pdf)
        return trouble(fmt::format("{}: error: cannot be drawn: {}", path, pdf.error().message));
    return deliver(path, *pdf, arguments.words);
}

} // namespace

int run_compare(const Arguments& arguments) {
    report::PackOptions options;
    if (const std::string wrong = set_options(arguments, options); !wrong.empty())
        return wrong_usage(compare_grammar, wrong);
    const auto before = one_kit(compare_grammar, arguments, arguments.words.front());
    const auto after = one_kit(compare_grammar, arguments, arguments.words.back());
    if (!before || !after)
        return exit_trouble;
    const report::Comparison comparison = report::compare(before->view, after->view);
    int code = report::tally(after->view).clean() ? exit_clean : exit_errors;
    if (const auto path = arguments.value("--output"))
        code = std::max(code, write_page(arguments, comparison, options, *path));
    if (const auto json = arguments.value("--json"))
        code = std::max(code, deliver(*json, report::compare_json(comparison), arguments.words));
    if (arguments.value("--json") != "-")
        code = std::max(code, deliver("-", report::compare_text(comparison), {}));
    return code;
}

} // namespace stoutloom::cli

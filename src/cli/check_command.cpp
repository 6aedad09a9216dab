// `stoutloom check FILE...`: reads, solves, judges, and tells; the exit code is the worst of all files.
#include "cli/commands.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::cli {

const Grammar check_grammar{
    .command = "check",
    .purpose = "computes the currents, volts and temperatures of a harness and tells what is wrong",
    .words = "FILE...",
    .least_words = 1,
    .most_words = 10'000,
    .options = {{.name = "--json",
                 .value = "PATH",
                 .help = "the whole result as JSON; - prints it instead of the text"},
                {.name = "--sarif",
                 .value = "PATH",
                 .help = "the findings as SARIF 2.1.0; - prints it instead of the text"},
                {.name = "--every", .value = "", .help = "every answer of every rule, passes included"},
                {.name = "--brief", .value = "", .help = "findings and verdict only"},
                variant_option("one kit of a file with variants; otherwise each is checked")},
    .epilogue =
        "exit code: 0 nothing at error level, 1 errors found, 2 a file cannot be read or wrong usage"};

namespace {

// Files judged together: enough for every core, few enough to hold.
constexpr std::size_t at_once = 32;

// What would send two views to one place, or a view into a harness, is refused before anything is computed.
std::string clash(const Arguments& arguments) {
    const auto json = arguments.value("--json"), sarif = arguments.value("--sarif");
    if (json && sarif && *json == *sarif)
        return "--json and --sarif name the same place";
    if (arguments.has("--every") && arguments.has("--brief"))
        return "--every and --brief contradict each other";
    return {};
}

int text_of(const CheckedFile& file, const report::TextOptions& options, bool first) {
    if (!file.read) {
        say(refusal_text(file.source, file.mistakes));
        return exit_clean;
    }
    return deliver("-", (first || options.brief ? "" : "\n") + report::check_text(file.view, options), {});
}

int views_of(const Arguments& arguments, const std::vector<report::Checked>& all) {
    int code = exit_clean;
    if (const auto path = arguments.value("--json"))
        code = std::max(code, deliver(*path, report::check_json(all), arguments.words));
    if (const auto path = arguments.value("--sarif"))
        code = std::max(code, deliver(*path, report::check_sarif(all), arguments.words));
    return code;
}

} // namespace

int run_check(const Arguments& arguments) {
    if (const std::string wrong = clash(arguments); !wrong.empty())
        return wrong_usage(check_grammar, wrong);
    const bool with_text = arguments.value("--json") != "-" && arguments.value("--sarif") != "-";
    const bool keep = arguments.has("--json") || arguments.has("--sarif");
    const report::TextOptions options{.every_judgement = arguments.has("--every"),
                                      .brief = arguments.has("--brief")};
    int code = exit_clean;
    Kits files;
    bool first = true;
    for (std::size_t begin = 0; begin < arguments.words.size(); begin += at_once) {
        Kits kits;
        for (std::size_t i = begin; i < std::min(begin + at_once, arguments.words.size()); ++i)
            for (auto& kit : kits_of(arguments.words[i], arguments.value("--variant").value_or("")))
                kits.push_back(std::move(kit));
        judge(kits);
        for (auto& file : kits) {
            if (!file->read)
                code = exit_trouble;
            else if (!report::tally(file->view).clean())
                code = std::max(code, exit_errors);
            if (with_text)
                code = std::max(code, text_of(*file, options, first));
            else if (!file->read)
                say(refusal_text(file->source, file->mistakes));
            first = first && !file->read;
            if (keep)
                files.push_back(std::move(file));
        }
    }
    std::vector<report::Checked> all;
    for (const auto& file : files)
        all.push_back(file->view);
    return std::max(code, views_of(arguments, all));
}

} // namespace stoutloom::cli

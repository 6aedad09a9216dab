// `stoutloom size FILE`: chooses what is marked auto, tells why, and writes a new file when asked to.
#include "base/diagnostic.h"
#include "base/whole_file.h"
#include "cli/commands.h"
#include "read/edit.h"
#include "report/size_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>

namespace stoutloom::cli {

const Grammar size_grammar{
    .command = "size",
    .purpose = "chooses the lightest stock that clears every rule, for what is marked auto, and proves it",
    .words = "FILE",
    .least_words = 1,
    .most_words = 1,
    .options =
        {{.name = "--write",
          .value = "NEW.xml",
          .help =
              "writes the file with the chosen values in place of auto; all else byte for byte as it was"},
         {.name = "--in-place",
          .value = "",
          .help = "lets --write name the file itself, which is then replaced whole"},
         {.name = "--too-small", .value = "", .help = "also chooses anew what the check finds too small"},
         {.name = "--failures",
          .value = "PARTS",
          .help = "only kits that stand the loss of each of these cables and parts (ids with commas between, "
                  "or all)"},
         {.name = "--json", .value = "PATH", .help = "the answer as JSON; - prints it instead of the text"},
         {.name = "--brief",
          .value = "",
          .help = "leaves out what a metre, ten degrees or a consumer more would do"},
         variant_option("one kit of a file with variants; otherwise each is sized, and none written")},
    .epilogue = "exit code: 0 chosen, 1 no choice clears the rules, 2 a file cannot be read or wrong usage"};

namespace {

int write_new(const base::SourceText& source, const size::Sizing& sizing, const std::string& path,
              bool in_place) {
    std::vector<read::Edit> edits;
    for (const size::Chosen& chosen : sizing.chosen)
        edits.push_back({.span = chosen.span, .text = chosen.text});
    const auto text = read::with_edits(source, std::move(edits));
    if (!text)
        return trouble(fmt::format("{}: error: {}", source.path(), text.error().message));
    std::error_code none;
    const bool itself = path == source.path() || std::filesystem::equivalent(path, source.path(), none);
    if (!itself || !in_place)
        return deliver(path, *text, {source.path()});
    const auto written = base::write_whole_file(path, *text);
    return written ? exit_clean : trouble(written.error().message);
}

/// "all", or ids with commas between.
std::optional<size::FailuresAsked> failures_asked(const Arguments& arguments) {
    const auto given = arguments.value("--failures");
    if (!given)
        return std::nullopt;
    size::FailuresAsked asked;
    for (std::string_view left = *given == "all" ? "" : std::string_view(*given); !left.empty();) {
        const std::size_t comma = std::min(left.find(','), left.size());
        if (comma > 0)
            asked.parts.emplace_back(left.substr(0, comma));
        left.remove_prefix(std::min(comma + 1, left.size()));
    }
    return asked;
}

/// What is wrong with the parts whose loss is asked: one that no kit of the file has. Empty: nothing.
std::string unknown_part(const std::vector<read::ReadHarness>& kits, const Arguments& arguments) {
    const auto asked = failures_asked(arguments);
    for (const std::string& part : asked ? asked->parts : std::vector<std::string>{}) {
        std::vector<std::string> known;
        for (const read::ReadHarness& kit : kits) {
            for (const model::Cable& cable : kit.harness.cables)
                known.push_back(cable.id);
            for (const model::Device& device : kit.harness.devices)
                known.push_back(device.id);
        }
        if (std::find(known.begin(), known.end(), part) != known.end())
            continue;
        const std::string nearest = base::nearest_name(part, known);
        return fmt::format("--failures: the file has no part {}{}", part,
                           nearest.empty() ? "; name cables and parts by their ids, or say all"
                                           : fmt::format("; did you mean {}?", nearest));
    }
    return {};
}

using Answer = std::optional<base::Outcome<size::Sizing, size::NoKit>>;

/// Every kit sized, on all cores; the order stays.
std::vector<Answer> size_all(const std::vector<read::ReadHarness>& kits, const Arguments& arguments) {
    const size::SizeOptions options{.too_small = arguments.has("--too-small"),
                                    .sensitivity = !arguments.has("--brief"),
                                    .relaxations = true,
                                    .limits = {},
                                    .failures = failures_asked(arguments)};
    std::vector<Answer> answers(kits.size());
    on_all_cores(kits.size(),
                 [&](std::size_t i) { answers[i].emplace(size::size_kit(kits[i].harness, options)); });
    return answers;
}

/// Adds this kit's answer to both views, and writes the new file if one is asked for.
int tell_one(const read::ReadHarness& kit, const Answer& answer, const Arguments& arguments,
             std::string& text, std::vector<std::string>& json) {
    const auto& sizing = *answer;
    const report::Sized sized{.source = &kit.source,
                              .harness = &kit.harness,
                              .sizing = sizing ? &*sizing : nullptr,
                              .none = sizing ? nullptr : &sizing.error()};
    json.push_back(report::size_json(sized));
    text += (text.empty() ? "" : "\n") + report::size_text(sized);
    int code = sizing ? exit_clean : exit_errors;
    if (const auto target = arguments.value("--write"); target && sizing)
        code = std::max(code, write_new(kit.source, *sizing, *target, arguments.has("--in-place")));
    return code;
}

} // namespace

int run_size(const Arguments& arguments) {
    if (arguments.has("--in-place") && !arguments.has("--write"))
        return wrong_usage(size_grammar, "--in-place needs --write");
    const std::string& path = arguments.words.front();
    const auto kits = read::read_kits(path, arguments.value("--variant").value_or(""));
    if (!kits) {
        say(refusal_text(kits.error().source, kits.error().mistakes));
        return exit_trouble;
    }
    if (kits->size() > 1 && arguments.has("--write"))
        return wrong_usage(
            size_grammar,
            fmt::format("{} holds several kits; --write takes one, chosen with --variant", path));
    if (const std::string wrong = unknown_part(*kits, arguments); !wrong.empty())
        return wrong_usage(size_grammar, wrong);
    int code = exit_clean;
    std::string text;
    std::vector<std::string> json;
    const std::vector<Answer> answers = size_all(*kits, arguments);
    for (std::size_t i = 0; i < kits->size(); ++i)
        code = std::max(code, tell_one((*kits)[i], answers[i], arguments, text, json));
    if (const auto target = arguments.value("--json"))
        code = std::max(code, deliver(*target, report::json_list(json), arguments.words));
    if (arguments.value("--json") != "-")
        code = std::max(code, deliver("-", text, {}));
    return code;
}

} // namespace stoutloom::cli

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
         {.name = "--shared",
          .value = "",
          .help = "lets --write set what other kits of the file share; tells how they stand then"},
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

/// The file's text with the choice in it, or why it cannot be had.
base::Outcome<std::string, std::string> written_text(const base::SourceText& source,
                                                     const size::Sizing& sizing) {
    std::vector<read::Edit> edits;
    for (const size::Chosen& chosen : sizing.chosen)
        edits.push_back({.span = chosen.span, .text = chosen.text});
    auto text = read::with_edits(source, std::move(edits));
    if (!text)
        return base::failure(fmt::format("{}: error: {}", source.path(), text.error().message));
    return std::move(*text);
}

int write_new(const std::string& source, const std::string& path, const std::string& text, bool in_place) {
    std::error_code none;
    const bool itself = path == source || std::filesystem::equivalent(path, source, none);
    if (!itself || !in_place)
        return deliver(path, text, {source});
    const auto written = base::write_whole_file(path, text);
    return written ? exit_clean : trouble(written.error().message);
}

/// The new file names the same stock file as the old one and looks for it in its own folder: why it would not
/// find the stock that its sizes were chosen from. Empty: it finds it.
std::string stock_left_behind(const read::ReadHarness& kit, const std::string& path) {
    namespace fs = std::filesystem;
    const std::string& stock = kit.harness.stock.file;
    std::error_code none;
    if (stock.empty() || path == "-" || (fs::exists(path, none) && !fs::is_regular_file(path, none)))
        return {};
    const fs::path here = fs::path(kit.source.path()).parent_path() / stock,
                   there = fs::path(path).parent_path() / stock;
    if (fs::equivalent(here, there, none))
        return {};
    const auto bytes = [](const fs::path& file) { return base::read_whole_file(file.string(), 64U << 20); };
    const auto ours = bytes(here), theirs = bytes(there);
    if (ours && theirs && *ours == *theirs)
        return {};
    return fmt::format("{}: error: not written: it would take its stock from {}, and {}; write it beside {}, "
                       "or put a copy of {} "
                       "there first",
                       path, there.string(), theirs ? "that is another stock" : "no such file can be read",
                       kit.source.path(), here.string());
}

/// The other kits of the file that the written values belong to as well, and how they stand with them.
std::vector<size::OtherKit> other_kits(const read::ReadHarness& kit, const size::Sizing& sizing,
                                       const std::string& text) {
    std::vector<size::OtherKit> others;
    if (kit.harness.variant.empty())
        return others;
    const std::string& path = kit.source.path();
    const auto before = read::read_kits_text(path, kit.source.text());
    const auto after = read::read_kits_text(path, text);
    for (std::size_t i = 0; before && after && i < before->size() && i < after->size(); ++i) {
        if ((*before)[i].harness.variant == kit.harness.variant)
            continue;
        if (auto shared = size::shared_values(sizing, (*before)[i].harness); !shared.empty())
            others.push_back(size::state_of((*after)[i].harness, std::move(shared)));
    }
    return others;
}

/// "kit far (W1, F1), kit left (W1)"
std::string names_of(const std::vector<size::OtherKit>& others) {
    std::string names;
    for (const size::OtherKit& other : others)
        names += fmt::format("{}kit {} ({})", names.empty() ? "" : ", ", other.variant,
                             fmt::join(other.shared, ", "));
    return names;
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
    const auto target = arguments.value("--write");
    std::string made;
    std::vector<size::OtherKit> others;
    int code = sizing ? exit_clean : exit_errors;
    if (target && sizing) {
        auto written = written_text(kit.source, *sizing);
        if (!written)
            return trouble(written.error());
        made = std::move(*written);
        others = other_kits(kit, *sizing, made);
    }
    const report::Sized sized{.source = &kit.source,
                              .harness = &kit.harness,
                              .sizing = sizing ? &*sizing : nullptr,
                              .none = sizing ? nullptr : &sizing.error(),
                              .others = others};
    json.push_back(report::size_json(sized));
    text += (text.empty() ? "" : "\n") + report::size_text(sized);
    if (!target || !sizing)
        return code;
    if (!others.empty() && !arguments.has("--shared"))
        return std::max(code, trouble(fmt::format("{}: error: not written: it would set values of {} as "
                                                  "well; add --shared to write them",
                                                  *target, names_of(others))));
    return std::max(code, write_new(kit.source.path(), *target, made, arguments.has("--in-place")));
}

} // namespace

int run_size(const Arguments& arguments) {
    if (arguments.has("--in-place") && !arguments.has("--write"))
        return wrong_usage(size_grammar, "--in-place needs --write");
    if (arguments.has("--shared") && !arguments.has("--write"))
        return wrong_usage(size_grammar, "--shared needs --write");
    const auto target = arguments.value("--write");
    if (target && target->empty())
        return wrong_usage(size_grammar, "--write: the name of the new file is empty");
    if (target && target == arguments.value("--json"))
        return wrong_usage(size_grammar, fmt::format("--write and --json both go to {}; name two", *target));
    if (const auto asked = failures_asked(arguments);
        asked && asked->parts.empty() && arguments.value("--failures") != "all")
        return wrong_usage(size_grammar, "--failures names no part; name cables and parts by their ids, or "
                                         "say all");
    const std::string& path = arguments.words.front();
    const auto kits = read::read_kits(path, arguments.value("--variant").value_or(""));
    if (!kits) {
        say(refusal_text(kits.error().source, kits.error().mistakes));
        return exit_trouble;
    }
    if (kits->size() > 1 && target)
        return wrong_usage(
            size_grammar,
            fmt::format("{} holds several kits; --write takes one, chosen with --variant", path));
    if (const std::string wrong = unknown_part(*kits, arguments); !wrong.empty())
        return wrong_usage(size_grammar, wrong);
    if (target)
        if (const std::string wrong = stock_left_behind(kits->front(), *target); !wrong.empty())
            return trouble(wrong); // before the search, which may take a while
    int code = exit_clean;
    std::string text;
    std::vector<std::string> json;
    const std::vector<Answer> answers = size_all(*kits, arguments);
    for (std::size_t i = 0; i < kits->size(); ++i)
        code = std::max(code, tell_one((*kits)[i], answers[i], arguments, text, json));
    if (const auto json_path = arguments.value("--json"))
        code = std::max(code, deliver(*json_path, report::json_list(json), arguments.words));
    if (arguments.value("--json") != "-" && target != "-")
        code = std::max(code, deliver("-", text, {}));
    return code;
}

} // namespace stoutloom::cli

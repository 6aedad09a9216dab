// `stoutloom deck FILE`: the network of a duty as an open SPICE deck, so that anyone can check the solution.
#include "cli/commands.h"

#include "solve/solve.h"

#include <fmt/format.h>

namespace stoutloom::cli {

const Grammar deck_grammar{
    .command = "deck",
    .purpose = "writes the network of a duty as an open SPICE deck, so that anyone can check the solution",
    .words = "FILE",
    .least_words = 1,
    .most_words = 1,
    .options = {{.name = "--duty",
                 .value = "ID",
                 .help = "which duty; the one at rated output, hot, if none is named"},
                {.name = "--output",
                 .value = "PATH",
                 .help = "where to; standard output if none is named",
                 .short_name = "-o"},
                variant_option("which kit of a file with variants")},
    .epilogue =
        "exit code: 0 written, 1 the duty has no operating point, 2 a file cannot be read or wrong usage"};

namespace {

std::optional<model::DutyIndex> usual_duty(const model::Harness& harness) {
    for (std::size_t i = 0; i < harness.duties.size(); ++i)
        if (harness.duties[i].engine == model::Engine::rated && harness.duties[i].hot)
            return static_cast<model::DutyIndex>(i);
    if (harness.duties.empty())
        return std::nullopt;
    return model::DutyIndex{};
}

std::string duty_names(const model::Harness& harness) {
    std::string names;
    for (const model::Duty& duty : harness.duties)
        names += (names.empty() ? "" : ", ") + duty.id;
    return names;
}

} // namespace

int run_deck(const Arguments& arguments) {
    const std::string& path = arguments.words.front();
    const auto got = one_kit(deck_grammar, arguments, path);
    if (!got)
        return exit_trouble;
    const auto asked = arguments.value("--duty");
    const auto duty = asked ? model::find_duty(got->harness, *asked) : usual_duty(got->harness);
    if (!duty)
        return wrong_usage(deck_grammar, fmt::format("{} has no duty \"{}\"; it has: {}", path,
                                                     asked.value_or(""), duty_names(got->harness)));
    const auto deck = solve::spice_deck(got->harness, got->harness.duty(*duty));
    if (!deck) {
        say(fmt::format("{}: error: duty {} has no operating point: {}\n", path, got->harness.duty(*duty).id,
                        deck.error().message));
        return exit_errors;
    }
    return deliver(arguments.value("--output").value_or("-"), *deck, arguments.words);
}

} // namespace stoutloom::cli

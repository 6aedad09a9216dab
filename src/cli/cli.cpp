#include "cli/cli.h"

#include "base/diagnostic.h"
#include "base/whole_file.h"
#include "cli/commands.h"

#include <fmt/format.h>

#include <cstdio>
#include <exception>
#include <filesystem>

namespace stoutloom::cli {
namespace {

std::string overview() {
    std::string text = "stoutloom: checks and draws the heavy-current harness of a vehicle or boat.\n\n";
    std::size_t widest = 0;
    for (const Command& command : commands())
        widest = std::max(widest, command.grammar->command.size() + 1 + command.grammar->words.size());
    for (const Command& command : commands())
        text += fmt::format("  stoutloom {:<{}}  {}\n",
                            fmt::format("{} {}", command.grammar->command, command.grammar->words), widest,
                            command.grammar->purpose);
    text += "\n  stoutloom COMMAND --help   options of a command\n"
            "  stoutloom --version        version\n\n"
            "exit code: 0 nothing at error level, 1 errors found, 2 unreadable input, wrong usage or a "
            "failing machine\n"
            "A quantity carries its unit: \"50 mm2\", \"1/0 AWG\", \"4.2 m\", \"13.5 ft\", \"175 A\", \"95 "
            "degC\".\n";
    return text;
}

int wrong_command(const std::string& word) {
    std::vector<std::string> names;
    for (const Command& command : commands())
        names.emplace_back(command.grammar->command);
    const std::string nearest = base::nearest_name(word, names);
    const std::string hint = nearest.empty() ? std::string() : fmt::format("; did you mean \"{}\"?", nearest);
    say(fmt::format("stoutloom: error: there is no command \"{}\"{} (stoutloom --help lists them)\n", word,
                    hint));
    return exit_trouble;
}

int run_words(const std::vector<std::string>& words) {
    if (words.empty()) {
        say(overview());
        return exit_trouble;
    }
    if (words.front() == "--help" || words.front() == "-h")
        return deliver("-", overview(), {});
    if (words.front() == "--version")
        return deliver("-", fmt::format("stoutloom {}\n", STOUTLOOM_VERSION), {});
    for (const Command& command : commands()) {
        if (command.grammar->command != words.front())
            continue;
        const auto arguments = split(*command.grammar, {words.begin() + 1, words.end()});
        if (arguments)
            return command.run(*arguments);
        if (arguments.error().help)
            return deliver("-", help_text(*command.grammar), {});
        return wrong_usage(*command.grammar, arguments.error().message);
    }
    return wrong_command(words.front());
}

} // namespace

const std::vector<Command>& commands() {
    static const std::vector<Command> list = {
        {.grammar = &check_grammar, .run = run_check},    {.grammar = &draw_grammar, .run = run_draw},
        {.grammar = &pack_grammar, .run = run_pack},      {.grammar = &cable_grammar, .run = run_cable},
        {.grammar = &deck_grammar, .run = run_deck},      {.grammar = &explain_grammar, .run = run_explain},
        {.grammar = &size_grammar, .run = run_size},      {.grammar = &compare_grammar, .run = run_compare},
        {.grammar = &protect_grammar, .run = run_protect}};
    return list;
}

void say(std::string_view text) {
    (void)std::fwrite(text.data(), 1, text.size(), stderr);
}

int trouble(std::string_view message) {
    std::string line(message);
    for (char& c : line)
        if (static_cast<unsigned char>(c) < 0x20U)
            c = ' ';
    say(line + "\n");
    return exit_trouble;
}

int wrong_usage(const Grammar& grammar, std::string_view message) {
    return trouble(fmt::format("stoutloom: error: {}: {} (stoutloom {} --help)", grammar.command, message,
                               grammar.command));
}

std::string refusal_text(const base::SourceText& source, const std::vector<base::Diagnostic>& mistakes) {
    std::string text;
    for (const base::Diagnostic& mistake : mistakes)
        text += base::shown(mistake, source);
    return text;
}

int deliver(const std::string& path, std::string_view bytes, const std::vector<std::string>& inputs) {
    if (path.empty())
        return trouble("stoutloom: error: the name of an output file is empty");
    for (const std::string& input : inputs) {
        std::error_code none;
        if (path != "-" && (path == input || std::filesystem::equivalent(path, input, none)))
            return trouble(fmt::format(
                "{}: error: is the harness file itself; choose another name for the output", path));
    }
    const auto written = base::write_whole_file(path, bytes);
    return written ? exit_clean : trouble(written.error().message);
}

int run(int argc, const char* const* argv) {
    try {
        return run_words({argv + std::min(argc, 1), argv + argc});
    } catch (const std::bad_alloc&) {
        say("stoutloom: error: out of memory\n");
    } catch (const std::exception& error) {
        return trouble(fmt::format("stoutloom: error: internal: {}", error.what()));
    } catch (...) {
        say("stoutloom: error: internal: unknown\n");
    }
    return exit_trouble;
}

} // namespace stoutloom::cli

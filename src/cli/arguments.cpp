#include "cli/arguments.h"

#include "base/diagnostic.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <cctype>

#include <algorithm>
#include <deque>

namespace stoutloom::cli {
namespace {

// A word that looks like an option but is none: name the nearest one.
std::string unknown_word(const Grammar& grammar, const std::string& word) {
    if (!word.starts_with('-'))
        return fmt::format("\"{}\" is one word too many", word);
    std::vector<std::string> names;
    for (const OptionRow& row : grammar.options)
        names.emplace_back(row.name);
    const std::string nearest = base::nearest_name(word.substr(0, word.find('=')), names);
    return nearest.empty() ? fmt::format("there is no option \"{}\"", word)
                           : fmt::format("there is no option \"{}\"; did you mean {}?", word, nearest);
}

std::string word_count(const Grammar& grammar, const std::vector<std::string>& words) {
    if (words.size() < grammar.least_words)
        return fmt::format("{} is missing", grammar.words);
    return fmt::format("\"{}\" is one word too many", words[grammar.most_words]);
}

// CLI11 takes a word in square brackets for a list and splits a file called "[1,2]" in two; a mark in front
// prevents it.
constexpr char mark = '\x01';
std::string kept_whole(const std::string& word) {
    return word.starts_with('[') ? mark + word : word;
}
std::string as_written(const std::string& word) {
    return word.starts_with(mark) ? word.substr(1) : word;
}

/// An option that wants a value and has none, or two.
std::string option_mismatch(const Grammar& grammar, const std::vector<std::string>& words) {
    for (const OptionRow& row : grammar.options) {
        const auto is = [&](const std::string& word) {
            return word == row.name || word.starts_with(std::string(row.name) + "=") ||
                   (!row.short_name.empty() && word == row.short_name);
        };
        if (std::count_if(words.begin(), words.end(), is) > 1)
            return fmt::format("{} is given twice; give it once", row.name);
        if (!row.value.empty() && !words.empty() && is(words.back()))
            return fmt::format("{} needs a value: {} {}", row.name, row.name, row.value);
    }
    return "an option has no value, or two";
}

} // namespace

std::optional<std::string> Arguments::value(std::string_view option) const {
    const auto found = given.find(option);
    return found == given.end() ? std::nullopt : std::optional(found->second);
}

base::Outcome<Arguments, UsageRefusal> split(const Grammar& grammar, const std::vector<std::string>& words) {
    CLI::App app{std::string(grammar.purpose), std::string(grammar.command)};
    app.set_help_flag();
    bool help = false;
    app.add_flag("-h,--help", help);
    struct Slot {
        CLI::Option* option = nullptr;
        std::string value;
        bool flag = false;
    };
    std::deque<Slot> slots(grammar.options.size());
    for (std::size_t i = 0; i < slots.size(); ++i) {
        const OptionRow& row = grammar.options[i];
        std::string names(row.name);
        if (!row.short_name.empty())
            names.insert(0, fmt::format("{},", row.short_name));
        slots[i].option =
            row.value.empty() ? app.add_flag(names, slots[i].flag) : app.add_option(names, slots[i].value);
        if (row.value_may_be_left_out)
            slots[i].option->expected(0, 1)->default_str("");
    }
    Arguments arguments;
    app.add_option("words", arguments.words);
    try {
        std::vector<std::string> reversed;
        for (auto word = words.rbegin(); word != words.rend(); ++word)
            reversed.push_back(kept_whole(*word));
        app.parse(reversed);
    } catch (const CLI::ExtrasError&) {
        for (const std::string& word : words)
            if (word.starts_with('-') && word.size() > 1) {
                const auto known = [&](const OptionRow& row) {
                    return word.substr(0, word.find('=')) == row.name ||
                           word.starts_with(row.short_name.empty() ? "\n" : row.short_name);
                };
                if (std::none_of(grammar.options.begin(), grammar.options.end(), known))
                    return base::failure(UsageRefusal{.message = unknown_word(grammar, word), .help = false});
            }
        return base::failure(UsageRefusal{.message = "these words do not fit together", .help = false});
    } catch (const CLI::ArgumentMismatch&) {
        return base::failure(UsageRefusal{.message = option_mismatch(grammar, words), .help = false});
    } catch (const CLI::ParseError& error) {
        std::string message = error.what();
        std::replace(message.begin(), message.end(), '\n', ' ');
        return base::failure(UsageRefusal{.message = message, .help = false});
    }
    if (help)
        return base::failure(UsageRefusal{.message = {}, .help = true});
    for (std::string& word : arguments.words)
        word = as_written(word);
    if (arguments.words.size() < grammar.least_words || arguments.words.size() > grammar.most_words)
        return base::failure(UsageRefusal{.message = word_count(grammar, arguments.words), .help = false});
    for (std::size_t i = 0; i < slots.size(); ++i)
        if (slots[i].option->count() > 0 && (!grammar.options[i].value.empty() || slots[i].flag))
            arguments.given[std::string(grammar.options[i].name)] = as_written(slots[i].value);
    return arguments;
}

std::string help_text(const Grammar& grammar) {
    std::string text = fmt::format("stoutloom {} {}\n{}\n", grammar.command, grammar.words, grammar.purpose);
    std::vector<std::pair<std::string, std::string_view>> rows;
    std::size_t widest = 0;
    for (const OptionRow& row : grammar.options) {
        std::string left =
            row.short_name.empty() ? std::string(row.name) : fmt::format("{}, {}", row.short_name, row.name);
        if (!row.value.empty())
            left +=
                row.value_may_be_left_out ? fmt::format("[={}]", row.value) : fmt::format(" {}", row.value);
        widest = std::max(widest, left.size());
        rows.emplace_back(std::move(left), row.help);
    }
    if (!rows.empty())
        text += "\n";
    for (const auto& [left, help] : rows)
        text += fmt::format("  {:<{}}  {}\n", left, widest, help);
    if (!grammar.epilogue.empty())
        text += fmt::format("\n{}\n", grammar.epilogue);
    return text;
}

std::string lower(std::string_view text) {
    std::string all;
    for (const char c : text)
        all += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return all;
}

} // namespace stoutloom::cli

// Command words to options, and help from the same table. CLI11 splits the words; every value stays text here
// and is read by the command through base/quantity, so that "nan" or "010" never become numbers by accident.
#pragma once

#include "base/outcome.h"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::cli {

struct OptionRow {
    std::string_view name;  // "--json"
    std::string_view value; // "PATH"; empty for a plain switch
    std::string_view help;
    bool value_may_be_left_out = false; // "--json" alone
    std::string_view short_name = {};   // "-o"
};
struct Grammar {
    std::string_view command; // "check"
    std::string_view purpose; // one sentence
    std::string_view words;   // "FILE..."; what stands without an option
    std::size_t least_words = 0, most_words = 0;
    std::vector<OptionRow> options;
    std::string_view epilogue; // what the exit code means, an example
};

struct Arguments {
    std::vector<std::string> words;
    std::map<std::string, std::string, std::less<>> given; // "--json" -> value, empty without one
    bool has(std::string_view option) const { return given.find(option) != given.end(); }
    std::optional<std::string> value(std::string_view option) const;
};

struct UsageRefusal {
    std::string message; // one sentence
    bool help = false;   // not a mistake: help was asked for
};

base::Outcome<Arguments, UsageRefusal> split(const Grammar& grammar, const std::vector<std::string>& words);
std::string help_text(const Grammar& grammar);

/// ASCII letters made small: words of the command line are taken in any case.
std::string lower(std::string_view text);

} // namespace stoutloom::cli

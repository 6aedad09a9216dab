#include "report/phrases.h"

#include <algorithm>
#include <cctype>
#include <stdexcept>

namespace stoutloom::report {
namespace {

constexpr std::size_t phrase_count = 0
// NOLINTNEXTLINE(bugprone-macro-parentheses): one term of a sum
#define PHRASE(name, english, german, french, spanish, japanese) +1
#include "report/phrases_compare.inc"
#include "report/phrases_cutting.inc"
#include "report/phrases_diagram.inc"
#include "report/phrases_fitting.inc"
#include "report/phrases_protection.inc"
#include "report/phrases_record.inc"
#include "report/phrases_sheet.inc"
#undef PHRASE
    ;

constexpr std::array<PhraseRow, phrase_count> rows = {
#define PHRASE(name, english, german, french, spanish, japanese)                                             \
    PhraseRow{Phrase::name, #name, {english, german, french, spanish, japanese}},
#include "report/phrases_compare.inc"
#include "report/phrases_cutting.inc"
#include "report/phrases_diagram.inc"
#include "report/phrases_fitting.inc"
#include "report/phrases_protection.inc"
#include "report/phrases_record.inc"
#include "report/phrases_sheet.inc"
#undef PHRASE
};

constexpr std::array<std::string_view, language_count> tags = {"en", "de", "fr", "es", "ja"};

} // namespace

std::optional<Language> language_named(std::string_view tag) {
    std::string first;
    for (const char c : tag.substr(0, tag.find_first_of("-_")))
        first += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    const auto* found = std::find(tags.begin(), tags.end(), first);
    if (found == tags.end())
        return std::nullopt;
    return static_cast<Language>(found - tags.begin());
}

std::string_view language_tag(Language language) {
    return tags.at(static_cast<std::size_t>(language));
}

std::span<const PhraseRow> phrase_rows() {
    return rows;
}

std::string phrase(Phrase phrase, Language language, const std::vector<std::string>& values) {
    const std::string_view words =
        rows.at(static_cast<std::size_t>(phrase)).words.at(static_cast<std::size_t>(language));
    std::string filled;
    for (std::size_t i = 0; i < words.size(); ++i) {
        const bool mark = i + 2 < words.size() && words[i] == '{' && words[i + 2] == '}';
        if (!mark) {
            filled += words[i];
            continue;
        }
        const auto value = static_cast<std::size_t>(words[i + 1] - '0');
        if (value >= values.size())
            throw std::logic_error("a phrase without its value: " +
                                   std::string(rows.at(static_cast<std::size_t>(phrase)).name));
        filled += values[value];
        i += 2;
    }
    return filled;
}

} // namespace stoutloom::report

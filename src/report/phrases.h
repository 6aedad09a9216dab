// The fixed words of the papers in every language the program knows. One row per phrase in the phrases_*.inc
// files; English is the default. Names, notes and findings stay in the words of the file and of the rules.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::report {

enum class Language { english, german, french, spanish, japanese };
constexpr std::size_t language_count = 5;
/// By the first part of a language tag: "de", "de-AT", "DE". Nothing for a language without a column.
std::optional<Language> language_named(std::string_view tag);
std::string_view language_tag(Language language); // "de"

enum class Phrase {
#define PHRASE(name, english, german, french, spanish, japanese) name,
#include "report/phrases_compare.inc"
#include "report/phrases_cutting.inc"
#include "report/phrases_diagram.inc"
#include "report/phrases_fitting.inc"
#include "report/phrases_protection.inc"
#include "report/phrases_record.inc"
#include "report/phrases_sheet.inc"
#undef PHRASE
};

struct PhraseRow {
    Phrase phrase;
    std::string_view name;
    std::array<std::string_view, language_count> words; // in the order of Language
};
std::span<const PhraseRow> phrase_rows();

/// `{0}`, `{1}` ... are replaced by the values. A mark without a value is a broken invariant
/// (std::logic_error).
std::string phrase(Phrase phrase, Language language, const std::vector<std::string>& values = {});

} // namespace stoutloom::report

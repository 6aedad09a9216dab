// The catalogue of phrases: every row whole in every language, the same marks in each, nothing left in
// English.
#include "draw/draw.h"
#include "marks.h"
#include "report/phrases.h"
#include "testing/testing.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <regex>
#include <set>
#include <string>

using namespace stoutloom::report;

namespace {

bool has_letters(std::string_view words) {
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (words[i] == '{') {
            i += 2;
            continue;
        }
        if ((words[i] >= 'a' && words[i] <= 'z') || (words[i] >= 'A' && words[i] <= 'Z'))
            return true;
    }
    return false;
}

/// The two languages share the word; each checked by hand.
bool shared_word(std::string_view name, Language language) {
    static const std::set<std::pair<std::string, Language>> known = {{"no", Language::spanish},
                                                                     {"change_cable", Language::spanish},
                                                                     {"column_cable", Language::spanish},
                                                                     {"column_cables", Language::spanish},
                                                                     {"comparison_cables", Language::spanish},
                                                                     {"shopping_cable", Language::spanish},
                                                                     {"index_cables", Language::spanish},
                                                                     {"total", Language::french},
                                                                     {"total", Language::spanish},
                                                                     {"severity_error", Language::spanish},
                                                                     {"sign_date", Language::french},
                                                                     {"column_charge", Language::french},
                                                                     {"column_question", Language::french},
                                                                     {"record_verdict", Language::french}};
    return known.count({std::string(name), language}) > 0;
}

} // namespace

TEST_CASE("every phrase has words in every language and no language leaves English behind") {
    REQUIRE(phrase_rows().size() > 100);
    for (const PhraseRow& row : phrase_rows()) {
        CAPTURE(row.name);
        const std::string_view english = row.words[0];
        for (std::size_t i = 0; i < language_count; ++i) {
            const std::string_view words = row.words[i];
            CAPTURE(i);
            CHECK_FALSE(words.empty());
            CHECK(stoutloom::testing::marks(words) == stoutloom::testing::marks(english));
            CHECK(words.front() != ' ');
            CHECK(words.back() != ' ');
            if (i > 0 && has_letters(english) && !shared_word(row.name, static_cast<Language>(i)))
                CHECK(words != english);
        }
    }
}

TEST_CASE("Japanese phrases hold Japanese") {
    for (const PhraseRow& row : phrase_rows()) {
        if (!has_letters(row.words[0]))
            continue;
        CAPTURE(row.name);
        // Kana and ideographs lie above U+3000: lead bytes E3 to E9. "{0}; {1}" alone has nothing to
        // translate.
        const std::string_view words = row.words[static_cast<std::size_t>(Language::japanese)];
        CHECK(std::any_of(words.begin(), words.end(), [](char c) {
            return static_cast<unsigned char>(c) >= 0xE3 && static_cast<unsigned char>(c) <= 0xEF;
        }));
    }
}

TEST_CASE("the lettering of the program has every character of every language") {
    const auto lettering = stoutloom::draw::lettering();
    for (const PhraseRow& row : phrase_rows())
        for (std::size_t i = 0; i < language_count; ++i) {
            CAPTURE(row.name);
            CHECK(lettering->missing_character(std::string(row.words[i])) == 0);
        }
}

TEST_CASE("values go to their marks and a missing one is a broken invariant") {
    CHECK(phrase(Phrase::plot_of, Language::japanese, {"90 °C", "125 °C", "x"}) == "90 °C／限度 125 °C、x");
    CHECK(phrase(Phrase::plot_of, Language::english, {"90 °C", "125 °C", "x"}) == "90 °C of 125 °C, x");
    CHECK_THROWS_AS(phrase(Phrase::plot_of, Language::english, {"90 °C"}), std::logic_error);
}

TEST_CASE("languages by their tags") {
    CHECK(language_named("de") == Language::german);
    CHECK(language_named("de-AT") == Language::german);
    CHECK(language_named("FR") == Language::french);
    CHECK(language_named("ja_JP") == Language::japanese);
    CHECK_FALSE(language_named("nl").has_value());
    CHECK_FALSE(language_named("").has_value());
}

TEST_CASE("every fixed word of the drawing stands in the catalogue in all languages") {
    const std::regex asked(R"re(said\([a-z_.>-]+,[^";]*"([^"]+)"(?:\s*:\s*"([^"]+)")?)re");
    std::set<std::string> english;
    for (const PhraseRow& row : phrase_rows())
        english.insert(std::string(row.words[0]));
    std::size_t count = 0;
    for (const std::string& path :
         stoutloom::testing::files_below(stoutloom::testing::tree_path("src/layout"), ".cpp")) {
        const std::string text = stoutloom::testing::file_text(path);
        for (std::sregex_iterator it(text.begin(), text.end(), asked), end; it != end; ++it)
            for (std::size_t group = 1; group <= 2; ++group)
                if ((*it)[group].matched) {
                    CHECK_MESSAGE(english.contains((*it)[group].str()), path, ": ", (*it)[group].str());
                    ++count;
                }
    }
    CHECK(count >= 45);
}

TEST_CASE("one thing has one word in a language and French marks have their blank") {
    const std::array<std::pair<Language, const char*>, 8> left = {{{Language::japanese, "誤り"},
                                                                   {Language::japanese, "電線"},
                                                                   {Language::japanese, "バッテリー"},
                                                                   {Language::japanese, "ボルト"},
                                                                   {Language::spanish, "perno"},
                                                                   {Language::spanish, "advertencia"},
                                                                   {Language::german, "Kabel "},
                                                                   {Language::french, "alerte"}}};
    const std::regex unspaced("[^0-9\\xA0][;:?!]( |$)");
    for (const PhraseRow& row : phrase_rows()) {
        CAPTURE(row.name);
        for (const auto& [language, word] : left)
            CHECK(row.words[static_cast<std::size_t>(language)].find(word) == std::string_view::npos);
        CHECK_FALSE(
            std::regex_search(std::string(row.words[static_cast<std::size_t>(Language::french)]), unspaced));
    }
}

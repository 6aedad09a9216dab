// The rules' sentences in other languages: every row of the table is still spoken by some rule, its marks
// agree, and the findings of the examples and of the museum are put over whole.
#include "draw/draw.h"
#include "marks.h"
#include "report/rule_texts.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"

#include <regex>
#include <set>

using namespace stoutloom;
using namespace stoutloom::papers_test;

namespace {

constexpr std::array others = {report::Language::german, report::Language::french, report::Language::spanish,
                               report::Language::japanese};

/// Texts of a source with neighbouring literals put together, as the compiler does.
std::vector<std::string> literals_of(const std::string& path) {
    static const std::regex one(R"re("((?:[^"\\\n]|\\.)*)"\s*)re");
    std::vector<std::string> all;
    const std::string text = testing::file_text(path);
    std::string joined;
    std::ptrdiff_t end = -1;
    for (std::sregex_iterator it(text.begin(), text.end(), one), last; it != last; ++it) {
        if (it->position(0) != end && !joined.empty()) {
            all.push_back(joined);
            joined.clear();
        }
        joined += std::regex_replace((*it)[1].str(), std::regex(R"(\\")"), "\"");
        end = it->position(0) + it->length(0);
    }
    all.push_back(joined);
    return all;
}

std::vector<std::string> pieces_of(std::string_view words) {
    std::vector<std::string> pieces(1);
    for (std::size_t i = 0; i < words.size(); ++i)
        if (i + 2 < words.size() && words[i] == '{' && words[i + 2] == '}') {
            pieces.emplace_back();
            i += 2;
        } else
            pieces.back() += words[i];
    return pieces;
}

bool spoken(const std::vector<std::string>& pieces, const std::vector<std::string>& literals) {
    return std::any_of(literals.begin(), literals.end(), [&](const std::string& literal) {
        std::size_t at = 0;
        for (const std::string& piece : pieces) {
            at = literal.find(piece, at);
            if (at == std::string::npos)
                return false;
            at += piece.size();
        }
        return true;
    });
}

/// Every word of three letters and more stands in some literal.
bool all_words_in(std::string_view sentence, const std::vector<std::string>& literals) {
    static const std::regex word("[A-Za-z]{3,}");
    const std::string text(sentence);
    for (std::sregex_iterator it(text.begin(), text.end(), word), last; it != last; ++it)
        if (!spoken({it->str()}, literals))
            return false;
    return true;
}

} // namespace

TEST_CASE("each row of the rules' sentences is whole and its marks agree") {
    const auto lettering = draw::lettering();
    std::set<std::string> seen;
    for (const report::RuleTextRow& row : report::rule_text_rows()) {
        CAPTURE(row.words[0]);
        CHECK(seen.insert(std::string(row.words[0])).second);
        for (const std::string_view words : row.words) {
            CHECK_FALSE(words.empty());
            CHECK(testing::marks(words) == testing::marks(row.words[0]));
            CHECK(lettering->missing_character(std::string(words)) == 0);
        }
    }
}

TEST_CASE("each sentence that is put over is one that the program speaks") {
    std::vector<std::vector<std::string>> files;
    std::vector<std::string> everything;
    for (const char* folder : {"src/check", "src/report", "src/read", "src/model", "src/physics"})
        for (const std::string& path : testing::files_below(testing::tree_path(folder), ".cpp")) {
            files.push_back(literals_of(path));
            everything.insert(everything.end(), files.back().begin(), files.back().end());
        }
    std::size_t long_rows = 0;
    for (const report::RuleTextRow& row : report::rule_text_rows()) {
        const std::vector<std::string> pieces = pieces_of(row.words[0]);
        // Whole in one literal, or chosen word by word from the literals of one file.
        const bool known =
            spoken(pieces, everything) || std::any_of(files.begin(), files.end(), [&](const auto& literals) {
                return all_words_in(row.words[0], literals);
            });
        long_rows += row.words[0].size() > 40 ? 1U : 0U;
        CHECK_MESSAGE(known, row.words[0]);
    }
    CHECK(long_rows > 150);
    CHECK_FALSE(spoken({"the rule that nobody wrote"}, everything));
}

TEST_CASE("the findings of the examples and of the museum are told in every language") {
    std::size_t told = 0;
    for (const std::string& path : testing::files_below(testing::tree_path("harnesses"), ".xml")) {
        if (large(path))
            continue;
        const auto kit = kit_of(path);
        for (const report::Language language : others) {
            const report::RuleTexts texts(kit->harness, language);
            for (const check::Judgement& judgement : report::findings(kit->view)) {
                const std::string cure =
                    judgement.cure.empty() ? std::string(judgement.rule->cure) : judgement.cure;
                for (const std::string& english :
                     {judgement.message, cure, std::string(judgement.rule->asks)}) {
                    const auto words = texts.told(english);
                    CHECK_MESSAGE(words.has_value(), path, ": ", english);
                    CHECK_MESSAGE(words != english, path, ": ", english);
                    ++told;
                }
            }
        }
    }
    CHECK(told > 1000);
}

TEST_CASE("figures and names pass unchanged and half a sentence is not put over") {
    const auto kit = kit_of(testing::tree_path("harnesses/library-van-original.xml"));
    const report::RuleTexts german(kit->harness, report::Language::german);
    CHECK(german.told("G1 \"Charging unit\": it opens sooner or later") ==
          "G1 \"Charging unit\": sie öffnet früher oder später");
    CHECK(german.told("W1 at G1.B+: an end made for M8 does not go on M10") ==
          "W1 an G1.B+: ein Ende für M8 passt nicht auf M10");
    CHECK_FALSE(german.told("the mouse: it opens sooner or later").has_value());
    // A label with a word of the sentences in it does not part the sentence elsewhere.
    CHECK(german.told("E1 \"carries 5 A and is rated\" goes dead") ==
          "E1 \"carries 5 A and is rated\" fällt aus");
}

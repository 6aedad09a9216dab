// The rules speak English. What they say is put into another language on paper by a table of sentences with
// marks: an English sentence is recognised, its values are taken out and set into the other language's
// sentence. Values are names of the file, figures, or sentences of the table themselves; anything else leaves
// the whole text in English, so that no half-understood sentence is printed.
#pragma once

#include "model/harness.h"
#include "report/phrases.h"

#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::report {

struct RuleTextRow {
    std::array<std::string_view, language_count> words; // in the order of Language
};
std::span<const RuleTextRow> rule_text_rows();

class RuleTexts {
  public:
    RuleTexts(const model::Harness& harness, Language language);
    /// Nothing where a part of the text is in no row of the table.
    std::optional<std::string> told(const std::string& english) const;

  private:
    struct Sentence {
        const RuleTextRow* row = nullptr;
        std::vector<std::string_view> pieces; // between the marks, in the English order
        std::vector<std::size_t> marks;       // which value stands between piece i and i + 1
        std::size_t letters = 0;              // of the pieces: the more, the surer
    };
    using Values = std::vector<std::string_view>;

    Language language_;
    std::set<std::string, std::less<>> names_; // words of the file's own
    std::vector<Sentence> sentences_;          // surest first
    mutable std::map<std::string, std::optional<std::string>, std::less<>> known_;

    bool is_value(std::string_view text) const;
    std::optional<std::string> translated(std::string_view text) const;
    std::optional<std::string> by(const Sentence& sentence, std::string_view text) const;
    std::optional<std::string> filled(const Sentence& sentence, const Values& values) const;
    std::optional<std::string> match(const Sentence& sentence, std::size_t piece, std::string_view rest,
                                     Values& values) const;
};

} // namespace stoutloom::report

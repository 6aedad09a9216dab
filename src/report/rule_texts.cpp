#include "report/rule_texts.h"

#include <algorithm>
#include <cctype>

namespace stoutloom::report {
namespace {

constexpr std::size_t row_count = 0
// NOLINTNEXTLINE(bugprone-macro-parentheses): one term of a sum
#define TEXT(english, german, french, spanish, japanese) +1
#include "report/texts_asked.inc"
#include "report/texts_cures_current.inc"
#include "report/texts_cures_fitting.inc"
#include "report/texts_faults.inc"
#include "report/texts_found_current.inc"
#include "report/texts_found_fitting.inc"
#include "report/texts_record.inc"
#include "report/texts_sources.inc"
#undef TEXT
    ;

constexpr std::array<RuleTextRow, row_count> rows = {
#define TEXT(english, german, french, spanish, japanese)                                                     \
    RuleTextRow{{english, german, french, spanish, japanese}},
#include "report/texts_asked.inc"
#include "report/texts_cures_current.inc"
#include "report/texts_cures_fitting.inc"
#include "report/texts_faults.inc"
#include "report/texts_found_current.inc"
#include "report/texts_found_fitting.inc"
#include "report/texts_record.inc"
#include "report/texts_sources.inc"
#undef TEXT
};

bool is_letter(char c) {
    return std::isalpha(static_cast<unsigned char>(c)) != 0;
}

/// Runs of letters and what joins them in a name: "W5", "G1.B+", "terminal-stud".
template <typename Each> bool all_words(std::string_view text, const Each& each) {
    bool quoted = false;
    std::size_t begin = 0;
    for (std::size_t i = 0; i <= text.size(); ++i) {
        const bool end =
            i == text.size() || std::string_view(" ,;:()/\"").find(text[i]) != std::string_view::npos;
        if (!end)
            continue;
        if (i > begin && !quoted && !each(text.substr(begin, i - begin)))
            return false;
        quoted = i < text.size() && text[i] == '"' ? !quoted : quoted;
        begin = i + 1;
    }
    return true;
}

const std::set<std::string, std::less<>>& unit_words() {
    static const std::set<std::string, std::less<>> units = {
        "A",   "V",    "W",    "s", "h",  "m",   "mm", "mm2", "min",  "degC", "degF",
        "ohm", "mohm", "uohm", "K", "kg", "Ah",  "kA", "mA",  "mV",   "ft",   "in",
        "AWG", "x",    "kW",   "N", "Hz", "rpm", "%",  "rev", "kcmil"};
    return units;
}

} // namespace

std::span<const RuleTextRow> rule_text_rows() {
    return rows;
}

RuleTexts::RuleTexts(const model::Harness& harness, Language language) : language_(language) {
    // A label as a whole only: "Cab and reading room" must not make a name of "and".
    const auto name = [&](std::string_view text) { names_.emplace(text); };
    for (const model::Device& device : harness.devices) {
        name(device.id);
        name(device.label);
    }
    for (const model::Terminal& terminal : harness.terminals) {
        name(terminal.address);
        name(terminal.id);
    }
    for (const model::Cable& cable : harness.cables) {
        name(cable.id);
        name(cable.insulation.text);
    }
    for (const model::Zone& zone : harness.zones) {
        name(zone.id);
        name(zone.label);
    }
    for (const model::Duty& duty : harness.duties) {
        if (duty.built_in)
            continue; // the tables have words for those
        name(duty.id);
        name(duty.label);
    }
    for (const model::Incidental& path : harness.incidentals) {
        name(path.id);
        name(path.label);
    }
    for (const model::Limit& limit : harness.limits)
        name(limit.name);
    for (const model::Landing& landing : harness.landings)
        name(landing.id);
    for (const RuleTextRow& row : rows) {
        Sentence sentence{.row = &row, .pieces = {}, .marks = {}};
        const std::string_view words = row.words[0];
        std::size_t begin = 0;
        for (std::size_t i = 0; i + 2 < words.size(); ++i) {
            if (words[i] != '{' || words[i + 2] != '}')
                continue;
            sentence.pieces.push_back(words.substr(begin, i - begin));
            sentence.marks.push_back(static_cast<std::size_t>(words[i + 1] - '0'));
            begin = i + 3;
        }
        sentence.pieces.push_back(words.substr(begin));
        for (const std::string_view piece : sentence.pieces)
            sentence.letters +=
                static_cast<std::size_t>(std::count_if(piece.begin(), piece.end(), is_letter));
        sentences_.push_back(std::move(sentence));
    }
    // A list's comma or an added clause is tried when no sentence as a whole fits.
    std::stable_sort(sentences_.begin(), sentences_.end(),
                     [](const Sentence& a, const Sentence& b) { return a.letters > b.letters; });
}

bool RuleTexts::is_value(std::string_view text) const {
    if (text.empty())
        return false;
    if (names_.contains(text))
        return true;
    return all_words(text, [&](std::string_view word) {
        if (names_.contains(word) || unit_words().contains(word))
            return true;
        // "M8", "SF51", "4/0", "33.5", "IEC": what has a figure or no small letter is no word of a sentence.
        const bool figure = std::any_of(word.begin(), word.end(), [](char c) {
            return std::isdigit(static_cast<unsigned char>(c)) != 0;
        });
        const bool small = std::any_of(word.begin(), word.end(), [](char c) {
            return std::islower(static_cast<unsigned char>(c)) != 0;
        });
        return figure || !small;
    });
}

std::optional<std::string> RuleTexts::filled(const Sentence& sentence, const Values& values) const {
    std::vector<std::string> told(sentence.marks.size());
    for (std::size_t i = 0; i < values.size(); ++i) {
        auto value = translated(values[i]);
        if (!value)
            return std::nullopt;
        told.at(sentence.marks[i]) = std::move(*value);
    }
    const std::string_view words = sentence.row->words.at(static_cast<std::size_t>(language_));
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i) {
        const bool mark = i + 2 < words.size() && words[i] == '{' && words[i + 2] == '}';
        if (!mark) {
            text += words[i];
            continue;
        }
        text += told.at(static_cast<std::size_t>(words[i + 1] - '0'));
        i += 2;
    }
    return text;
}

std::optional<std::string> RuleTexts::match(const Sentence& sentence, std::size_t piece,
                                            std::string_view rest, Values& values) const {
    const bool last = piece + 1 == sentence.pieces.size();
    const std::string_view words = sentence.pieces[piece];
    if (last) {
        if (words.size() >= rest.size() || !rest.ends_with(words))
            return std::nullopt;
        values.push_back(rest.substr(0, rest.size() - words.size()));
        auto told = filled(sentence, values);
        values.pop_back();
        return told;
    }
    for (std::size_t at = rest.find(words, 1); at != std::string_view::npos; at = rest.find(words, at + 1)) {
        values.push_back(rest.substr(0, at));
        auto told = match(sentence, piece + 1, rest.substr(at + words.size()), values);
        values.pop_back();
        if (told)
            return told;
    }
    return std::nullopt;
}

std::optional<std::string> RuleTexts::by(const Sentence& sentence, std::string_view text) const {
    if (!text.starts_with(sentence.pieces.front()))
        return std::nullopt;
    const std::string_view rest = text.substr(sentence.pieces.front().size());
    if (sentence.marks.empty())
        return rest.empty() ? filled(sentence, {}) : std::nullopt;
    std::size_t at = 0; // all pieces in their order, or it need not be tried
    for (std::size_t i = 1; i < sentence.pieces.size(); ++i) {
        at = rest.find(sentence.pieces[i], at);
        if (at == std::string_view::npos)
            return std::nullopt;
        at += sentence.pieces[i].size();
    }
    Values values;
    return match(sentence, 1, rest, values);
}

std::optional<std::string> RuleTexts::translated(std::string_view text) const {
    if (is_value(text))
        return std::string(text);
    if (const auto found = known_.find(text); found != known_.end())
        return found->second;
    // Against going round in circles: while a text is being worked out it is not known.
    known_.emplace(text, std::nullopt);
    std::optional<std::string> told;
    for (const Sentence& sentence : sentences_)
        if ((told = by(sentence, text)))
            break;
    known_[std::string(text)] = told;
    return told;
}

std::optional<std::string> RuleTexts::told(const std::string& english) const {
    if (language_ == Language::english)
        return english;
    // A whole sentence of the table comes before a name of the file that is spelt alike.
    for (const RuleTextRow& row : rows)
        if (row.words[0] == english && english.find('{') == std::string::npos)
            return std::string(row.words.at(static_cast<std::size_t>(language_)));
    return translated(english);
}

} // namespace stoutloom::report

// Lines of words: where a line may break, and where it must not.
#include "layout/direction.h"
#include "layout/papers/pen.h"

#include <algorithm>
#include <array>

namespace stoutloom::layout::papers {
namespace {

constexpr std::string_view hard_blank = "\xC2\xA0";

/// Ideographs, kana and full-width forms may part anywhere; closing marks stay with what is before them.
bool wide_character(std::string_view character) {
    return character.size() >= 3 && character[0] >= '\xE3';
}
bool clings_to_previous(std::string_view character) {
    static constexpr std::array<std::string_view, 10> closing = {"。", "、", "」", "）", "，",
                                                                 "：", "；", "ー", "！", "？"};
    return std::find(closing.begin(), closing.end(), character) != closing.end();
}

bool is_number(std::string_view word) {
    while (!word.empty() && (word.front() == '(' || word.front() == '['))
        word.remove_prefix(1);
    if (word.starts_with("\xE2\x88\x92"))
        word.remove_prefix(3); // the minus sign
    return !word.empty() && word.front() >= '0' && word.front() <= '9' && word.back() >= '0' &&
           word.back() <= '9';
}

bool is_unit(std::string_view word) {
    while (!word.empty() && (word.back() == ',' || word.back() == '.' || word.back() == ';' ||
                             word.back() == ')' || word.back() == ']' || word.back() == ':'))
        word.remove_suffix(1);
    static constexpr std::array<std::string_view, 27> units = {
        "V", "A", "W",   "m",  "mm", "mm²", "mm2", "Ω",     "mΩ", "ohm", "mohm", "°C",      "degC", "K",
        "s", "h", "min", "Ah", "%",  "AWG", "N·m", "lb·ft", "ft", "in",  "rpm",  "rev/min", "kA"};
    return std::find(units.begin(), units.end(), word) != units.end();
}

/// "IEC 60947-1" stays together.
bool is_standard(std::string_view word) {
    while (!word.empty() && (word.front() == '(' || word.front() == '['))
        word.remove_prefix(1);
    static constexpr std::array<std::string_view, 8> bodies = {"IEC", "ISO", "DIN",  "EN",
                                                               "VDI", "CFR", "ABYC", "ASME"};
    return std::find(bodies.begin(), bodies.end(), word) != bodies.end();
}

bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}
/// "fuse-continuous-load" may part after its hyphens, "IEC 60364-4-43" may not.
bool parts_after_hyphen(std::string_view word, std::size_t at) {
    return word[at] == '-' && at > 0 && at + 1 < word.size() && is_letter(word[at - 1]) &&
           is_letter(word[at + 1]);
}

/// Pieces between which a line may break; `blank_before` tells that a space stood there.
struct Piece {
    std::string words;
    bool blank_before = false;
};

void add_word(std::vector<Piece>& pieces, std::string_view word, bool blank) {
    const bool figure = !word.empty() && word.front() >= '0' && word.front() <= '9';
    if (!pieces.empty() && blank && figure && is_standard(pieces.back().words)) {
        pieces.back().words += std::string(hard_blank) + std::string(word);
        return;
    }
    if (!pieces.empty() && blank && is_unit(word)) {
        const std::string& last = pieces.back().words;
        const std::size_t blank_at = last.rfind(hard_blank);
        const std::string tail =
            blank_at == std::string::npos ? last : last.substr(blank_at + hard_blank.size());
        if (is_number(tail)) {
            pieces.back().words += std::string(hard_blank) + std::string(word);
            return;
        }
    }
    std::string run;
    bool first = true;
    const auto flush = [&] {
        if (run.empty())
            return;
        pieces.push_back({.words = run, .blank_before = first && blank});
        first = false;
        run.clear();
    };
    for (std::size_t i = 0; i < word.size();) {
        const std::string_view character =
            word.substr(i, character_length(static_cast<unsigned char>(word[i])));
        if (wide_character(character)) {
            if (clings_to_previous(character) && !run.empty())
                run += character;
            else if (clings_to_previous(character) && !first)
                pieces.back().words += character;
            else {
                flush();
                run = character;
                flush();
            }
        } else
            run += character;
        if (parts_after_hyphen(word, i))
            flush();
        i += character.size();
    }
    flush();
}

std::vector<Piece> pieces_of(std::string_view words) {
    std::vector<Piece> pieces;
    bool blank = false;
    for (std::size_t i = 0; i < words.size();) {
        if (words[i] == ' ' || words[i] == '\n' || words[i] == '\t') {
            blank = true;
            ++i;
            continue;
        }
        const std::size_t end = std::min(words.find_first_of(" \n\t", i), words.size());
        add_word(pieces, words.substr(i, end - i), blank);
        blank = false;
        i = end;
    }
    return pieces;
}

/// Longest head of the word that fits, at least one character.
std::string fitting_head(std::string_view word, const Measured& room, const TextMeasure& measure) {
    std::string head;
    for (std::size_t i = 0; i < word.size();) {
        const std::string_view character =
            word.substr(i, character_length(static_cast<unsigned char>(word[i])));
        const std::string longer = head + std::string(character);
        if (!head.empty() && measure.width_mm(longer, room.height_mm, room.weight) > room.width_mm)
            break;
        head = longer;
        i += character.size();
    }
    return head;
}

/// Of a name that takes two lines the first ends after a mark, unless that leaves less than a third of it.
std::string up_to_a_mark(const std::string& head) {
    const std::size_t mark = head.find_last_of(".-_/:");
    return mark == std::string::npos || mark + 1 < head.size() / 3 + 1 ? head : head.substr(0, mark + 1);
}

} // namespace

std::vector<std::string> wrapped(std::string_view words, const Measured& room, const TextMeasure& measure) {
    const auto fits = [&](const std::string& line) {
        return measure.width_mm(line, room.height_mm, room.weight) <= room.width_mm;
    };
    std::vector<std::string> lines;
    std::string line;
    for (Piece& piece : pieces_of(words)) {
        const std::string longer = line + (piece.blank_before && !line.empty() ? " " : "") + piece.words;
        if (fits(longer)) {
            line = longer;
            continue;
        }
        if (!line.empty())
            lines.push_back(line);
        line = piece.words;
        while (!fits(line)) {
            const std::string head = up_to_a_mark(fitting_head(line, room, measure));
            if (head.size() >= line.size())
                break;
            lines.push_back(head);
            line.erase(0, head.size());
        }
    }
    if (!line.empty())
        lines.push_back(line);
    keep_direction(lines, words);
    return lines;
}

std::string soft_where_needed(std::string words, const Measured& room, const TextMeasure& measure) {
    if (longest_piece_mm(words, room.height_mm, room.weight, measure) <= room.width_mm)
        return words;
    for (std::size_t at = words.find(hard_blank); at != std::string::npos; at = words.find(hard_blank, at))
        words.replace(at, hard_blank.size(), " ");
    return words;
}

double longest_piece_mm(std::string_view words, double height_mm, Weight weight, const TextMeasure& measure) {
    double longest = 0;
    for (const Piece& piece : pieces_of(words))
        longest = std::max(longest, measure.width_mm(piece.words, height_mm, weight));
    return longest;
}

std::string shortened(const std::string& words, const Measured& room, const TextMeasure& measure) {
    if (measure.width_mm(words, room.height_mm, room.weight) <= room.width_mm)
        return words;
    const double ellipsis = measure.width_mm("…", room.height_mm, room.weight);
    const Measured left{
        .width_mm = room.width_mm - ellipsis, .height_mm = room.height_mm, .weight = room.weight};
    return fitting_head(words, left, measure) + "…";
}

} // namespace stoutloom::layout::papers

#include "layout/line_breaks.h"

#include "layout/direction.h"

#include <algorithm>
#include <array>

namespace stoutloom::layout {
namespace {

using Character = std::string_view;

std::vector<Character> characters_of(std::string_view word) {
    std::vector<Character> made;
    for (std::size_t i = 0; i < word.size();) {
        made.push_back(word.substr(i, character_length(static_cast<unsigned char>(word[i]))));
        i += made.back().size();
    }
    return made;
}

std::uint32_t code_of(Character character) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(character[i]); };
    if (character.size() < 2)
        return character.empty() ? 0 : byte(0);
    std::uint32_t code = byte(0) & (0xFFU >> (character.size() + 1));
    for (std::size_t i = 1; i < character.size(); ++i)
        code = (code << 6U) | (byte(i) & 0x3FU);
    return code;
}

struct Range {
    std::uint32_t from, to;
};
template <std::size_t Count> bool within(std::uint32_t code, const std::array<Range, Count>& ranges) {
    return std::any_of(ranges.begin(), ranges.end(),
                       [code](const Range& range) { return code >= range.from && code <= range.to; });
}

/// Ideographs, kana and full-width forms.
bool is_wide(Character character) {
    static constexpr std::array<Range, 4> ranges = {
        {{0x3000, 0x312F}, {0x3190, 0x9FFF}, {0xF900, 0xFAFF}, {0xFF01, 0xFF60}}};
    const std::uint32_t code = code_of(character);
    return within(code, ranges) || (code >= 0x20000 && code <= 0x3FFFF);
}

bool is_katakana(Character character) {
    const std::uint32_t code = code_of(character);
    return code >= 0x30A1 && code <= 0x30FE;
}

template <std::size_t Count> bool one_of(Character character, const std::array<Character, Count>& list) {
    return std::find(list.begin(), list.end(), character) != list.end();
}

/// Characters no line begins with: closing marks, marks that repeat or lengthen, small kana.
bool clings_to_previous(Character character) {
    static constexpr std::array<Character, 56> closing = {
        "。", "、", "，", "．", "：", "；", "？", "！", "）", "］", "｝", "」", "』", "】",
        "〕", "〉", "》", "”",  "’",  "・", "ー", "～", "〜", "…",  "／", "％", "々", "ゝ",
        "ゞ", "ヽ", "ヾ", "ぁ", "ぃ", "ぅ", "ぇ", "ぉ", "っ", "ゃ", "ゅ", "ょ", "ァ", "ィ",
        "ゥ", "ェ", "ォ", "ッ", "ャ", "ュ", "ョ", ")",  "]",  ",",  ".",  ";",  ":",  "°"};
    return one_of(character, closing);
}
bool clings_to_next(Character character) {
    static constexpr std::array<Character, 14> opening = {"（", "［", "｛", "「", "『", "【", "〔",
                                                          "〈", "《", "“",  "‘",  "(",  "[",  "第"};
    return one_of(character, opening);
}

/// "回", "本" and the like after a figure.
bool is_counter(Character character) {
    static constexpr std::array<Character, 18> counters = {"回", "本", "件", "個", "枚", "段",
                                                           "番", "秒", "分", "時", "日", "月",
                                                           "年", "項", "つ", "倍", "割", "度"};
    return one_of(character, counters);
}

bool is_figure(Character character) {
    return character.size() == 1 && character[0] >= '0' && character[0] <= '9';
}
bool is_letter(Character character) {
    return character.size() == 1 &&
           ((character[0] >= 'a' && character[0] <= 'z') || (character[0] >= 'A' && character[0] <= 'Z'));
}

/// Marks that stand over, under or beside the letter before them, and the joiners.
bool is_mark(Character character) {
    static constexpr std::array<Range, 26> ranges = {
        {{0x0300, 0x036F}, {0x0483, 0x0489}, {0x0591, 0x05BD}, {0x05BF, 0x05C7}, {0x0610, 0x061A},
         {0x064B, 0x065F}, {0x0670, 0x0670}, {0x06D6, 0x06ED}, {0x0900, 0x0903}, {0x093A, 0x094F},
         {0x0951, 0x0957}, {0x0981, 0x0983}, {0x09BC, 0x09D7}, {0x0A01, 0x0A03}, {0x0A3C, 0x0A51},
         {0x0ABC, 0x0ACD}, {0x0B3C, 0x0B57}, {0x0BBE, 0x0BD7}, {0x0C3E, 0x0C56}, {0x0CBC, 0x0CD6},
         {0x0D3E, 0x0D57}, {0x0E31, 0x0E3A}, {0x0E47, 0x0E4E}, {0x0EB1, 0x0ECD}, {0x200C, 0x200D},
         {0xFE00, 0xFE2F}}};
    // The vowels of Thai and Lao that are written beside their letter part from it as little.
    return within(code_of(character), ranges) || code_of(character) == 0x0E30 || code_of(character) == 0x0EB0;
}
/// Signs after which the next letter is part of the same cluster: the viramas of India, vowels before a
/// letter.
bool joins_next(Character character) {
    static constexpr std::array<std::uint32_t, 11> joining = {0x094D, 0x09CD, 0x0A4D, 0x0ACD, 0x0B4D, 0x0BCD,
                                                              0x0C4D, 0x0CCD, 0x0D4D, 0x200D, 0x2060};
    const std::uint32_t code = code_of(character);
    return std::find(joining.begin(), joining.end(), code) != joining.end() ||
           (code >= 0x0E40 && code <= 0x0E44) || (code >= 0x0EC0 && code <= 0x0EC4);
}

/// Thai and Lao write no blank between words.
bool is_blankless(Character character) {
    const std::uint32_t code = code_of(character);
    return code >= 0x0E01 && code <= 0x0EFF;
}

/// Whether the mark at `at` is the decimal one of a number: "12.7", not "M1.30".
bool is_decimal_mark(const std::vector<Character>& characters, std::size_t at) {
    if ((characters[at] != "." && characters[at] != ",") || at == 0 || at + 1 >= characters.size() ||
        !is_figure(characters[at - 1]) || !is_figure(characters[at + 1]))
        return false;
    std::size_t first = at;
    while (first > 0 && is_figure(characters[first - 1]))
        --first;
    return first == 0 || !is_letter(characters[first - 1]);
}

/// Whether a word that is too long may be torn after the character at `at`.
bool may_tear(const std::vector<Character>& characters, std::size_t at) {
    const Character before = characters[at], after = characters[at + 1];
    const bool figures = is_figure(before) && is_figure(after);
    return !is_mark(after) && !joins_next(before) && !figures && !is_decimal_mark(characters, at) &&
           !clings_to_previous(after) && !clings_to_next(before);
}

bool may_part(Character before, Character after) {
    if (clings_to_next(before) || clings_to_previous(after) || is_mark(after) || joins_next(before))
        return false;
    if (is_katakana(before) && is_katakana(after))
        return false;
    if (is_figure(before) && is_counter(after))
        return false;
    return is_wide(before) || is_wide(after);
}

} // namespace

std::vector<std::string> parts_of_word(std::string_view word, Hyphens hyphens, const TextMeasure& measure) {
    const std::vector<Character> characters = characters_of(word);
    std::vector<std::size_t> starts;
    if (std::any_of(characters.begin(), characters.end(), is_blankless))
        starts = measure.word_starts(std::string(word));
    std::vector<std::string> parts;
    std::size_t at = 0;
    for (std::size_t i = 0; i < characters.size(); ++i) {
        bool part = i == 0;
        if (i > 0) {
            const Character before = characters[i - 1];
            part = may_part(before, characters[i]) ||
                   (is_blankless(before) && std::binary_search(starts.begin(), starts.end(), at)) ||
                   // "fuse-continuous-load" may part after its hyphens, "IEC 60364-4-43" may not.
                   (hyphens == Hyphens::part && before == "-" && i > 1 && is_letter(characters[i - 2]) &&
                    is_letter(characters[i]));
        }
        if (part)
            parts.emplace_back();
        parts.back() += characters[i];
        at += characters[i].size();
    }
    return parts;
}

bool is_unit(std::string_view word) {
    static constexpr std::array<std::string_view, 13> closing = {
        ",", ".", ";", ")", "]", ":", "、", "。", "）", "」", "：", "；", hard_blank};
    for (std::size_t i = 0; i < closing.size();)
        if (word.ends_with(closing.at(i))) {
            word.remove_suffix(closing.at(i).size());
            i = 0;
        } else
            ++i;
    static constexpr std::array<std::string_view, 35> units = {
        "V",   "mV", "A",   "kA",   "W",     "kW",   "m",     "cm", "mm", "mm²", "mm2",    "Ω",
        "mΩ",  "μΩ", "ohm", "mohm", "°C",    "degC", "K",     "°F", "kg", "lb",  "s",      "h",
        "min", "Ah", "%",   "AWG",  "kcmil", "N·m",  "lb·ft", "ft", "in", "rpm", "rev/min"};
    return std::find(units.begin(), units.end(), word) != units.end();
}

bool begins_with_counter(std::string_view word) {
    return !word.empty() && is_counter(word.substr(0, character_length(static_cast<unsigned char>(word[0]))));
}

bool is_spaced_mark(std::string_view word) {
    return word == ";" || word == ":" || word == "!" || word == "?" || word == "»";
}

std::size_t fitting_bytes(std::string_view word, double width_mm, double height_mm, Weight weight,
                          const TextMeasure& measure) {
    const std::vector<Character> characters = characters_of(word);
    const auto fits = [&](std::size_t bytes) {
        return measure.width_mm(std::string(word.substr(0, bytes)), height_mm, weight) <= width_mm;
    };
    std::size_t torn_well = 0, torn_anyhow = 0;
    std::size_t bytes = 0;
    for (std::size_t i = 0; i < characters.size(); ++i) {
        bytes += characters[i].size();
        const bool last = i + 1 == characters.size();
        if (!last && (is_mark(characters[i + 1]) || joins_next(characters[i])))
            continue;
        if (torn_anyhow > 0 && !fits(bytes))
            break;
        torn_anyhow = bytes;
        if (last || may_tear(characters, i))
            torn_well = bytes;
    }
    return torn_well > 0 ? torn_well : torn_anyhow;
}

std::size_t after_last_mark(std::string_view head, std::string_view rest) {
    const std::string whole = std::string(head) + std::string(rest);
    const std::vector<Character> characters = characters_of(whole);
    constexpr std::string_view marks = ".-_/:";
    std::size_t found = 0, bytes = 0;
    for (std::size_t i = 0; i < characters.size() && bytes < head.size(); ++i) {
        bytes += characters[i].size();
        if (characters[i].size() == 1 && marks.find(characters[i]) != std::string_view::npos &&
            !is_decimal_mark(characters, i))
            found = bytes;
    }
    return found;
}

} // namespace stoutloom::layout

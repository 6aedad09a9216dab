// Where a line of any script may break, and where it must not.
#pragma once

#include "layout/scene.h"

#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::layout {

constexpr std::string_view hard_blank = "\xC2\xA0";

/// Pieces between which a line may break; `blank_before` tells that a space stood there.
struct LinePiece {
    std::string words;
    bool blank_before = false;
};

/// The parts of a word without blanks. Ideographs and kana may part, but no line begins with a closing mark
/// or a small kana, none ends with an opening one, and neither a figure and its counter nor a foreign word in
/// katakana is torn (JIS X 4051, 8.1). Scripts that write no blanks between words part where `measure` finds
/// words.
enum class Hyphens { hold, part };
std::vector<std::string> parts_of_word(std::string_view word, Hyphens hyphens, const TextMeasure& measure);

/// A unit, marks after it aside: it stays with the figure before it.
bool is_unit(std::string_view word);
/// "回", "本" and the like stay with the figure before them, a blank between or not.
bool begins_with_counter(std::string_view word);
/// The marks before which French writes a blank: no line begins with one.
bool is_spaced_mark(std::string_view word);

/// Bytes of the longest head of the word that may be followed by a new line and fits; at least one character
/// with its marks.
std::size_t fitting_bytes(std::string_view word, double width_mm, double height_mm, Weight weight,
                          const TextMeasure& measure);

/// Bytes of the head up to its last mark within a name, a decimal mark being none; 0 without one.
std::size_t after_last_mark(std::string_view head, std::string_view rest);

} // namespace stoutloom::layout

// Which way lines run that were cut from one text.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::layout {

/// Bytes of the UTF-8 character that begins so.
std::size_t character_length(unsigned char lead);
/// The way a text runs is told by its first letter (Unicode Annex 9, rules P2 and P3): +1 to the right, -1 to
/// the left, 0 without any letter.
int direction_of(std::string_view words);
/// Whether the script sets marks over its letters (Thai, Devanagari, pointed Arabic): its lines want more
/// room.
bool marks_above(std::string_view words);
/// A line whose first letter runs against the text it was cut from begins with a mark of no width that says
/// how the text runs: else the full stop of an English sentence stands before the Hebrew name that ends it.
void keep_direction(std::vector<std::string>& lines, std::string_view text);

/// The words, to stand at the head of a line that runs to the right: what follows stays on their right even
/// where they themselves run to the left.
std::string running_right(std::string words);
/// A name, a colon, and a text that keeps its own way: in one that runs to the left the name stands at its
/// head, on the right, and is still read to the right.
std::string named_text(const std::string& name, const std::string& text);

} // namespace stoutloom::layout

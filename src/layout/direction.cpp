#include "layout/direction.h"

#include <cstdint>

namespace stoutloom::layout {
namespace {

std::uint32_t code_point(std::string_view character) {
    const auto byte = [&](std::size_t i) {
        return static_cast<std::uint32_t>(static_cast<unsigned char>(character[i]));
    };
    if (character.size() == 1)
        return byte(0);
    std::uint32_t code = byte(0) & (0xFFU >> (character.size() + 1));
    for (std::size_t i = 1; i < character.size(); ++i)
        code = (code << 6U) | (byte(i) & 0x3FU);
    return code;
}

} // namespace

std::size_t character_length(unsigned char lead) {
    if (lead < 0x80)
        return 1;
    if (lead < 0xE0)
        return 2;
    return lead < 0xF0 ? 3 : 4;
}

int direction_of(std::string_view words) {
    for (std::size_t i = 0; i < words.size();) {
        const std::string_view character =
            words.substr(i, character_length(static_cast<unsigned char>(words[i])));
        const std::uint32_t code = code_point(character);
        const auto within = [code](std::uint32_t from, std::uint32_t to) {
            return code >= from && code <= to;
        };
        if (within(0x0590, 0x08FF) || within(0xFB1D, 0xFDFF) || within(0xFE70, 0xFEFC) ||
            within(0x10800, 0x10FFF) || within(0x1E800, 0x1EFFF) || code == 0x200F)
            return -1;
        const bool mark = within(0x2000, 0x2BFF) || within(0x3000, 0x3004) || within(0x3008, 0x3020);
        if (within('A', 'Z') || within('a', 'z') || (code >= 0xC0 && !mark) || code == 0x200E)
            return 1;
        i += character.size();
    }
    return 0;
}

bool marks_above(std::string_view words) {
    for (std::size_t i = 0; i < words.size();) {
        const std::string_view character =
            words.substr(i, character_length(static_cast<unsigned char>(words[i])));
        const std::uint32_t code = code_point(character);
        const bool indic = code >= 0x0900 && code <= 0x0EFF; // Devanagari to Lao
        const bool harakat = code >= 0x064B && code <= 0x065F;
        if (indic || harakat)
            return true;
        i += character.size();
    }
    return false;
}

void keep_direction(std::vector<std::string>& lines, std::string_view text) {
    if (lines.size() < 2)
        return;
    const int direction = direction_of(text);
    for (std::string& line : lines)
        if (direction * direction_of(line) < 0)
            line.insert(0, direction > 0 ? "\u200E" : "\u200F");
}

std::string running_right(std::string words) {
    return direction_of(words) < 0 ? "\u200E" + words + "\u200E" : std::move(words);
}

std::string named_text(const std::string& name, const std::string& text) {
    if (direction_of(text) < 0)
        return "\u200F\u200E" + name + "\u200E: " + text;
    return name + ": " + text;
}

} // namespace stoutloom::layout

// Characters of an XML text: UTF-8, the characters XML allows, and references to them.
#include "read/markup.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <optional>

namespace stoutloom::read {
namespace {

base::Span span_of(std::size_t begin, std::size_t end) {
    return {.begin = static_cast<std::uint32_t>(begin), .end = static_cast<std::uint32_t>(end)};
}

// XML 1.0 (fifth edition), production 2, Char.
bool is_xml_character(std::uint32_t code) {
    return code == 0x9 || code == 0xA || code == 0xD || (code >= 0x20 && code <= 0xD7FF) ||
           (code >= 0xE000 && code <= 0xFFFD) || (code >= 0x10000 && code <= 0x10FFFF);
}

struct Decoded {
    std::uint32_t code = 0;
    std::size_t length = 0; // 0: no UTF-8
};

// RFC 3629: shortest form only, no surrogates, at most U+10FFFF.
Decoded decode(std::string_view text) {
    const auto byte = [&](std::size_t i) {
        return static_cast<std::uint32_t>(static_cast<unsigned char>(text[i]));
    };
    const std::uint32_t lead = byte(0);
    if (lead < 0x80)
        return {.code = lead, .length = 1};
    const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
    if (lead < 0xC2 || lead > 0xF4 || text.size() < length)
        return {};
    std::uint32_t code = lead & (0xFFU >> (length + 1));
    for (std::size_t i = 1; i < length; ++i) {
        if ((byte(i) & 0xC0U) != 0x80U)
            return {};
        code = (code << 6U) | (byte(i) & 0x3FU);
    }
    constexpr std::array<std::uint32_t, 5> least = {0, 0, 0x80, 0x800, 0x10000};
    if (code < least.at(length) || (code >= 0xD800 && code <= 0xDFFF) || code > 0x10FFFF)
        return {};
    return {.code = code, .length = length};
}

// The text between &# and ; as a code, when it is spelled so.
std::optional<std::uint32_t> reference_code(std::string_view digits) {
    int base = 10;
    if (!digits.empty() && digits.front() == 'x') {
        base = 16;
        digits.remove_prefix(1);
    }
    std::uint32_t code = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), code, base);
    if (digits.empty() || error != std::errc() || end != digits.data() + digits.size())
        return std::nullopt;
    return code;
}

} // namespace

bool characters_are_sound(std::string_view text, Complaints& complaints) {
    const bool utf16 = text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF");
    if (utf16 || text.starts_with(std::string_view("\0<", 2)) ||
        text.starts_with(std::string_view("<\0", 2))) {
        complaints.form("encoding", {}, "the file is in UTF-16", "save it as UTF-8");
        return false;
    }
    if (const std::size_t nul = text.find('\0'); nul != std::string_view::npos) {
        complaints.form("character", span_of(nul, nul + 1), "a NUL byte stands in the file",
                        "save it as plain UTF-8 text");
        return false;
    }
    for (std::size_t i = 0; i < text.size();) {
        const Decoded found = decode(text.substr(i));
        if (found.length == 0) {
            complaints.form("encoding", span_of(i, i + 1),
                            fmt::format("byte 0x{:02X} is no UTF-8", static_cast<unsigned char>(text[i])),
                            "save the file as UTF-8");
            ++i;
            continue;
        }
        if (!is_xml_character(found.code))
            complaints.form("character", span_of(i, i + found.length),
                            fmt::format("character U+{:04X} is not allowed in XML", found.code),
                            "take it out");
        i += found.length;
    }
    return true;
}

void check_references(std::string_view text, base::Span span, Complaints& complaints) {
    constexpr std::array<std::string_view, 5> known = {"amp", "lt", "gt", "quot", "apos"};
    const std::string_view part = text.substr(span.begin, span.end - span.begin);
    for (std::size_t i = part.find('&'); i != std::string_view::npos; i = part.find('&', i + 1)) {
        const std::string_view rest = part.substr(i + 1, 40);
        const std::size_t stop = rest.find_first_of("; \t\r\n<&\"'");
        if (stop == std::string_view::npos || rest[stop] != ';') {
            complaints.form("entity", span_of(span.begin + i, span.begin + i + 1),
                            "a bare & begins a reference", "write &amp;");
            continue;
        }
        const std::string_view name = rest.substr(0, stop);
        const base::Span place = span_of(span.begin + i, span.begin + i + stop + 2);
        if (!name.empty() && name.front() == '#') {
            const auto code = reference_code(name.substr(1));
            if (!code || !is_xml_character(*code))
                complaints.form("character", place, fmt::format("&{}; is no character of XML", name),
                                "take it out");
        } else if (std::find(known.begin(), known.end(), name) == known.end()) {
            complaints.form("entity", place, fmt::format("&{}; is not defined", name),
                            "write the character itself; only &amp; &lt; &gt; &quot; &apos; are known");
        }
    }
}

} // namespace stoutloom::read

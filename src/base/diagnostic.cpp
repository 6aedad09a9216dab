#include "base/diagnostic.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <numeric>

namespace stoutloom::base {
namespace {

std::size_t characters(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

// Length of the well-formed UTF-8 character at the front, 0 when there is none (RFC 3629, overlong forms
// aside).
std::size_t character_length(std::string_view text) {
    const auto lead = static_cast<unsigned char>(text.front());
    const std::size_t length = lead < 0x80   ? 1
                               : lead < 0xC2 ? 0
                               : lead < 0xE0 ? 2
                               : lead < 0xF0 ? 3
                               : lead < 0xF5 ? 4
                                             : 0;
    if (length == 0 || text.size() < length)
        return 0;
    for (std::size_t i = 1; i < length; ++i)
        if ((static_cast<unsigned char>(text[i]) & 0xC0U) != 0x80U)
            return 0;
    return length;
}

// Terminals and pipes must not be driven by the input's bytes; a tab would also shift the caret. Control
// characters (C1 too, which is two bytes in UTF-8) become blanks, bytes that are no UTF-8 a question mark.
std::string printable(std::string_view text) {
    std::string clean;
    while (!text.empty()) {
        const std::size_t length = character_length(text);
        const auto lead = static_cast<unsigned char>(text.front());
        const bool control = lead < 0x20 || lead == 0x7F ||
                             (lead == 0xC2 && length == 2 && static_cast<unsigned char>(text[1]) < 0xA0);
        if (length == 0)
            clean += '?';
        else if (control)
            clean += ' ';
        else
            clean += text.substr(0, length);
        text.remove_prefix(std::max<std::size_t>(length, 1));
    }
    return clean;
}

std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const bool same = std::tolower(static_cast<unsigned char>(a[i - 1])) ==
                              std::tolower(static_cast<unsigned char>(b[j - 1]));
            const std::size_t change = diagonal + (same ? 0 : 1);
            diagonal = row[j];
            row[j] = std::min({change, row[j] + 1, row[j - 1] + 1});
        }
    }
    return row.back();
}

} // namespace

std::string shown(const Diagnostic& diagnostic, const SourceText& source) {
    if (diagnostic.span == Span{} && source.text().empty())
        return fmt::format("{}: error: {}: {}; {}\n", source.path(), diagnostic.slug,
                           printable(diagnostic.message), printable(diagnostic.mend));
    const Position at = source.position(diagnostic.span.begin);
    std::string_view line = source.line(at.line);
    std::size_t shift = 0;
    constexpr std::size_t widest = 120;
    // A very long line is shown around the place only.
    if (line.size() > widest) {
        const std::uint32_t line_offset =
            diagnostic.span.begin -
            static_cast<std::uint32_t>(line.data() >= source.text().data()
                                           ? static_cast<std::size_t>(line.data() - source.text().data())
                                           : 0);
        std::size_t from = line_offset > 40 ? line_offset - 40 : 0;
        while (from > 0 && from < line.size() && (static_cast<unsigned char>(line[from]) & 0xC0U) == 0x80U)
            --from;
        shift = characters(line.substr(0, from));
        line = line.substr(from, widest);
        while (!line.empty() && (static_cast<unsigned char>(line.back()) & 0x80U) != 0)
            line.remove_suffix(1);
    }
    const std::size_t length = std::clamp<std::size_t>(characters(source.slice(diagnostic.span)), 1, 60);
    const std::size_t before = at.column - 1 >= shift ? at.column - 1 - shift : 0;
    return fmt::format("{}:{}:{}: error: {}: {}\n{:>6} | {}\n{:>6} | {}{} {}\n", source.path(), at.line,
                       at.column, diagnostic.slug, printable(diagnostic.message), at.line, printable(line),
                       "", std::string(before, ' '), std::string(length, '^'), printable(diagnostic.mend));
}

std::vector<std::string> nearest_names(std::string_view word, const std::vector<std::string>& candidates) {
    constexpr std::size_t longest = 64;
    std::vector<std::string> best;
    if (word.size() > longest)
        return best;
    // One slip in a short word, two in a usual one, a third of a long one.
    std::size_t best_distance = word.size() <= 2 ? 1 : std::max<std::size_t>(2, word.size() / 3);
    for (const std::string& candidate : candidates) {
        const std::size_t gap =
            std::max(word.size(), candidate.size()) - std::min(word.size(), candidate.size());
        if (candidate.size() > longest || gap > best_distance)
            continue;
        const std::size_t distance = edit_distance(word, candidate);
        if (distance > best_distance)
            continue;
        if (distance < best_distance)
            best.clear();
        best_distance = distance;
        best.push_back(candidate);
    }
    return best;
}

std::string nearest_name(std::string_view word, const std::vector<std::string>& candidates) {
    const std::vector<std::string> best = nearest_names(word, candidates);
    return best.empty() ? std::string() : best.front();
}

} // namespace stoutloom::base

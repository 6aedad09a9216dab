// Lines of words: where a line may break, and where it must not.
#include "layout/direction.h"
#include "layout/line_breaks.h"
#include "layout/papers/pen.h"

#include <algorithm>
#include <array>

namespace stoutloom::layout::papers {
namespace {

bool is_number(std::string_view word) {
    while (!word.empty() && (word.front() == '(' || word.front() == '['))
        word.remove_prefix(1);
    if (word.starts_with("（"))
        word.remove_prefix(std::string_view("（").size());
    if (word.starts_with("\xE2\x88\x92"))
        word.remove_prefix(3); // the minus sign
    return !word.empty() && word.front() >= '0' && word.front() <= '9' && word.back() >= '0' &&
           word.back() <= '9';
}

/// "IEC 60947-1" stays together.
bool is_standard(std::string_view word) {
    while (!word.empty() && (word.front() == '(' || word.front() == '['))
        word.remove_prefix(1);
    static constexpr std::array<std::string_view, 8> bodies = {"IEC", "ISO", "DIN",  "EN",
                                                               "VDI", "CFR", "ABYC", "ASME"};
    return std::find(bodies.begin(), bodies.end(), word) != bodies.end();
}

/// "clause 8", "table 43A": the figure stays with the word that tells what it counts.
bool counts_places(std::string_view word) {
    while (!word.empty() && (word.front() == '(' || word.front() == '['))
        word.remove_prefix(1);
    static constexpr std::array<std::string_view, 8> places = {"clause",  "table",   "Abschnitt", "Tabelle",
                                                               "article", "tableau", "apartado",  "tabla"};
    return std::find(places.begin(), places.end(), word) != places.end();
}

/// Whether a line must not break between the piece and what follows it after a blank.
bool belongs_to(const std::string& last, std::string_view next) {
    const bool figure = !next.empty() && next.front() >= '0' && next.front() <= '9';
    const std::size_t word_at = last.rfind(hard_blank);
    const std::string_view word =
        std::string_view(last).substr(word_at == std::string::npos ? 0 : word_at + hard_blank.size());
    if (figure && (is_standard(word) || counts_places(word)))
        return true;
    // "33 CFR 183.425": title, code, part.
    if (next == "CFR" && is_number(word))
        return true;
    // "3.45 J/(K m mm²)" is one unit up to its bracket.
    const std::size_t open = last.rfind("/(");
    if (open != std::string::npos && last.find(')', open) == std::string::npos)
        return true;
    if (next.find("/(") != std::string_view::npos && is_number(word))
        return true;
    if (is_spaced_mark(next))
        return true;
    return (is_unit(next) || begins_with_counter(next)) && is_number(word);
}

/// "[fuse-selectivity]": a name to look up, not parted while it has room in a line.
bool is_bracketed_name(std::string_view word) {
    return word.starts_with("[") && word.ends_with("]");
}

/// "F111 to F115" in every language: the same letters, each with its figures, a short word between.
struct Designation {
    std::string_view letters;
    bool counted = false;
};
Designation designation(std::string_view word) {
    while (!word.empty() && (word.back() == ',' || word.back() == ';' || word.back() == '.'))
        word.remove_suffix(1);
    const std::size_t figures = word.find_first_of("0123456789");
    if (figures == 0 || figures == std::string_view::npos)
        return {};
    const bool counted = word.find_first_not_of("0123456789", figures) == std::string_view::npos;
    return {.letters = word.substr(0, figures), .counted = counted};
}

bool begins_range(const std::vector<LinePiece>& pieces, std::size_t at) {
    constexpr std::size_t longest_bytes = 4; // to, bis, à, a
    if (!pieces[at + 1].blank_before || !pieces[at + 2].blank_before)
        return false;
    const std::string_view from = pieces[at].words, between = pieces[at + 1].words, to = pieces[at + 2].words;
    const Designation first = designation(from), last = designation(to);
    return first.counted && last.counted && first.letters == last.letters && from.back() >= '0' &&
           from.back() <= '9' && between.size() <= longest_bytes && designation(between).letters.empty() &&
           between.find_first_of(",;.") == std::string_view::npos;
}

/// A range is read as one: its blanks hold.
void hold_ranges(std::vector<LinePiece>& pieces) {
    for (std::size_t i = 0; i + 2 < pieces.size(); ++i) {
        if (!begins_range(pieces, i))
            continue;
        pieces[i].words +=
            std::string(hard_blank) + pieces[i + 1].words + std::string(hard_blank) + pieces[i + 2].words;
        const auto next = pieces.begin() + static_cast<long>(i) + 1;
        pieces.erase(next, next + 2);
    }
}

void add_word(std::vector<LinePiece>& pieces, std::string_view word, bool blank, const TextMeasure& measure) {
    const Hyphens hyphens = is_bracketed_name(word) ? Hyphens::hold : Hyphens::part;
    for (std::string& part : parts_of_word(word, hyphens, measure)) {
        if (blank && !pieces.empty() && belongs_to(pieces.back().words, part))
            pieces.back().words += std::string(hard_blank) + part;
        else
            pieces.push_back({.words = std::move(part), .blank_before = blank});
        blank = false;
    }
}

std::vector<LinePiece> pieces_of(std::string_view words, const TextMeasure& measure) {
    std::vector<LinePiece> pieces;
    bool blank = false;
    for (std::size_t i = 0; i < words.size();) {
        if (words[i] == ' ' || words[i] == '\n' || words[i] == '\t') {
            blank = true;
            ++i;
            continue;
        }
        const std::size_t end = std::min(words.find_first_of(" \n\t", i), words.size());
        add_word(pieces, words.substr(i, end - i), blank, measure);
        blank = false;
        i = end;
    }
    hold_ranges(pieces);
    return pieces;
}

/// Longest head of the word that fits, at least one character.
std::string fitting_head(std::string_view word, const Measured& room, const TextMeasure& measure) {
    return std::string(
        word.substr(0, fitting_bytes(word, room.width_mm, room.height_mm, room.weight, measure)));
}

/// Of a name that takes two lines the first ends after a mark, unless that leaves less than a third of it.
std::string up_to_a_mark(const std::string& head, const std::string& word) {
    const std::size_t mark = after_last_mark(head, std::string_view(word).substr(head.size()));
    return mark == 0 || mark < head.size() / 3 + 1 ? head : head.substr(0, mark);
}

/// Bytes before the last hard blank at which a piece that is wider than the line is best torn: before a
/// bracket, else anywhere but between a figure and its unit. 0 without one that fits.
std::size_t tear_at_blank(const std::string& piece, const Measured& room, const TextMeasure& measure) {
    std::size_t bracket = 0, other = 0;
    for (std::size_t at = piece.find(hard_blank); at != std::string::npos;
         at = piece.find(hard_blank, at + 1)) {
        if (measure.width_mm(piece.substr(0, at), room.height_mm, room.weight) > room.width_mm)
            break;
        const std::size_t next = at + hard_blank.size();
        const std::string word = piece.substr(next, piece.find(hard_blank, next) - next);
        if (word.starts_with("("))
            bracket = at;
        else if (!is_unit(word))
            other = at;
    }
    return bracket > 0 ? bracket : other;
}
} // namespace

std::vector<std::string> wrapped(std::string_view words, const Measured& room, const TextMeasure& measure) {
    const auto fits = [&](const std::string& line) {
        return measure.width_mm(line, room.height_mm, room.weight) <= room.width_mm;
    };
    std::vector<std::string> lines;
    std::string line;
    for (LinePiece& piece : pieces_of(words, measure)) {
        const std::string longer = line + (piece.blank_before && !line.empty() ? " " : "") + piece.words;
        if (fits(longer)) {
            line = longer;
            continue;
        }
        if (!line.empty())
            lines.push_back(line);
        line = piece.words;
        while (!fits(line)) {
            if (const std::size_t blank = tear_at_blank(line, room, measure); blank > 0) {
                lines.push_back(line.substr(0, blank));
                line.erase(0, blank + hard_blank.size());
                continue;
            }
            const std::string head = up_to_a_mark(fitting_head(line, room, measure), line);
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
    for (const LinePiece& piece : pieces_of(words, measure))
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

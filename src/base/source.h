// Where something stands in a file: byte spans, and the table that turns them into line and column.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace stoutloom::base {

/// Half-open byte range [begin, end) of a source text. An empty span at 0 means "nowhere in the file".
struct Span {
    std::uint32_t begin = 0;
    std::uint32_t end = 0;
    friend bool operator==(const Span&, const Span&) = default;
};

/// Line and column, both from 1; the column counts characters (code points), as editors do.
struct Position {
    std::uint32_t line = 1;
    std::uint32_t column = 1;
};

/// A file's text, kept whole, with its line table.
class SourceText {
  public:
    SourceText() = default;
    SourceText(std::string path, std::string text);

    const std::string& path() const { return path_; }
    const std::string& text() const { return text_; }
    Position position(std::uint32_t offset) const;
    /// The line's text without its line end; line from 1. Empty beyond the last line.
    std::string_view line(std::uint32_t number) const;
    std::string_view slice(Span span) const;

  private:
    std::string path_;
    std::string text_;
    std::vector<std::uint32_t> line_begin_;
};

} // namespace stoutloom::base

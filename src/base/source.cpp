#include "base/source.h"

#include <algorithm>

namespace stoutloom::base {

SourceText::SourceText(std::string path, std::string text) : path_(std::move(path)), text_(std::move(text)) {
    line_begin_.push_back(0);
    for (std::size_t i = 0; i < text_.size(); ++i)
        if (text_[i] == '\n')
            line_begin_.push_back(static_cast<std::uint32_t>(i + 1));
}

Position SourceText::position(std::uint32_t offset) const {
    if (line_begin_.empty())
        return {};
    const auto after = std::upper_bound(line_begin_.begin(), line_begin_.end(), offset);
    const auto line = static_cast<std::uint32_t>(after - line_begin_.begin());
    const std::uint32_t begin = line_begin_[line - 1];
    std::uint32_t column = 1;
    for (std::uint32_t i = begin; i < offset && i < text_.size(); ++i)
        if ((static_cast<unsigned char>(text_[i]) & 0xC0U) != 0x80U)
            ++column; // continuation bytes do not count
    return {.line = line, .column = column};
}

std::string_view SourceText::line(std::uint32_t number) const {
    if (number == 0 || number > line_begin_.size())
        return {};
    const std::size_t begin = line_begin_[number - 1];
    const std::size_t end = number < line_begin_.size() ? line_begin_[number] : text_.size();
    std::string_view found = std::string_view(text_).substr(begin, end - begin);
    while (!found.empty() && (found.back() == '\n' || found.back() == '\r'))
        found.remove_suffix(1);
    return found;
}

std::string_view SourceText::slice(Span span) const {
    if (span.begin > span.end || span.end > text_.size())
        return {};
    return std::string_view(text_).substr(span.begin, span.end - span.begin);
}

} // namespace stoutloom::base

// Puts new values into their byte ranges and proves that the result is still well-formed.
#include "read/edit.h"

#include "read/markup.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

namespace stoutloom::read {
namespace {

// A value that is put between quotes; both kinds of quote are escaped, so it does not matter which are there.
std::string escaped(std::string_view text) {
    std::string out;
    for (const char c : text) {
        if (c == '&')
            out += "&amp;";
        else if (c == '<')
            out += "&lt;";
        else if (c == '"')
            out += "&quot;";
        else if (c == '\'')
            out += "&apos;";
        else if (c == '\n')
            out += "&#10;"; // a plain one would be read back as a blank
        else if (c == '\r')
            out += "&#13;";
        else if (c == '\t')
            out += "&#9;";
        else
            out += c;
    }
    return out;
}

std::string place(const base::SourceText& source, base::Span span) {
    const base::Position at = source.position(span.begin);
    return fmt::format("{}:{}", at.line, at.column);
}

} // namespace

base::Outcome<std::string, EditRefusal> with_edits(const base::SourceText& source, std::vector<Edit> edits) {
    const std::string& text = source.text();
    std::stable_sort(edits.begin(), edits.end(),
                     [](const Edit& a, const Edit& b) { return a.span.begin < b.span.begin; });
    Complaints before(1);
    const Markup markup = scan_markup(text, {.bytes = text.size()}, before);
    const auto is_value = [&](base::Span span) {
        for (const ElementPlace& element : markup.elements)
            for (const AttributePlace& attribute : element.attributes)
                if (attribute.value == span)
                    return true;
        return false;
    };
    std::string out;
    std::uint32_t done = 0;
    for (const Edit& edit : edits) {
        if (edit.span.begin < done || (done > 0 && edit.span.begin == done))
            return base::failure(
                EditRefusal{fmt::format("two changes overlap at {}", place(source, edit.span))});
        if (!is_value(edit.span))
            return base::failure(
                EditRefusal{fmt::format("no attribute value stands at {}", place(source, edit.span))});
        out.append(text, done, edit.span.begin - done);
        out += escaped(edit.text);
        done = edit.span.end;
    }
    out.append(text, done);
    Complaints after(1);
    const bool sound = characters_are_sound(out, after) &&
                       scan_markup(out, {.bytes = out.size()}, after).sound && after.none();
    if (!sound)
        return base::failure(EditRefusal{"the changed file would not be well-formed"});
    return out;
}

} // namespace stoutloom::read

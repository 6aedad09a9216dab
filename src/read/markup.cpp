// The scan itself: a cursor over the bytes, an explicit stack of open elements.
#include "read/markup.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

namespace stoutloom::read {
namespace {

constexpr std::string_view blanks = " \t\r\n";

bool is_blank(char c) {
    return blanks.find(c) != std::string_view::npos;
}

// Letters of other scripts are let through: no name of ours has any, so they are refused by name later.
bool begins_name(char c) {
    const auto code = static_cast<unsigned char>(c);
    return std::isalpha(code) != 0 || c == '_' || c == ':' || code >= 0x80;
}
bool continues_name(char c) {
    return begins_name(c) || (c >= '0' && c <= '9') || c == '-' || c == '.';
}

// Namespaces in XML 1.0, production 7, QName: one colon at most, a name on both its sides.
bool is_qualified(std::string_view name) {
    const std::size_t colon = name.find(':');
    return colon == std::string_view::npos ||
           (colon > 0 && colon + 1 < name.size() && name.find(':', colon + 1) == std::string_view::npos &&
            begins_name(name[colon + 1]));
}

class Scanner {
  public:
    Scanner(std::string_view text, const Bounds& bounds, Complaints& complaints)
        : text_(text), bounds_(bounds), complaints_(complaints) {}

    Markup run() {
        if (text_.starts_with("\xEF\xBB\xBF"))
            at_ = 3; // byte order mark of UTF-8
        declaration();
        while (!broken_ && at_ < text_.size()) {
            if (text_[at_] == '<')
                markup();
            else
                words(text_.find('<', at_));
        }
        if (!broken_)
            close();
        found_.sound = !broken_;
        return std::move(found_);
    }

  private:
    base::Span span(std::size_t begin, std::size_t end) const {
        return {.begin = static_cast<std::uint32_t>(begin),
                .end = static_cast<std::uint32_t>(std::min(end, text_.size()))};
    }
    void broken(std::size_t begin, std::size_t end, std::string message, std::string mend) {
        complaints_.form("not-well-formed", span(begin, end), std::move(message), std::move(mend));
        broken_ = true;
    }
    void misspelled(base::Span name) {
        broken(name.begin, name.end, fmt::format("\"{}\" is no name", cut(slice(name))),
               "write it without a colon");
    }
    bool next_is(std::string_view wanted) const { return text_.substr(at_).starts_with(wanted); }
    void skip_blanks() { at_ = std::min(text_.find_first_not_of(blanks, at_), text_.size()); }
    base::Span name() {
        const std::size_t begin = at_;
        if (at_ < text_.size() && begins_name(text_[at_]))
            while (at_ < text_.size() && continues_name(text_[at_]))
                ++at_;
        return span(begin, at_);
    }
    std::string_view slice(base::Span part) const { return text_.substr(part.begin, part.end - part.begin); }

    void close() {
        if (!open_.empty()) {
            const ElementPlace& left = found_.elements[open_.back()];
            broken(left.tag.begin, left.tag.end,
                   fmt::format("element <{}> is never closed", cut(slice(left.name))),
                   fmt::format("add </{}>", cut(slice(left.name))));
        } else if (found_.elements.empty()) {
            complaints_.form("empty-file", {}, "the file holds no element",
                             "begin with <harness xmlns=\"urn:stoutloom:harness:1\" title=\"...\">");
            broken_ = true;
        }
    }

    void words(std::size_t stop) {
        const std::size_t end = std::min(stop, text_.size());
        if (!open_.empty() && found_.elements[open_.back()].blanks == base::Span{})
            found_.elements[open_.back()].blanks = span(at_, end);
        const std::size_t first = text_.find_first_not_of(blanks, at_);
        if (first < end) {
            const std::size_t last = text_.find_last_not_of(blanks, end - 1) + 1;
            if (open_.empty())
                complaints_.form("stray-text", span(first, last),
                                 fmt::format("text outside the root element: \"{}\"",
                                             cut(text_.substr(first, last - first))),
                                 "take it out, or put it into a comment");
            else if (ElementPlace& owner = found_.elements[open_.back()]; owner.words == base::Span{})
                owner.words = span(first, last);
            check_references(text_, span(at_, end), complaints_);
            const std::size_t bracket = text_.substr(0, end).find("]]>", at_);
            if (bracket != std::string_view::npos)
                complaints_.form("not-well-formed", span(bracket, bracket + 3), "\"]]>\" stands in text",
                                 "write ]]&gt;");
        }
        at_ = end;
    }
    void markup() {
        const std::size_t begin = at_;
        if (next_is("<!--"))
            comment();
        else if (next_is("<![CDATA["))
            literal();
        else if (next_is("<!DOCTYPE")) {
            complaints_.form("doctype", span(begin, begin + 9), "a document type declaration is not accepted",
                             "take it out; the XSD is named in xsi:schemaLocation or in your editor");
            broken_ = true;
        } else if (next_is("<!"))
            broken(begin, begin + 2, "\"<!\" begins nothing that is known", "write &lt; for the character <");
        else if (next_is("<?"))
            instruction();
        else if (next_is("</"))
            end_tag();
        else
            start_tag();
    }

    void comment() {
        const std::size_t stop = text_.find("--", at_ + 4);
        if (stop == std::string_view::npos || text_.find("-->", at_ + 4) == std::string_view::npos)
            return broken(at_, at_ + 4, "a comment is never closed", "end it with -->");
        const std::size_t end = text_.find("-->", at_ + 4);
        if (stop != end || (end > at_ + 4 && text_[end - 1] == '-'))
            complaints_.form("not-well-formed", span(std::min(stop, end), std::min(stop, end) + 2),
                             "\"--\" stands in a comment", "write - -");
        at_ = end + 3;
    }

    void literal() {
        const std::size_t end = text_.find("]]>", at_ + 9);
        if (end == std::string_view::npos)
            return broken(at_, at_ + 9, "a CDATA section is never closed", "end it with ]]>");
        if (open_.empty())
            return broken(at_, at_ + 9, "a CDATA section stands outside the root element", "take it out");
        // A CDATA section counts as words even when it is blank: it was meant to say something.
        if (ElementPlace& owner = found_.elements[open_.back()]; owner.words == base::Span{})
            owner.words = span(at_, end + 3);
        at_ = end + 3;
    }

    void instruction() {
        const std::size_t begin = at_;
        at_ += 2;
        const std::string_view target = slice(name());
        const std::size_t end = text_.find("?>", at_);
        if (target.empty() || end == std::string_view::npos || (end != at_ && !is_blank(text_[at_])))
            return broken(begin, begin + 2, "a processing instruction is not spelled <?name ...?>",
                          "take it out");
        std::string lower(target);
        std::transform(lower.begin(), lower.end(), lower.begin(),
                       [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
        if (lower == "xml" || lower.find(':') != std::string::npos)
            return broken(begin, end + 2, "an XML declaration stands elsewhere than at the very beginning",
                          "make it the first thing in the file");
        at_ = end + 2;
    }

    // <?xml version="1.0" encoding="UTF-8" standalone="yes"?>
    void declaration() {
        if (!next_is("<?xml") || at_ + 5 >= text_.size() || !is_blank(text_[at_ + 5]))
            return;
        const std::size_t begin = at_;
        at_ += 5;
        int stage = 0;
        for (;;) {
            const std::size_t before = at_;
            skip_blanks();
            if (next_is("?>"))
                break;
            const base::Span key = name();
            const base::Span value = quoted();
            if (broken_)
                return;
            const std::string_view word = slice(key);
            const int place = word == "version" ? 1 : word == "encoding" ? 2 : word == "standalone" ? 3 : 0;
            if (before == key.begin || place <= stage || (stage == 0 && place != 1))
                return broken(key.begin, key.end,
                              fmt::format("the XML declaration has a misplaced \"{}\"", cut(word)),
                              "write <?xml version=\"1.0\" encoding=\"UTF-8\"?>");
            stage = place;
            declared(place, value);
        }
        if (stage == 0)
            return broken(begin, at_ + 2, "the XML declaration has no version",
                          "write <?xml version=\"1.0\" encoding=\"UTF-8\"?>");
        at_ += 2;
    }
    void declared(int place, base::Span value) {
        std::string text(slice(value));
        if (place == 1 && text != "1.0")
            complaints_.form("not-well-formed", value,
                             fmt::format("XML version \"{}\" is not accepted", cut(text)), "write \"1.0\"");
        if (place == 3 && text != "yes" && text != "no")
            complaints_.form("not-well-formed", value,
                             fmt::format("standalone \"{}\" is neither yes nor no", cut(text)),
                             "take it out");
        std::transform(text.begin(), text.end(), text.begin(),
                       [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
        if (place == 2 && text != "utf-8")
            complaints_.form("encoding", value,
                             fmt::format("the file declares the encoding \"{}\"", cut(slice(value))),
                             "save it as UTF-8 and declare that");
    }

    // = "value", blanks allowed around the sign; the value's span without quotes.
    base::Span quoted() {
        const std::size_t begin = at_;
        skip_blanks();
        if (!next_is("=")) {
            broken(begin, begin + 1, "an attribute has no value", "write name=\"value\"");
            return {};
        }
        ++at_;
        skip_blanks();
        const char quote = at_ < text_.size() ? text_[at_] : ' ';
        const std::size_t end =
            quote == '"' || quote == '\'' ? text_.find(quote, at_ + 1) : std::string_view::npos;
        if (end == std::string_view::npos) {
            broken(at_, at_ + 1, "an attribute's value is not in quotes", "write name=\"value\"");
            return {};
        }
        const base::Span value = span(at_ + 1, end);
        at_ = end + 1;
        return value;
    }

    void start_tag() {
        ElementPlace element;
        const std::size_t begin = at_++;
        element.name = name();
        if (element.name.begin == element.name.end)
            return broken(begin, begin + 1, "\"<\" begins no tag", "write &lt; for the character <");
        if (!is_qualified(slice(element.name)))
            return misspelled(element.name);
        element.parent = open_.empty() ? ElementPlace::none : open_.back();
        attributes(element);
        if (broken_)
            return;
        const bool empty = next_is("/>");
        if (!empty && !next_is(">"))
            return broken(at_, at_ + 1, fmt::format("the tag <{}> is not closed", cut(slice(element.name))),
                          "end it with > or />");
        at_ += empty ? 2 : 1;
        element.tag = span(begin, at_);
        element.end = element.tag.end;
        if (!admitted(element))
            return;
        const auto index = static_cast<std::uint32_t>(found_.elements.size());
        found_.elements.push_back(std::move(element));
        if (!empty)
            open_.push_back(index);
    }

    bool admitted(const ElementPlace& element) {
        const base::Span tag = element.tag;
        if (open_.empty() && !found_.elements.empty()) {
            broken(tag.begin, tag.end, fmt::format("a second root element <{}>", cut(slice(element.name))),
                   "a file holds one harness; take it out or move it inside");
        } else if (open_.size() >= bounds_.depth) {
            complaints_.form("too-deep", tag,
                             fmt::format("elements are nested deeper than {}", bounds_.depth),
                             "no harness needs that");
            broken_ = true;
        } else if (found_.elements.size() >= bounds_.elements) {
            complaints_.form("too-many", tag,
                             fmt::format("there are more than {} elements", bounds_.elements),
                             "split the harness");
            broken_ = true;
        }
        return !broken_;
    }

    void attributes(ElementPlace& element) {
        for (;;) {
            const std::size_t before = at_;
            skip_blanks();
            if (at_ >= text_.size() || text_[at_] == '>' || text_[at_] == '/')
                return;
            AttributePlace attribute;
            attribute.name = name();
            if (attribute.name.begin == attribute.name.end)
                return broken(at_, at_ + 1,
                              fmt::format("\"{}\" begins no attribute", cut(text_.substr(at_, 1))),
                              "write name=\"value\"");
            if (!is_qualified(slice(attribute.name)))
                return misspelled(attribute.name);
            if (before == attribute.name.begin)
                return broken(before, before + 1, "no blank before an attribute",
                              "put a blank between attributes");
            attribute.value = quoted();
            if (broken_)
                return;
            if (element.attributes.size() >= bounds_.attributes) {
                complaints_.form("too-many", attribute.name,
                                 fmt::format("an element has more than {} attributes", bounds_.attributes),
                                 "no element needs that");
                broken_ = true;
                return;
            }
            judge(element, attribute);
            element.attributes.push_back(attribute);
        }
    }

    void judge(const ElementPlace& element, const AttributePlace& attribute) {
        for (const AttributePlace& other : element.attributes)
            if (slice(other.name) == slice(attribute.name)) {
                complaints_.form("attribute-twice", attribute.name,
                                 fmt::format("attribute {} is given twice", cut(slice(attribute.name))),
                                 "keep one of them");
                break;
            }
        const std::size_t less = text_.substr(0, attribute.value.end).find('<', attribute.value.begin);
        if (less != std::string_view::npos)
            complaints_.form("not-well-formed", span(less, less + 1), "\"<\" stands in an attribute's value",
                             "write &lt;");
        check_references(text_, attribute.value, complaints_);
    }

    void end_tag() {
        const std::size_t begin = at_;
        at_ += 2;
        const base::Span closing = name();
        skip_blanks();
        if (!next_is(">"))
            return broken(begin, at_, "an end tag is not spelled </name>", "write </name>");
        ++at_;
        if (open_.empty())
            return broken(begin, at_, fmt::format("</{}> closes nothing", cut(slice(closing))),
                          "take it out");
        ElementPlace& element = found_.elements[open_.back()];
        if (slice(element.name) != slice(closing))
            return broken(
                begin, at_,
                fmt::format("</{}> does not close <{}>", cut(slice(closing)), cut(slice(element.name))),
                fmt::format("write </{}> here, or <{}> where it begins", cut(slice(element.name)),
                            cut(slice(closing))));
        element.end = static_cast<std::uint32_t>(at_);
        open_.pop_back();
    }

    std::string_view text_;
    const Bounds& bounds_;
    Complaints& complaints_;
    Markup found_;
    std::vector<std::uint32_t> open_;
    std::size_t at_ = 0;
    bool broken_ = false;
};

} // namespace

Markup scan_markup(std::string_view text, const Bounds& bounds, Complaints& complaints) {
    return Scanner(text, bounds, complaints).run();
}

} // namespace stoutloom::read

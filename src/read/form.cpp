// Walks the parsed tree beside the scan and holds every element and attribute against the vocabulary.
#include "read/form.h"

#include <fmt/format.h>
#include <pugixml.hpp>

#include <algorithm>
#include <array>
#include <map>
#include <stdexcept>

namespace stoutloom::read {
namespace {

constexpr std::string_view instance_namespace = "http://www.w3.org/2001/XMLSchema-instance";

struct Name {
    std::string_view prefix, local;
};
Name parted(std::string_view name) {
    const std::size_t colon = name.find(':');
    if (colon == std::string_view::npos)
        return {.prefix = {}, .local = name};
    return {.prefix = name.substr(0, colon), .local = name.substr(colon + 1)};
}

class FormReader {
  public:
    FormReader(const std::string& text, Markup markup, Complaints& complaints, std::string_view root_name)
        : text_(text), markup_(std::move(markup)), complaints_(complaints), root_name_(root_name),
          node_of_(markup_.elements.size(), ElementPlace::none) {}

    Form run() {
        const std::size_t mark = text_.starts_with("\xEF\xBB\xBF") ? 3 : 0;
        constexpr unsigned flags = pugi::parse_default | pugi::parse_ws_pcdata;
        const auto parsed =
            document_.load_buffer(text_.data() + mark, text_.size() - mark, flags, pugi::encoding_utf8);
        if (!parsed)
            throw std::logic_error(
                fmt::format("the parser refuses what the scan let pass: {}", parsed.description()));
        // Both walk the start tags in the same order; the place in the text proves it.
        pugi::xml_node at = document_.document_element();
        for (std::uint32_t i = 0; i < markup_.elements.size(); ++i) {
            const ElementPlace& place = markup_.elements[i];
            if (!at || static_cast<std::size_t>(at.offset_debug()) + mark != place.name.begin)
                throw std::logic_error("scan and parser see different elements");
            element(i, at);
            at = next_element(at);
        }
        for (const Node& node : form_.nodes)
            contents(node);
        return std::move(form_);
    }

  private:
    static pugi::xml_node first_element(pugi::xml_node among) {
        while (among && among.type() != pugi::node_element)
            among = among.next_sibling();
        return among;
    }
    static pugi::xml_node next_element(pugi::xml_node at) {
        if (const pugi::xml_node child = first_element(at.first_child()))
            return child;
        for (; at && at.type() == pugi::node_element; at = at.parent())
            if (const pugi::xml_node sibling = first_element(at.next_sibling()))
                return sibling;
        return {};
    }
    std::string_view slice(base::Span span) const {
        return std::string_view(text_).substr(span.begin, span.end - span.begin);
    }

    // The namespace bound to a prefix at an element; depth and attributes are bounded, so walking up is
    // cheap.
    std::string bound(std::uint32_t index, std::string_view prefix) const {
        const std::string wanted = prefix.empty() ? "xmlns" : fmt::format("xmlns:{}", prefix);
        for (std::uint32_t i = index; i != ElementPlace::none; i = markup_.elements[i].parent)
            for (const AttributePlace& attribute : markup_.elements[i].attributes)
                if (slice(attribute.name) == wanted)
                    return std::string(slice(attribute.value));
        return {};
    }

    void element(std::uint32_t index, pugi::xml_node at) {
        const ElementPlace& place = markup_.elements[index];
        const bool root = place.parent == ElementPlace::none;
        const std::uint32_t parent = root ? ElementPlace::none : node_of_[place.parent];
        if (!root && parent == ElementPlace::none)
            return remember_lost(at); // inside something refused already
        const Name name = parted(slice(place.name));
        const std::string space = bound(index, name.prefix);
        if (root)
            root_space(place, name, space);
        else if (space != root_space_)
            return lose(at, place, "namespace",
                        fmt::format("<{}> is not in the namespace of the file", cut(slice(place.name))),
                        "take out its prefix or xmlns");
        const ElementRow* row = element_row(name.local);
        if (root && name.local != root_name_)
            return lose(at, place, "unknown-element",
                        fmt::format("the root element is <{}>", cut(name.local)),
                        fmt::format("write <{} ...>", root_name_));
        if (!root && (row == nullptr || !may_contain(*form_.nodes[parent].row, name.local)))
            return misplaced(at, place, *form_.nodes[parent].row, name.local, row != nullptr);
        node_of_[index] = static_cast<std::uint32_t>(form_.nodes.size());
        if (!root)
            form_.nodes[parent].children.push_back(node_of_[index]);
        Node node;
        node.row = row;
        node.tag = place.tag;
        node.name = place.name;
        attributes(index, at, node);
        words(place, at, node);
        form_.nodes.push_back(std::move(node));
    }

    void root_space(const ElementPlace& place, Name name, const std::string& space) {
        root_space_ = space;
        if (space == harness_namespace || name.local != root_name_)
            return;
        const std::string mend = fmt::format("write <{} xmlns=\"{}\" ...>", root_name_, harness_namespace);
        if (space.empty())
            complaints_.form("namespace", place.name, fmt::format("<{}> has no namespace", root_name_), mend);
        else
            complaints_.form("namespace", place.name,
                             fmt::format("<{}> is in the unknown namespace \"{}\"", root_name_, cut(space)),
                             mend);
    }

    void remember_lost(pugi::xml_node at) {
        if (const pugi::xml_attribute id = at.attribute("id"))
            form_.lost_ids.insert(id.value());
    }
    void lose(pugi::xml_node at, const ElementPlace& place, std::string slug, std::string message,
              std::string mend) {
        complaints_.form(std::move(slug), place.name, std::move(message), std::move(mend));
        remember_lost(at);
    }
    void misplaced(pugi::xml_node at, const ElementPlace& place, const ElementRow& parent,
                   std::string_view name, bool known) {
        std::vector<std::string> fitting;
        for (const std::string_view child : parent.children)
            fitting.emplace_back(child);
        if (known) {
            std::vector<std::string> homes;
            for (const ElementRow& row : element_rows())
                if (may_contain(row, name))
                    homes.push_back(fmt::format("<{}>", row.name));
            return lose(at, place, "misplaced-element",
                        fmt::format("<{}> does not belong in <{}>", name, parent.name),
                        homes.empty() ? "it is the root element"
                                      : fmt::format("it stands in {}", listed(homes)));
        }
        lose(at, place, "unknown-element",
             fmt::format("<{}> is not an element of <{}>", cut(name), parent.name),
             nearest_or(complaints_, name, fitting,
                        fitting.empty() ? fmt::format("<{}> holds no elements", parent.name)
                                        : fmt::format("<{}> holds {}", parent.name, listed(fitting))));
    }

    void attributes(std::uint32_t index, pugi::xml_node at, Node& node) {
        pugi::xml_attribute value = at.first_attribute();
        for (const AttributePlace& place : markup_.elements[index].attributes) {
            if (!value)
                throw std::logic_error("scan and parser see different attributes");
            const std::string_view name = slice(place.name);
            std::string text = value.value();
            value = value.next_attribute();
            if (name == "xmlns" || name.starts_with("xmlns:") || is_schema_hint(index, name))
                continue;
            const AttributeRow* row = attribute_row(*node.row, name);
            if (row == nullptr) {
                unknown_attribute(place, *node.row, name);
                continue;
            }
            if (node.mentioned(name) != nullptr)
                continue; // given twice: told by the scan
            node.attributes.push_back(GivenAttribute{
                .row = row,
                .value = judge_value(*row, node.row->name, std::move(text), place.value, complaints_),
                .span = place.value});
        }
        for (const AttributeRow& row : node.row->attributes)
            if (row.required && node.mentioned(row.name) == nullptr)
                complaints_.form("missing-attribute", node.name,
                                 fmt::format("<{}> needs the attribute {}", node.row->name, row.name),
                                 fmt::format("add {}=\"{}\"", row.name, row.example));
    }
    bool is_schema_hint(std::uint32_t index, std::string_view name) const {
        const Name parts = parted(name);
        return !parts.prefix.empty() &&
               (parts.local == "schemaLocation" || parts.local == "noNamespaceSchemaLocation") &&
               bound(index, parts.prefix) == instance_namespace;
    }
    void unknown_attribute(const AttributePlace& place, const ElementRow& row, std::string_view name) {
        std::vector<std::string> fitting;
        for (const AttributeRow& attribute : row.attributes)
            fitting.emplace_back(attribute.name);
        complaints_.form(
            "unknown-attribute", place.name, fmt::format("<{}> has no attribute {}", row.name, cut(name)),
            nearest_or(complaints_, name, fitting,
                       fitting.empty() ? "it has none" : fmt::format("it has {}", listed(fitting))));
    }

    void words(const ElementPlace& place, pugi::xml_node at, Node& node) {
        std::string all;
        bool literal = false;
        for (const pugi::xml_node part : at.children()) {
            if (part.type() != pugi::node_pcdata && part.type() != pugi::node_cdata)
                continue;
            literal = literal || part.type() == pugi::node_cdata;
            all += part.value();
        }
        if (node.row->content != Content::text) {
            const std::string words = collapsed(all);
            if (!words.empty() || literal)
                complaints_.form("stray-text", place.words,
                                 fmt::format("text stands in <{}>: \"{}\"", node.row->name, cut(words)),
                                 "take it out, or write <note>...</note>");
            else if (node.row->content == Content::nothing && place.blanks != base::Span{})
                complaints_.form("stray-text", place.blanks, fmt::format("<{}> holds blanks", node.row->name),
                                 fmt::format("close it at once: <{} .../>", node.row->name));
            return;
        }
        node.words = collapsed(all);
        if (node.words.empty())
            complaints_.form("empty-text", place.name, fmt::format("<{}> is empty", node.row->name),
                             "write its words between the tags");
        if (character_count(node.words) > longest_words)
            complaints_.form(
                "long-text", place.name,
                fmt::format("<{}> has {} characters", node.row->name, character_count(node.words)),
                fmt::format("use at most {}", longest_words));
    }

    // A cable holds one from, one to, then its routes.
    void contents(const Node& node) {
        if (node.row->content != Content::cable_ends)
            return;
        std::size_t last = 0;
        std::array<std::size_t, 3> count{};
        for (const std::uint32_t index : node.children) {
            const Node& child = form_.nodes[index];
            const auto& order = node.row->children;
            const auto rank = static_cast<std::size_t>(
                std::find(order.begin(), order.end(), child.row->name) - order.begin());
            if (++count.at(rank) == 2 && rank < 2)
                complaints_.form("repeated-element", child.name,
                                 fmt::format("a second <{}> in one cable", child.row->name),
                                 "a cable has two ends, one <from> and one <to>");
            else if (rank < last)
                complaints_.form("order", child.name,
                                 fmt::format("<{}> stands behind <{}>", child.row->name, order[last]),
                                 "write <from>, <to>, then the <route> elements");
            last = std::max(last, rank);
        }
        for (std::size_t rank = 0; rank < 2; ++rank)
            if (count.at(rank) == 0)
                complaints_.form("missing-element", node.name,
                                 fmt::format("<cable> needs <{}>", node.row->children[rank]),
                                 fmt::format("add <{} at=\"...\"/>", node.row->children[rank]));
    }

    const std::string& text_;
    Markup markup_;
    Complaints& complaints_;
    std::string_view root_name_;
    std::vector<std::uint32_t> node_of_; // by element; none: refused
    std::string root_space_;
    pugi::xml_document document_;
    Form form_;
};

} // namespace

const GivenAttribute* Node::mentioned(std::string_view attribute) const {
    for (const GivenAttribute& one : attributes)
        if (one.row->name == attribute)
            return &one;
    return nullptr;
}

const GivenAttribute* Node::given(std::string_view attribute) const {
    const GivenAttribute* one = mentioned(attribute);
    return one != nullptr && one->value.sound ? one : nullptr;
}

// The attribute comes first in every question to a node, so the two words cannot well be swapped.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters)
std::string Node::text(std::string_view attribute, std::string_view otherwise) const {
    const GivenAttribute* one = given(attribute);
    return one != nullptr ? one->value.text : std::string(otherwise);
}

bool Node::yes(std::string_view attribute, bool otherwise) const {
    return is(attribute, "yes", otherwise);
}

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): as above
bool Node::is(std::string_view attribute, std::string_view word, bool otherwise) const {
    const GivenAttribute* one = given(attribute);
    return one != nullptr ? one->value.text == word : otherwise;
}

Form read_form(const std::string& text, const Bounds& bounds, Complaints& complaints, std::string_view root) {
    if (!characters_are_sound(text, complaints))
        return {};
    Markup markup = scan_markup(text, bounds, complaints);
    if (!markup.sound)
        return {};
    return FormReader(text, std::move(markup), complaints, root).run();
}

} // namespace stoutloom::read

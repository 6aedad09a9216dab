// Reader and XSD accept and refuse the same documents: thousands of mutated kits, each judged by the reader
// (mistakes of form only) and by xmllint (libxml2, an independent implementation of XML 1.0 and XML
// Schema 1.0).
#include "cross/xsd_values.h"
#include "read/markup.h"
#include "read/read.h"
#include "read/vocabulary.h"
#include "testing/testing.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <set>

namespace {

using namespace stoutloom;
using testing::file_text;
using testing::tree_path;

using Dice = std::mt19937_64;

std::size_t throw_dice(Dice& dice, std::size_t sides) {
    return sides == 0 ? 0 : static_cast<std::size_t>(dice() % sides);
}
template <class Things> auto any(Dice& dice, const Things& things) {
    return things[throw_dice(dice, things.size())];
}

read::Markup scanned(const std::string& text) {
    read::Complaints unheard(1);
    return read::scan_markup(text, read::Bounds{}, unheard);
}
std::string slice(const std::string& text, base::Span span) {
    return text.substr(span.begin, span.end - span.begin);
}
base::Span whole(const read::ElementPlace& element) {
    return {.begin = element.tag.begin, .end = element.end};
}

std::vector<std::string> attribute_names() {
    std::vector<std::string> all = {"xmlns", "xml:space", "xsi:type", "Id", "ID", "x", "la:bel", "xmlns:q"};
    for (const read::ElementRow& row : read::element_rows())
        for (const read::AttributeRow& attribute : row.attributes)
            all.emplace_back(attribute.name);
    return all;
}

std::vector<std::string> element_names() {
    std::vector<std::string> all = {"Cable", "x", "harness:cable", "fuselink"};
    for (const read::ElementRow& row : read::element_rows())
        all.emplace_back(row.name);
    return all;
}

class Mutator {
  public:
    explicit Mutator(Dice& dice) : dice_(dice) {}

    std::string mutated(std::string text) {
        const std::size_t times = throw_dice(dice_, 4) == 0 ? 3 : 1;
        for (std::size_t i = 0; i < times; ++i) {
            const read::Markup markup = scanned(text);
            if (!markup.sound || markup.elements.empty())
                return text;
            text = once(std::move(text), markup);
        }
        return text;
    }

  private:
    std::string once(std::string text, const read::Markup& markup) {
        const read::ElementPlace element = any(dice_, markup.elements);
        switch (throw_dice(dice_, 15)) {
        case 0:
        case 1:
        case 2:
            return changed_value(std::move(text), element);
        case 3:
            return slip(std::move(text), element);
        case 4:
        case 5:
            return changed_attribute(std::move(text), element);
        case 6:
            return text.erase(element.tag.begin, element.end - element.tag.begin);
        case 7:
            return renamed(std::move(text), element);
        case 8: { // doubled, beside itself
            const std::string copy = slice(text, whole(element));
            return text.insert(element.end, copy);
        }
        case 9: { // copied elsewhere
            const std::string copy = slice(text, whole(element));
            return text.insert(any(dice_, markup.elements).tag.begin, copy);
        }
        case 10:
            return swapped(std::move(text), element, any(dice_, markup.elements));
        case 11: {
            static const std::array<std::string, 10> pieces = {
                " ",       "\n",    "x",     "<!-- c -->", "<![CDATA[ ]]>", "<![CDATA[x]]>",
                "<?a b?>", "&#32;", "&amp;", "é"};
            return text.insert(throw_dice(dice_, 2) == 0 ? element.tag.begin : element.tag.end,
                               any(dice_, pieces));
        }
        default:
            return byte(std::move(text), markup);
        }
    }

    std::string changed_value(std::string text, const read::ElementPlace& element) {
        static const std::vector<std::string> pool = testing::xsd_values();
        if (element.attributes.empty())
            return text;
        const read::AttributePlace attribute = any(dice_, element.attributes);
        const read::ElementRow* row = read::element_row(slice(text, element.name));
        const read::AttributeRow* kind =
            row == nullptr ? nullptr : read::attribute_row(*row, slice(text, attribute.name));
        const std::string fresh =
            kind == nullptr || throw_dice(dice_, 3) == 0 ? any(dice_, pool) : fitting(kind->type);
        return text.replace(attribute.value.begin, attribute.value.end - attribute.value.begin, fresh);
    }

    // Often right: one of the words, or a number with a unit of the quantity.
    std::string fitting(const read::ValueType& type) {
        const std::vector<std::string> words = read::choices(type);
        if (!words.empty())
            return any(dice_, words);
        static const std::vector<std::string> numbers = {"1",   "0",    "12.5", "0.25",
                                                         "007", "4000", "-3",   "99999999"};
        static const std::vector<std::string> gaps = {"", " ", " ", " ", "  "};
        const auto units = base::unit_names(type.quantity);
        return any(dice_, numbers) + (units.empty() ? "" : any(dice_, gaps) + std::string(any(dice_, units)));
    }

    // One character of a value deleted, doubled or replaced.
    std::string slip(std::string text, const read::ElementPlace& element) {
        if (element.attributes.empty())
            return text;
        const base::Span value = any(dice_, element.attributes).value;
        if (value.begin == value.end)
            return text;
        const std::size_t at = value.begin + throw_dice(dice_, value.end - value.begin);
        static const std::string characters = " .-+0159abzAMV%/#_'*(){}";
        switch (throw_dice(dice_, 3)) {
        case 0:
            return text.erase(at, 1);
        case 1:
            return text.insert(at, 1, any(dice_, characters));
        default:
            text[at] = any(dice_, characters);
            return text;
        }
    }

    std::string changed_attribute(std::string text, const read::ElementPlace& element) {
        static const std::vector<std::string> pool = attribute_names();
        if (element.attributes.empty())
            return text;
        const read::AttributePlace attribute = any(dice_, element.attributes);
        const std::size_t end = attribute.value.end + 1;
        switch (throw_dice(dice_, 4)) {
        case 0:
            return text.erase(attribute.name.begin, end - attribute.name.begin);
        case 1:
            return text.replace(attribute.name.begin, attribute.name.end - attribute.name.begin,
                                any(dice_, pool));
        case 2:
            return text.insert(end, " " + text.substr(attribute.name.begin, end - attribute.name.begin));
        default:
            return text.insert(end,
                               fmt::format(" {}=\"{}\"", any(dice_, pool), slice(text, attribute.value)));
        }
    }

    std::string renamed(std::string text, const read::ElementPlace& element) {
        static const std::vector<std::string> pool = element_names();
        const std::string name = any(dice_, pool);
        const std::size_t length = element.name.end - element.name.begin;
        if (element.end != element.tag.end)
            text.replace(text.rfind('<', element.end - 1) + 2, length, name);
        return text.replace(element.name.begin, length, name);
    }

    std::string swapped(std::string text, const read::ElementPlace& a, const read::ElementPlace& b) {
        const read::ElementPlace& first = a.tag.begin < b.tag.begin ? a : b;
        const read::ElementPlace& second = a.tag.begin < b.tag.begin ? b : a;
        if (first.end > second.tag.begin)
            return text; // one holds the other
        return text.substr(0, first.tag.begin) + slice(text, whole(second)) +
               text.substr(first.end, second.tag.begin - first.end) + slice(text, whole(first)) +
               text.substr(second.end);
    }

    // Anywhere from the root on: a byte lost, put in or changed.
    std::string byte(std::string text, const read::Markup& markup) {
        const std::size_t from = markup.elements.front().tag.begin;
        const std::size_t at = from + throw_dice(dice_, text.size() - from);
        static const std::string characters("<>/\"'=&; \n\tax1-:!?]\x01\x80\xC3\xFF", 23);
        switch (throw_dice(dice_, 3)) {
        case 0:
            return text.erase(at, 1);
        case 1:
            return text.insert(at, 1, any(dice_, characters));
        default:
            text[at] = any(dice_, characters);
            return text;
        }
    }

    Dice& dice_;
};

bool reader_accepts_form(const std::string& text) {
    const auto read = read::read_text("mutated.xml", text);
    if (read)
        return true;
    const auto& mistakes = read.error().mistakes;
    return std::none_of(mistakes.begin(), mistakes.end(),
                        [](const base::Diagnostic& d) { return d.kind == base::Mistake::form; });
}

std::string reader_says(const std::string& text) {
    const auto read = read::read_text("mutated.xml", text);
    std::string all;
    if (!read)
        for (const auto& mistake : read.error().mistakes)
            if (mistake.kind == base::Mistake::form)
                all += base::shown(mistake, read.error().source);
    return all;
}

std::string said_about(const std::string& said, const std::string& path) {
    const std::size_t at = said.find(path);
    return at == std::string::npos ? "nothing" : said.substr(at, 300);
}

std::vector<std::string> originals() {
    std::vector<std::string> texts = {file_text(tree_path("tests/unit/read/everything.xml"))};
    for (const std::string& path : testing::files_below(tree_path("harnesses"), ".xml"))
        texts.push_back(file_text(path));
    return texts;
}

} // namespace

TEST_CASE("every kit of the tree is valid by the XSD") {
    REQUIRE(testing::have_program("xmllint"));
    std::vector<std::string> paths = testing::files_below(tree_path("harnesses"), ".xml");
    paths.push_back(tree_path("tests/unit/read/everything.xml"));
    std::string said;
    CHECK_MESSAGE(testing::valid_by_xmllint(paths, said).size() == paths.size(), said);
}

TEST_CASE("reader and XSD agree on mutated kits") {
    REQUIRE(testing::have_program("xmllint"));
    constexpr std::size_t batches = 10, per_batch = 400;
    const std::vector<std::string> texts = originals();
    Dice dice = testing::random_source("xsd agreement");
    Mutator mutator(dice);
    std::size_t both_accept = 0, both_refuse = 0, differ = 0;
    for (std::size_t batch = 0; batch < batches; ++batch) {
        const testing::TemporaryFolder folder;
        std::vector<std::string> paths, mutants;
        for (std::size_t i = 0; i < per_batch; ++i) {
            mutants.push_back(mutator.mutated(any(dice, texts)));
            paths.push_back(folder.file(fmt::format("m{:04}.xml", i), mutants.back()));
        }
        std::string said;
        const std::set<std::string> valid = testing::valid_by_xmllint(paths, said);
        for (std::size_t i = 0; i < per_batch; ++i) {
            const bool reader = reader_accepts_form(mutants[i]);
            const bool xsd = valid.contains(paths[i]);
            both_accept += reader && xsd ? 1 : 0;
            both_refuse += !reader && !xsd ? 1 : 0;
            if (reader == xsd || ++differ > 8)
                continue;
            FAIL_CHECK("reader ", reader ? "accepts" : "refuses", ", XSD ", xsd ? "accepts" : "refuses",
                       "\nreader: ", reader_says(mutants[i]), "\nxmllint: ", said_about(said, paths[i]));
        }
    }
    MESSAGE("both accept ", both_accept, ", both refuse ", both_refuse, ", differ ", differ);
    CHECK(differ == 0);
    // A mutation that never spoils, or always does, would prove nothing.
    CHECK(both_accept > batches * per_batch / 6);
    CHECK(both_refuse > batches * per_batch / 4);
}

// The XSD and the reference say what the reader's own table says. `STOUTLOOM_REMAKE=1` writes them anew from
// it.
#include "read/schema_text.h"

#include "read/read.h"
#include "read/value.h"
#include "read/vocabulary.h"
#include "testing/testing.h"

#include <doctest/doctest.h>
#include <pugixml.hpp>

#include <cstdlib>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

namespace {

using namespace stoutloom;
using testing::file_text;
using testing::tree_path;

const std::string xsd_path = "schemas/harness.xsd";
const std::string page_path = "schemas/README.md";

bool remaking() {
    return std::getenv("STOUTLOOM_REMAKE") != nullptr;
}

void write(const std::string& path, const std::string& text) {
    std::ofstream(tree_path(path), std::ios::binary) << text;
}

// Between "<!-- name: begin -->" and "<!-- name: end -->", line ends left out.
struct Block {
    std::size_t begin = 0, end = 0;
};
Block block(const std::string& page, const std::string& name) {
    const std::string first = "<!-- " + name + ": begin -->\n";
    const std::size_t begin = page.find(first);
    const std::size_t end = page.find("<!-- " + name + ": end -->");
    REQUIRE(begin != std::string::npos);
    REQUIRE(end != std::string::npos);
    return {.begin = begin + first.size(), .end = end};
}

// Elements with their attributes, as an independent look at the XSD finds them.
std::map<std::string, std::set<std::string>> names_in_xsd() {
    pugi::xml_document document;
    REQUIRE(document.load_file(tree_path(xsd_path).c_str()));
    std::map<std::string, std::set<std::string>> groups, names;
    for (const auto& group : document.document_element().children("xs:attributeGroup"))
        for (const auto& attribute : group.children("xs:attribute"))
            groups[group.attribute("name").value()].insert(attribute.attribute("name").value());
    for (const auto& found : document.select_nodes("//xs:element")) {
        auto& attributes = names[found.node().attribute("name").value()];
        const auto own = found.node().child("xs:complexType");
        for (const auto& parent : {own, own.child("xs:simpleContent").child("xs:extension")})
            for (const auto& reference : parent.children("xs:attributeGroup"))
                attributes = groups[std::string(reference.attribute("ref").value()).substr(2)];
    }
    return names;
}

// Headings "### name" and first cells "| `name` |" below them.
std::map<std::string, std::set<std::string>> names_in_page() {
    const std::string page = file_text(tree_path(page_path));
    const Block where = block(page, "elements");
    std::map<std::string, std::set<std::string>> names;
    std::string element, line;
    std::istringstream lines(page.substr(where.begin, where.end - where.begin));
    while (std::getline(lines, line)) {
        if (line.starts_with("### "))
            names[element = line.substr(4)];
        if (line.starts_with("| `"))
            names[element].insert(line.substr(3, line.find('`', 3) - 3));
    }
    return names;
}

std::map<std::string, std::set<std::string>> names_in_table() {
    std::map<std::string, std::set<std::string>> names;
    for (const read::ElementRow& row : read::element_rows()) {
        auto& attributes = names[std::string(row.name)];
        for (const read::AttributeRow& attribute : row.attributes)
            attributes.insert(std::string(attribute.name));
    }
    return names;
}

} // namespace

TEST_CASE("the XSD in the tree is the one the reader's table makes") {
    if (remaking())
        write(xsd_path, read::schema_text());
    CHECK(file_text(tree_path(xsd_path)) == read::schema_text());
}

TEST_CASE("the tables of the reference are the ones the reader's table makes") {
    std::string page = file_text(tree_path(page_path));
    const std::map<std::string, std::string> tables = {{"quantities", "\n" + read::quantities_text() + "\n"},
                                                       {"limits", "\n" + read::limits_text() + "\n"},
                                                       {"elements", "\n" + read::reference_text()}};
    for (const auto& [name, table] : tables) {
        const Block where = block(page, name);
        if (remaking())
            page.replace(where.begin, where.end - where.begin, table);
        else
            CHECK(page.substr(where.begin, where.end - where.begin) == table);
    }
    if (remaking())
        write(page_path, page);
}

TEST_CASE("reader and XSD and reference name the same elements and attributes") {
    CHECK(names_in_xsd() == names_in_table());
    CHECK(names_in_page() == names_in_table());
}

TEST_CASE("every element and attribute of the XSD is annotated") {
    pugi::xml_document document;
    REQUIRE(document.load_file(tree_path(xsd_path).c_str()));
    int seen = 0;
    for (const auto& found :
         document.select_nodes("//xs:element[@name] | //xs:attribute[@name] | //xs:simpleType[@name]")) {
        ++seen;
        CHECK_MESSAGE(
            std::string(found.node().child("xs:annotation").child_value("xs:documentation")).size() > 3,
            found.node().attribute("name").value());
    }
    CHECK(seen > 100);
}

TEST_CASE("the examples in the reference can be read") {
    const std::string page = file_text(tree_path(page_path));
    const std::string fence = "```xml\n";
    int seen = 0;
    for (std::size_t at = page.find(fence); at != std::string::npos; at = page.find(fence, at + 1)) {
        const std::size_t begin = at + fence.size();
        const auto read = read::read_text("README.md", page.substr(begin, page.find("```\n", begin) - begin));
        ++seen;
        if (read)
            continue;
        for (const auto& mistake : read.error().mistakes)
            FAIL_CHECK(base::shown(mistake, read.error().source));
    }
    CHECK(seen == 1);
}

TEST_CASE("each attribute's own example is well spelled") {
    for (const read::ElementRow& row : read::element_rows())
        for (const read::AttributeRow& attribute : row.attributes) {
            read::Complaints complaints(10);
            const auto value =
                read::judge_value(attribute, row.name, std::string(attribute.example), {}, complaints);
            CHECK_MESSAGE(value.sound, row.name, " ", attribute.name);
        }
}

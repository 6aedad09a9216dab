// Reader and XSD accept and refuse the same values: every value of a pool in every attribute of the format.
#include "cross/xsd_values.h"
#include "read/read.h"
#include "read/vocabulary.h"
#include "testing/testing.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <set>
#include <sstream>

namespace {

using namespace stoutloom;

std::string start_tag(const read::ElementRow& row, std::string_view changed, const std::string& value) {
    std::string tag = "<" + std::string(row.name);
    for (const read::AttributeRow& attribute : row.attributes)
        if (attribute.name == changed || attribute.required)
            tag += fmt::format(" {}=\"{}\"", attribute.name,
                               attribute.name == changed ? value : attribute.example);
    return tag;
}
std::string element(const read::ElementRow& row, std::string_view changed, const std::string& value) {
    const std::string ends = row.name == "cable"                  ? "<from at=\"A.b\"/><to at=\"A.c\"/>"
                             : row.content == read::Content::text ? "words"
                                                                  : "";
    return fmt::format("{}>{}</{}>", start_tag(row, changed, value), ends, row.name);
}
// The element inside what it stands in, on one line.
std::string line_with(const read::ElementRow& row, std::string_view changed, const std::string& value) {
    const std::string own = element(row, changed, value);
    if (read::may_contain(read::element_rows().front(), row.name))
        return own;
    if (row.name == "from")
        return "<cable id=\"W\" section=\"1 mm2\" length=\"1 m\">" + own + "<to at=\"A.c\"/></cable>";
    if (row.name == "to" || row.name == "route")
        return "<cable id=\"W\" section=\"1 mm2\" length=\"1 m\"><from at=\"A.b\"/>" +
               (row.name == "to" ? "" : std::string("<to at=\"A.c\"/>")) + own + "</cable>";
    for (const read::ElementRow& parent : read::element_rows())
        if (read::may_contain(parent, row.name))
            return fmt::format("{}>{}</{}>", start_tag(parent, "", ""), own, parent.name);
    return own;
}

struct Chunk {
    std::vector<std::string> lines;
    std::string text;
};
// Small files: the reader looks for the nearest name of each mistake among all of a file.
std::vector<Chunk> chunks_of_every_value() {
    const std::vector<std::string> all = testing::xsd_values();
    std::vector<Chunk> chunks;
    for (const read::ElementRow& row : read::element_rows())
        for (const read::AttributeRow& attribute : row.attributes) {
            if (row.name == "harness")
                continue;
            Chunk chunk;
            chunk.lines.emplace_back("<harness xmlns=\"urn:stoutloom:harness:1\" title=\"t\">");
            for (const std::string& value : all)
                chunk.lines.push_back(line_with(row, attribute.name, value));
            for (const std::string& line : chunk.lines)
                chunk.text += line + "\n";
            chunk.text += "</harness>\n";
            chunks.push_back(std::move(chunk));
        }
    return chunks;
}

std::set<std::uint32_t> lines_refused_by_reader(const std::string& text) {
    std::set<std::uint32_t> lines;
    const auto read = read::read_text("values.xml", text, {.mistakes = 10'000});
    if (read)
        return lines;
    for (const base::Diagnostic& mistake : read.error().mistakes)
        if (mistake.kind == base::Mistake::form && mistake.slug != "duplicate-id" &&
            mistake.slug != "unknown-id")
            lines.insert(read.error().source.position(mistake.span.begin).line);
    return lines;
}

std::set<std::uint32_t> lines_refused_by_xsd(const std::string& said, const std::string& path) {
    std::set<std::uint32_t> lines;
    std::istringstream messages(said);
    for (std::string message; std::getline(messages, message);)
        if (message.starts_with(path + ":") && message.find(" attribute '") != std::string::npos)
            lines.insert(static_cast<std::uint32_t>(std::stoul(message.substr(path.size() + 1))));
    return lines;
}

} // namespace

TEST_CASE("reader and XSD agree on every value in every attribute") {
    REQUIRE(testing::have_program("xmllint"));
    const std::vector<Chunk> chunks = chunks_of_every_value();
    const testing::TemporaryFolder folder;
    std::vector<std::string> paths;
    for (std::size_t i = 0; i < chunks.size(); ++i)
        paths.push_back(folder.file(fmt::format("v{:04}.xml", i), chunks[i].text));
    std::string said;
    testing::valid_by_xmllint(paths, said);
    std::size_t compared = 0, refused = 0, differ = 0;
    for (std::size_t i = 0; i < chunks.size(); ++i) {
        const auto by_reader = lines_refused_by_reader(chunks[i].text);
        const auto by_xsd = lines_refused_by_xsd(said, paths[i]);
        compared += chunks[i].lines.size() - 1;
        refused += by_xsd.size();
        for (std::uint32_t line = 2; line <= chunks[i].lines.size(); ++line)
            if (by_reader.contains(line) != by_xsd.contains(line) && ++differ <= 10)
                FAIL_CHECK("reader ", by_reader.contains(line) ? "refuses" : "accepts", ", XSD ",
                           by_xsd.contains(line) ? "refuses: " : "accepts: ", chunks[i].lines[line - 1]);
    }
    MESSAGE(compared, " values compared, ", refused, " refused by both, ", differ, " differ");
    CHECK(differ == 0);
    CHECK(refused > compared / 4);
    CHECK(refused < compared * 95 / 100);
}

// CSV after RFC 4180: quotes, line ends, and back again through the tests' own reader.
#include "draw/draw.h"
#include "report/csv.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"

#include <doctest/doctest.h>

#include <random>

using namespace stoutloom;

namespace {

/// A second reader of RFC 4180, by its grammar: record = field *(COMMA field) CRLF, escaped = DQUOTE ...
/// DQUOTE.
std::vector<std::vector<std::string>> read_back(const std::string& text) {
    std::vector<std::vector<std::string>> rows;
    std::vector<std::string> row;
    std::size_t at = 0;
    while (at < text.size()) {
        std::string field;
        if (text[at] == '"') {
            for (++at;; ++at) {
                REQUIRE(at < text.size());
                if (text[at] != '"')
                    field += text[at];
                else if (at + 1 < text.size() && text[at + 1] == '"')
                    field += text[at++];
                else
                    break;
            }
            ++at;
        } else
            while (at < text.size() && text[at] != ',' && text[at] != '\r') {
                REQUIRE(text[at] != '"');
                REQUIRE(text[at] != '\n');
                field += text[at++];
            }
        row.push_back(field);
        REQUIRE(at < text.size());
        if (text[at] == ',') {
            ++at;
            continue;
        }
        REQUIRE(text.compare(at, 2, "\r\n") == 0);
        at += 2;
        rows.push_back(row);
        row.clear();
    }
    return rows;
}

} // namespace

TEST_CASE("the examples of RFC 4180 section 2") {
    CHECK(report::csv_text({"t", {{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}}}) ==
          "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n");
    CHECK(report::csv_text({"t", {{"aaa", "b\r\nbb", "ccc"}}}) == "aaa,\"b\r\nbb\",ccc\r\n");
    CHECK(report::csv_text({"t", {{"aaa", "b\"bb", "ccc"}}}) == "aaa,\"b\"\"bb\",ccc\r\n");
    CHECK(report::csv_text({"t", {{"aaa", "b,bb", ""}}}) == "aaa,\"b,bb\",\r\n");
}

TEST_CASE("random cells come back as they went") {
    auto random = testing::random_source("csv");
    const std::string letters = "ab,\"\r\n;é ";
    for (int i = 0; i < 300; ++i) {
        report::CsvTable table{.name = "t", .rows = {}};
        const auto columns = std::uniform_int_distribution<std::size_t>(1, 4)(random);
        const auto rows = std::uniform_int_distribution<std::size_t>(1, 4)(random);
        for (std::size_t r = 0; r < rows; ++r) {
            std::vector<std::string> row(columns);
            for (std::string& cell : row)
                for (auto n = std::uniform_int_distribution<int>(0, 5)(random); n > 0; --n)
                    cell +=
                        letters[std::uniform_int_distribution<std::size_t>(0, letters.size() - 1)(random)];
            table.rows.push_back(row);
        }
        CHECK(read_back(report::csv_text(table)) == table.rows);
    }
}

TEST_CASE("every table of every example is rectangular with named columns and comes back") {
    const auto lettering = draw::lettering();
    for (const std::string& path : papers_test::example_paths()) {
        const auto kit = papers_test::kit_of(path);
        report::PackOptions options;
        for (const report::PaperName& name : report::paper_names())
            if (name.paper != report::Paper::diagram)
                options.only.push_back(name.paper);
        const auto pack = report::build_pack(kit->view, options, *lettering);
        REQUIRE(pack.has_value());
        CHECK(pack->tables.size() >= 7);
        for (const report::CsvTable& table : pack->tables) {
            CAPTURE(table.name);
            REQUIRE(!table.rows.empty());
            for (const auto& row : table.rows)
                CHECK(row.size() == table.rows.front().size());
            for (const std::string& column : table.rows.front())
                CHECK(!column.empty());
            CHECK(read_back(report::csv_text(table)) == table.rows);
        }
    }
}

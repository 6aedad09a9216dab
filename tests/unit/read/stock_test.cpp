// A workshop's own stock: in the harness file or in a file beside it that many kits share.
#include "read/read.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

using namespace stoutloom;

namespace {

constexpr const char* stock_text = R"(<stock xmlns="urn:stoutloom:harness:1">
  <conductor section="35 mm2" order="CB-35" price="11.20"/>
  <conductor section="50 mm2" order="CB-50"/>
  <link type="SF51" rating="150 A" order="FL-150" price="14.5"/>
  <lug section="35 mm2" stud="M8" order="LG-35-8"/>
</stock>
)";

std::string kit_with(const std::string& stock) {
    std::string text = testing::file_text(testing::tree_path("harnesses/first-kit.xml"));
    return text.insert(text.rfind("</harness>"), stock);
}

std::string mistakes_of(const read::Refused& refused) {
    std::string all;
    for (const base::Diagnostic& mistake : refused.mistakes)
        all += base::shown(mistake, refused.source);
    return all;
}

} // namespace

TEST_CASE("a stock file beside the kit is read with its order codes and prices") {
    const testing::TemporaryFolder folder;
    (void)folder.file("ours.xml", stock_text);
    const std::string kit = folder.file(
        "kit.xml", kit_with(R"(<stock file="ours.xml"><conductor section="35 mm2" order="own"/></stock>)"));
    const auto got = read::read_file(kit);
    REQUIRE_MESSAGE(got.has_value(), (got ? "" : mistakes_of(got.error())));
    const model::Stock& stock = got->harness.stock;
    CHECK(stock.given);
    CHECK(stock.file == "ours.xml");
    REQUIRE(stock.conductors.size() == 3);
    CHECK(stock.conductors[0].ordering.code == "own"); // the kit's own lists stand first
    CHECK(stock.conductors[1].ordering.code == "CB-35");
    CHECK(stock.conductors[1].ordering.price == 11.2);
    CHECK_FALSE(stock.conductors[2].ordering.price.has_value());
    REQUIRE(stock.links.size() == 1);
    CHECK(stock.links[0].rating_a.value == 150);
    REQUIRE(stock.lugs.size() == 1);
    CHECK(stock.lugs[0].stud == "M8");
}

TEST_CASE("a stock file that cannot be had is told at the name that asks for it") {
    const testing::TemporaryFolder folder;
    const auto told = [&](const std::string& stock) {
        const auto got = read::read_file(folder.file("kit.xml", kit_with(stock)));
        REQUIRE_FALSE(got.has_value());
        return mistakes_of(got.error());
    };
    CHECK(told(R"(<stock file="none.xml"/>)").find("none.xml cannot be read") != std::string::npos);
    for (const char* outside : {"/etc/passwd", "../kit.xml", "a/../../kit.xml"})
        CHECK(told(std::string(R"(<stock file=")") + outside + R"("/>)").find("is not beside this file") !=
              std::string::npos);
    CHECK(told(R"(<stock file="kit.xml"/>)").find("write <stock ...>") != std::string::npos);
}

TEST_CASE("mistakes of a stock file are told with that file's own lines") {
    const testing::TemporaryFolder folder;
    const std::string ours = folder.file("ours.xml", std::string(stock_text).replace(62, 6, "35 mmm2"));
    const auto got = read::read_file(folder.file("kit.xml", kit_with(R"(<stock file="ours.xml"/>)")));
    REQUIRE_FALSE(got.has_value());
    CHECK(got.error().source.path() == ours);
    CHECK(mistakes_of(got.error()).find("ours.xml:2:") != std::string::npos);
    (void)folder.file("ours.xml", R"(<stock xmlns="urn:stoutloom:harness:1" file="more.xml"/>)");
    const auto chain = read::read_file(folder.file("kit.xml", kit_with(R"(<stock file="ours.xml"/>)")));
    REQUIRE_FALSE(chain.has_value());
    CHECK(mistakes_of(chain.error()).find("names another one") != std::string::npos);
}

TEST_CASE("a sleeve in stock has two bores and the shrunk one is the narrower") {
    const testing::TemporaryFolder folder;
    const std::string list = R"(<stock xmlns="urn:stoutloom:harness:1">
  <sleeve expanded="19 mm" recovered="6 mm" lined="yes" order="HS-19" price="3.1"/>
  <sleeve expanded="0.5 in" recovered="6.4 mm"/>
</stock>
)";
    (void)folder.file("ours.xml", list);
    const std::string kit = folder.file("kit.xml", kit_with(R"(<stock file="ours.xml"/>)"));
    const auto got = read::read_file(kit);
    REQUIRE_MESSAGE(got.has_value(), (got ? "" : mistakes_of(got.error())));
    const std::vector<model::StockSleeve>& sleeves = got->harness.stock.sleeves;
    REQUIRE(sleeves.size() == 2);
    CHECK(sleeves[0].expanded_m == doctest::Approx(0.019));
    CHECK(sleeves[0].recovered_m == doctest::Approx(0.006));
    CHECK(sleeves[0].lined);
    CHECK(sleeves[0].ordering.code == "HS-19");
    CHECK(sleeves[0].ordering.price == 3.1);
    CHECK(sleeves[1].expanded_m == doctest::Approx(0.0127));
    CHECK_FALSE(sleeves[1].lined);

    const std::string wrong = std::string(list).replace(list.find("6.4 mm"), 6, "1.0 in");
    const auto refused = [&](const std::string& path) {
        const auto read = read::read_file(path);
        REQUIRE_FALSE(read.has_value());
        return mistakes_of(read.error());
    };
    (void)folder.file("ours.xml", wrong); // told in the stock file's own lines
    CHECK(refused(kit).find("ours.xml:3:") != std::string::npos);
    CHECK(refused(folder.file("own.xml",
                              kit_with(R"(<stock><sleeve expanded="6 mm" recovered="6 mm"/></stock>)")))
              .find("no narrower shrunk (6 mm) than as sold (6 mm)") != std::string::npos);
}

TEST_CASE("the published schema takes the same stock file") { // xmllint, XML Schema 1.0
    const testing::TemporaryFolder folder;
    const std::string schema = testing::tree_path("schemas/harness.xsd");
    CHECK(testing::run({"xmllint", "--noout", "--schema", schema, folder.file("ours.xml", stock_text)})
              .exit_code == 0);
    const std::string wrong = std::string(stock_text).replace(62, 6, "35 mmm2");
    CHECK(testing::run({"xmllint", "--noout", "--schema", schema, folder.file("bad.xml", wrong)}).exit_code !=
          0);
}

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
    REQUIRE(stock.conductors.size() == 2);
    CHECK(stock.conductors[0].ordering.code == "own"); // in place of the one that the file lists, price too
    CHECK_FALSE(stock.conductors[0].ordering.price.has_value());
    CHECK(stock.conductors[1].ordering.code == "CB-50");
    CHECK_FALSE(stock.conductors[1].ordering.price.has_value());
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

TEST_CASE("a thing that one list of stock has twice is refused whichever way it is spelled") {
    const testing::TemporaryFolder folder;
    const auto refusal = [&](const std::string& list) -> std::string {
        (void)folder.file("ours.xml", "<stock xmlns=\"urn:stoutloom:harness:1\">\n" + list + "\n</stock>\n");
        const auto got = read::read_file(folder.file("kit.xml", kit_with(R"(<stock file="ours.xml"/>)")));
        return got ? std::string() : mistakes_of(got.error());
    };
    const auto twice = [&](const std::string& one, const std::string& other, const std::string& message) {
        const std::string told = refusal(one + "\n" + other);
        CAPTURE(told);
        CHECK(told.find("ours.xml:3:") != std::string::npos);
        CHECK(told.find("error: stock-twice: " + message) != std::string::npos);
        CHECK(told.find("keep one of them; the one before has order A and price 2") != std::string::npos);
    };
    twice(R"(<conductor section="35 mm2" order="A" price="2"/>)",
          R"(<conductor section="35.0mm2" order="B" price="3"/>)", "conductor of 35.0mm2 is listed twice");
    twice(R"(<conductor section="1/0 AWG" order="A" price="2"/>)",
          R"(<conductor section="0 AWG" order="A" price="2"/>)", "conductor of 0 AWG is listed twice");
    twice(R"(<link type="SF51" rating="0.15 kA" order="A" price="2"/>)",
          R"(<link type="SF51" rating="150 A"/>)", "link SF51 of 150 A is listed twice");
    twice(R"(<lug section="35 mm2" stud="M8" order="A" price="2"/>)",
          R"(<lug section="35 mm2" stud="M8" order="A" price="2.5"/>)",
          "lug of 35 mm2 for M8 is listed twice");
    twice(R"(<sleeve expanded="19 mm" recovered="6 mm" order="A" price="2"/>)",
          R"(<sleeve expanded="1.9 cm" recovered="6 mm" lined="no"/>)",
          "sleeve of 1.9 cm to 6 mm is listed twice");
    // Alike, but not the same thing.
    CHECK(refusal(R"(<conductor section="35 mm2"/><conductor section="2 AWG"/>
<link type="SF51" rating="150 A"/><link type="SF30" rating="150 A"/>
<lug section="35 mm2" stud="M8"/><lug section="35 mm2" stud="M10"/><lug section="50 mm2" stud="M8"/>
<sleeve expanded="19 mm" recovered="6 mm"/><sleeve expanded="19 mm" recovered="6 mm" lined="yes"/>
<sleeve expanded="19 mm" recovered="9 mm"/>)") == "");
    // In the harness file itself likewise, and once for all its variants.
    const auto own = read::read_file(folder.file(
        "own.xml", kit_with("<variant id=\"a\"/><variant id=\"b\"/>"
                            "<stock><conductor section=\"6 mm2\"/><conductor section=\"6 mm2\"/></stock>")));
    REQUIRE_FALSE(own.has_value());
    CHECK(own.error().mistakes.size() == 1);
    CHECK(mistakes_of(own.error()).find("the one before has neither code nor price") != std::string::npos);
}

TEST_CASE("what a kit lists itself takes the place of the shared stock's sleeve or lug or link") {
    const testing::TemporaryFolder folder;
    (void)folder.file("ours.xml", R"(<stock xmlns="urn:stoutloom:harness:1">
  <link type="SF51" rating="150 A" price="9"/> <link type="SF51" rating="200 A" price="9"/>
  <lug section="35 mm2" stud="M8" price="9"/> <lug section="35 mm2" stud="M10" price="9"/>
  <sleeve expanded="19 mm" recovered="6 mm" price="9"/> <sleeve expanded="24 mm" recovered="8 mm" price="9"/>
</stock>)");
    const auto got = read::read_file(folder.file("kit.xml", kit_with(R"(<stock file="ours.xml">
  <link type="SF51" rating="150 A" price="10"/> <lug section="35 mm2" stud="M8" price="10"/>
  <sleeve expanded="19 mm" recovered="6 mm" price="10"/></stock>)")));
    REQUIRE_MESSAGE(got.has_value(), (got ? "" : mistakes_of(got.error())));
    const model::Stock& stock = got->harness.stock;
    const auto prices = [](const auto& list) {
        std::vector<double> all;
        for (const auto& one : list)
            all.push_back(one.ordering.price.value_or(0));
        return all;
    };
    CHECK(prices(stock.links) == std::vector<double>{10, 9});
    CHECK(prices(stock.lugs) == std::vector<double>{10, 9});
    CHECK(prices(stock.sleeves) == std::vector<double>{10, 9});
}

TEST_CASE("a price that is no plain number is refused where it stands and says how to mend it") {
    const auto told = [](const std::string& price) {
        const auto got = read::read_text(
            "kit.xml", kit_with("\n<stock><conductor section=\"35 mm2\" price=\"" + price + "\"/></stock>"));
        return got ? std::string() : mistakes_of(got.error());
    };
    for (const auto& [price, words] : std::vector<std::pair<std::string, std::string>>{
             {"nan", "price of <conductor>: \"nan\" is not a number"},
             {"inf", "price of <conductor>: \"inf\" is not a number"},
             {"", "price of <conductor>: \"\" is not a number"},
             {"-3", "price of <conductor>: \"-3\" is negative"},
             {"1e999", "price of <conductor>: \"1e999\" has an exponent"},
             {"12 EUR", "price of <conductor>: \"12 EUR\" is more than a number"},
             {"3,50", "use a point for decimals"}}) {
        const std::string& priced = price;
        CAPTURE(priced);
        CHECK(told(price).find(words) != std::string::npos);
        CHECK(told(price).find("kit.xml:44:43: error: ") == 0);
    }
    CHECK(told("0") == ""); // what lies on the shelf already
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

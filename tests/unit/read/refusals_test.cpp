// Each refusal with its whole text, and beside it the near miss that must be let pass.
#include "read/read.h"
#include "testing/testing.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

namespace {

using namespace stoutloom;

std::string told(const base::Outcome<read::ReadHarness, read::Refused>& read) {
    if (read)
        return "read";
    std::string all;
    for (const auto& mistake : read.error().mistakes)
        all += base::shown(mistake, read.error().source);
    return all;
}
std::string told(const std::string& text) {
    return told(read::read_text("kit.xml", text));
}

// A sound kit in which one piece is replaced. Line 2 zones, 3 battery, 4 consumer, 5 and 6 cables, 7 free.
struct Kit {
    std::string zones = R"(<zone id="bay" ambient="60 degC"/>)";
    std::string battery = R"(<battery id="G2" capacity="70 Ah"/>)";
    std::string consumer = R"(<consumer id="E1" draw="5 A"/>)";
    std::string feed =
        R"(<cable id="W1" section="2.5 mm2" length="2 m"><from at="G2.+"/><to at="E1.+"/></cable>)";
    std::string back =
        R"(<cable id="W2" section="2.5 mm2" length="2 m"><from at="E1.-"/><to at="G2.-"/></cable>)";
    std::string rest = "";

    std::string text() const {
        return fmt::format(
            "<harness xmlns=\"urn:stoutloom:harness:1\" title=\"Kit\">\n{}\n{}\n{}\n{}\n{}\n{}\n</harness>\n",
            zones, battery, consumer, feed, back, rest);
    }
};
std::string with_rest(const std::string& rest) {
    return told(Kit{.rest = rest}.text());
}
std::string with_feed(const std::string& feed) {
    return told(Kit{.feed = feed}.text());
}
std::string with_consumer(const std::string& consumer) {
    return told(Kit{.consumer = consumer}.text());
}

} // namespace

TEST_CASE("the kit the other cases change is sound") {
    CHECK(told(Kit{}.text()) == "read");
}

TEST_CASE("a section without a unit") {
    CHECK(with_feed(R"(<cable id="W1" section="50" length="2 m"><from at="G2.+"/><to at="E1.+"/></cable>)") ==
          "kit.xml:5:25: error: quantity: section of <cable>: section \"50\" has no unit\n"
          "     5 | <cable id=\"W1\" section=\"50\" length=\"2 m\"><from at=\"G2.+\"/><to "
          "at=\"E1.+\"/></cable>\n"
          "       |                         ^^ write \"50 mm2\" or a gauge such as \"1/0 AWG\"\n");
    CHECK(with_feed(
              R"(<cable id="W1" section="50mm2" length="2 m"><from at="G2.+"/><to at="E1.+"/></cable>)") ==
          "read");
}

TEST_CASE("a unit of another quantity") {
    CHECK(with_consumer(R"(<consumer id="E1" draw="12 V"/>)") ==
          "kit.xml:4:25: error: quantity: draw of <consumer>: \"12 V\" is a voltage, but a current belongs "
          "here\n"
          "     4 | <consumer id=\"E1\" draw=\"12 V\"/>\n"
          "       |                         ^^^^ write \"175 A\" (units: A, mA, kA)\n");
    CHECK(with_consumer(R"(<consumer id="E1" draw="12000 mA"/>)") == "read");
}

TEST_CASE("an unknown unit") {
    CHECK(with_consumer(R"(<consumer id="E1" draw="12 amps"/>)") ==
          "kit.xml:4:25: error: quantity: draw of <consumer>: \"12 amps\" has the unknown unit \"amps\"\n"
          "     4 | <consumer id=\"E1\" draw=\"12 amps\"/>\n"
          "       |                         ^^^^^^^ write \"12 A\" (units: A, mA, kA)\n");
}

TEST_CASE("not a number and infinity") {
    CHECK(with_consumer(R"(<consumer id="E1" draw="NaN A"/>)") ==
          "kit.xml:4:25: error: quantity: draw of <consumer>: current \"NaN A\" is not a number with a unit\n"
          "     4 | <consumer id=\"E1\" draw=\"NaN A\"/>\n"
          "       |                         ^^^^^ write \"175 A\" (units: A, mA, kA)\n");
    CHECK(with_consumer(R"(<consumer id="E1" draw="inf A"/>)") ==
          "kit.xml:4:25: error: quantity: draw of <consumer>: current \"inf A\" is not a number with a unit\n"
          "     4 | <consumer id=\"E1\" draw=\"inf A\"/>\n"
          "       |                         ^^^^^ write \"175 A\" (units: A, mA, kA)\n");
}

TEST_CASE("an exponent and a decimal comma") {
    CHECK(with_consumer(R"(<consumer id="E1" draw="1e3 A"/>)") ==
          "kit.xml:4:25: error: quantity: draw of <consumer>: \"1e3 A\" has an exponent\n"
          "     4 | <consumer id=\"E1\" draw=\"1e3 A\"/>\n"
          "       |                         ^^^^^ write the number in full, as in \"175 A\"\n");
    CHECK(with_consumer(R"(<consumer id="E1" draw="5,5 A"/>)") ==
          "kit.xml:4:25: error: quantity: draw of <consumer>: current \"5,5 A\" is not a number with a unit\n"
          "     4 | <consumer id=\"E1\" draw=\"5,5 A\"/>\n"
          "       |                         ^^^^^ use a point for decimals, as in \"175 A\"\n");
}

TEST_CASE("a negative length and a zero length") {
    CHECK(with_feed(
              R"(<cable id="W1" section="2.5 mm2" length="-2 m"><from at="G2.+"/><to at="E1.+"/></cable>)") ==
          "kit.xml:5:42: error: quantity: length of <cable>: length \"-2 m\" is negative\n"
          "     5 | <cable id=\"W1\" section=\"2.5 mm2\" length=\"-2 m\"><from at=\"G2.+\"/><to "
          "at=\"E1.+\"/></cable>\n"
          "       |                                          ^^^^ write it without the minus sign\n");
    CHECK(with_feed(
              R"(<cable id="W1" section="2.5 mm2" length="0 m"><from at="G2.+"/><to at="E1.+"/></cable>)") ==
          "kit.xml:5:42: error: zero: length of <cable>: \"0 m\" is zero\n"
          "     5 | <cable id=\"W1\" section=\"2.5 mm2\" length=\"0 m\"><from at=\"G2.+\"/><to "
          "at=\"E1.+\"/></cable>\n"
          "       |                                          ^^^ write a figure above zero, such as \"4.2 "
          "m\"\n");
    CHECK(
        with_feed(
            R"(<cable id="W1" section="2.5 mm2" length="0.01 m"><from at="G2.+"/><to at="E1.+"/></cable>)") ==
        "read");
    CHECK(told(Kit{.zones = R"(<zone id="bay" ambient="-20 degC"/>)"}.text()) == "read");
}

TEST_CASE("a figure out of any plausible range") {
    CHECK(
        with_feed(
            R"(<cable id="W1" section="2.5 mm2" length="4000 m"><from at="G2.+"/><to at="E1.+"/></cable>)") ==
        "kit.xml:5:42: error: out-of-range: length of <cable>: length \"4000 m\" is out of any plausible "
        "range\n"
        "     5 | <cable id=\"W1\" section=\"2.5 mm2\" length=\"4000 m\"><from at=\"G2.+\"/><to "
        "at=\"E1.+\"/></cable>\n"
        "       |                                          ^^^^^^ check the figure and its unit; an example "
        "is \"4.2 m\"\n");
}

TEST_CASE("an unknown element with the nearest one") {
    CHECK(with_rest(R"(<mas id="U1"/>)") ==
          "kit.xml:7:2: error: unknown-element: <mas> is not an element of <harness>\n"
          "     7 | <mas id=\"U1\"/>\n"
          "       |  ^^^ did you mean \"mass\"?\n");
    CHECK(with_rest(R"(<mass id="U1"/>)") == "read");
}

TEST_CASE("an element in the wrong place") {
    CHECK(with_rest(R"(<terminal id="a" stud="M8"/>)") ==
          "kit.xml:7:2: error: misplaced-element: <terminal> does not belong in <harness>\n"
          "     7 | <terminal id=\"a\" stud=\"M8\"/>\n"
          "       |  ^^^^^^^^ it stands in <battery>, <generator>, <starter>, <consumer>, <switch>, <relay>, "
          "<fuse-link>, <post>, <mass> or <shunt>\n");
}

TEST_CASE("a mistake in a part is no second mistake where the part is named") {
    CHECK(told(Kit{.battery = R"(<batery id="G2" capacity="70 Ah"/>)"}.text()) ==
          "kit.xml:3:2: error: unknown-element: <batery> is not an element of <harness>\n"
          "     3 | <batery id=\"G2\" capacity=\"70 Ah\"/>\n"
          "       |  ^^^^^^ did you mean \"battery\"?\n");
}

TEST_CASE("an unknown attribute with the nearest one") {
    CHECK(with_rest(R"(<mass id="U1" lable="Frame"/>)") ==
          "kit.xml:7:15: error: unknown-attribute: <mass> has no attribute lable\n"
          "     7 | <mass id=\"U1\" lable=\"Frame\"/>\n"
          "       |               ^^^^^ did you mean \"label\"?\n");
    CHECK(with_rest(R"(<mass id="U1" colour="RD"/>)") ==
          "kit.xml:7:15: error: unknown-attribute: <mass> has no attribute colour\n"
          "     7 | <mass id=\"U1\" colour=\"RD\"/>\n"
          "       |               ^^^^^^ it has id, label, zone, resistance or metal\n");
}

TEST_CASE("a missing attribute") {
    CHECK(told(Kit{.battery = R"(<battery id="G2"/>)"}.text()) ==
          "kit.xml:3:2: error: missing-attribute: <battery> needs the attribute capacity\n"
          "     3 | <battery id=\"G2\"/>\n"
          "       |  ^^^^^^^ add capacity=\"95 Ah\"\n");
}

TEST_CASE("a word that is none of the list") {
    CHECK(with_consumer(R"(<consumer id="E1" draw="5 A" symbol="moter"/>)") ==
          "kit.xml:4:38: error: word: symbol of <consumer>: \"moter\" is not general, lamp, motor, heater or "
          "electronics\n"
          "     4 | <consumer id=\"E1\" draw=\"5 A\" symbol=\"moter\"/>\n"
          "       |                                      ^^^^^ did you mean \"motor\"?\n");
}

TEST_CASE("a duplicate id") {
    CHECK(with_rest(R"(<post id="E1"/>)") ==
          "kit.xml:7:11: error: duplicate-id: id \"E1\" is given twice\n"
          "     7 | <post id=\"E1\"/>\n"
          "       |           ^^ the other one is a <consumer>; rename one of them\n");
    CHECK(with_rest(R"(<duty id="E1" engine="idle"/>)") == "read"); // duties have their own ids
}

TEST_CASE("an address that leads nowhere with the nearest ones") {
    CHECK(with_feed(
              R"(<cable id="W1" section="2.5 mm2" length="2 m"><from at="G2.p"/><to at="E1.+"/></cable>)") ==
          "kit.xml:5:57: error: unknown-id: there is no terminal \"G2.p\"\n"
          "     5 | <cable id=\"W1\" section=\"2.5 mm2\" length=\"2 m\"><from at=\"G2.p\"/><to "
          "at=\"E1.+\"/></cable>\n"
          "       |                                                         ^^^^ did you mean \"G2.+\" or "
          "\"G2.-\"?\n");
    CHECK(with_feed(
              R"(<cable id="W1" section="2.5 mm2" length="2 m"><from at="H2.+"/><to at="E1.+"/></cable>)") ==
          "kit.xml:5:57: error: unknown-id: there is no terminal \"H2.+\"\n"
          "     5 | <cable id=\"W1\" section=\"2.5 mm2\" length=\"2 m\"><from at=\"H2.+\"/><to "
          "at=\"E1.+\"/></cable>\n"
          "       |                                                         ^^^^ did you mean \"G2.+\"?\n");
}

TEST_CASE("an unknown zone and an unknown mass") {
    CHECK(with_consumer(R"(<consumer id="E1" draw="5 A" zone="boy"/>)") ==
          "kit.xml:4:36: error: unknown-id: there is no zone \"boy\"\n"
          "     4 | <consumer id=\"E1\" draw=\"5 A\" zone=\"boy\"/>\n"
          "       |                                    ^^^ did you mean \"bay\"?\n");
    CHECK(with_rest(R"(<starter id="M1" draw="90 A" mass="U7"/>)") ==
          "kit.xml:7:36: error: unknown-id: there is no mass \"U7\"\n"
          "     7 | <starter id=\"M1\" draw=\"90 A\" mass=\"U7\"/>\n"
          "       |                                    ^^ add a <mass>\n");
}

TEST_CASE("both ends on one terminal") {
    CHECK(with_feed(
              R"(<cable id="W1" section="2.5 mm2" length="2 m"><from at="G2.+"/><to at="G2.+"/></cable>)") ==
          "kit.xml:5:72: error: same-terminal: both ends of cable \"W1\" are on G2.+\n"
          "     5 | <cable id=\"W1\" section=\"2.5 mm2\" length=\"2 m\"><from at=\"G2.+\"/><to "
          "at=\"G2.+\"/></cable>\n"
          "       |                                                                        ^^^^ name the "
          "terminal its other end goes to\n");
}

TEST_CASE("a route longer or shorter than its cable") {
    const auto feed = [](const std::string& route) {
        return with_feed("<cable id=\"W1\" section=\"2.5 mm2\" length=\"2 m\"><from at=\"G2.+\"/><to "
                         "at=\"E1.+\"/>\n<route zone=\"bay\" length=\"" +
                         route + "\"/></cable>");
    };
    CHECK(
        feed("2.03 m") ==
        "kit.xml:5:42: error: route-length: the route of cable \"W1\" is 2.030 m long, longer than its "
        "length of 2 m\n"
        "     5 | <cable id=\"W1\" section=\"2.5 mm2\" length=\"2 m\"><from at=\"G2.+\"/><to at=\"E1.+\"/>\n"
        "       |                                          ^^^ mend the length, or the stretches of the "
        "route, until they agree\n");
    CHECK(
        feed("6 ft") ==
        "kit.xml:5:42: error: route-length: the route of cable \"W1\" is 1.829 m long, shorter than its "
        "length of 2 m\n"
        "     5 | <cable id=\"W1\" section=\"2.5 mm2\" length=\"2 m\"><from at=\"G2.+\"/><to at=\"E1.+\"/>\n"
        "       |                                          ^^^ mend the length, or the stretches of the "
        "route, until they agree\n");
    CHECK(feed("2.01 m") == "read"); // within the slack of rounded figures
}

TEST_CASE("a case return without a mass and a mass without a case return") {
    CHECK(with_rest(R"(<starter id="M1" draw="90 A"/>)") ==
          "kit.xml:7:2: error: seat: starter \"M1\" returns through its case but names no mass\n"
          "     7 | <starter id=\"M1\" draw=\"90 A\"/>\n"
          "       |  ^^^^^^^ add mass=\"...\", the id of the metal it is bolted to, or return=\"wire\"\n");
    CHECK(with_rest(R"(<mass id="U1"/><starter id="M1" draw="90 A" return="wire" mass="U1"/>)") ==
          "kit.xml:7:65: error: seat: starter \"M1\" names a mass but does not return through its case\n"
          "     7 | <mass id=\"U1\"/><starter id=\"M1\" draw=\"90 A\" return=\"wire\" mass=\"U1\"/>\n"
          "       |                                                                 ^^ write "
          "return=\"case\", or take the mass out and run a return cable\n");
    CHECK(with_rest(R"(<mass id="U1"/><starter id="M1" draw="90 A" mass="U1"/>)") == "read");
}

TEST_CASE("a battery or generator without the terminals it needs") {
    CHECK(told(Kit{.battery = R"(<battery id="G2" capacity="70 Ah"><terminal id="+" stud="M8"/></battery>)",
                   .back = ""}
                   .text()) ==
          "kit.xml:3:2: error: missing-terminal: battery \"G2\" has no negative terminal\n"
          "     3 | <battery id=\"G2\" capacity=\"70 Ah\"><terminal id=\"+\" stud=\"M8\"/></battery>\n"
          "       |  ^^^^^^^ add <terminal id=\"-\" stud=\"M8\"/>, or give a terminal role=\"negative\"\n");
    CHECK(
        with_rest(
            R"(<generator id="G1" return="isolated"><output speed="rated" cold="90 A"/><terminal id="B+" stud="M8"/></generator>)") ==
        "kit.xml:7:2: error: missing-terminal: generator \"G1\" has no negative terminal\n"
        "     7 | <generator id=\"G1\" return=\"isolated\"><output speed=\"rated\" cold=\"90 A\"/><terminal "
        "id=\"B+\" stud=\"M8\"/></generator>\n"
        "       |  ^^^^^^^^^ add <terminal id=\"-\" stud=\"M8\"/>, or give a terminal role=\"negative\"\n");
}

TEST_CASE("a lug where there is no stud") {
    CHECK(
        told(Kit{
            .back = R"(<cable id="W2" section="2.5 mm2" length="2 m"><from at="E1.-"/><to at="U1"/></cable>)",
            .rest = R"(<mass id="U1"/>)"}
                 .text()) == "kit.xml:6:72: error: no-stud: \"U1\" has no stud to bolt a lug to\n"
                             "     6 | <cable id=\"W2\" section=\"2.5 mm2\" length=\"2 m\"><from "
                             "at=\"E1.-\"/><to at=\"U1\"/></cable>\n"
                             "       |                                                                       "
                             " ^^ give <mass id=\"U1\"> a <terminal> and name that\n");
}

TEST_CASE("a limit in the wrong unit and one that is neither kind") {
    CHECK(
        with_rest(R"(<limit name="consumer-drop" value="0.5 V"/>)") ==
        "kit.xml:7:36: error: limit: limit consumer-drop: \"0.5 V\" is a voltage, but a share belongs here\n"
        "     7 | <limit name=\"consumer-drop\" value=\"0.5 V\"/>\n"
        "       |                                    ^^^^^ write \"50 %\" (units: %)\n");
    CHECK(with_rest(R"(<limit name="consumer-drop" value="5 %"/>)") == "read");
    CHECK(with_rest(R"(<limit from="G2.+" to="E1.+"/>)") ==
          "kit.xml:7:2: error: limit: the limit has neither a name nor a drop\n"
          "     7 | <limit from=\"G2.+\" to=\"E1.+\"/>\n"
          "       |  ^^^^^ write name and value, or from, to and drop\n");
}

TEST_CASE("all mistakes are told in one run in the order of the file") {
    const std::string all = told(Kit{.zones = R"(<zone id="bay" ambient="60"/>)",
                                     .consumer = R"(<consumer id="E1"/>)",
                                     .rest = "loose words"}
                                     .text());
    CHECK(all == "kit.xml:2:25: error: quantity: ambient of <zone>: temperature \"60\" has no unit\n"
                 "     2 | <zone id=\"bay\" ambient=\"60\"/>\n"
                 "       |                         ^^ write \"60 degC\" (units: degC, degF)\n"
                 "kit.xml:4:2: error: demand: \"E1\" takes no current\n"
                 "     4 | <consumer id=\"E1\"/>\n"
                 "       |  ^^^^^^^^ give it one of draw=\"12 A\", power=\"55 W\", resistance=\"0.5 ohm\"\n"
                 "kit.xml:7:1: error: stray-text: text stands in <harness>: \"loose words\"\n"
                 "     7 | loose words\n"
                 "       | ^^^^^^^^^^^ take it out, or write <note>...</note>\n");
}

TEST_CASE("more mistakes than can be told are counted") {
    std::string many;
    for (int i = 0; i < 30; ++i)
        many += "<x/>\n";
    const auto read = read::read_text("kit.xml", Kit{.rest = many}.text(), {.mistakes = 5});
    REQUIRE(!read);
    REQUIRE(read.error().mistakes.size() == 6);
    CHECK(read.error().mistakes.back().message == "25 more mistakes are not told");
}

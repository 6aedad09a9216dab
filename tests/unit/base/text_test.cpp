// Positions, refusals as shown, nearest names, fasteners, whole files.
#include "base/diagnostic.h"
#include "base/fastener.h"
#include "base/insulation.h"
#include "base/source.h"
#include "base/whole_file.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <sys/stat.h>
#include <unistd.h>

namespace {

using namespace stoutloom;
using namespace stoutloom::base;

Fastener fastener(std::string_view name) {
    const auto found = fastener_by_name(name);
    REQUIRE(found.has_value());
    return *found;
}
Diagnostic mistake(Span span) {
    return {.kind = Mistake::form, .slug = "slug", .message = "message", .mend = "mend", .span = span};
}

} // namespace

TEST_CASE("columns count characters and lines end anyhow") {
    const SourceText source("f", "a\r\nµΩ x\n\nlast");
    CHECK(source.position(0).line == 1);
    CHECK(source.position(8).line == 2);
    CHECK(source.position(8).column == 4); // two characters of two bytes, a blank
    CHECK(source.line(1) == "a");
    CHECK(source.line(2) == "µΩ x");
    CHECK(source.line(3).empty());
    CHECK(source.line(4) == "last");
    CHECK(source.line(0).empty());
    CHECK(source.line(9).empty());
    CHECK(source.slice({.begin = 3, .end = 7}) == "µΩ");
    CHECK(source.slice({.begin = 3, .end = 700}).empty());
    CHECK(SourceText().position(5).line == 1);
}

TEST_CASE("a refusal points at its place under the line") {
    const SourceText source("kit.xml", "one\n  two µ three\n");
    CHECK(shown(mistake({.begin = 13, .end = 18}), source) == "kit.xml:2:9: error: slug: message\n"
                                                              "     2 |   two µ three\n"
                                                              "       |         ^^^^^ mend\n");
    CHECK(shown(mistake({}), SourceText("kit.xml", "")) == "kit.xml: error: slug: message; mend\n");
}

TEST_CASE("a very long line is shown around the place") {
    // Put together in place: g++ 12 at -O2 takes operator+ of two temporaries for an overflow.
    std::string line(500, 'a');
    line.append("X").append(500, 'b');
    const SourceText source("kit.xml", line);
    const std::string text = shown(mistake({.begin = 500, .end = 501}), source);
    CHECK(text == "kit.xml:1:501: error: slug: message\n     1 | " + std::string(40, 'a') + "X" +
                      std::string(79, 'b') + "\n       | " + std::string(40, ' ') + "^ mend\n");
}

TEST_CASE("bytes of the input cannot drive the terminal") {
    const SourceText source("kit.xml", "a\x1B[31m\xC2\x9B\xFFz");
    CHECK(shown(mistake({.begin = 0, .end = 1}), source) == "kit.xml:1:1: error: slug: message\n"
                                                            "     1 | a [31m ?z\n"
                                                            "       | ^ mend\n");
}

TEST_CASE("nearest names") {
    const std::vector<std::string> names = {"battery", "generator", "cable", "G1.B+", "G1.B-"};
    CHECK(nearest_name("batery", names) == "battery");
    CHECK(nearest_name("CABLE", names) == "cable");
    CHECK(nearest_name("zone", names).empty());
    CHECK(nearest_names("G1.B", names) == std::vector<std::string>{"G1.B+", "G1.B-"});
    CHECK(nearest_name(std::string(1000, 'x'), names).empty());
    CHECK(nearest_name("ab", {"xy"}).empty()); // everything is two slips from a word of two letters
}

TEST_CASE("lugs and studs") {
    CHECK(can_go_on(fastener("M10"), fastener("M8")));
    CHECK_FALSE(can_go_on(fastener("M8"), fastener("M10")));
    for (const auto& [a, b] : {std::pair("M5", "#10"), std::pair("M6", "1/4 in"), std::pair("M8", "5/16 in"),
                               std::pair("M10", "3/8 in"), std::pair("M12", "1/2 in")}) {
        CHECK(can_go_on(fastener(a), fastener(b)));
        CHECK(can_go_on(fastener(b), fastener(a)));
        CHECK(matches(fastener(a), fastener(b)));
    }
    CHECK(is_loose_on(fastener("M10"), fastener("M8")));
    CHECK_FALSE(is_loose_on(fastener("M8"), fastener("M8")));
    CHECK_FALSE(can_go_on(fastener("blade 6.3"), fastener("blade 4.8")));
    CHECK_FALSE(can_go_on(fastener("post"), fastener("M8")));
    CHECK(can_go_on(fastener("post"), fastener("post")));
    CHECK_FALSE(fastener_by_name("M9").has_value());
}

TEST_CASE("every stud takes the lug made for it and no lug of the next smaller size") {
    for (const std::string_view name : fastener_names()) {
        const Fastener stud = fastener(name);
        CHECK(can_go_on(stud, stud));
        if (stud.kind == FastenerKind::stud) {
            CHECK(stud.hole_low_m > stud.diameter_m);
            CHECK(stud.hole_high_m >= stud.hole_low_m);
        }
    }
}

TEST_CASE("insulation classes after ISO 6722-1") {
    // ISO 6722-1:2011 table 1: A 85, B 100, C 125, D 150, E 175, F 200, G 225, H 250 degC.
    CHECK(parse_insulation("A")->class_degc == 85);
    CHECK(parse_insulation("C")->class_degc == 125);
    CHECK(parse_insulation("H")->class_degc == 250);
    CHECK(parse_insulation("105 degC")->class_degc == 105);
    CHECK(parse_insulation("105 degC")->thermal_resistivity_km_per_w == 5.0);
    // A class tells no material: the poorer wall of IEC 60287-2-1 is taken, 5.0 K m/W.
    CHECK(parse_insulation("C")->thermal_resistivity_km_per_w == 5.0);
    for (const std::string_view bad : {"", "I", "a", "20 degC", "400 degC", "105", "105 K"})
        CHECK_FALSE(parse_insulation(bad).has_value());
}

TEST_CASE("files are replaced whole and keep their mode") {
    const testing::TemporaryFolder folder;
    const std::string path = folder.file("a.txt", "old");
    REQUIRE(::chmod(path.c_str(), 0640) == 0);
    REQUIRE(write_whole_file(path, "new").has_value());
    CHECK(testing::file_text(path) == "new");
    struct stat about {};
    REQUIRE(::stat(path.c_str(), &about) == 0);
    CHECK((about.st_mode & 0777U) == 0640U);
    CHECK(read_whole_file(path, 3).value() == "new");
    CHECK_FALSE(read_whole_file(path, 2).has_value());
    REQUIRE(::symlink("a.txt", (folder.path() + "/link").c_str()) == 0);
    REQUIRE(write_whole_file(folder.path() + "/link", "through").has_value());
    CHECK(testing::file_text(path) == "through");
    REQUIRE(::lstat((folder.path() + "/link").c_str(), &about) == 0);
    CHECK(S_ISLNK(about.st_mode));
    CHECK(testing::files_below(folder.path(), "").size() == 2); // nothing temporary is left behind
}

TEST_CASE("files that cannot be read or written say why") {
    const testing::TemporaryFolder folder;
    const std::string missing = folder.path() + "/no/such.txt";
    CHECK(read_whole_file(missing, 10).error().message ==
          missing + ": error: no such file; check the name and the folder");
    CHECK(read_whole_file(folder.path(), 10).error().wrong == "is a directory");
    CHECK_FALSE(write_whole_file(missing, "x").has_value());
    CHECK(write_whole_file(folder.path(), "x").error().message ==
          folder.path() + ": error: is a directory; name a file inside it");
}

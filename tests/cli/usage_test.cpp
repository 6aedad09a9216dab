// What the program does with words it does not understand: one line on standard error, exit code 2, nothing
// on standard output, nothing written.
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <filesystem>

using namespace stoutloom::testing;

namespace {
const std::string kit = tree_path("harnesses/first-kit.xml");

std::size_t lines(const std::string& text) {
    return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

void refused(const std::vector<std::string>& words, const std::string& told) {
    std::vector<std::string> all = {program()};
    all.insert(all.end(), words.begin(), words.end());
    const Ran ran = run(all);
    CAPTURE(ran.err);
    CAPTURE(told);
    CHECK(ran.exit_code == 2);
    CHECK(ran.out.empty());
    CHECK(lines(ran.err) == 1);
    CHECK(ran.err.find(told) != std::string::npos);
}
} // namespace

TEST_CASE("help and version go to standard output") {
    const Ran help = run({program(), "--help"});
    CHECK(help.exit_code == 0);
    CHECK(help.err.empty());
    for (const std::string command : {"check", "draw", "cable", "deck", "explain"}) {
        CHECK(help.out.find("stoutloom " + command) != std::string::npos);
        const Ran one = run({program(), command, "--help"});
        CHECK(one.exit_code == 0);
        CHECK(one.err.empty());
        CHECK(one.out.rfind("stoutloom " + command, 0) == 0);
    }
    const Ran version = run({program(), "--version"});
    CHECK(version.exit_code == 0);
    CHECK(version.out == "stoutloom 0.1.0\n");
}

TEST_CASE("nothing said is wrong usage and shows the overview") {
    const Ran ran = run({program()});
    CHECK(ran.exit_code == 2);
    CHECK(ran.out.empty());
    CHECK(ran.err.find("stoutloom check FILE...") != std::string::npos);
}

TEST_CASE("unknown commands and options name the nearest one") {
    refused({"chekc", kit}, "there is no command \"chekc\"; did you mean \"check\"?");
    refused({"check", "--jsn", "-", kit}, "there is no option \"--jsn\"; did you mean --json?");
    refused({"check", kit, "--brief", "--frobnicate"}, "there is no option \"--frobnicate\"");
    refused({"draw", kit, "-o", "x.pdf", "--sheet", "A2"}, "there is no sheet \"A2\"");
    refused({"explain", "cable-ampacit"}, "there is no rule \"cable-ampacit\"");
    refused({"explain", kit, "W11"}, "has no cable \"W11\"");
    refused({"deck", kit, "--duty", "flying"}, "has no duty \"flying\"; it has: cranking");
}

TEST_CASE("too few and too many words") {
    refused({"check"}, "FILE... is missing");
    refused({"draw", "-o", "x.pdf"}, "FILE is missing");
    refused({"draw", kit}, "say where to");
    refused({"draw", kit, kit, "-o", "x.pdf"}, "first-kit.xml\" is one word too many");
    refused({"draw", kit, "-o", "x.png"}, "ends neither in .pdf nor in .svg");
    refused({"explain", "a", "b", "c"}, "\"c\" is one word too many");
    refused({"check", kit, "--json"}, "--json");
    refused({"check", kit, "--json", "a", "--json", "b"}, "--json");
    refused({"cable", "stray", "--current", "10 A"}, "stray");
}

TEST_CASE("contradicting options") {
    refused({"check", kit, "--json", "-", "--sarif", "-"}, "name the same place");
    refused({"check", kit, "--every", "--brief"}, "contradict");
}

TEST_CASE("numbers that a careless reader would take") {
    const std::vector<std::string> rest = {"--length", "4.2 m",     "--section",
                                           "50 mm2",   "--ambient", "60 degC"};
    const auto with = [&](std::vector<std::string> words) {
        words.insert(words.begin(), "cable");
        words.insert(words.end(), rest.begin(), rest.end());
        return words;
    };
    refused(with({"--current", "nan"}), "not a number");
    refused(with({"--current", "nan A"}), "not a number");
    refused(with({"--current", "inf A"}), "not a number");
    refused(with({"--current", "1e3 A"}), "");
    refused(with({"--current", "010"}), "no unit");
    refused(with({"--current", "0x10 A"}), "");
    refused(with({"--current", "[1,2]"}), "not a number");
    refused(with({"--current", "-5 A"}), "negative");
    refused(with({"--current", "5 V"}), "is a voltage");
    refused(with({"--current", "17,5 A"}), "point for decimals");
    refused(with({"--current", ""}), "");
    refused(with({"--current", "10 A", "--loaded", "010x"}), "no count of cables");
    refused(with({"--current", "10 A", "--loaded", "0"}), "no count of cables");
    refused(with({"--current", "10 A", "--loaded", "nan"}), "no count of cables");
    refused(with({"--current", "10 A", "--margin", "0 %"}), "above 0 %");
    refused(with({"--current", "10 A", "--margin", "120 %"}), "above 0 %");
    refused(with({"--current", "10 A", "--mounting", "hung"}), "clear, clipped or conduit");
    refused(with({"--current", "10 A", "--insulation", "Z"}), "--insulation");
    refused({"cable", "--length", "4.2 m"}, "say what it carries");
    refused({"cable", "--current", "10 A", "--drop", "0.2 V"}, "--drop needs --length");
}

TEST_CASE("a file called like a list or a command or an option is one file") {
    const TemporaryFolder folder;
    const std::string text = file_text(kit);
    for (const std::string name : {"[1,2]", "draw", "check", "-o", "nan"}) {
        folder.file(name, text);
        const Ran ran = run({"env", "-C", folder.path(), program(), "check", "--brief", "--", name});
        CAPTURE(name);
        CAPTURE(ran.err);
        CHECK(ran.exit_code != 2);
        CHECK(ran.out.find(name + ": ") != std::string::npos);
    }
    // Without the mark too, for those that do not begin with a dash; the two halves of "[1,2]" must not be
    // looked for.
    for (const std::string name : {"[1,2]", "draw", "check"}) {
        const Ran ran = run({"env", "-C", folder.path(), program(), "check", "--brief", name});
        CAPTURE(name);
        CAPTURE(ran.err);
        CHECK(ran.exit_code != 2);
    }
}

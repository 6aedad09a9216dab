// Files in, files out: what cannot be read is told, what is written is whole, and an input is never
// overwritten.
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <sys/stat.h>
#include <unistd.h>

using namespace stoutloom::testing;

namespace {
const std::string kit = tree_path("harnesses/first-kit.xml");
const std::string original = tree_path("harnesses/library-van-original.xml");
const std::string planned = tree_path("harnesses/library-van-planned.xml");

std::size_t files_in(const std::string& folder) {
    std::size_t count = 0;
    for ([[maybe_unused]] const auto& entry : std::filesystem::directory_iterator(folder))
        ++count;
    return count;
}
} // namespace

TEST_CASE("exit codes: 0 nothing at error level and 1 errors found and 2 unreadable") {
    CHECK(run({program(), "check", planned}).exit_code == 0);
    CHECK(run({program(), "check", original}).exit_code == 1);
    CHECK(run({program(), "check", "/nowhere/at/all.xml"}).exit_code == 2);
}

TEST_CASE("each unreadable file has its line on standard error and code 2") {
    const TemporaryFolder folder;
    const auto told = [&](const std::string& path, const std::string& words) {
        const Ran ran = run({program(), "check", path});
        CAPTURE(path);
        CAPTURE(ran.err);
        CHECK(ran.exit_code == 2);
        CHECK(ran.out.empty());
        CHECK(ran.err.find(path) == 0);
        CHECK(ran.err.find("error: ") != std::string::npos);
        CHECK(ran.err.find(words) != std::string::npos);
    };
    told(folder.path() + "/missing.xml", "no such file");
    told(folder.path(), "is a directory");
    told(folder.file("empty.xml", ""), "");
    told(folder.file("half.xml", file_text(kit).substr(0, 700)), "");
    told(folder.file("binary.xml", std::string("\0\1\2\xff", 4)), "");
    told(folder.file("other.xml", "<a/>"), "harness");
    if (::geteuid() != 0) { // root reads everything
        const std::string locked = folder.file("locked.xml", "x");
        ::chmod(locked.c_str(), 0);
        told(locked, "cannot be opened");
    }
}

TEST_CASE("several files: told in order and the worst code") {
    const TemporaryFolder folder;
    const std::string broken = folder.file("broken.xml", "<harness>");
    const Ran two = run({program(), "check", "--brief", original, planned});
    CHECK(two.exit_code == 1);
    const std::size_t first = two.out.find(original + ": NOT FIT TO BUILD"),
                      second = two.out.find(planned + ": no errors");
    CHECK(first != std::string::npos);
    CHECK(second != std::string::npos);
    CHECK(first < second);
    const Ran three = run({program(), "check", "--brief", broken, original, planned});
    CHECK(three.exit_code == 2);
    CHECK(three.err.find(broken) == 0);
    CHECK(three.out.find(planned + ": no errors") != std::string::npos);
}

TEST_CASE("an output never overwrites an input by whatever name") {
    const TemporaryFolder folder;
    const std::string text = file_text(kit);
    const std::string mine = folder.file("mine.xml", text), drawing = folder.file("mine.pdf", text);
    const std::string link = folder.path() + "/link.pdf";
    std::filesystem::create_symlink(drawing, link);
    const auto kept = [&](const std::vector<std::string>& words, const std::string& input) {
        std::vector<std::string> all = {program()};
        all.insert(all.end(), words.begin(), words.end());
        const Ran ran = run(all);
        CAPTURE(ran.err);
        CHECK(ran.exit_code == 2);
        CHECK(ran.err.find("is the harness file itself") != std::string::npos);
        CHECK(file_text(input) == text);
    };
    kept({"check", mine, "--json", mine}, mine);
    kept({"check", mine, "--sarif",
          folder.path() + "/../" + std::filesystem::path(folder.path()).filename().string() + "/mine.xml"},
         mine);
    kept({"draw", drawing, "-o", drawing}, drawing);
    kept({"draw", drawing, "-o", link}, drawing);
    kept({"deck", mine, "-o", mine}, mine);
}

TEST_CASE("an output that cannot be written is told and leaves nothing behind") {
    const TemporaryFolder folder;
    const Ran ran = run({program(), "check", kit, "--json", folder.path() + "/no/such/folder.json"});
    CHECK(ran.exit_code == 2);
    CHECK(ran.err.find("cannot be written") != std::string::npos);
    const Ran onto = run({program(), "check", kit, "--json", folder.path()});
    CHECK(onto.exit_code == 2);
    CHECK(onto.err.find("is a directory") != std::string::npos);
    CHECK(files_in(folder.path()) == 0);
    if (std::filesystem::exists("/dev/full")) {
        const Ran full = run({"sh", "-c", program() + " check " + kit + " > /dev/full"});
        CHECK(full.exit_code == 2);
    }
}

TEST_CASE("a refused harness leaves an older output as it was") {
    const TemporaryFolder folder;
    const std::string broken = folder.file("broken.xml", "<harness>");
    const std::string out = folder.file("old.pdf", "old");
    CHECK(run({program(), "draw", broken, "-o", out}).exit_code == 2);
    CHECK(file_text(out) == "old");
    CHECK(files_in(folder.path()) == 2);
}

TEST_CASE("same input same bytes whatever the place and the language") {
    const Ran one = run({program(), "check", original});
    const Ran two =
        run({"env", "LC_ALL=de_DE.UTF-8", "LANG=de_DE.UTF-8", "TZ=Asia/Tokyo", program(), "check", original});
    CHECK(one.out == two.out);
    CHECK(one.out.size() > 1000);
}

TEST_CASE("draw writes a whole PDF and a whole SVG and says what is flagged") {
    const TemporaryFolder folder;
    for (const std::string sheet : {"A3", "A4", "letter", "Tabloid"}) {
        const std::string out = folder.path() + "/" + sheet + ".pdf";
        const Ran ran = run({program(), "draw", original, "-o", out, "--sheet", sheet});
        CAPTURE(ran.err);
        CHECK(ran.exit_code == 0);
        CHECK(ran.out.empty());
        CHECK(ran.err.find("not to be built from") != std::string::npos);
        const std::string bytes = file_text(out);
        CHECK(bytes.rfind("%PDF-", 0) == 0);
        CHECK(bytes.find("%%EOF") != std::string::npos);
    }
    const std::string svg = folder.path() + "/x.svg", mono = folder.path() + "/mono.svg";
    CHECK(run({program(), "draw", planned, "-o", svg}).exit_code == 0);
    CHECK(run({program(), "draw", planned, "-o", mono, "--mono"}).exit_code == 0);
    CHECK(file_text(svg).find("</svg>") != std::string::npos);
    CHECK(file_text(svg) != file_text(mono));
    const std::string safe = folder.path() + "/safe.svg";
    CHECK(run({program(), "draw", planned, "-o", safe, "--colour-safe"}).exit_code == 0);
    CHECK(file_text(safe) != file_text(svg));
    // Another palette is no other drawing.
    const auto without_colours = [](std::string text) {
        for (std::size_t at = text.find('#'); at != std::string::npos; at = text.find('#', at + 1))
            text.erase(at + 1, 6);
        return text;
    };
    CHECK(without_colours(file_text(safe)) == without_colours(file_text(svg)));
}

TEST_CASE("deck prints one duty and takes another by name") {
    const Ran rated = run({program(), "deck", planned}),
              idle = run({program(), "deck", planned, "--duty", "idle"});
    CHECK(rated.exit_code == 0);
    CHECK(idle.exit_code == 0);
    CHECK(rated.out != idle.out);
    CHECK(rated.out.find(".control") != std::string::npos);
    const TemporaryFolder folder;
    const std::string out = folder.path() + "/rated.cir";
    CHECK(run({program(), "deck", planned, "-o", out}).exit_code == 0);
    CHECK(file_text(out) == rated.out);
}

TEST_CASE("explain lists the rules and tells one and works through a cable") {
    const Ran list = run({program(), "explain"});
    CHECK(list.exit_code == 0);
    CHECK(list.out.find("cable-ampacity") != std::string::npos);
    const Ran rule = run({program(), "explain", "cable-ampacity"});
    CHECK(rule.exit_code == 0);
    CHECK(rule.out.find("Source: ") != std::string::npos);
    const Ran cable = run({program(), "explain", planned, "W1"});
    CHECK(cable.exit_code == 0);
    CHECK(cable.out.find("IEC 60287") != std::string::npos);
    CHECK(cable.out.find("In each duty") != std::string::npos);
}

TEST_CASE("compare: the code is the second file's and the page is written whole") {
    const TemporaryFolder folder;
    CHECK(run({program(), "compare", original, planned}).exit_code == 0);
    CHECK(run({program(), "compare", planned, original}).exit_code == 1);
    CHECK(run({program(), "compare", planned, "/nowhere/at/all.xml"}).exit_code == 2);
    CHECK(run({program(), "compare", planned}).exit_code == 2);
    const std::string page = folder.path() + "/page.pdf";
    CHECK(run({program(), "compare", original, planned, "-o", page, "--json", "-"}).exit_code == 0);
    CHECK(file_text(page).starts_with("%PDF"));
    CHECK(run({program(), "compare", original, planned, "-o", planned}).exit_code == 2);
}

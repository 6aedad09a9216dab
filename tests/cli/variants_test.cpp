// Several kits in one file, from outside: all of them or one, each named in what is told and in what is
// written.
#include "testing/testing.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <filesystem>

using namespace stoutloom::testing;

namespace {

std::string two_kits(const TemporaryFolder& folder) {
    std::string text = file_text(tree_path("harnesses/first-kit.xml"));
    text.insert(text.rfind("</harness>"), "<variant id=\"plain\"/>\n<variant id=\"bare\" label=\"Without its "
                                          "feed\"><without of=\"W1\"/></variant>\n");
    return folder.file("two.xml", text);
}

} // namespace

TEST_CASE("check takes every kit of a file, or one, and names it") {
    const TemporaryFolder folder;
    const std::string path = two_kits(folder);
    const Ran all = run({program(), "check", "--brief", path});
    CHECK(all.exit_code == 1);
    CHECK(all.out.find("[variant plain]: no errors") != std::string::npos);
    CHECK(all.out.find("[variant bare]: NOT FIT TO BUILD") != std::string::npos);
    CHECK(all.out.find(": [bare] ") != std::string::npos);
    CHECK(all.out.find(": error: ") < all.out.find("[variant bare]: NOT"));
    CHECK(run({program(), "check", "--brief", "--variant", "plain", path}).exit_code == 0);
    const Ran wrong = run({program(), "check", "--variant", "plane", path});
    CHECK(wrong.exit_code == 2);
    CHECK(wrong.err.find("did you mean \"plain\"?") != std::string::npos);
    const auto json = nlohmann::json::parse(run({program(), "check", "--json", "-", path}).out);
    REQUIRE(json.size() == 2);
    CHECK(json[0]["variant"] == "plain");
    CHECK(json[1]["variant"] == "bare");
}

TEST_CASE("the same bytes whatever the number of files and kits at once") {
    const TemporaryFolder folder;
    const std::string path = two_kits(folder), kit = tree_path("harnesses/first-kit.xml");
    std::vector<std::string> words = {program(), "check", "--brief"};
    std::string one_by_one;
    for (int i = 0; i < 3; ++i)
        for (const std::string& file : {path, kit}) {
            words.push_back(file);
            one_by_one += run({program(), "check", "--brief", file}).out;
        }
    CHECK(run(words).out == one_by_one);
}

TEST_CASE("the same bytes on one core as on all of them") { // taskset is util-linux
    const TemporaryFolder folder;
    const std::string path = two_kits(folder), kit = tree_path("harnesses/first-kit.xml");
    std::string text = file_text(kit);
    const std::size_t section = text.find("section=\"");
    text.replace(section, text.find('"', section + 9) + 1 - section, "section=\"auto\"");
    text.insert(text.rfind("</harness>"), "<variant id=\"left\"/>\n<variant id=\"right\"><zone id=\"new\" "
                                          "ambient=\"50 degC\"/></variant>\n");
    const std::string open = folder.file("open.xml", text);
    for (const std::vector<std::string>& words :
         {std::vector<std::string>{"check", path, kit, open, path}, {"size", "--brief", open}}) {
        std::vector<std::string> all = words, one = words;
        all.insert(all.begin(), program());
        one.insert(one.begin(), {"taskset", "-c", "0", program()});
        const Ran free = run(all), bound = run(one);
        CHECK(free.exit_code != 2);
        CHECK(free.exit_code == bound.exit_code);
        CHECK(free.out == bound.out);
        CHECK(free.out.find("left") < free.out.find("right")); // file order
    }
    const std::string folder_all = folder.path() + "/all.pdf", folder_one = folder.path() + "/one.pdf";
    CHECK(run({program(), "pack", path, "--only", "cut-list,shopping-list", "-o", folder_all}).exit_code ==
          0);
    CHECK(run({"taskset", "-c", "0", program(), "pack", path, "--only", "cut-list,shopping-list", "-o",
               folder_one})
              .exit_code == 0);
    for (const char* variant : {"plain", "bare"})
        CHECK(file_text(folder.path() + "/all-" + variant + ".pdf") ==
              file_text(folder.path() + "/one-" + variant + ".pdf"));
}

TEST_CASE("drawings and papers of several kits get a name each; a command for one kit asks which") {
    const TemporaryFolder folder;
    const std::string path = two_kits(folder);
    CHECK(run({program(), "draw", path, "-o", folder.path() + "/x.svg"}).exit_code == 0);
    CHECK(file_text(folder.path() + "/x-plain.svg").find("plain") != std::string::npos);
    CHECK(file_text(folder.path() + "/x-bare.svg").find("Without its feed") != std::string::npos);
    CHECK_FALSE(std::filesystem::exists(folder.path() + "/x.svg"));
    CHECK(run({program(), "draw", path, "--variant", "bare", "-o", folder.path() + "/one.svg"}).exit_code ==
          0);
    CHECK(std::filesystem::exists(folder.path() + "/one.svg"));
    const Ran deck = run({program(), "deck", path});
    CHECK(deck.exit_code == 2);
    CHECK(deck.err.find("plain, bare") != std::string::npos);
    CHECK(run({program(), "deck", "--variant", "plain", path}).exit_code == 0);
    CHECK(run({program(), "explain", path, "W2", "--variant", "bare"}).exit_code == 0);
    CHECK(run({program(), "size", path, "--write", folder.path() + "/new.xml"}).exit_code == 2);
    CHECK_FALSE(std::filesystem::exists(folder.path() + "/new.xml"));
}

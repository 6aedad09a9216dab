// The rooms and their walls: what src/CMakeLists.txt allows is what the sources include, and DEVELOPERS.md
// says so.
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <map>
#include <regex>
#include <set>
#include <sstream>

namespace {

using stoutloom::testing::file_text;
using stoutloom::testing::files_below;
using stoutloom::testing::tree_path;

struct Room {
    std::set<std::string> rooms;
    std::string libraries;
};

std::map<std::string, Room> rooms_of_the_build() {
    std::map<std::string, Room> rooms;
    const std::string text = file_text(tree_path("src/CMakeLists.txt"));
    const std::regex call(R"(\nstoutloom_room\((\w+)([^)]*)\))");
    for (std::sregex_iterator it(text.begin(), text.end(), call), end; it != end; ++it) {
        Room room;
        std::istringstream words((*it)[2].str());
        std::string word;
        std::string mode;
        while (words >> word) {
            if (word == "ROOMS" || word == "LIBRARIES")
                mode = word;
            else if (mode == "ROOMS")
                room.rooms.insert(word);
            else
                room.libraries += word + " ";
        }
        rooms[(*it)[1].str()] = room;
    }
    return rooms;
}

std::string room_of(const std::string& path) {
    const std::string below = path.substr(tree_path("src/").size());
    return below.substr(0, below.find('/'));
}

} // namespace

TEST_CASE("no include climbs over a wall between rooms") {
    const auto rooms = rooms_of_the_build();
    REQUIRE(rooms.size() == 11);
    const std::regex include(R"re(#include "(\w+)/[^"]+")re");
    std::size_t seen = 0;
    for (const std::string ending : {".h", ".cpp"})
        for (const std::string& path : files_below(tree_path("src"), ending)) {
            if (path.ends_with("src/main.cpp"))
                continue;
            const std::string own = room_of(path);
            REQUIRE_MESSAGE(rooms.count(own) == 1, path, " stands in no room of src/CMakeLists.txt");
            const std::string text = file_text(path);
            for (std::sregex_iterator it(text.begin(), text.end(), include), end; it != end; ++it) {
                const std::string other = (*it)[1].str();
                ++seen;
                CHECK_MESSAGE((other == own || rooms.at(own).rooms.count(other) == 1), path, " includes ",
                              other, ", which ", own, " may not");
            }
        }
    CHECK(seen > 50);
}

TEST_CASE("outside libraries stay in the one room that may use them") {
    const std::map<std::string, std::set<std::string>> owners = {
        {"pugixml", {"read"}}, {"Eigen/", {"solve"}},    {"cairo", {"draw"}},
        {"pango", {"draw"}},   {"fontconfig", {"draw"}}, {"graphviz", {"layout"}},
        {"gvc.h", {"layout"}}, {"CLI/", {"cli"}},        {"nlohmann", {"report", "cli"}},
    };
    const std::regex include(R"re(#include <([^>]+)>)re");
    for (const std::string ending : {".h", ".cpp"})
        for (const std::string& path : files_below(tree_path("src"), ending)) {
            const std::string text = file_text(path);
            for (std::sregex_iterator it(text.begin(), text.end(), include), end; it != end; ++it) {
                const std::string header = (*it)[1].str();
                for (const auto& [start, rooms] : owners) {
                    if (header.rfind(start, 0) != 0)
                        continue;
                    CHECK_MESSAGE(rooms.count(room_of(path)) == 1, path, " may not include <", header, ">");
                    CHECK_MESSAGE(!path.ends_with(".h"), path, " shows <", header, "> in a header");
                }
            }
        }
}

TEST_CASE("every room has its sentence in DEVELOPERS.md") {
    const std::string page = file_text(tree_path("DEVELOPERS.md"));
    for (const auto& room : rooms_of_the_build())
        CHECK_MESSAGE(page.find("| " + room.first + " |") != std::string::npos,
                      "DEVELOPERS.md has no row for ", room.first);
}

TEST_CASE("the top level is what the page says") {
    const std::set<std::string> allowed = {"CMakeLists.txt", "README.md", "DEVELOPERS.md", "src",
                                           "schemas",        "harnesses", "tests",         "out"};
    const auto listed = stoutloom::testing::run({"git", "-C", tree_path(""), "ls-files"});
    if (listed.exit_code != 0) {
        MESSAGE("not a git checkout: the list of tracked files could not be had");
        return;
    }
    std::istringstream lines(listed.out);
    std::string line;
    while (std::getline(lines, line)) {
        const std::string top = line.substr(0, line.find('/'));
        CHECK_MESSAGE((allowed.count(top) == 1 || top.rfind('.', 0) == 0), top,
                      " does not belong at the top level");
        if (top == "out")
            CHECK_MESSAGE(line.rfind("out/gallery/", 0) == 0, line, " is made, not kept");
    }
}

// `stoutloom protect`: what it refuses, and that both kinds of file come out whole and the same each time.
#include "testing/testing.h"

#include <doctest/doctest.h>

using namespace stoutloom::testing;

namespace {
const std::string planned = tree_path("harnesses/library-van-planned.xml");
} // namespace

TEST_CASE("protect plots a cable or a fuse-link and refuses what is neither") {
    const TemporaryFolder folder;
    const std::string pdf = folder.path() + "/w1.pdf", svg = folder.path() + "/f3.svg";
    CHECK(run({program(), "protect", planned, "W1", "-o", pdf}).exit_code == 0);
    CHECK(file_text(pdf).starts_with("%PDF"));
    CHECK(run({program(), "protect", planned, "F3", "-o", svg, "--sheet", "Letter"}).exit_code == 0);
    const std::string first = file_text(svg);
    CHECK(first.find("</svg>") != std::string::npos);
    CHECK(first.find("short circuit: G2 drives") != std::string::npos);
    CHECK(run({program(), "protect", planned, "F3", "-o", svg, "--sheet", "Letter"}).exit_code == 0);
    CHECK(file_text(svg) == first);
    CHECK(run({program(), "protect", planned, "W1"}).exit_code == 2);
    CHECK(run({program(), "protect", planned, "W1", "-o", folder.path() + "/w1.png"}).exit_code == 2);
    CHECK(run({program(), "protect", planned, "W1", "-o", pdf, "--sheet", "A3"}).exit_code == 2);
    CHECK(run({program(), "protect", planned, "W99", "-o", pdf}).exit_code == 2);
    CHECK(run({program(), "protect", planned, "W3", "-o", pdf}).exit_code == 2); // a ground cable
    CHECK(run({program(), "protect", planned, "W1", "-o", planned}).exit_code == 2);
}

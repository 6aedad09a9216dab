// What a failure does, told shortly: long lists in the order in which people look.
#include "check/faults.h"

#include <doctest/doctest.h>

using namespace stoutloom;

TEST_CASE("a long list of what goes dead is in order of its numbers and told short") {
    check::FaultTold told;
    for (const char* id : {"E10", "E1", "E2", "P1", "E11", "E12", "E3", "E4", "E5"})
        told.consequences.push_back({.harm = check::Harm::dead, .subject = id, .duty = {}, .words = {}});
    REQUIRE(check::condensed(told).size() == 1);
    CHECK(check::condensed(told).front() == "E1, E2, E3, E4, E5, E10, E11 and 2 more go dead");
    told.consequences.resize(3);
    CHECK(check::condensed(told).front() == "E1, E2 and E10 go dead");
}

// The demo kits are judged for the right reasons: the van as found is refused, the planned kit and the first
// kit pass.
#include "check/check.h"
#include "rules/kits.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <set>

using namespace stoutloom;

namespace {

check::CheckRecord judged(const std::string& name) {
    return check::judge_all(rules_test::kit_at(testing::tree_path("harnesses/" + name))->facts);
}

using Told = std::set<std::pair<std::string, std::string>>;

Told findings_of(const check::CheckRecord& kit, check::Severity severity) {
    Told told;
    for (const check::Judgement* finding : kit.findings())
        if (finding->severity == severity)
            told.insert({std::string(finding->rule->slug), finding->subjects.front()});
    return told;
}

} // namespace

TEST_CASE("the van as found is refused for feed and ground and fuse-link and drop and keying and strap") {
    const check::CheckRecord kit = judged("library-van-original.xml");
    const Told expected = {
        {"cable-ampacity", "W1"},                                     // feed of the old unit
        {"cable-ampacity", "W2"},                                     // its last piece
        {"cable-ampacity", "W3"},                                     // ground cable of the unit
        {"cable-ampacity", "W6"},                                     // engine strap
        {"cable-unprotected", "W2"},                                  // 0.30 m bare before the link
        {"charging-drop", "G1"},                                      // feed and return
        {"cranking-drop", "M1"},      {"fuse-continuous-load", "F1"}, // 100 A link under 135 A
        {"incidental-current", "X9"}, // the throttle cable; W1 over its link too: told by cable-ampacity
        {"keyed-landing", "G1"},      // two M8 studs side by side
    };
    CHECK(findings_of(kit, check::Severity::error) == expected);
    // Stated factors. The network gives about 134 A: 160 A hot ceiling less what the thin feed cannot pass at
    // the unit's 14.3 V. 16 mm2 class B at 80 degC and 10 mm2 carry less than half of it by any published
    // table: ISO 10133 annex A gives 16 mm2 100 A at 30 degC (85 to 90 degC column, from memory), times the
    // ambient factor sqrt((100 - 80) / (100 - 30)) = 0.53.
    for (const check::Judgement* finding : kit.findings())
        if (finding->rule->slug == "cable-ampacity" && finding->subjects.front() == "W1") {
            CHECK(finding->computed > 2 * finding->limit);
            CHECK(finding->limit == doctest::Approx(100 * 0.53).epsilon(0.2));
        }
}

TEST_CASE("the planned van and the coach and the first kit pass without an error or a warning") {
    for (const std::string name : {"library-van-planned.xml", "coach.xml", "first-kit.xml"}) {
        const check::CheckRecord kit = judged(name);
        CHECK_MESSAGE(findings_of(kit, check::Severity::error).empty(), name);
        CHECK_MESSAGE(findings_of(kit, check::Severity::warning).empty(), name);
        CHECK(kit.clean());
    }
}

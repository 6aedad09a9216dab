// Lists of names as ranges: nothing is lost, nothing is added.
#include "report/papers/id_ranges.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"

#include <doctest/doctest.h>

#include <set>

using namespace stoutloom;
using namespace stoutloom::papers_test;

namespace {

/// The list told in full again, from its words alone.
std::multiset<std::string> told(const std::string& words) {
    std::multiset<std::string> all;
    for (const std::string& part : report::parted(words)) {
        const std::size_t to = part.find(" to ");
        if (to == std::string::npos) {
            all.insert(part);
            continue;
        }
        const std::string first = part.substr(0, to), last = part.substr(to + 4);
        const std::size_t digits = first.find_last_not_of("0123456789") + 1;
        const std::string stem = first.substr(0, digits);
        CHECK(last.starts_with(stem));
        for (int i = std::stoi(first.substr(digits)); i <= std::stoi(last.substr(digits)); ++i)
            all.insert(stem + std::to_string(i));
    }
    return all;
}

} // namespace

TEST_CASE("lists of names shorten to ranges and tell every name") {
    const auto kit = kit_of(testing::tree_path("harnesses/first-kit.xml"));
    const report::Voice voice(kit->view, report::Language::english);
    CHECK(report::id_ranges(voice, {"W1", "W2", "W3", "W5", "G2"}) == "W1 to W3, W5, G2");
    CHECK(report::id_ranges(voice, {"W3", "W1", "W2"}) == "W1 to W3");
    CHECK(report::id_ranges(voice, {"W1", "W2", "harness"}) == "W1, W2, harness");
    CHECK(report::id_ranges(voice, {"W07", "W08", "W09"}) == "W07, W08, W09"); // no one counts so
    CHECK(report::id_ranges(voice, {"12", "13", "14"}) == "12, 13, 14");
    CHECK(report::id_ranges(voice, {}).empty());
    auto random = testing::random_source("lists of names");
    for (int round = 0; round < 300; ++round) {
        std::vector<std::string> ids;
        for (int i = 0; i < 40; ++i)
            for (const char* stem : {"W", "F", "X1."})
                if (std::uniform_int_distribution<int>(0, 2)(random) > 0)
                    ids.push_back(stem + std::to_string(i));
        std::shuffle(ids.begin(), ids.end(), random);
        CHECK(told(report::id_ranges(voice, ids)) == std::multiset<std::string>(ids.begin(), ids.end()));
    }
}

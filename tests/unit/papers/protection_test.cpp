// The time-current plot: its logarithmic axes by hand, its pages under the audit, what it is about.
#include "draw/draw.h"
#include "layout/papers/time_current.h"
#include "report/protection_page.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"
#include "unit/papers/paper_audit.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <limits>
#include <set>

using namespace stoutloom;
using namespace stoutloom::papers_test;
using layout::papers::LogField;
using layout::papers::PaperSize;
using layout::papers::visible;

namespace {

const LogField decades{.current_a = {10, 1000}, .time_s = {0.01, 100}};

const layout::Element* element(const layout::Page& page, const std::string& id) {
    for (const layout::Element& one : page.elements)
        if (one.id == id)
            return &one;
    return nullptr;
}

} // namespace

TEST_CASE("a logarithmic axis begins and ends at 1 or 2 or 5 times a power of ten") {
    const auto close = [](double low, double high, double from, double to) {
        const auto scale = layout::papers::log_scale_for(low, high);
        CHECK(scale.low == doctest::Approx(from));
        CHECK(scale.high == doctest::Approx(to));
    };
    close(135, 3900, 100, 5000);
    close(20, 500, 20, 500);
    close(0.3, 0.35, 0.2, 0.5);
    close(7, 7, 5, 10);
    close(10, 10, 10, 100);
}

// On log-log paper a power law is a straight line: t = 1e4 / I^2 passes 100 s at 10 A and 0.01 s at 1000 A.
TEST_CASE("curves are cut where they cross the borders and part where they leave") {
    const auto cut = visible({{1, 1e4}, {1e4, 1e-4}}, decades);
    REQUIRE(cut.size() == 1);
    REQUIRE(cut.front().size() == 2);
    CHECK(cut.front().front().current_a == doctest::Approx(10));
    CHECK(cut.front().front().time_s == doctest::Approx(100));
    CHECK(cut.front().back().current_a == doctest::Approx(1000));
    CHECK(cut.front().back().time_s == doctest::Approx(0.01));
    CHECK(visible({{20, 1000}, {500, 1000}}, decades).empty());
    CHECK(visible({{20, 10}, {40, 1000}, {80, 1000}, {160, 1}}, decades).size() == 2);
    const double never = std::numeric_limits<double>::infinity();
    const auto open = visible({{20, never}, {30, 50}, {40, 5}, {50, 1}}, decades);
    REQUIRE(open.size() == 1);
    CHECK(open.front().size() == 3);
}

TEST_CASE("every live cable of the examples has a page that passes the audit") {
    const auto lettering = draw::lettering();
    for (const char* name : {"library-van-original.xml", "library-van-planned.xml", "first-kit.xml"}) {
        const auto kit = kit_of(testing::tree_path(std::string("harnesses/") + name));
        std::size_t pages = 0;
        for (const model::Cable& cable : kit->harness.cables) {
            const auto index = report::protected_cable(kit->view, cable.id);
            if (!index)
                continue;
            const PaperSize size = pages++ % 2 == 0 ? PaperSize::a4 : PaperSize::letter;
            const layout::Document document = report::protection_page(kit->view, *index, size, *lettering);
            REQUIRE(document.pages.size() == 1);
            const layout::Page& page = document.pages.front();
            const AuditRules rules{.inside = {20.35, 10.35, page.width_mm - 30.7, page.height_mm - 20.7}};
            const auto all = complaints(page, rules);
            CHECK_MESSAGE(all.empty(), name, " ", cable.id, ": ", first_of(all));
            CHECK(element(page, "damage") != nullptr);
        }
        CHECK(pages >= 4);
    }
}

TEST_CASE("a fuse-link stands for the weakest cable behind it and a ground cable for nothing") {
    const auto kit = kit_of(testing::tree_path("harnesses/library-van-planned.xml"));
    // W1 and W2 are alike, and W1 comes from the engine bay.
    const auto behind = report::protected_cable(kit->view, "F1");
    REQUIRE(behind.has_value());
    CHECK(kit->harness.cable(*behind).id == "W1");
    CHECK_FALSE(report::protected_cable(kit->view, "W7").has_value());
    CHECK_FALSE(report::protected_cable(kit->view, "nothing").has_value());
    const auto lettering = draw::lettering();
    const auto feed = report::protected_cable(kit->view, "W1");
    REQUIRE(feed.has_value());
    const layout::Document document = report::protection_page(kit->view, *feed, PaperSize::a4, *lettering);
    const layout::Page& page = document.pages.front();
    for (const char* id : {"band-1", "band-1-fastest", "band-1-slowest", "load", "usable", "greatest-G2",
                           "least-G2", "greatest-G1"})
        CHECK_MESSAGE(element(page, id) != nullptr, id);
    // The slowest edge lies above and right of the fastest one: later at the same current.
    const layout::Box slow = element(page, "band-1-slowest")->box,
                      fast = element(page, "band-1-fastest")->box;
    CHECK(slow.x_mm > fast.x_mm);
    CHECK(slow.bottom_mm() <= fast.bottom_mm());
}

TEST_CASE("two bands are told apart without colour and a long legend takes the width it needs") {
    layout::papers::TimeCurrentContent content;
    const std::string long_words =
        "opens between the thin line and the thick one; no public table of times, figures of a "
        "like kind stand in, from memory, doubtful: ask for the data sheet of the maker";
    for (int i = 0; i < 3; ++i) {
        const double high = 100.0 * (i + 1);
        content.bands.push_back({.id = "F" + std::to_string(i + 1),
                                 .words = "F" + std::to_string(i + 1) + ": " + long_words,
                                 .fastest = {{high, 1000}, {high * 4, 0.1}},
                                 .slowest = {{high * 1.5, 1000}, {high * 6, 0.1}}});
    }
    for (int i = 0; i < 8; ++i)
        content.marks.push_back(
            {.id = "m" + std::to_string(i), .words = long_words.substr(0, 70), .current_a = 150.0 + 60 * i});
    content.notes = {long_words.substr(0, 90), "the last note"};
    const auto measure = draw::lettering();
    for (const auto size : {PaperSize::a4, PaperSize::letter}) {
        const layout::Page page = layout::papers::build_time_current(content, size, *measure);
        std::set<layout::Dash> edges;
        for (const auto& band : content.bands) {
            const layout::Element* fast = element(page, band.id + "-fastest");
            const layout::Element* slow = element(page, band.id + "-slowest");
            REQUIRE(fast != nullptr);
            REQUIRE(slow != nullptr);
            CHECK(fast->shapes.front().stroke.dash == slow->shapes.front().stroke.dash);
            edges.insert(fast->shapes.front().stroke.dash);
        }
        CHECK(edges.size() == content.bands.size());
        std::string all;
        for (const layout::Element& each : page.elements)
            for (const layout::Text& text : each.texts)
                all += text.words + "\n";
        CHECK(all.find("the last note") != std::string::npos);
        CHECK(all.find("\u2026") == std::string::npos);
    }
}

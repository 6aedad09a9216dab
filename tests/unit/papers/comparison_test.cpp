// Before and after: every finding of both files is told once, the sums are right, and the page is always one.
#include "draw/draw.h"
#include "report/compare.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"
#include "unit/papers/paper_audit.h"
#include "unit/papers/random_kit.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace stoutloom;
using namespace stoutloom::papers_test;
using report::Fate;

namespace {

const std::string original = testing::tree_path("harnesses/library-van-original.xml");
const std::string planned = testing::tree_path("harnesses/library-van-planned.xml");

void audit(const report::Comparison& comparison, const report::PackOptions& options,
           const layout::TextMeasure& measure) {
    const layout::Document document = report::compare_page(comparison, options, measure);
    REQUIRE(document.pages.size() == 1);
    const layout::Page& page = document.pages.front();
    const AuditRules rules{.inside = {20.35, 10.35, page.width_mm - 30.7, page.height_mm - 20.7}};
    const auto all = complaints(page, rules);
    CHECK_MESSAGE(all.empty(), first_of(all));
}

} // namespace

TEST_CASE("a file beside itself: all stands and nothing is cured or new") {
    const auto kit = kit_of(original);
    const report::Comparison same = report::compare(kit->view, kit->view);
    CHECK(same.count(Fate::standing) == report::findings(kit->view).size());
    CHECK(same.findings.size() == same.count(Fate::standing));
    CHECK(same.count(Fate::standing) > 5);
    for (const report::CableChange& change : same.cables)
        CHECK_FALSE(change.changed);
    CHECK(same.copper_before_kg == same.copper_after_kg);
}

TEST_CASE("every finding of either file is told exactly once") {
    const auto before = kit_of(original), after = kit_of(planned);
    const report::Comparison told = report::compare(before->view, after->view);
    CHECK(told.count(Fate::cured) + told.count(Fate::part_gone) + told.count(Fate::standing) ==
          report::findings(before->view).size());
    CHECK(told.count(Fate::fresh) + told.count(Fate::standing) == report::findings(after->view).size());
    CHECK(told.count(Fate::cured) > 5);
    // The other way round, what was cured is new.
    const report::Comparison back = report::compare(after->view, before->view);
    CHECK(back.count(Fate::fresh) == told.count(Fate::cured) + told.count(Fate::part_gone));
    CHECK(back.count(Fate::standing) == told.count(Fate::standing));
}

TEST_CASE("copper is section times length times 8.89 g per cubic centimetre") { // IEC 60028, annealed copper
                                                                                // at 20 degC
    const auto kit = kit_of_text(testing::file_text(testing::tree_path("harnesses/first-kit.xml")));
    double grams = 0;
    for (const model::Cable& cable : kit->harness.cables)
        grams += cable.section_mm2.value * cable.length_m.value * cable.parallel * 8.89;
    const report::Comparison same = report::compare(kit->view, kit->view);
    CHECK(same.copper_after_kg == doctest::Approx(grams / 1000).epsilon(0.02));
    CHECK(same.copper_after_kg > 0);
}

TEST_CASE("a part that is left out takes its findings with it and does not count as cured") {
    const auto before = kit_of(original);
    const auto after = kit_of(testing::tree_path("harnesses/first-kit.xml"));
    const report::Comparison told = report::compare(before->view, after->view);
    CHECK(told.count(Fate::part_gone) > 0);
    for (const report::FindingChange& change : told.findings)
        if (change.fate == Fate::part_gone)
            CHECK_FALSE(
                model::find_device(*told.after->harness, change.before->subjects.front()).has_value());
}

TEST_CASE("text and JSON tell both verdicts and every cable") {
    const auto before = kit_of(original), after = kit_of(planned);
    const report::Comparison told = report::compare(before->view, after->view);
    const std::string text = report::compare_text(told), json = report::compare_json(told);
    for (const report::CableChange& change : told.cables) {
        CHECK(text.find("\n  " + change.id + " ") != std::string::npos);
        CHECK(json.find(fmt::format("\"id\": \"{}\"", change.id)) != std::string::npos);
    }
    CHECK(text.find("Cautions") != std::string::npos);
    CHECK(text.find("Not checked") != std::string::npos);
    CHECK(text.find("NOT FIT TO BUILD") != std::string::npos);
    CHECK(text == report::compare_text(report::compare(before->view, after->view)));
}

TEST_CASE("one page whatever the kits: examples, languages and random kits of any size pass the audit") {
    const auto lettering = draw::lettering();
    const auto before = kit_of(original), after = kit_of(planned);
    const report::Comparison told = report::compare(before->view, after->view);
    for (const auto language : {report::Language::english, report::Language::german, report::Language::french,
                                report::Language::spanish})
        for (const layout::Sheet sheet : {layout::Sheet::a4, layout::Sheet::letter}) {
            report::PackOptions options;
            options.sheet = sheet;
            options.language = language;
            audit(told, options, *lettering);
        }
    auto random = testing::random_source("compared kits");
    for (const int consumers : {1, 4, 12, 40}) {
        const std::string text = random_kit_text(random, consumers);
        const auto one = kit_of_text(text);
        const auto other = kit_of_text(random_kit_text(random, consumers));
        audit(report::compare(one->view, other->view), {}, *lettering);
    }
}

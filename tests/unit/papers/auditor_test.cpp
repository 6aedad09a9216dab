// The auditor itself must be able to complain, or its silence over the papers means nothing.
#include "draw/draw.h"
#include "layout/papers/pen.h"
#include "unit/papers/paper_audit.h"

#include <doctest/doctest.h>

using namespace stoutloom;
using namespace stoutloom::papers_test;
using layout::papers::Pen;

namespace {

struct Sample {
    std::unique_ptr<layout::TextMeasure> lettering = draw::lettering();
    layout::Page page{.id = "p", .title = {}, .label = {}, .width_mm = 100, .height_mm = 100, .elements = {}};
    AuditRules rules{.inside = {10, 10, 80, 80}};
    Pen pen(const std::string& id) { return Pen(id, layout::Role::label, *lettering); }
};

} // namespace

TEST_CASE("a clean page has no complaint") {
    Sample sample;
    Pen pen = sample.pen("a");
    pen.text({.at = {20, 30}, .words = "one"});
    pen.text({.at = {20, 36}, .words = "two"});
    pen.line({15, 40}, {80, 40}, 0.25);
    pen.put_on(sample.page);
    CHECK(complaints(sample.page, sample.rules).empty());
}

TEST_CASE(
    "small words - words over words - a line through words - a fill over words - outside - a double id") {
    const auto spoiled = [](const auto& spoil) {
        Sample sample;
        Pen pen = sample.pen("a");
        pen.text({.at = {20, 30}, .words = "word"});
        pen.put_on(sample.page);
        spoil(sample);
        return complaints(sample.page, sample.rules).size();
    };
    CHECK(spoiled([](Sample& sample) {
              Pen pen = sample.pen("b");
              pen.text({.at = {50, 50}, .words = "tiny", .height_mm = 2.4});
              pen.put_on(sample.page);
          }) == 1);
    CHECK(spoiled([](Sample& sample) {
              Pen pen = sample.pen("b");
              pen.text({.at = {21, 31}, .words = "word"});
              pen.put_on(sample.page);
          }) == 1);
    CHECK(spoiled([](Sample& sample) {
              Pen pen = sample.pen("b");
              pen.line({15, 29}, {40, 29}, 0.25);
              pen.put_on(sample.page);
          }) == 1);
    CHECK(spoiled([](Sample& sample) {
              Pen pen = sample.pen("b");
              pen.circle({22, 29}, 1.0, {.width_mm = 0.25});
              pen.put_on(sample.page);
          }) == 1);
    CHECK(spoiled([](Sample& sample) {
              Pen pen = sample.pen("b");
              pen.box({15, 20, 30, 20}, {.width_mm = 0, .fill = layout::Paint::white});
              pen.put_on(sample.page);
          }) == 1);
    CHECK(spoiled([](Sample& sample) {
              Pen pen = sample.pen("b");
              pen.line({5, 50}, {20, 50}, 0.25);
              pen.put_on(sample.page);
          }) == 1);
    CHECK(spoiled([](Sample& sample) {
              Pen pen = sample.pen("a");
              pen.line({15, 50}, {20, 50}, 0.25);
              pen.put_on(sample.page);
          }) == 1);
}

TEST_CASE("a line under a filled field does not trouble the words on it") {
    Sample sample;
    Pen pen = sample.pen("a");
    pen.line({15, 29}, {40, 29}, 0.25);
    pen.box({18, 25, 15, 8}, {.width_mm = 0.25, .fill = layout::Paint::white});
    pen.text({.at = {20, 30}, .words = "word"});
    pen.put_on(sample.page);
    CHECK(complaints(sample.page, sample.rules).empty());
}

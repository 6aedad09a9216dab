// How the sizing scales with the number of automatic cables, beside two references run here: one judgement of
// the same kit by all rules, and (where it ends) judging every choice. Prints ratios; it never decides.
#include "read/read.h"
#include "size/size.h"
#include "size/verdict.h"

#include "testing/ladder_kit.h"
#include "testing/testing.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <chrono>
#include <cmath>

using namespace stoutloom;

namespace {

double seconds(const auto& work) {
    const auto begin = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

/// The coach with its first so many cables automatic: two units, and grounds that share currents in loops.
std::string coach(int automatic) {
    std::string text = testing::file_text(testing::tree_path("harnesses/coach.xml"));
    std::size_t at = 0;
    for (int k = 0; k < automatic; ++k) {
        at = text.find("<cable id=", at);
        REQUIRE(at != std::string::npos);
        const std::size_t from = text.find("section=\"", at) + 9, to = text.find('"', from);
        text.replace(from, to - from, "auto");
        at = from;
    }
    return text;
}

void row(std::string_view kit, const std::string& text, int automatic) {
    const auto got = read::read_text(std::string(kit) + ".xml", text);
    REQUIRE(got);
    const model::Harness& harness = got->harness;
    const auto choices = size::choices_of(harness, size::marked(harness));
    REQUIRE(choices);
    double count = 1;
    for (const size::Choice& choice : choices->list)
        count *= static_cast<double>(choice.options.size());
    size::Judge judge(harness, *choices);
    size::Assignment largest;
    for (const size::Choice& choice : choices->list)
        largest.push_back(choice.options.size() - 1);
    // Anew: the judge keeps what it was asked before.
    model::Harness made = size::applied(harness, *choices, largest);
    const double once = seconds([&] { (void)judge.judge_kit(std::move(made)); });
    const size::SizeOptions plain{
        .too_small = false, .sensitivity = false, .relaxations = false, .limits = {}};
    std::optional<size::Sizing> sizing;
    const double whole = seconds([&] {
        if (auto found = size::size_kit(harness, plain))
            sizing = std::move(*found);
    });
    if (!sizing) {
        fmt::print("{}: {:4} of {} cables: no kit, told in {:8.1f} judgements\n", kit, automatic,
                   harness.cables.size(), whole / once);
        return;
    }
    fmt::print(
        "{}: {:4} of {} cables, 10^{:4.1f} choices: {:8.1f} judgements' time ({:.3f} s), {} judged, {} "
        "nodes, {}{}\n",
        kit, automatic, harness.cables.size(), std::log10(count), whole / once, whole,
        sizing->proof.questions, sizing->proof.effort.nodes, sizing->proven ? "proven" : "not proven",
        count < 1e3 ? fmt::format(", trying each {:.1f} x", count * once / whole) : "");
}

} // namespace

TEST_CASE("how the sizing scales with what is to be chosen") {
    for (const int automatic : {2, 5, 10, 20, 30, 40, 46})
        row("ladder", testing::LadderKit(7, automatic).text(), automatic);
}

TEST_CASE("how it scales where the grounds are a mesh") {
    for (const int automatic : {5, 10, 15, 20, 25, 30, 35, 40})
        row("coach", coach(automatic), automatic);
}

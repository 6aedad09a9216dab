// Kits of a few runs of cable that the stock cannot make good, and the brute force that what would free them
// is held to: it writes each change into the file as a workshop would and asks the check, and shares nothing
// with the search.
#pragma once

#include "check/check.h"
#include "read/read.h"
#include "size/size.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace stoutloom::testing {

/// A cable from a fuse-link to a consumer, as it is in the file and as it may be changed.
struct Run {
    double current_a = 40, fuse_a = 60, length_m = 4, ambient_degc = 30;
    bool critical = false;
    std::string insulation = "B";
    int parallel = 1;
    std::string section = "auto";
};
struct Kit {
    std::vector<Run> runs;
    std::vector<std::string> stock; // "2.5 mm2"
    std::string limit = {};

    std::string text() const {
        std::string parts, sections;
        for (const std::string& section : stock)
            sections += fmt::format(R"(<conductor section="{}"/>)", section);
        for (std::size_t i = 1; i <= runs.size(); ++i) {
            const Run& run = runs[i - 1];
            // Each fuse-link beside the battery; the return is thick. The hot stretch is half of the run.
            parts += fmt::format(
                R"(<zone id="hot{0}" ambient="{1} degC"/>
<fuse-link id="F{0}" type="C" zone="z" rating="{2} A" breaking-capacity="6 kA"><terminal id="a" stud="M8"/><terminal id="b" stud="M8"/></fuse-link>
<consumer id="E{0}" zone="z" draw="{3} A" critical="{4}"><terminal id="+" stud="M8"/><terminal id="-" stud="M10"/></consumer>
<cable id="A{0}" section="25 mm2" length="0.1 m"> <from at="G2.+"/> <to at="F{0}.a"/> </cable>
<cable id="W{0}" section="{5}" insulation="{6}" length="{7:.6g} m" parallel="{8}"> <from at="F{0}.b"/> <to at="E{0}.+"/>
  <route zone="z" length="{9:.6g} m"/> <route zone="hot{0}" length="{9:.6g} m"/> </cable>
<cable id="B{0}" section="70 mm2" length="0.3 m"> <from at="E{0}.-"/> <to at="G2.-"/> </cable>
)",
                i, run.ambient_degc, run.fuse_a, run.current_a, run.critical ? "yes" : "no", run.section,
                run.insulation, run.length_m, run.parallel, run.length_m / 2);
        }
        return fmt::format(R"(<harness xmlns="urn:stoutloom:harness:1" title="Kit">
<zone id="z" ambient="25 degC"/>
<battery id="G2" zone="z" capacity="200 Ah" cold-cranking="900 A"/>
<accept rule="lugs-per-stud" subject="G2.+" reason="a bus bar"/><accept rule="lugs-per-stud" subject="G2.-" reason="a bus bar"/>
{}{}<stock>{}</stock></harness>)",
                           parts, limit, sections);
    }
};

inline model::Harness read_kit(const Kit& kit) {
    auto got = read::read_text("kit.xml", kit.text());
    REQUIRE_MESSAGE(got, (got ? "" : got.error().mistakes.front().message + "\n" + kit.text()));
    return got->harness;
}

/// By the check alone. Three findings do not hang on the sizes: that a fuse-link of this type clears no such
/// fault before the cable is harmed; that parallel cables want a fuse-link each, which the change says; and
/// how the lugs of a doubled cable may land on a fuse-link, which is told beside the change.
inline bool fit(const Kit& kit) {
    const auto record = check::judge_all(check::gather(read_kit(kit), check::Depth::healthy));
    return std::none_of(record.judgements.begin(), record.judgements.end(), [](const check::Judgement& one) {
        const std::string_view rule = one.rule->slug;
        return one.verdict != check::Verdict::passes && !one.accepted &&
               one.severity != check::Severity::note && rule != "acceptance-used" &&
               rule != "fuse-coordination" && rule != "parallel-runs" && rule != "keyed-landing";
    });
}

/// What IEC 60228 has up to 50 mm2: where one of these frees a kit, no larger one is the least.
inline const std::vector<std::string> all_made = {"1.5", "2.5", "4", "6", "10", "16", "25", "35", "50"};

inline double mm2_of(const std::string& section) {
    return std::stod(section);
}
inline double copper_kg(const Kit& kit) { // 8.89 g/cm3
    double kg = 0;
    for (const Run& run : kit.runs)
        kg += 8.89e-3 * mm2_of(run.section) * run.length_m * run.parallel;
    return kg;
}

/// The least copper of all fit kits: every choice of sections, each run from its own list.
inline std::optional<Kit> least(Kit kit, const std::vector<std::vector<std::string>>& lists,
                                std::size_t run = 0) {
    if (run == kit.runs.size())
        return fit(kit) ? std::optional(kit) : std::nullopt;
    std::optional<Kit> best;
    for (const std::string& section : lists[run]) {
        kit.runs[run].section = section;
        const auto made = least(kit, lists, run + 1);
        if (made && (!best || copper_kg(*made) < copper_kg(*best) - 1e-9))
            best = made;
    }
    return best;
}

inline size::NoKit none_of(const Kit& kit) {
    const auto sizing = size::size_kit(read_kit(kit));
    REQUIRE_FALSE(sizing);
    REQUIRE(sizing.error().proven);
    return sizing.error();
}

/// Two runs that each lose too much, each in need of a change.
inline Kit two_runs() {
    return {
        .runs = {{.length_m = 3.4, .critical = true}, {.length_m = 4, .ambient_degc = 45, .critical = true}},
        .stock = {"6 mm2", "10 mm2"}};
}

} // namespace stoutloom::testing

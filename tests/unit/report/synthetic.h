// A checked harness whose figures are set by hand, so that the words are tested without the network behind
// them.
#pragma once

#include "read/read.h"
#include "report/report.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <memory>

namespace stoutloom::testing {

/// Owns what a report::Checked points into. Every duty has an operating point of zeros, every cable a rating
/// of 100 A and no worst duty, until the test says otherwise.
struct Synthetic {
    base::SourceText source;
    model::Harness harness;
    check::Facts facts;
    check::CheckRecord record;
    check::Rule rule{.slug = "made-up",
                     .usual = check::Severity::error,
                     .asks = "Is it made up?",
                     .source = "this test",
                     .cure = "make it real",
                     .explanation = "Nothing to explain.",
                     .subjects = nullptr,
                     .judge = nullptr};
    report::Checked checked;

    check::Judgement& judge(std::string subject, check::Verdict verdict, check::Severity severity) {
        check::Judgement judgement;
        judgement.rule = &rule;
        judgement.verdict = verdict;
        judgement.severity = severity;
        judgement.subjects = {std::move(subject)};
        judgement.message = "made up";
        record.judgements.push_back(judgement);
        return record.judgements.back();
    }
};

inline std::unique_ptr<Synthetic> synthetic(const std::string& xml) {
    auto made = std::make_unique<Synthetic>();
    auto read = read::read_text("kit.xml", xml);
    REQUIRE_MESSAGE(read.has_value(),
                    (read ? std::string() : base::shown(read.error().mistakes[0], read.error().source)));
    made->source = std::move(read->source);
    made->harness = std::move(read->harness);
    made->facts.harness = &made->harness;
    for (std::size_t d = 0; d < made->harness.duties.size(); ++d) {
        solve::OperatingPoint point;
        point.terminal_v.resize(made->harness.terminals.size());
        point.cables.resize(made->harness.cables.size());
        point.devices.resize(made->harness.devices.size());
        point.incidental_a.resize(made->harness.incidentals.size());
        made->facts.duties.push_back(
            {.duty = static_cast<model::DutyIndex>(d), .point = point, .unsolved = {}});
    }
    for (std::size_t c = 0; c < made->harness.cables.size(); ++c) {
        solve::CableRating rating;
        rating.ampacity_a = 110;
        rating.usable_a = 100;
        made->facts.ratings.push_back(rating);
        made->facts.worst.emplace_back();
    }
    made->facts.topology = check::topology_of(made->harness);
    made->checked = {
        .source = &made->source, .harness = &made->harness, .facts = &made->facts, .record = &made->record};
    return made;
}

/// A kit of one battery, one lamp and two cables; `units` and the sections are the test's.
inline std::string small_kit(const std::string& units = "metric", const std::string& section = "35 mm2",
                             const std::string& length = "1.60 m", const std::string& origin = "new") {
    return R"(<?xml version="1.0" encoding="UTF-8"?>
<harness xmlns="urn:stoutloom:harness:1" title="Small kit" drawing="SK-1" nominal="12 V" units=")" +
           units + R"(">
  <zone id="box" label="Box" ambient="45 degC"/>
  <battery id="G2" label="Battery" zone="box" capacity="70 Ah" cold-cranking="640 A"/>
  <consumer id="E1" label="Work lamp" zone="box" power="55 W"/>
  <cable id="W1" section=")" +
           section + R"(" insulation="C" colour="RD" length=")" + length + R"(" origin=")" + origin + R"(">
    <from at="G2.+" lug="post"/> <to at="E1.+"/>
  </cable>
  <cable id="W2" section="35 mm2" insulation="C" colour="BK" length="1.60 m" origin="new">
    <from at="E1.-"/> <to at="G2.-" lug="post"/>
  </cable>
</harness>
)";
}

} // namespace stoutloom::testing

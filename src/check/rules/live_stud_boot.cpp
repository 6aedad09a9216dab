// live-stud-boot. Has every unfused live stud near grounded metal an insulating boot?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

namespace stoutloom::check {
namespace {

// Bare metal that stands at battery volts with no fuse-link before it. Posts with a clamp count like studs.
std::vector<std::size_t> live_studs(const Facts& facts) {
    const model::Harness& harness = *facts.harness;
    std::vector<bool> unfused(static_cast<std::size_t>(facts.topology.node_count), false);
    for (const model::DeviceIndex battery : devices_of(harness, model::DeviceKind::battery)) {
        const auto plus = model::terminal_of(harness, battery, model::Role::positive);
        if (!plus)
            continue;
        const auto near = reached_from(facts.topology, facts.topology.node(*plus),
                                       [](const Link& link) { return !link.fuse_link; });
        for (std::size_t node = 0; node < near.size(); ++node)
            unfused[node] = unfused[node] || near[node];
    }
    std::vector<std::size_t> studs;
    for (std::size_t t = 0; t < harness.terminals.size(); ++t) {
        const model::Terminal& terminal = harness.terminals[t];
        const bool bare_metal = terminal.stud.kind == base::FastenerKind::stud ||
                                terminal.stud.kind == base::FastenerKind::taper_post;
        if (!terminal.implicit && bare_metal && facts.topology.side_of_terminal[t] == Side::feed &&
            unfused[static_cast<std::size_t>(facts.topology.node_of_terminal[t])])
            studs.push_back(t);
    }
    return studs;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> addresses;
    for (const std::size_t t : live_studs(facts))
        addresses.push_back(facts.harness->terminals[t].address);
    return addresses;
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const std::size_t t : live_studs(facts)) {
        const model::Terminal& terminal = facts.harness->terminals[t];
        const base::Span span = terminal.span.end > terminal.span.begin
                                    ? terminal.span
                                    : facts.harness->device(terminal.device).span;
        Judgement judgement = about(terminal.address, span, {});
        if (terminal.near_ground && !terminal.booted) {
            judgement.message = fmt::format(
                "{} is live with no fuse-link before it, has no boot, and grounded metal is within a "
                "spanner's reach",
                terminal.address);
            judgements.fails(std::move(judgement));
        } else {
            judgement.message =
                fmt::format("{} is live without a fuse-link; {}", terminal.address,
                            terminal.booted ? "it has a boot" : "the file names no grounded metal near it");
            judgements.passes(std::move(judgement));
        }
    }
}

} // namespace

extern const Rule rule_live_stud_boot;
const Rule rule_live_stud_boot{
    .slug = "live-stud-boot",
    .usual = Severity::warning,
    .asks = "Has every unfused live stud near grounded metal an insulating boot?",
    .source = "common practice, no source: exposed energised studs near metal are booted",
    .cure = "an insulating boot, slid back over the stud after tightening",
    .explanation =
        R"(A spanner from an unfused live stud to the bracket beside it carries what the battery can give, thousands of
amperes, until something melts. The file says where that can happen: near-ground="yes" on the terminal; and what
is done against it: booted="yes".
Example: B+ of a larger unit now sits 15 mm from the block: boot it, and disconnect battery minus before work.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check

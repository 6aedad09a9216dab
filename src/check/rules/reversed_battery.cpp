// reversed-battery. When a battery or jump leads are put on the wrong way round, does a fuse-link save the
// cables?
#include "check/reversal.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using model::DeviceKind;

std::vector<std::string> subjects(const Facts& facts) {
    return generators(facts);
}

std::string range_words(const Reversal& one) {
    const std::string least = one.least_a < 1 ? "up" : amps_down(one.least_a);
    return fmt::format("{} to {} by {}", least, amps_up(one.greatest_a), one.what);
}

std::string times_words(const Reversal& one) {
    if (one.opened.empty())
        return "nothing lasts";
    return fmt::format("{} {} within {}", listed(one.opened),
                       one.opened.size() == 1 ? "opens" : "open in turn",
                       base::shown_up(one.within_s, 2, "s"));
}

// The worst of one kind: one that nothing cuts before all others, then the greatest current.
const Reversal* worst_of_kind(const std::vector<Reversal>& all, bool jump) {
    const Reversal* worst = nullptr;
    for (const Reversal& one : all)
        if ((one.leads_a > 0) == jump &&
            (worst == nullptr || one.safe() < worst->safe() ||
             (one.safe() == worst->safe() && one.greatest_a > worst->greatest_a)))
            worst = &one;
    return worst;
}

const std::string& donor_words() {
    static const std::string words = fmt::format(
        "jump leads reckoned as 2 x {:.0f} m of {:.0f} mm2 from a charged battery of {:.0f} A cold "
        "cranking",
        Donor::lead_length_m, Donor::lead_section_mm2, Donor::cold_cranking_a);
    return words;
}

void tell_failing(const Facts& facts, DeviceIndex unit, const std::vector<Reversal>& all, Judgement judgement,
                  Judgements& judgements) {
    std::vector<std::string> words;
    bool links = false, jump = false, uncut = false;
    const Reversal* harmed = nullptr;
    for (const bool kind : {false, true})
        if (const Reversal* one = worst_of_kind(all, kind); one != nullptr && !one->safe()) {
            words.push_back(range_words(*one));
            links |= !one->links.empty();
            jump |= kind;
            uncut |= !one->cleared;
            if (one->cleared)
                harmed = one;
        }
    judgement.message = fmt::format("backwards through the diodes of {}: {}; ",
                                    named(facts.harness->device(unit)), listed(words));
    if (uncut)
        judgement.message += "no fuse-link on the way is sure to open within a minute";
    else
        judgement.message +=
            fmt::format("with the kit's other batteries and loads in the circuit {} carries {} for longer "
                        "than it stands",
                        facts.harness->cable(harmed->harmed->first).id, amps_up(harmed->harmed->second));
    if (!uncut)
        judgement.subjects.push_back(facts.harness->cable(harmed->harmed->first).id);
    if (jump)
        judgement.message += fmt::format(" ({})", donor_words());
    for (const FeedPath& feed : facts.topology.feeds)
        if (facts.harness->device(feed.source).kind() == DeviceKind::battery && feed.fuse_links.empty() &&
            !links)
            judgement.subjects.push_back(facts.harness->cable(feed.cable).id);
    judgement.yields_to = {"cable-unprotected"};
    judgements.fails(std::move(judgement));
}

void judge_unit(const Facts& facts, DeviceIndex unit, Judgements& judgements) {
    const model::Device& device = facts.harness->device(unit);
    Judgement judgement = about(device.id, device.span, {});
    const auto all = reversals_of(facts, unit);
    if (!all) {
        judgement.message = fmt::format("{}: {}", named(device), all.error().message);
        judgements.cannot_tell(std::move(judgement));
        return;
    }
    if (all->empty()) {
        judgement.message = fmt::format("{} meets no battery", named(device));
        judgements.passes(std::move(judgement));
        return;
    }
    for (const DeviceIndex battery : devices_of(*facts.harness, DeviceKind::battery))
        judgement.subjects.push_back(facts.harness->device(battery).id);
    const Reversal* own = worst_of_kind(*all, false);
    const Reversal* jump = worst_of_kind(*all, true);
    if (own != nullptr)
        judgement.values = {{"greatest_a", own->greatest_a}, {"least_a", own->least_a}};
    if (jump != nullptr) {
        judgement.values["jump_greatest_a"] = jump->greatest_a;
        judgement.values["jump_least_a"] = jump->least_a;
        judgement.values["jump_leads_a"] = jump->leads_a;
    }
    if ((own != nullptr && !own->safe()) || (jump != nullptr && !jump->safe())) {
        tell_failing(facts, unit, *all, std::move(judgement), judgements);
        return;
    }
    std::vector<std::string> words;
    for (const Reversal* one : {own, jump})
        if (one != nullptr)
            words.push_back(fmt::format("{} ({})", range_words(*one), times_words(*one)));
    judgement.message =
        fmt::format("backwards through the diodes of {}: {}: they may be lost, the cables are not",
                    named(device), listed(words));
    if (jump != nullptr)
        judgement.message += fmt::format("; {}; into a good battery the leads themselves carry up to {}",
                                         donor_words(), amps_up(jump->leads_a));
    judgements.passes(std::move(judgement));
}

void judge(const Facts& facts, Judgements& judgements) {
    for (const DeviceIndex unit : devices_of(*facts.harness, DeviceKind::generator))
        judge_unit(facts, unit, judgements);
}

} // namespace

extern const Rule rule_reversed_battery;
const Rule rule_reversed_battery{
    .slug = "reversed-battery",
    .usual = Severity::warning,
    .asks = "When a battery or jump leads are put on the wrong way round, does a fuse-link save the cables?",
    .source =
        "the rectifier of a charging unit conducts from its negative to its positive stud; solved network "
        "less two diodes of a volt each",
    .cure = "a fuse-link in the charging feed that is sure to open at that current",
    .explanation =
        R"(A battery the wrong way round meets six diodes that all point its way: the unit is a dead short of two diode drops.
The charging cable carries what battery and cable let through until something opens. A fuse-link in that feed, sure
to open at that current within a minute, saves the cables (seldom the diodes). Where several feeds share the current,
each link gets its own share; when one has opened, the others carry all of it, and their slowest times add up.
Jump leads the wrong way round do the same with the donor's current. Reckoned at each battery and at each live post
with jump-start="yes": a charged battery of 760 A cold cranking, 2 x 3 m of 25 mm2; at the least three quarters charged and aged,
warm leads and a milliohm at each clamp. The kit's own battery counts as dead then. With a good one in place
the leads themselves carry the most, and that figure is told too.
Asked is the least such current, a weak battery at a quarter charge and hot cables, against the slowest specimen: alone,
and with the kit's other batteries full and its loads on. Those hold the volts up or pull them down, so that less goes
through the diodes and a link may take longer or never open; then every cable must stand what it carries until then.
Example: 760 A battery, 5.6 m of 95 mm2 and the return: 600 A at the least through a 225 A cube: 2.7 times, within
20 s.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check

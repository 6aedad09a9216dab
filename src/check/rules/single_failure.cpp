// single-failure. When one part comes off or opens, does anything burn that should not?
#include "check/faults.h"
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

std::vector<std::string> subjects(const Facts& facts) {
    return facts.faults ? facts.faults->asked : std::vector<std::string>{};
}

// The gravest few; the report's list has the rest.
std::string told_words(const FaultTold& told) {
    constexpr std::size_t most = 3;
    const std::vector<std::string> words = condensed(told);
    std::string text;
    for (std::size_t i = 0; i < std::min(most, words.size()); ++i)
        text += (text.empty() ? "" : "; ") + words[i];
    if (words.size() > most)
        text += fmt::format("; and {} more", words.size() - most);
    return text;
}

std::string cure_words(const FaultTold& told) {
    switch (told.consequences.front().harm) {
    case Harm::incidental:
        return "a second strap or return beside the one that can come off, each able to carry it all";
    case Harm::overheats:
        return "a cable that stands what it then gets, or a fuse-link in it that opens first, or its return "
               "on the "
               "far side of the part that can come off";
    case Harm::part:
        return "a part rated for what it then gets";
    case Harm::overvoltage:
    case Harm::lost_sense:
        return "sense at the battery the unit feeds, with no switch between";
    case Harm::load_dump:
        return "no switch between unit and battery, or one that breaks the unit's field first; look after "
               "these "
               "joints first";
    case Harm::limit:
        return told.consequences.front().cure;
    default:
        return "look at these joints first at each service";
    }
}

void judge(const Facts& facts, Judgements& judgements) {
    if (!facts.faults)
        return;
    for (const FaultTold& told : facts.faults->told) {
        Judgement judgement = about(told.failed.front(), told.span, {});
        judgement.subjects = told.failed;
        judgement.duty = told.consequences.front().duty;
        judgement.message = fmt::format("{}: {}", told.what, told_words(told));
        judgement.cure = cure_words(told);
        if (const Consequence& worst = told.consequences.front();
            worst.limit > 0 && worst.harm != Harm::link_opens) {
            judgement = with_figures(
                std::move(judgement), {.computed = worst.value, .limit = worst.limit}, worst.unit,
                worst.harm == Harm::limit ? fmt::format("limit of rule {}", worst.rule)
                                          : fmt::format("what {} stands", worst.subject));
            judgement.at_worst = worst.at_worst;
            judgement.subjects.push_back(worst.subject);
        }
        // A run of several is that rule's own matter where its fuse-link does not save the others.
        if (told.one_run)
            judgement.yields_to = {"parallel-runs"};
        if (!told.like.empty())
            judgement.message = fmt::format(
                "{}: does the harm that the loss of {} alone does, and is told there", told.what, told.like);
        if (told.grave == Grave::nothing || !told.like.empty())
            judgements.passes(std::move(judgement));
        else
            judgements.fails(std::move(judgement),
                             told.grave == Grave::burns ? Severity::warning : Severity::note);
    }
    for (const std::string& name : facts.faults->harmless) {
        const std::string id = name.substr(name.rfind(' ') == std::string::npos ? 0 : name.rfind(' ') + 1);
        judgements.passes(
            about(id, {}, fmt::format("{} lost: nothing leaves its limits and nothing goes dead", name)));
    }
    for (const std::string& what : facts.faults->unsolved) {
        Judgement judgement = about(what.substr(0, what.find(' ')), {}, what);
        judgements.cannot_tell(std::move(judgement), Severity::warning);
    }
}

} // namespace

extern const Rule rule_single_failure;
const Rule rule_single_failure{
    .slug = "single-failure",
    .usual = Severity::warning,
    .asks = "When one part comes off or opens, does anything burn that should not?",
    .source = "common practice, no source: no single loose nut may start a fire; the same limits as for the "
              "healthy kit",
    .cure = "a second way, a fuse-link that opens in time, or a return on the far side of the part that can "
            "come off",
    .explanation =
        R"(Nuts work loose and fuse-links open. Each cable, run of parallel cables, fuse-link, contact and shunt is opened in turn
in every duty, and so are the joints that are more than one cable's: the nut of a stud with several lugs (all of them off
and apart), the metal of a mass at such a stud and a battery post (their lugs still together), the seat of a unit on the
mass it stands on (one factor of the healthy network, a rank-one update for each branch), as built and at the worst of
ageing and tolerance. Then every rule that has a meaning is asked again: does a
cable carry more than it may, does a hinge or throttle cable carry what a strap carried, does a switch or push-on blade
get more than its rating, who loses volts, do two masses part, does the unit lose its battery (its volts leap) or its
sense.
What only goes dead or out of comfort is no finding: it stands in the report's list of single failures. What burns is a
warning, unless a fuse-link in that very cable is sure to open first; the loss of battery or sense is a note, and so is
what would be an error of the healthy kit, but a warning when a hand on a switch can do it. Parts in series have the
same consequences and are one line; a nut whose harm one of its cables does alone is told there.
Example: radio returned straight to battery negative by 2.5 mm2. The battery's body strap works loose: while cranking,
120 A find the radio's wire, 5 times what it may, and its insulation is on fire before the engine runs.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check

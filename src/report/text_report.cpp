// The report for people: what is wrong first, then the figures behind it, then what was taken for granted.
#include "report/report.h"

#include "physics/thermal.h"
#include "report/text_tables.h"
#include "report/words.h"

#include <fmt/format.h>

#include <cmath>
#include <set>

namespace stoutloom::report {
namespace {

constexpr std::size_t page_width = 100;

std::string heading(std::string_view title) {
    return fmt::format("\n{}\n", title);
}

std::string header(const Checked& checked) {
    const model::Harness& harness = *checked.harness;
    std::vector<std::string> facts;
    if (!harness.drawing.empty())
        facts.push_back("drawing " + harness.drawing);
    if (!harness.variant.empty())
        facts.push_back(fmt::format("variant {} ({})", harness.variant, one_line(harness.variant_label)));
    facts.push_back("revision " + harness.revision);
    facts.push_back(base::shown(harness.nominal_v.value, 0, base::Rounding::nearest, "V"));
    facts.emplace_back(harness.profile == model::Profile::boat ? "boat profile" : "vehicle profile");
    return wrapped(harness.title, page_width, "", "  ") + "  " + checked.source->path() + "\n" +
           wrapped(joined(facts, ", "), page_width, "  ", "  ");
}

std::string finding_text(const Checked& checked, const check::Judgement& judgement) {
    const base::Position at = checked.source->position(judgement.span.begin);
    const char* doubt = judgement.verdict == check::Verdict::cannot_tell ? "cannot tell: " : "";
    const std::string& variant = checked.harness->variant;
    std::string text =
        wrapped(fmt::format("{}:{}:{}: {}: {}: {}{}{}", checked.source->path(), at.line, at.column,
                            check::severity_name(judgement.severity), judgement.rule->slug,
                            variant.empty() ? "" : "[" + variant + "] ", doubt, judgement.message),
                page_width, "", "    ");
    if (judgement.has_figures && std::isfinite(judgement.computed) && std::isfinite(judgement.limit)) {
        const ShownPair pair = shown_pair(judgement.computed, judgement.limit, judgement.unit, false);
        text += wrapped(
            fmt::format("computed {}, limit {} ({})", pair.computed, pair.limit, judgement.limit_source),
            page_width, "    ", "      ");
    }
    if (!judgement.duty.empty())
        text += wrapped(fmt::format("in duty: {}{}", judgement.duty, judgement.at_worst ? ", at worst" : ""),
                        page_width, "    ", "      ");
    if (judgement.accepted)
        text += wrapped("accepted in the file: " + judgement.accepted_reason, page_width, "    ", "      ");
    const std::string cure = judgement.cure.empty() ? std::string(judgement.rule->cure) : judgement.cure;
    if (!cure.empty())
        text += wrapped("cure: " + cure, page_width, "    ", "      ");
    return text;
}

std::string findings_text(const Checked& checked, std::string_view between) {
    std::string all;
    for (const check::Judgement& judgement : findings(checked)) {
        if (!all.empty())
            all += between;
        all += finding_text(checked, judgement);
    }
    return all;
}

std::string margin_text(const Checked& checked) {
    const model::LimitInForce margin = model::limit_in_force(*checked.harness, "installed-margin");
    std::string text = fmt::format("\"usable\" is {} of what the heat model allows, because ",
                                   base::shown_down(margin.value * 100, 0, "%"));
    text += margin.from_file ? margin.source : std::string(physics::installed_margin_reason);
    return wrapped(
        text +
            ". \"used\" is load over usable; load, temperature and drop are the all-day duty that heats "
            "the cable most, as built. \"At worst\" is the same with joints at the end of their life, "
            "cables 5 % longer, set points at the top or the bottom of their tolerance and whatever choice "
            "of consumers is worst; the rules are asked of each and the worst answer counts.",
        page_width, "  ", "  ");
}

std::string duties_text(const Checked& checked) {
    std::string all;
    for (const model::Duty& duty : checked.harness->duties) {
        std::string line = fmt::format(
            "{}: {}; {} curve, battery at {} charge", duty.id, duty_words(duty), duty.hot ? "hot" : "cold",
            base::shown(duty.charge_fraction.value * 100, 0, base::Rounding::nearest, "%"));
        if (duty.built_in)
            line += "; built in";
        all += wrapped(line, page_width, "  ", "      ");
    }
    return all;
}

std::string rules_text(const Checked& checked) {
    std::set<std::string_view> asked;
    for (const check::Judgement& judgement : checked.record->judgements)
        asked.insert(judgement.rule->slug);
    std::vector<std::string> silent;
    for (const check::Rule* rule : check::all_rules())
        if (!asked.contains(rule->slug))
            silent.emplace_back(rule->slug);
    const Tally count = tally(checked);
    std::string text = wrapped(fmt::format("{} rules asked, {} answers, {} of them pass.", asked.size(),
                                           count.judgements, count.passes),
                               page_width, "  ", "  ");
    if (!silent.empty())
        text += wrapped("Nothing here to ask about: " + joined(silent, ", ") + ".", page_width, "  ", "  ");
    return text;
}

std::string list_text(const std::vector<std::string>& lines) {
    std::string all;
    for (const std::string& line : lines)
        all += wrapped(line, page_width, "  - ", "    ");
    return all;
}

std::string verdict(const Checked& checked) {
    const Tally count = tally(checked);
    const std::string words = tally_words(count);
    const bool several = checked.harness != nullptr && !checked.harness->variant.empty();
    const std::string path =
        checked.source->path() + (several ? " [variant " + checked.harness->variant + "]" : std::string());
    if (checked.mistakes != nullptr)
        return fmt::format("{}: not read: {}\n", path, words);
    if (count.judgements == 0 && count.errors == 0)
        return fmt::format("{}: NOT CHECKED: no rule had anything to say\n", path);
    if (!count.clean())
        return fmt::format("{}: NOT FIT TO BUILD: {}\n", path, words);
    return fmt::format("{}: no errors: {}\n", path, words);
}

} // namespace

std::string check_text(const Checked& checked, const TextOptions& options) {
    std::string all;
    if (checked.mistakes != nullptr) {
        for (const base::Diagnostic& mistake : *checked.mistakes)
            all += base::shown(mistake, *checked.source);
        return all + verdict(checked);
    }
    if (options.brief)
        return findings_text(checked, "") + verdict(checked);
    const std::string found = findings_text(checked, "\n");
    all += header(checked);
    all += heading("Findings: " + tally_words(tally(checked))) + found;
    all += heading("Cables") + cable_table(checked) + margin_text(checked);
    all += heading("Sources by duty (battery current: + charging, - discharging)") + source_table(checked);
    if (const std::string table = charging_table(checked); !table.empty())
        all += heading("Charging: what the battery really gets") + table;
    if (const std::string table = balance_table(checked); !table.empty())
        all += heading("Battery balance (+ charging, - discharging)") + table;
    const std::string consumers = consumer_table(checked);
    if (!consumers.empty())
        all += heading("Consumers at their lowest volts") + consumers;
    if (const std::string table = return_table(checked); !table.empty())
        all += heading("Ways back: cable alone, metal, paths nobody meant") + table;
    if (const std::string list = fault_list(checked); !list.empty())
        all += heading("Single failures") + list;
    if (const std::string table = dirty_joint_table(checked); !table.empty())
        all += heading("A joint gone to ten times its resistance") + table;
    if (const std::string table = short_table(checked); !table.empty())
        all += heading("Short circuits to ground: prospective current") + table;
    if (const std::string table = reach_table(checked); !table.empty())
        all += heading("A spanner between a stud and what is in its reach: prospective current") + table;
    all += heading("Duties solved") + duties_text(checked);
    all += heading("Rules") + rules_text(checked);
    if (options.every_judgement)
        all += heading("Every answer") + judgement_record(checked);
    all += heading("Taken as not given") + defaults_table(checked);
    all += heading("Not checked") + list_text(not_checked());
    all += heading("Cautions") + list_text(cautions());
    return all + "\n" + verdict(checked);
}

} // namespace stoutloom::report

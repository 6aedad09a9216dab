#include "report/size_text.h"

#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::report {
namespace {

constexpr std::size_t page_width = 100;

std::string heading(std::string_view title) {
    return fmt::format("\n{}\n", title);
}

std::string kilograms(double kg) {
    return base::shown_up(kg, 2, "kg");
}

std::string share_left(const size::Figure& figure) {
    if (figure.unit.empty() || figure.limit == 0)
        return "-";
    return base::shown_down(100 * (1 - figure.computed / figure.limit), 0, "%");
}

std::string header(const Sized& sized) {
    return wrapped(sized.harness->title, page_width, "", "  ") + "  " + sized.source->path() + "\n" +
           (sized.harness->variant.empty() ? "" : "  variant " + sized.harness->variant + "\n");
}

std::string choices_table(const size::Sizing& sizing) {
    Table table(
        {{"part"}, {"was"}, {"chosen"}, {"order code"}, {"copper", true}, {"what binds"}, {"left", true}});
    for (const size::Chosen& chosen : sizing.chosen) {
        const bool cable = chosen.kind == size::ChoiceKind::section;
        std::string binds = chosen.smaller_text.empty() ? "least in stock" : "-";
        if (chosen.kind == size::ChoiceKind::lug)
            binds = "its stud";
        std::string left = "-";
        if (!chosen.smaller_breaks.empty())
            binds = fmt::format("{} {}", chosen.smaller_breaks.front().rule,
                                chosen.smaller_breaks.front().subject);
        if (!chosen.binding.empty())
            left = share_left(chosen.binding.front());
        table.row({chosen.id, chosen.before.empty() ? "auto" : chosen.before, chosen.text,
                   chosen.order_code.empty() ? "-" : chosen.order_code,
                   cable ? kilograms(chosen.copper_kg) : "-", binds, left});
    }
    return table.text("  ");
}

/// "16 mm2: no M5 lug for it", "25 mm2: no M5 lug for it" told once: "16 mm2, 25 mm2: no M5 lug for it".
std::vector<std::string> by_reason(const std::vector<std::string>& left_out) {
    std::vector<std::string> told;
    std::string_view last;
    for (const std::string& one : left_out) {
        const std::size_t colon = std::min(one.find(": "), one.size());
        const std::string_view reason = std::string_view(one).substr(colon);
        if (!told.empty() && reason == last)
            told.back().insert(told.back().size() - reason.size(), ", " + one.substr(0, colon));
        else
            told.push_back(one);
        last = reason;
    }
    return told;
}

std::string lugs_table(const size::Sizing& sizing) {
    Table table({{"cable"}, {"at"}, {"lug"}, {"order code"}, {"count", true}});
    for (const size::LugToOrder& lug : sizing.lugs)
        table.row({lug.cable, lug.at, lug.text, lug.order_code.empty() ? "-" : lug.order_code,
                   std::to_string(lug.count)});
    return table.text("  ");
}

std::string smaller_text(const size::Sizing& sizing) {
    std::string text;
    for (const size::Chosen& chosen : sizing.chosen) {
        if (chosen.smaller_breaks.empty())
            continue;
        text +=
            wrapped(fmt::format("{} of {} instead of {}: {}: {}", chosen.id, chosen.smaller_text, chosen.text,
                                chosen.smaller_breaks.front().rule, chosen.smaller_breaks.front().message),
                    page_width, "  - ", "    ");
        if (chosen.smaller_breaks.size() > 1)
            text += fmt::format("    and {} more\n", chosen.smaller_breaks.size() - 1);
    }
    return text;
}

std::string left_out_text(const size::Sizing& sizing) {
    std::string text;
    for (const size::Chosen& chosen : sizing.chosen)
        if (!chosen.left_out.empty())
            text += wrapped(fmt::format("{}: {}", chosen.id, joined(by_reason(chosen.left_out), "; ")),
                            page_width, "  - ", "    ");
    return text;
}

std::string counted(std::int64_t count, std::string_view one, std::string_view several) {
    return fmt::format("{} {}", count, count == 1 ? one : several);
}

std::string proof_words(const size::SearchProof& proof, const size::ExplainEffort& effort) {
    return fmt::format(
        "{} judged by all rules; {} rows were known beforehand and {} learnt from bad choices "
        "({} of them sums over the sizes, {} proven by intervals, {} by rules without currents, {} of one "
        "choice "
        "alone); "
        "{} of branch and bound opened {} nodes, closed {} by their bound and {} by a row.",
        counted(proof.questions, "choice was", "choices were"), proof.rows_at_start, proof.rows_learnt,
        effort.by_sums, effort.by_bounds, effort.by_rule, effort.single,
        counted(proof.trees, "tree", "trees"), proof.effort.nodes, proof.effort.bounded,
        proof.effort.impossible);
}

/// The bound in kilograms or in the stock's money, rounded down.
std::string not_proven(const size::Sizing& sizing) {
    const double bound = static_cast<double>(sizing.proof.lower_bound) / size::cost_scale;
    return fmt::format(
        "The search was ended by its limit. This kit clears every rule; a {} one may exist, but none "
        "under {}.",
        sizing.by_price ? "cheaper" : "lighter",
        sizing.by_price ? base::shown_number(bound / 100, 2, base::Rounding::down)
                        : base::shown_number(bound / 1e4, 2, base::Rounding::down) + " kg");
}

std::string standing_text(const std::vector<size::Standing>& standing) {
    if (standing.empty())
        return {};
    std::string text = heading("Findings that stand whatever is chosen (sizes do not cure them)");
    for (const size::Standing& one : standing)
        text += wrapped(fmt::format("{}: {}", one.rule, one.message), page_width, "  - ", "    ");
    return text;
}

std::string unneeded_text(const size::Sizing& sizing) {
    if (sizing.unneeded.empty())
        return {};
    return heading("Acceptances that cover nothing with these sizes: take them out of the file") +
           wrapped(joined(sizing.unneeded, "; "), page_width, "  - ", "    ");
}

std::string sensitivity_text(const size::Sizing& sizing) {
    if (sizing.sensitivity.empty())
        return {};
    std::string text = heading("What would change it");
    std::vector<std::string> hold;
    for (const size::Sensitivity& line : sizing.sensitivity) {
        if (line.holds)
            hold.push_back(line.what);
        else
            text += wrapped(fmt::format("{}: {}", line.what, line.breaks), page_width, "  - ", "    ");
    }
    if (!hold.empty())
        text += wrapped("still fit: " + joined(hold, "; "), page_width, "  - ", "    ");
    return text;
}

/// What writing sets in other kits, and how each of them stands with it.
std::string others_text(const std::vector<size::OtherKit>& others) {
    if (others.empty())
        return {};
    std::string text = heading("Shared with other kits of the file: written for one, set for all");
    for (const size::OtherKit& other : others)
        text += wrapped(fmt::format("kit {}: {}; {}", other.variant, joined(other.shared, ", "), other.state),
                        page_width, "  - ", "    ");
    return text;
}

std::string answer_text(const Sized& sized) {
    const size::Sizing& sizing = *sized.sizing;
    if (sizing.chosen.empty())
        return wrapped("Nothing is marked auto, so nothing was chosen. Mark a section, a rating, a stud or a "
                       "lug with \"auto\", or "
                       "let "
                       "--too-small choose what the check finds too small.",
                       page_width, "  ", "  ");
    std::string text = heading(sizing.by_price ? "Chosen: least price" : "Chosen: least copper");
    text += choices_table(sizing);
    std::string total = fmt::format("copper of the chosen cables {}", kilograms(sizing.copper_kg));
    if (sizing.by_price)
        total += fmt::format(", price {}{}", base::shown_number(sizing.price, 2, base::Rounding::up),
                             sizing.lugs_priced ? " with the lugs" : " without lugs");
    text += wrapped(total + "; from " + sizing.stock, page_width, "  ", "  ");
    if (!sizing.lugs_unpriced.empty())
        text +=
            wrapped("Lugs are left out of the price: " + sizing.lugs_unpriced + ".", page_width, "  ", "  ");
    if (!sizing.lugs.empty())
        text += heading("Lugs from stock") + lugs_table(sizing);
    if (const std::string smaller = smaller_text(sizing); !smaller.empty())
        text += heading("Why no smaller") + smaller;
    if (const std::string left_out = left_out_text(sizing); !left_out.empty())
        text += heading("Left out of the choice") + left_out;
    text += heading("Proof");
    text += wrapped(sizing.proven ? fmt::format("Nothing {} clears every rule: proven.",
                                                sizing.by_price ? "cheaper" : "lighter")
                                  : not_proven(sizing),
                    page_width, "  ", "  ");
    text += wrapped(proof_words(sizing.proof, sizing.effort), page_width, "  ", "  ");
    return text + standing_text(sizing.standing) + unneeded_text(sizing) + sensitivity_text(sizing) +
           others_text(sized.others);
}

/// "charging-drop G1, feed: Do the charging unit's volts arrive at the battery?" A rule's own question tells
/// what it is about to one who does not know its name; once for each rule.
std::string conflict_words(const std::string& rule, std::vector<std::string>& explained) {
    const std::string slug = rule.substr(0, rule.find(' '));
    const check::Rule* known = check::rule_by_slug(slug);
    if (known == nullptr || std::find(explained.begin(), explained.end(), slug) != explained.end())
        return wrapped(rule, page_width, "  - ", "    ");
    explained.push_back(slug);
    return wrapped(fmt::format("{}: {} What usually mends it: {}.", rule, known->asks, known->cure),
                   page_width, "  - ", "    ");
}

/// Rules that no choice keeps by themselves, then those that it keeps apart but not together.
std::string conflicts_text(const size::NoKit& none) {
    std::string alone, together;
    std::size_t count = 0;
    std::vector<std::string> explained;
    for (const size::Conflict& conflict : none.conflicts) {
        if (conflict.size() == 1) {
            alone += conflict_words(conflict.front(), explained);
            ++count;
        }
    }
    for (const size::Conflict& conflict : none.conflicts) {
        if (conflict.size() == 1)
            continue;
        together +=
            heading("Rules that no choice keeps together (one of them less, and a choice keeps the others)");
        for (const std::string& rule : conflict)
            together += conflict_words(rule, explained);
    }
    if (count > 0)
        alone.insert(0, heading(count == 1 ? "The rule that no choice keeps"
                                           : "Rules that no choice keeps, each by itself"));
    if (none.more_conflicts)
        together += "  There are more; mend these first.\n";
    return alone + together;
}

std::string refusal(const Sized& sized) {
    const size::NoKit& none = *sized.none;
    std::string text = wrapped("NO KIT: " + none.message, page_width, "  ", "    ");
    text += conflicts_text(none);
    if (!none.relaxations.empty()) {
        text += heading("What would free it, least copper first; any one of these");
        for (const size::Relaxation& one : none.relaxations)
            text +=
                wrapped(fmt::format("{} (then {} of copper{})", one.what, kilograms(one.copper_kg),
                                    one.brings.empty() ? std::string()
                                                       : "; to be seen to then: " + joined(one.brings, ", ")),
                        page_width, "  - ", "    ");
    } else if (none.proven) {
        text += wrapped(
            "No change that was tried frees it: a chosen cable, or two of them, doubled, of a section "
            "that the stock lacks, of a shorter run, with a better insulation; one on a cooler "
            "route; all of them doubled, or of larger sections; a drop "
            "limit of the conflict doubled. Look at the way the kit is wired: another way for "
            "the current, a part moved nearer, a unit or consumer that takes less.",
            page_width, "  ", "  ");
    }
    if (none.relaxing_ended)
        text += wrapped("Not everything was tried: the work for this has a limit. What is not told here may "
                        "still free it.",
                        page_width, "  ", "  ");
    return text + standing_text(none.standing);
}

} // namespace

std::string size_text(const Sized& sized) {
    return header(sized) + (sized.sizing != nullptr ? answer_text(sized) : refusal(sized));
}

} // namespace stoutloom::report

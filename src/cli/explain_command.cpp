// `stoutloom explain`: the rules, one rule, or one cable of a file worked through.
#include "cli/commands.h"

#include "base/diagnostic.h"

#include <fmt/format.h>

namespace stoutloom::cli {

const Grammar explain_grammar{
    .command = "explain",
    .purpose = "tells what the rules ask and why, or works through one cable of a file",
    .words = "[RULE | FILE CABLE]",
    .least_words = 0,
    .most_words = 2,
    .options = {variant_option("which kit of a file with variants")},
    .epilogue =
        "explain                  lists the rules\n"
        "explain cable-ampacity   tells one rule: question, source, formula with numbers, what to do\n"
        "explain kit.xml W1       works through cable W1 of kit.xml"};

namespace {

int explain_one_rule(const std::string& slug) {
    if (slug == report::duty_unsolved_rule().slug)
        return deliver("-", report::explain_rule(report::duty_unsolved_rule()), {});
    if (const check::Rule* rule = check::rule_by_slug(slug))
        return deliver("-", report::explain_rule(*rule), {});
    std::vector<std::string> slugs;
    for (const check::Rule* rule : check::all_rules())
        slugs.emplace_back(rule->slug);
    const std::string nearest = base::nearest_name(slug, slugs);
    return wrong_usage(explain_grammar,
                       nearest.empty()
                           ? fmt::format("there is no rule \"{}\"", slug)
                           : fmt::format("there is no rule \"{}\"; did you mean \"{}\"?", slug, nearest));
}

} // namespace

int run_explain(const Arguments& arguments) {
    if (arguments.words.empty())
        return deliver("-", report::explain_all(), {});
    if (arguments.words.size() == 1)
        return explain_one_rule(arguments.words.front());
    const auto file = one_kit(explain_grammar, arguments, arguments.words[0]);
    if (!file)
        return exit_trouble;
    const auto cable = model::find_cable(file->harness, arguments.words[1]);
    if (!cable) {
        std::vector<std::string> ids;
        for (const model::Cable& one : file->harness.cables)
            ids.push_back(one.id);
        const std::string nearest = base::nearest_name(arguments.words[1], ids);
        return wrong_usage(
            explain_grammar,
            fmt::format("{} has no cable \"{}\"{}", arguments.words[0], arguments.words[1],
                        nearest.empty() ? std::string() : fmt::format("; did you mean \"{}\"?", nearest)));
    }
    return deliver("-", report::explain_cable(file->view, *cable), {});
}

} // namespace stoutloom::cli

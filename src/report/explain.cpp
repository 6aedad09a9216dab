// `stoutloom explain`: what a rule asks and why.
#include "report/report.h"

#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::report {
namespace {

constexpr std::size_t page_width = 100;

std::string para(std::string_view text) {
    return wrapped(text, page_width, "  ", "  ");
}
// The rules' explanations come broken at the width of a source line: sentences are joined again, while blank
// lines, formula lines (which begin with a blank) and worked examples keep a line of their own.
std::string reflowed(std::string_view text) {
    std::string all, open;
    const auto close = [&] {
        if (!open.empty())
            all += para(open);
        open.clear();
    };
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        const std::string_view line = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (line.empty() || line.front() == ' ' || line.starts_with("Example"))
            close();
        if (line.empty())
            all += "\n";
        else if (line.front() == ' ')
            all += "  " + one_line(line) + "\n";
        else
            open += (open.empty() ? "" : " ") + std::string(line);
    }
    close();
    return all;
}

} // namespace

std::string explain_rule(const check::Rule& rule) {
    std::string text = fmt::format("{} ({})\n", rule.slug, check::severity_name(rule.usual));
    text += para(rule.asks);
    text += "\n" + para("Source: " + std::string(rule.source)) + "\n";
    text += reflowed(rule.explanation);
    text += "\n" + para("What mends it: " + std::string(rule.cure));
    return text;
}

std::string explain_all() {
    std::size_t widest = 4;
    for (const check::Rule* rule : check::all_rules())
        widest = std::max(widest, rule->slug.size());
    std::string text;
    for (const check::Rule* rule : check::all_rules()) {
        const std::string first =
            fmt::format("  {:<{}}  {:<7}  ", rule->slug, widest, check::severity_name(rule->usual));
        text += wrapped(rule->asks, page_width, first, std::string(first.size(), ' '));
    }
    return fmt::format("{} rules; \"stoutloom explain RULE\" tells one in full.\n\n",
                       check::all_rules().size()) +
           text;
}

} // namespace stoutloom::report

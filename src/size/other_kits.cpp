#include "size/other_kits.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::size {
namespace {

bool has_value_at(const model::Harness& harness, const base::Span& span) {
    const auto any = [](const auto& list, auto holds) {
        return std::any_of(list.begin(), list.end(), holds);
    };
    return any(harness.cables,
               [&](const model::Cable& cable) {
                   return cable.section_span == span || cable.from.lug_span == span ||
                          cable.to.lug_span == span;
               }) ||
           any(harness.terminals,
               [&](const model::Terminal& terminal) { return terminal.stud_span == span; }) ||
           any(harness.devices, [&](const model::Device& device) {
               const auto* link = std::get_if<model::FuseLink>(&device.data);
               return link != nullptr && link->rating_a.span == span;
           });
}

std::string first_of(const std::vector<std::string>& all) {
    return all.size() < 2 ? all.front() : fmt::format("{} and {} more", all.front(), all.size() - 1);
}

/// Sizes of its own are left to choose: does any choice keep the rules?
void size_the_rest(const model::Harness& written, OtherKit& kit) {
    const auto rest = size_kit(
        written,
        {.too_small = false, .sensitivity = false, .relaxations = false, .limits = {}, .failures = {}});
    kit.good = rest.has_value();
    if (rest)
        kit.state = fmt::format("{} of its own still to choose, and that can be done",
                                rest->chosen.size() == 1 ? "one size" : "sizes");
    else
        kit.state = fmt::format("sizes of its own still to choose, and {}{}", rest.error().message,
                                rest.error().conflicts.empty()
                                    ? std::string()
                                    : fmt::format(" ({})", first_of(rest.error().conflicts.front())));
}

void check_whole(const model::Harness& written, OtherKit& kit) {
    const check::Facts facts = check::gather(written);
    const check::CheckRecord record = check::judge_all(facts);
    std::vector<std::string> errors;
    for (const check::Judgement& judgement : record.judgements)
        if (counts(judgement) && judgement.severity == check::Severity::error)
            errors.push_back(fmt::format("{}: {}", judgement.rule->slug, judgement.message));
    kit.good = record.clean();
    kit.state = kit.good ? "checked with them, no errors"
                         : "not fit to build" + (errors.empty() ? std::string() : ", " + first_of(errors));
}

} // namespace

std::vector<std::string> shared_values(const Sizing& sizing, const model::Harness& other) {
    std::vector<std::string> shared;
    for (const Chosen& chosen : sizing.chosen)
        if (has_value_at(other, chosen.span))
            shared.push_back(chosen.id);
    return shared;
}

OtherKit state_of(const model::Harness& written, std::vector<std::string> shared) {
    OtherKit kit{.variant = written.variant, .shared = std::move(shared), .good = false, .state = {}};
    const Automatic open = marked(written);
    if (open.cables.empty() && open.fuse_links.empty() && open.studs.empty() && open.lugs.empty())
        check_whole(written, kit);
    else
        size_the_rest(written, kit);
    return kit;
}

} // namespace stoutloom::size

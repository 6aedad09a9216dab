#include "size/looser_limits.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::size {
namespace {

bool named(const std::vector<Conflict>& conflicts, const LooserLimit& looser) {
    return std::any_of(conflicts.begin(), conflicts.end(),
                       [&](const Conflict& conflict) { return looser.helps(conflict); });
}

/// Feed, return and both together: one cannot be loosened without the sum.
LooserLimit loop_limits(const model::Harness& harness, std::string_view what, std::string_view who) {
    LooserLimit looser{.limits = {},
                       .price_of_it = fmt::format("that is for you to decide, the {} gets so much less", who),
                       .rule = fmt::format("{}-drop ", what)};
    for (const char* part : {"feed", "return", "loop"}) {
        const std::string name = fmt::format("{}-{}-drop", what, part);
        looser.limits.push_back(
            {.told = name, .name = name, .from_v = model::limit_in_force(harness, name).value});
    }
    return looser;
}

} // namespace

bool LooserLimit::helps(const Conflict& conflict) const {
    return std::any_of(conflict.begin(), conflict.end(),
                       [&](const std::string& one) { return one.starts_with(rule); });
}

std::vector<LooserLimit> looser_limits(const model::Harness& harness,
                                       const std::vector<Conflict>& conflicts) {
    std::vector<LooserLimit> all = {loop_limits(harness, "charging", "battery"),
                                    loop_limits(harness, "cranking", "starter")};
    for (std::size_t i = 0; i < harness.limits.size(); ++i) {
        const model::Limit& limit = harness.limits[i];
        if (!limit.from || !limit.to)
            continue;
        const std::string &from = harness.terminal(*limit.from).address,
                          &to = harness.terminal(*limit.to).address;
        all.push_back({.limits = {{.told = fmt::format("from {} to {}", from, to),
                                   .name = {},
                                   .own = i,
                                   .from_v = limit.value.value}},
                       .price_of_it = "it is the file's own, for you to decide",
                       .rule = fmt::format("limit-drop {} to {}", from, to)});
    }
    std::erase_if(all, [&](const LooserLimit& looser) { return !named(conflicts, looser); });
    return all;
}

void set_limit(model::Harness& harness, const DropLimit& limit) {
    if (limit.name.empty()) {
        harness.limits[limit.own].value.value = limit.to_v;
        return;
    }
    for (model::Limit& given : harness.limits)
        if (given.name == limit.name) {
            given.value.value = limit.to_v;
            return;
        }
    model::Limit added;
    added.name = limit.name;
    added.value.value = limit.to_v;
    harness.limits.push_back(std::move(added));
}

} // namespace stoutloom::size

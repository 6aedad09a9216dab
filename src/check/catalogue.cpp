// The list of rules, generated from the folder: no rule registers itself, none can be forgotten by the
// linker.
#include "check/check.h"

#include <algorithm>
#include <array>

namespace stoutloom::check {

#define RULE(stem) extern const Rule rule_##stem;
#include "rules.inc"
#undef RULE

std::span<const Rule* const> all_rules() {
    static constexpr std::array rules = {
#define RULE(stem) &rule_##stem,
#include "rules.inc"
#undef RULE
    };
    return rules;
}

const Rule* rule_by_slug(std::string_view slug) {
    const auto rules = all_rules();
    const auto found =
        std::find_if(rules.begin(), rules.end(), [&](const Rule* rule) { return rule->slug == slug; });
    return found == rules.end() ? nullptr : *found;
}

} // namespace stoutloom::check

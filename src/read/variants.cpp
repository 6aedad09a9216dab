#include "read/variants.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::read {
namespace {

// Parts share one space of ids; zones, duties and landings have one each; limits go by their name.
std::string key_of(const Node& node) {
    const std::string_view name = node.row->name;
    if (name == "limit") {
        const GivenAttribute* limit = node.given("name");
        return limit == nullptr ? std::string() : "limit " + limit->value.text;
    }
    const GivenAttribute* id = node.given("id");
    if (id == nullptr)
        return {};
    const bool own = name == "zone" || name == "duty" || name == "landing";
    return fmt::format("{} {}", own ? name : "part", id->value.text);
}

} // namespace

std::vector<std::uint32_t> variants_of(const Form& form) {
    std::vector<std::uint32_t> all;
    if (form.nodes.empty())
        return all;
    for (const std::uint32_t index : form.nodes.front().children)
        if (form.nodes[index].row->name == "variant")
            all.push_back(index);
    return all;
}

Form with_variant(const Form& form, std::uint32_t variant, Complaints& complaints) {
    Form made = form;
    std::vector<std::uint32_t>& children = made.nodes.front().children;
    children.erase(
        std::remove_if(children.begin(), children.end(),
                       [&](std::uint32_t index) { return made.nodes[index].row->name == "variant"; }),
        children.end());
    const std::vector<std::uint32_t> base = children;
    const auto place_of_key = [&](const std::string& key) {
        return std::find_if(children.begin(), children.end(), [&](std::uint32_t index) {
            return !key.empty() && std::find(base.begin(), base.end(), index) != base.end() &&
                   key_of(made.nodes[index]) == key;
        });
    };
    for (const std::uint32_t index : form.nodes[variant].children) {
        const Node& node = form.nodes[index];
        if (node.row->name != "without") {
            if (const auto old = place_of_key(key_of(node)); old != children.end())
                *old = index;
            else
                children.push_back(index);
            continue;
        }
        const std::string id = node.text("of");
        bool found = false;
        for (const char* space : {"part", "zone", "duty", "landing"})
            if (const auto old = place_of_key(fmt::format("{} {}", space, id));
                old != children.end() && !found) {
                children.erase(old);
                found = true;
            }
        if (!found && node.given("of") != nullptr) {
            std::vector<std::string> known;
            for (const std::uint32_t other : base)
                if (const GivenAttribute* given = form.nodes[other].given("id"))
                    known.push_back(given->value.text);
            complaints.meaning("unknown-id", node.given("of")->span,
                               fmt::format("there is no \"{}\" to leave out", id),
                               nearest_or(complaints, id, known, "write the id of a part of the file"));
        }
    }
    return made;
}

} // namespace stoutloom::read

// What the workshop can buy: the lists of the file and, under them, those of a stock file that several kits
// share.
#include "read/making.h"

#include <fmt/format.h>

namespace stoutloom::read {
namespace {

model::Ordering ordering_of(const Node& node) {
    model::Ordering ordering{.code = node.text("order"), .price = {}};
    if (const GivenAttribute* price = node.given("price"))
        ordering.price = price->value.number;
    return ordering;
}

std::optional<model::Written> written(const Node& node, std::string_view attribute) {
    const GivenAttribute* one = node.given(attribute);
    if (one == nullptr)
        return std::nullopt;
    return model::Written{
        .value = one->value.number, .given = true, .text = one->value.text, .span = one->span};
}

void add(const Form& form, const Node& list, model::Stock& stock) {
    for (const std::uint32_t index : list.children) {
        const Node& node = form.nodes[index];
        if (node.row->name == "link") {
            if (const auto rating = written(node, "rating"))
                stock.links.push_back(
                    {.type = node.text("type"), .rating_a = *rating, .ordering = ordering_of(node)});
            continue;
        }
        if (node.row->name == "sleeve") {
            const auto expanded = written(node, "expanded"), recovered = written(node, "recovered");
            if (expanded && recovered)
                stock.sleeves.push_back({.expanded_m = expanded->value,
                                         .recovered_m = recovered->value,
                                         .lined = node.yes("lined"),
                                         .ordering = ordering_of(node)});
            continue;
        }
        const auto section = written(node, "section");
        if (!section)
            continue;
        if (node.row->name == "conductor")
            stock.conductors.push_back({.section_mm2 = *section, .ordering = ordering_of(node)});
        else
            stock.lugs.push_back(
                {.section_mm2 = section->value, .stud = node.text("stud"), .ordering = ordering_of(node)});
    }
}

} // namespace

void check_stock(const Form& form, const Node& list, Complaints& complaints) {
    for (const std::uint32_t index : list.children) {
        const Node& node = form.nodes[index];
        const GivenAttribute* expanded = node.given("expanded");
        const GivenAttribute* recovered = node.given("recovered");
        if (expanded != nullptr && recovered != nullptr && recovered->value.number >= expanded->value.number)
            complaints.meaning("sleeve-bore", recovered->span,
                               fmt::format("the sleeve is no narrower shrunk ({}) than as sold ({})",
                                           recovered->value.text, expanded->value.text),
                               "give the bore as sold in expanded and the shrunk one in recovered");
    }
}

void make_stock(Making& making, const Form* included) {
    at_most_one(making, "stock");
    const auto found = making.all("stock");
    if (found.empty()) {
        making.assume("stock", "built-in list of sections, fuse-links, lugs and heat-shrink",
                      "the file gives no stock");
        return;
    }
    model::Stock& stock = making.harness.stock;
    stock.given = true;
    stock.file = found.front()->text("file");
    // Its own lists come first: of two of one size the one written here is taken.
    check_stock(making.form, *found.front(), making.complaints);
    add(making.form, *found.front(), stock);
    if (included != nullptr && !included->nodes.empty())
        add(*included, included->nodes.front(), stock);
}

} // namespace stoutloom::read

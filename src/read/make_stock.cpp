// What the workshop can buy: the lists of the file and, under them, those of a stock file that several kits
// share.
#include "read/making.h"

#include <fmt/format.h>

#include <map>

namespace stoutloom::read {
namespace {

/// What a list holds so far. Of two entries for one thing neither is known to be the right price, so a list
/// has each thing once.
class Listed {
  public:
    /// The entry for the same thing that stands before; nothing: there is none, and this one is noted.
    const Node* same_before(const Node& node) {
        const GivenAttribute* size = node.given(node.row->name == "link"     ? "rating"
                                                : node.row->name == "sleeve" ? "expanded"
                                                                             : "section");
        if (size == nullptr)
            return nullptr;
        std::string kind = fmt::format("{} {}{}", node.row->name, node.text("type"), node.text("stud"));
        if (const GivenAttribute* recovered = node.given("recovered"))
            kind += fmt::format("{:.5f} m {}", recovered->value.number, node.yes("lined"));
        auto& sizes = sizes_[kind];
        const double number = size->value.number;
        // As near as sizes are told apart when the stock is used (size/stock.cpp).
        if (const auto near = sizes.lower_bound(number * (1 - 5e-4));
            near != sizes.end() && near->first <= number * (1 + 5e-4))
            return near->second;
        sizes.emplace(number, &node);
        return nullptr;
    }

  private:
    std::map<std::string, std::map<double, const Node*>> sizes_;
};

/// "conductor of 35 mm2", "link SF51 of 150 A", "lug of 35 mm2 for M8"
std::string named(const Node& node) {
    if (node.row->name == "link")
        return fmt::format("link {} of {}", node.text("type"), node.text("rating"));
    if (node.row->name == "sleeve")
        return fmt::format("{}sleeve of {} to {}", node.yes("lined") ? "lined " : "", node.text("expanded"),
                           node.text("recovered"));
    const std::string of = fmt::format("{} of {}", node.row->name, node.text("section"));
    return node.row->name == "lug" ? of + " for " + node.text("stud") : of;
}

/// "the one before has order CB-35 and price 11.20"
std::string told_apart(const Node& before) {
    const std::string order = before.text("order"), price = before.text("price");
    if (order.empty() && price.empty())
        return "the one before has neither code nor price";
    return fmt::format("the one before has {}{}{}", order.empty() ? "" : "order " + order,
                       order.empty() || price.empty() ? "" : " and ", price.empty() ? "" : "price " + price);
}

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

/// `listed`: what another list, which goes first, has already.
void add(const Form& form, const Node& list, Listed& listed, model::Stock& stock) {
    for (const std::uint32_t index : list.children) {
        const Node& node = form.nodes[index];
        if (listed.same_before(node) != nullptr)
            continue;
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
    Listed listed;
    for (const std::uint32_t index : list.children) {
        const Node& node = form.nodes[index];
        if (const Node* before = listed.same_before(node))
            complaints.meaning("stock-twice", node.name,
                               fmt::format("{} is listed twice in this stock", named(node)),
                               fmt::format("keep one of them; {}", told_apart(*before)));
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
    // Its own lists come first: of two for one thing the one written here is taken.
    check_stock(making.form, *found.front(), making.complaints);
    Listed listed;
    add(making.form, *found.front(), listed, stock);
    if (included != nullptr && !included->nodes.empty())
        add(*included, included->nodes.front(), listed, stock);
}

} // namespace stoutloom::read

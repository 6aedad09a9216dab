#include "size/stock.h"

#include "physics/conductor.h"
#include "physics/fuselink.h"
#include "physics/joint.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace stoutloom::size {
namespace {

constexpr std::array<std::string_view, 5> metric_studs_on_sale = {"M5", "M6", "M8", "M10", "M12"};
constexpr std::array<std::string_view, 5> us_studs_on_sale = {"#10", "1/4 in", "5/16 in", "3/8 in", "1/2 in"};

/// Of ratings too.
bool same_section(double a, double b) {
    return std::abs(a - b) <= 5e-4 * std::max(a, b);
}

template <class Item, class Key> void sort_and_thin(std::vector<Item>& items, Key key) {
    std::stable_sort(items.begin(), items.end(),
                     [&](const Item& a, const Item& b) { return key(a) < key(b); });
    const auto same = [&](const Item& a, const Item& b) { return same_section(key(a), key(b)); };
    items.erase(std::unique(items.begin(), items.end(), same), items.end());
}

} // namespace

std::vector<StockSection> sections_of(const model::Harness& harness) {
    std::vector<StockSection> sections;
    for (const model::StockConductor& listed : harness.stock.conductors)
        sections.push_back({.section_mm2 = listed.section_mm2.value,
                            .text = listed.section_mm2.text,
                            .price_per_m = listed.ordering.price,
                            .order_code = listed.ordering.code});
    if (sections.empty()) {
        const auto built_in =
            harness.units == model::UnitSystem::us ? physics::awg_stock_mm2() : physics::metric_stock_mm2();
        for (const double section_mm2 : built_in)
            sections.push_back({.section_mm2 = section_mm2, .text = base::shown_section(section_mm2)});
    }
    sort_and_thin(sections, [](const StockSection& section) { return section.section_mm2; });
    return sections;
}

std::vector<StockRating> ratings_of(const model::Harness& harness, std::string_view type) {
    std::vector<StockRating> ratings;
    for (const model::StockLink& listed : harness.stock.links)
        if (listed.type == type)
            ratings.push_back({.rating_a = listed.rating_a.value,
                               .text = listed.rating_a.text,
                               .price = listed.ordering.price,
                               .order_code = listed.ordering.code});
    if (harness.stock.links.empty())
        if (const physics::FuseType* known = physics::fuse_type_by_name(type))
            for (const double rating_a : known->ratings_a) {
                const int decimals = rating_a == std::floor(rating_a) ? 0 : 1;
                ratings.push_back({.rating_a = rating_a,
                                   .text = base::shown(rating_a, decimals, base::Rounding::nearest, "A")});
            }
    sort_and_thin(ratings, [](const StockRating& rating) { return rating.rating_a; });
    return ratings;
}

std::vector<base::Fastener> studs_of(const model::Harness& harness) {
    std::vector<base::Fastener> studs;
    const auto add = [&](std::string_view name) {
        const auto size = base::fastener_by_name(name);
        const bool known = std::any_of(studs.begin(), studs.end(),
                                       [&](const base::Fastener& stud) { return stud.name == name; });
        if (size && size->kind == base::FastenerKind::stud && !known)
            studs.push_back(*size);
    };
    for (const model::StockLug& lug : harness.stock.lugs)
        add(lug.stud);
    if (harness.stock.lugs.empty())
        for (const std::string_view name :
             harness.units == model::UnitSystem::us ? us_studs_on_sale : metric_studs_on_sale)
            add(name);
    std::stable_sort(studs.begin(), studs.end(), [](const base::Fastener& a, const base::Fastener& b) {
        return a.diameter_m < b.diameter_m;
    });
    return studs;
}

std::vector<base::Fastener> lugs_for(const model::Harness& harness, const base::Fastener& stud) {
    if (stud.kind != base::FastenerKind::stud || harness.stock.lugs.empty())
        return {stud};
    std::vector<base::Fastener> lugs;
    for (const base::Fastener& lug : studs_of(harness))
        if (base::matches(lug, stud))
            lugs.push_back(lug);
    return lugs;
}

const model::StockLug* listed_lug(const model::Harness& harness, double section_mm2,
                                  const base::Fastener& lug) {
    const model::StockLug* best = nullptr; // of several barrels the one made for just this section
    for (const model::StockLug& listed : harness.stock.lugs) {
        if (listed.stud != lug.name || !physics::barrel_takes(listed.section_mm2, section_mm2))
            continue;
        if (same_section(listed.section_mm2, section_mm2))
            return &listed;
        best = best == nullptr ? &listed : best;
    }
    return best;
}

bool lug_in_stock(const model::Harness& harness, double section_mm2, const base::Fastener& lug) {
    if (lug.kind != base::FastenerKind::stud)
        return true;
    if (harness.stock.lugs.empty())
        return physics::lug_exists(section_mm2, lug);
    return listed_lug(harness, section_mm2, lug) != nullptr;
}

model::Ordering conductor_ordering(const model::Harness& harness, const model::Cable& cable) {
    if (!cable.automatic && cable.build == model::CableBuild::cable)
        for (const model::StockConductor& listed : harness.stock.conductors)
            if (same_section(listed.section_mm2.value, cable.section_mm2.value))
                return listed.ordering;
    return {};
}

model::Ordering link_ordering(const model::Harness& harness, const model::FuseLink& link) {
    if (!link.automatic)
        for (const model::StockLink& listed : harness.stock.links)
            if (listed.type == link.type && same_section(listed.rating_a.value, link.rating_a.value))
                return listed.ordering;
    return {};
}

std::string stock_source(const model::Harness& harness) {
    if (!harness.stock.file.empty())
        return "the stock of " + harness.stock.file;
    if (harness.stock.given)
        return "the stock of this file";
    return harness.units == model::UnitSystem::us ? "the built-in stock: gauges of ASTM B258, fuse-links on "
                                                    "general sale after ISO 8820, lugs by barrel"
                                                  : "the built-in stock: sections of IEC 60228 as sold to "
                                                    "ISO 6722, fuse-links after ISO 8820, lugs by barrel";
}

} // namespace stoutloom::size

// The shopping list: what the new cables, their ends and the fuse-links need, counted from the same cuts as
// the cut list.
#include "report/papers/contents.h"
#include "report/papers/id_ranges.h"
#include "report/papers/reel_plan.h"

#include "physics/conductor.h"
#include "physics/fuselink.h"
#include "report/words.h"
#include "size/stock.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::report {
namespace {

using layout::papers::TableBlock;

/// One line of the list: kind, what, how many, what for.
struct Item {
    std::string group; // CSV: "cable", "end", "sleeve", "fuse-link", "boot"
    std::string what;
    model::Ordering ordering; // from the file's stock; price of one, or of a metre where there is a length
    std::size_t count = 0;
    double length_m = 0; // of all together, where it is sold by length
    std::vector<double> rank;
    std::vector<std::string> cables;

    std::optional<double> price() const {
        if (!ordering.price)
            return std::nullopt;
        return *ordering.price * (length_m > 0 ? length_m : static_cast<double>(count));
    }
};
/// So many of one thing for a cable or part.
struct Need {
    std::string group, what;
    model::Ordering ordering;
    std::size_t count = 1;
    double length_m = 0;           // of one
    std::vector<double> rank = {}; // a list runs as shelves and catalogues do: by kind, then by size
};

std::vector<Item> by_rank(std::vector<Item> items) {
    std::stable_sort(items.begin(), items.end(),
                     [](const Item& a, const Item& b) { return a.rank < b.rank; });
    return items;
}

void add(std::vector<Item>& items, const Need& need, const std::string& cable) {
    auto found = std::find_if(items.begin(), items.end(), [&](const Item& item) {
        return item.what == need.what && item.ordering.code == need.ordering.code &&
               item.ordering.price == need.ordering.price;
    });
    if (found == items.end())
        found = items.insert(items.end(), {.group = need.group,
                                           .what = need.what,
                                           .ordering = need.ordering,
                                           .count = 0,
                                           .length_m = 0,
                                           .rank = need.rank,
                                           .cables = {}});
    found->count += need.count;
    found->length_m += need.length_m * static_cast<double>(need.count);
    if (found->cables.empty() || found->cables.back() != cable)
        found->cables.push_back(cable);
}

std::string end_name(const Voice& voice, const model::Cable& cable, const model::CableEnd& end) {
    const double section = end.barrel_mm2 ? end.barrel_mm2->value : cable.section_mm2.value;
    const std::string barrel = end.barrel_mm2
                                   ? base::shown_number(section, 0, base::Rounding::nearest) + " mm²"
                                   : voice.section(cable);
    switch (end.lug.kind) {
    case base::FastenerKind::stud:
        return voice.say(Phrase::end_ring, {voice.size(end.lug), barrel});
    case base::FastenerKind::taper_post: {
        const bool negative = voice.harness().terminal(end.at).role == model::Role::negative;
        return voice.say(negative ? Phrase::end_clamp_negative : Phrase::end_clamp_positive, {barrel});
    }
    case base::FastenerKind::blade:
        return voice.say(Phrase::end_blade, {voice.fastener(end.lug.name), barrel});
    case base::FastenerKind::plug:
        return voice.say(Phrase::end_plug, {barrel});
    case base::FastenerKind::splice:
        return voice.say(Phrase::end_splice, {barrel});
    }
    return end.lug.name;
}

std::vector<Item> ends_needed(const Voice& voice, const std::vector<CutCable>& cuts) {
    std::vector<Item> items;
    for (const CutCable& cut : cuts) {
        const model::Cable& cable = voice.harness().cable(cut.cable);
        for (const model::CableEnd* end : {&cable.from, &cable.to}) {
            const double section = end->barrel_mm2 ? end->barrel_mm2->value : cable.section_mm2.value;
            const model::StockLug* listed = size::listed_lug(voice.harness(), section, end->lug);
            add(items,
                {.group = "end",
                 .what = end_name(voice, cable, *end),
                 .ordering = listed != nullptr ? listed->ordering : model::Ordering{},
                 .count = static_cast<std::size_t>(cut.pieces),
                 .rank = {static_cast<double>(end->lug.kind), section, end->lug.diameter_m}},
                cable.id);
        }
    }
    return by_rank(std::move(items));
}

std::vector<Item> sleeves_needed(const Voice& voice, const std::vector<CutCable>& cuts) {
    std::vector<Item> items;
    for (const CutCable& cut : cuts) {
        if (!cut.sleeved)
            continue;
        for (const CutEndFigures* end : {&cut.from, &cut.to}) {
            const auto pieces = static_cast<std::size_t>(cut.pieces);
            Need need{.group = "sleeve", .what = {}, .ordering = {}, .count = pieces};
            if (cut.section_known) {
                need.what = sleeve_size(voice, *end, SleeveUse::shop);
                need.ordering = end->sleeve ? end->sleeve->ordering : model::Ordering{};
                need.length_m = end->sleeve_m;
                if (end->sleeve)
                    need.rank = {end->sleeve->expanded_m, end->sleeve->recovered_m};
            } else
                need.what = voice.say(Phrase::section_open);
            add(items, need, voice.harness().cable(cut.cable).id);
        }
    }
    return by_rank(std::move(items));
}

/// ", ISO 8820-3:2015" where the type is a letter of a standard: "C 5 A" alone buys nothing.
std::string standard_words(const model::FuseLink& link) {
    const physics::FuseType* type = physics::fuse_type_by_name(link.type);
    return type != nullptr && type->standard.starts_with("ISO") ? ", " + std::string(type->standard) : "";
}

std::vector<Item> fuse_links_needed(const Voice& voice) {
    std::vector<Item> items;
    std::vector<std::string> types; // in the order of the file
    for (const model::Device& device : voice.harness().devices) {
        const auto* link = std::get_if<model::FuseLink>(&device.data);
        if (link == nullptr)
            continue;
        const std::string rating = link->automatic
                                       ? voice.say(Phrase::rating_open)
                                       : base::shown(link->rating_a.value, 0, base::Rounding::nearest, "A");
        const auto type = std::find(types.begin(), types.end(), link->type);
        const auto place = static_cast<double>(type - types.begin());
        if (type == types.end())
            types.push_back(link->type);
        add(items,
            {.group = "fuse-link",
             .what = voice.told(link->type) + " " + rating + standard_words(*link),
             .ordering = size::link_ordering(voice.harness(), *link),
             .rank = {place, link->automatic ? 0 : link->rating_a.value}},
            device.id);
    }
    return by_rank(std::move(items));
}

std::vector<Item> boots_needed(const Voice& voice) {
    std::vector<Item> items;
    for (const model::Terminal& terminal : voice.harness().terminals)
        if (terminal.booted)
            add(items,
                {.group = "boot",
                 .what = terminal.stud.kind == base::FastenerKind::taper_post
                             ? voice.say(Phrase::boot_for_post)
                             : voice.say(Phrase::boot_for, {voice.size(terminal.stud)}),
                 .ordering = {},
                 .rank = {static_cast<double>(terminal.stud.kind), terminal.stud.diameter_m}},
                "−" + true_minus(terminal.address));
    return by_rank(std::move(items));
}

std::string price_words(const std::optional<double>& price) {
    return price ? base::shown_number(*price, 2, base::Rounding::up) : std::string();
}

bool any_ordering(const std::vector<Item>& items) {
    return std::any_of(items.begin(), items.end(), [](const Item& item) {
        return !item.ordering.code.empty() || item.ordering.price.has_value();
    });
}

/// What a list is called, what its things are called, and whom they are for.
struct ListWords {
    Phrase caption, what, for_whom;
};

/// Order codes and prices stand only where the file's stock gives some.
TableBlock item_table(const Voice& voice, const ListWords& words, const std::vector<Item>& items) {
    const auto right = layout::Anchor::right;
    const bool by_length =
        std::any_of(items.begin(), items.end(), [](const Item& item) { return item.length_m > 0; });
    const bool ordered = any_ordering(items);
    TableBlock table{.caption = voice.say(words.caption),
                     .columns = {{.title = voice.say(words.what), .width_mm = 95},
                                 {.title = voice.say(Phrase::column_count), .width_mm = 18, .anchor = right}},
                     .rows = {},
                     .empty_words = voice.say(Phrase::none),
                     .boxes = true};
    if (by_length)
        table.columns.push_back(
            {.title = unbroken(voice.say(Phrase::column_length_all)), .width_mm = 26, .anchor = right});
    if (ordered) {
        table.columns.push_back({.title = voice.say(Phrase::column_order), .width_mm = 34});
        table.columns.push_back({.title = voice.say(Phrase::column_price), .width_mm = 20, .anchor = right});
    }
    table.columns.push_back({.title = voice.say(words.for_whom), .width_mm = ordered ? 70.0 : 120.0});
    for (const Item& item : items) {
        std::vector<std::string> cells{item.what, std::to_string(item.count)};
        if (by_length)
            cells.push_back(item.length_m > 0 ? voice.length(item.length_m) : "");
        if (ordered) {
            cells.push_back(one_line(item.ordering.code));
            cells.push_back(price_words(item.price()));
        }
        cells.push_back(id_ranges(voice, item.cables));
        table.rows.push_back({.id = {}, .cells = cells});
    }
    return table;
}

double copper_kg(const Voice& voice, const ReelKind& kind) {
    const model::Cable& cable = voice.harness().cable(kind.cuts.front()->cable);
    return cable.automatic ? 0 : physics::copper_kg_per_m(cable.section_mm2.value) * kind.total_m;
}

/// What the file's stock calls a cable, and the price of all that is bought of it.
model::Ordering ordering_of(const Voice& voice, const ReelKind& kind, double buy_m) {
    const model::Cable& cable = voice.harness().cable(kind.cuts.front()->cable);
    model::Ordering ordering = size::conductor_ordering(voice.harness(), cable);
    if (ordering.price)
        *ordering.price *= buy_m;
    return ordering;
}

double bought_m(const ReelKind& kind) {
    double length_m = 0;
    for (const BoughtLength& bought : bought_lengths(kind))
        length_m += bought.length_m;
    return length_m;
}

TableBlock cable_table_block(const Voice& voice, const std::vector<CutCable>& cuts) {
    const auto right = layout::Anchor::right;
    const bool ordered = std::any_of(
        voice.harness().stock.conductors.begin(), voice.harness().stock.conductors.end(),
        [](const auto& listed) { return !listed.ordering.code.empty() || listed.ordering.price; });
    TableBlock table{
        .caption = voice.say(Phrase::shopping_cable),
        .columns = {{.title = voice.say(Phrase::column_cable_kind), .width_mm = 80},
                    {.title = voice.say(Phrase::column_other_system), .width_mm = 34},
                    {.title = voice.say(Phrase::column_pieces), .width_mm = 18, .anchor = right},
                    {.title = voice.say(Phrase::column_cut_total), .width_mm = 34, .anchor = right},
                    {.title = voice.say(Phrase::column_buy), .width_mm = 42, .anchor = right},
                    {.title = voice.say(Phrase::column_copper), .width_mm = 24, .anchor = right}},
        .rows = {},
        .empty_words = voice.say(Phrase::no_new_cables),
        .boxes = true};
    if (ordered) {
        table.columns.push_back({.title = voice.say(Phrase::column_order), .width_mm = 30});
        table.columns.push_back({.title = voice.say(Phrase::column_price), .width_mm = 20, .anchor = right});
    }
    double total_m = 0, total_kg = 0;
    bool all_known = true;
    for (const ReelKind& kind : reel_kinds(voice, cuts)) {
        std::size_t pieces = 0;
        for (const CutCable* cut : kind.cuts)
            pieces += static_cast<std::size_t>(cut->pieces);
        std::string buy;
        for (const BoughtLength& bought : bought_lengths(kind))
            buy += (buy.empty() ? "" : " + ") + voice.bought_length(bought.length_m);
        const double kilograms = copper_kg(voice, kind);
        const bool known = kind.cuts.front()->section_known;
        all_known = all_known && known;
        total_m += kind.total_m;
        total_kg += kilograms;
        table.rows.push_back(
            {.id = {},
             .cells = {kind.words, voice.section_other(voice.harness().cable(kind.cuts.front()->cable)),
                       std::to_string(pieces), voice.length(kind.total_m), buy,
                       known ? voice.weight(kilograms) : "–"}});
        if (!ordered)
            continue;
        const model::Ordering ordering = ordering_of(voice, kind, bought_m(kind));
        table.rows.back().cells.push_back(one_line(ordering.code));
        table.rows.back().cells.push_back(price_words(ordering.price));
    }
    if (!table.rows.empty())
        table.rows.push_back({.id = {},
                              .cells = {voice.say(Phrase::total), "", "", voice.length(total_m), "",
                                        all_known ? voice.weight(total_kg) : "–"},
                              .strong = true});
    return table;
}

} // namespace

std::string some_of(const Voice& voice, const std::vector<std::string>& ids, std::size_t most) {
    std::string words;
    for (std::size_t i = 0; i < ids.size() && i < most; ++i)
        words += (i > 0 ? ", " : "") + ids[i];
    if (ids.size() > most)
        words += ", " + voice.say(Phrase::and_more, {std::to_string(ids.size() - most)});
    return words;
}

layout::papers::SectionedPaper shopping_content(const Voice& voice, const std::vector<CutCable>& cuts,
                                                ReelPlanPlace reels) {
    layout::papers::Section section;
    if (TableBlock cables = cable_table_block(voice, cuts); !cables.rows.empty()) {
        section.tables = {std::move(cables)};
    } else { // a sentence needs no head of six columns
        section.heading = cables.caption;
        section.paragraphs = {cables.empty_words};
    }
    if (reels == ReelPlanPlace::shopping_list)
        section.reels = layout::papers::ReelPlan{.heading = voice.say(Phrase::reel_plan),
                                                 .reels = reel_plan(voice, cuts)};
    section.narrow = {
        item_table(voice, {Phrase::shopping_ends, Phrase::column_what, Phrase::column_for_cables},
                   ends_needed(voice, cuts)),
        item_table(voice, {Phrase::shopping_sleeves, Phrase::column_sleeve, Phrase::column_for_cables},
                   sleeves_needed(voice, cuts)),
        item_table(voice, {Phrase::shopping_fuse_links, Phrase::column_what, Phrase::column_for_parts},
                   fuse_links_needed(voice)),
        item_table(voice, {Phrase::shopping_boots, Phrase::column_what, Phrase::column_for_studs},
                   boots_needed(voice))};
    // A list without a row is left out; only the one of the cables says that none is new.
    section.narrow.erase(std::remove_if(section.narrow.begin(), section.narrow.end(),
                                        [](const TableBlock& table) { return table.rows.empty(); }),
                         section.narrow.end());
    return {
        .id = "shopping-list",
        .heading = {.words = voice.say(Phrase::shopping_list), .remark = voice.say(Phrase::shopping_remark)},
        .continued = voice.say(Phrase::continued),
        .sections = {section}};
}

CsvTable shopping_table(const Voice& voice, const std::vector<CutCable>& cuts) {
    CsvTable table{
        .name = "shopping-list",
        .rows = {{"group", "item", "count", "cut_length_m", "buy_length_m", "order_code", "price", "for"}}};
    const auto money = [](const std::optional<double>& price) { return price ? plain(*price, 2) : ""; };
    for (const ReelKind& kind : reel_kinds(voice, cuts)) {
        std::vector<std::string> ids;
        for (const CutCable* cut : kind.cuts)
            ids.push_back(voice.harness().cable(cut->cable).id);
        const double buy_m = bought_m(kind);
        const model::Ordering ordering = ordering_of(voice, kind, buy_m);
        table.rows.push_back({"cable", kind.words, std::to_string(ids.size()), plain(kind.total_m, 3),
                              base::shown_number(buy_m, kind.step_m == 1 ? 0 : 2, base::Rounding::up),
                              ordering.code, money(ordering.price), some_of(voice, ids, ids.size())});
    }
    for (const std::vector<Item>& items : {ends_needed(voice, cuts), sleeves_needed(voice, cuts),
                                           fuse_links_needed(voice), boots_needed(voice)})
        for (const Item& item : items)
            table.rows.push_back({item.group, item.what, std::to_string(item.count),
                                  item.length_m > 0 ? plain(item.length_m, 3) : "", "", item.ordering.code,
                                  money(item.price()), some_of(voice, item.cables, item.cables.size())});
    return table;
}

} // namespace stoutloom::report

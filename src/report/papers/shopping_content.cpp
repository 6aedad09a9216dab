// The shopping list: what the new cables, their ends and the fuse-links need, counted from the same cuts as
// the cut list.
#include "report/papers/contents.h"
#include "report/papers/reel_plan.h"

#include "physics/conductor.h"
#include "physics/joint.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::report {
namespace {

using layout::papers::TableBlock;

/// One line of the list: kind, what, how many, what for.
struct Item {
    std::string group; // CSV: "cable", "end", "sleeve", "fuse-link", "boot"
    std::string what;
    std::size_t count = 0;
    std::vector<std::string> cables;
};

void add(std::vector<Item>& items, const std::string& group, const std::string& what, std::size_t count,
         const std::string& cable) {
    auto found =
        std::find_if(items.begin(), items.end(), [&](const Item& item) { return item.what == what; });
    if (found == items.end())
        found = items.insert(items.end(), {.group = group, .what = what, .count = 0, .cables = {}});
    found->count += count;
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
        for (const model::CableEnd* end : {&cable.from, &cable.to})
            add(items, "end", end_name(voice, cable, *end), static_cast<std::size_t>(cut.pieces), cable.id);
    }
    return items;
}

std::vector<Item> sleeves_needed(const Voice& voice, const std::vector<CutCable>& cuts) {
    std::vector<Item> items;
    for (const CutCable& cut : cuts)
        add(items, "sleeve", voice.say(Phrase::sleeve_for, {base::shown_up(cut.outside_mm, 0, "mm")}),
            2 * static_cast<std::size_t>(cut.pieces), voice.harness().cable(cut.cable).id);
    return items;
}

std::vector<Item> fuse_links_needed(const Voice& voice) {
    std::vector<Item> items;
    for (const model::Device& device : voice.harness().devices) {
        const auto* link = std::get_if<model::FuseLink>(&device.data);
        if (link == nullptr)
            continue;
        const std::string rating = link->automatic
                                       ? voice.say(Phrase::rating_open)
                                       : base::shown(link->rating_a.value, 0, base::Rounding::nearest, "A");
        add(items, "fuse-link", link->type + " " + rating, 1, device.id);
    }
    return items;
}

std::vector<Item> boots_needed(const Voice& voice) {
    std::vector<Item> items;
    for (const model::Terminal& terminal : voice.harness().terminals)
        if (terminal.booted)
            add(items, "boot",
                terminal.stud.kind == base::FastenerKind::taper_post
                    ? voice.say(Phrase::boot_for_post)
                    : voice.say(Phrase::boot_for, {voice.size(terminal.stud)}),
                1, "−" + true_minus(terminal.address));
    return items;
}

TableBlock item_table(const Voice& voice, const std::string& caption, const std::string& for_whom,
                      const std::vector<Item>& items) {
    TableBlock table{.caption = caption,
                     .columns = {{.title = voice.say(Phrase::column_what), .width_mm = 95},
                                 {.title = voice.say(Phrase::column_count),
                                  .width_mm = 18,
                                  .anchor = layout::Anchor::right},
                                 {.title = for_whom, .width_mm = 120}},
                     .rows = {},
                     .empty_words = voice.say(Phrase::none),
                     .boxes = true};
    for (const Item& item : items)
        table.rows.push_back(
            {.id = {}, .cells = {item.what, std::to_string(item.count), some_of(voice, item.cables, 40)}});
    return table;
}

double copper_kg(const Voice& voice, const ReelKind& kind) {
    const model::Cable& cable = voice.harness().cable(kind.cuts.front()->cable);
    return cable.automatic ? 0 : physics::copper_kg_per_m(cable.section_mm2.value) * kind.total_m;
}

TableBlock cable_table_block(const Voice& voice, const std::vector<CutCable>& cuts) {
    const auto right = layout::Anchor::right;
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
    double total_m = 0, total_kg = 0;
    for (const ReelKind& kind : reel_kinds(voice, cuts)) {
        std::size_t pieces = 0;
        for (const CutCable* cut : kind.cuts)
            pieces += static_cast<std::size_t>(cut->pieces);
        std::string buy;
        for (const BoughtLength& bought : bought_lengths(kind))
            buy += (buy.empty() ? "" : " + ") + base::shown_up(bought.length_m, 0, "m");
        const double kilograms = copper_kg(voice, kind);
        total_m += kind.total_m;
        total_kg += kilograms;
        table.rows.push_back(
            {.id = {},
             .cells = {kind.words, voice.section_other(voice.harness().cable(kind.cuts.front()->cable)),
                       std::to_string(pieces), voice.length(kind.total_m), buy,
                       base::shown_up(kilograms, 1, "kg")}});
    }
    if (!table.rows.empty())
        table.rows.push_back({.id = {},
                              .cells = {voice.say(Phrase::total), "", "", voice.length(total_m), "",
                                        base::shown_up(total_kg, 1, "kg")},
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

layout::papers::SectionedPaper shopping_content(const Voice& voice, const std::vector<CutCable>& cuts) {
    layout::papers::Section section;
    section.tables = {cable_table_block(voice, cuts),
                      item_table(voice, voice.say(Phrase::shopping_ends),
                                 voice.say(Phrase::column_for_cables), ends_needed(voice, cuts)),
                      item_table(voice, voice.say(Phrase::shopping_sleeves),
                                 voice.say(Phrase::column_for_cables), sleeves_needed(voice, cuts)),
                      item_table(voice, voice.say(Phrase::shopping_fuse_links),
                                 voice.say(Phrase::column_for_parts), fuse_links_needed(voice)),
                      item_table(voice, voice.say(Phrase::shopping_boots),
                                 voice.say(Phrase::column_for_studs), boots_needed(voice))};
    return {
        .id = "shopping-list",
        .heading = {.words = voice.say(Phrase::shopping_list), .remark = voice.say(Phrase::shopping_remark)},
        .continued = voice.say(Phrase::continued),
        .sections = {section}};
}

CsvTable shopping_table(const Voice& voice, const std::vector<CutCable>& cuts) {
    CsvTable table{.name = "shopping-list",
                   .rows = {{"group", "item", "count", "cut_length_m", "buy_length_m", "for"}}};
    for (const ReelKind& kind : reel_kinds(voice, cuts)) {
        double buy_m = 0;
        std::vector<std::string> ids;
        for (const BoughtLength& bought : bought_lengths(kind))
            buy_m += bought.length_m;
        for (const CutCable* cut : kind.cuts)
            ids.push_back(voice.harness().cable(cut->cable).id);
        table.rows.push_back({"cable", kind.words, std::to_string(ids.size()), plain(kind.total_m, 3),
                              plain(buy_m, 0), some_of(voice, ids, ids.size())});
    }
    for (const std::vector<Item>& items : {ends_needed(voice, cuts), sleeves_needed(voice, cuts),
                                           fuse_links_needed(voice), boots_needed(voice)})
        for (const Item& item : items)
            table.rows.push_back({item.group, item.what, std::to_string(item.count), "", "",
                                  some_of(voice, item.cables, item.cables.size())});
    return table;
}

} // namespace stoutloom::report

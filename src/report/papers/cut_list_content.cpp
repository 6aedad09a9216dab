#include "report/papers/contents.h"
#include "report/papers/reel_plan.h"

#include "physics/heat_shrink.h"
#include "report/diagram_parts.h"
#include "report/words.h"
#include "size/stock.h"

#include <fmt/format.h>

#include <cmath>

namespace stoutloom::report {
namespace {

using layout::papers::CutEnd;
using layout::papers::CutRow;

CutEnd end_words(const Voice& voice, const model::CableEnd& end, const CutEndFigures& figures) {
    return {.shape = figures.shape, .size = voice.size(end.lug), .terminal = voice.terminal(end.at)};
}

std::string stripped(const Voice& voice, double value_mm) {
    return unbroken(voice.short_length(std::round(value_mm) / 1000));
}

std::string strip_words(const Voice& voice, const CutCable& cut) {
    const std::string from = stripped(voice, cut.from.strip_mm), to = stripped(voice, cut.to.strip_mm);
    return from == to ? voice.say(Phrase::strip_both, {from}) : voice.say(Phrase::strip_each, {from, to});
}

std::vector<std::string> loom_names(const model::Cable& cable) {
    std::vector<std::string> names;
    for (const model::Segment& segment : cable.segments)
        if (!segment.loom.empty() && (names.empty() || names.back() != segment.loom))
            names.push_back(segment.loom);
    return names;
}

std::string sleeve_words(const Voice& voice, const CutCable& cut) {
    if (!cut.section_known)
        return voice.say(Phrase::sleeve_open);
    const std::string from = sleeve_size(voice, cut.from, SleeveUse::cut),
                      to = sleeve_size(voice, cut.to, SleeveUse::cut);
    const std::string from_m = unbroken(voice.short_length(cut.from.sleeve_m)),
                      to_m = unbroken(voice.short_length(cut.to.sleeve_m));
    if (from == to && from_m == to_m)
        return voice.say(Phrase::sleeve_both, {from, from_m});
    return voice.say(Phrase::sleeve_each, {from, from_m, to, to_m});
}

std::vector<std::string> details_of(const Voice& voice, const model::Cable& cable, const CutCable& cut) {
    std::vector<std::string> details;
    const std::string other = voice.section_other(cable);
    details.push_back(other.empty() ? voice.insulation(cable)
                                    : fmt::format("{}; {}", other, voice.insulation(cable)));
    if (cut.section_known) // the barrel decides how much
        details.push_back(strip_words(voice, cut));
    std::string more;
    if (cable.build == model::CableBuild::braid)
        more = voice.say(Phrase::build_braid);
    if (cable.build == model::CableBuild::link_wire)
        more = voice.say(Phrase::build_link_wire);
    for (const std::string& loom : loom_names(cable))
        more += (more.empty() ? "" : ", ") + voice.say(Phrase::loom_named, {loom});
    if (!more.empty())
        details.push_back(more);
    if (cut.sleeved)
        details.push_back(sleeve_words(voice, cut));
    return details;
}

CutRow row_of(const Voice& voice, const CutCable& cut) {
    const model::Cable& cable = voice.harness().cable(cut.cable);
    CutRow row;
    row.id = cable.id;
    row.number = cut.number;
    row.from = end_words(voice, cable.from, cut.from);
    row.to = end_words(voice, cable.to, cut.to);
    row.outside_mm = cut.outside_mm;
    row.conductor_mm = cut.conductor_mm;
    row.flow = flow_of(voice.facts().topology.side_of_cable.at(model::at(cut.cable)));
    row.way = row.flow == layout::Flow::feed   ? voice.say(Phrase::diagram_feed)
              : row.flow == layout::Flow::back ? voice.say(Phrase::diagram_return)
                                               : "";
    row.braid = cable.build == model::CableBuild::braid;
    row.between = voice.length_mm(cable.length_m.value);
    row.between_other = voice.length_other(cable.length_m.value);
    row.section = voice.section(cable);
    row.colour = cable.colour;
    row.details = details_of(voice, cable, cut);
    const Voice::CutWords length = voice.cut_length(cut.cut_m);
    row.cut = cut.pieces > 1 ? voice.say(Phrase::cut_pieces, {std::to_string(cut.pieces), length.large})
                             : voice.say(Phrase::cut_one, {length.large});
    row.cut_other = length.other;
    row.title = cable.id;
    row.desc =
        fmt::format("{}, {}, {} - {}", voice.cable_words(cable), row.cut, row.from.terminal, row.to.terminal);
    return row;
}

/// Order code and price of the cable, its two ends and their heat-shrink, for all pieces of the row; empty
/// where the file's stock gives none.
std::vector<std::string> ordering_cells(const model::Harness& harness, const CutCable& cut) {
    std::vector<std::string> cells;
    const auto add = [&](const model::Ordering& ordering, double count_or_m) {
        cells.push_back(ordering.code);
        cells.push_back(ordering.price ? plain(*ordering.price * count_or_m * cut.pieces, 2) : "");
    };
    const model::Cable& cable = harness.cable(cut.cable);
    add(cut.section_known ? size::conductor_ordering(harness, cable) : model::Ordering{}, cut.cut_m);
    for (const model::CableEnd* end : {&cable.from, &cable.to}) {
        const model::StockLug* listed = size::listed_lug(
            harness, end->barrel_mm2 ? end->barrel_mm2->value : cable.section_mm2.value, end->lug);
        add(listed != nullptr && cut.section_known ? listed->ordering : model::Ordering{}, 1);
    }
    for (const CutEndFigures* end : {&cut.from, &cut.to})
        add(end->sleeve ? end->sleeve->ordering : model::Ordering{}, end->sleeve_m);
    return cells;
}

} // namespace

std::string sleeve_size(const Voice& voice, const CutEndFigures& end, SleeveUse use) {
    const bool cut = use == SleeveUse::cut;
    const auto words = [&](double expanded_m, double recovered_m, bool lined) {
        const std::string bores = voice.bores(expanded_m, recovered_m);
        const std::string kept = cut ? unbroken(bores) : bores;
        return lined ? voice.say(Phrase::sleeve_lined, {kept}) : kept;
    };
    if (end.sleeve) {
        const std::string code = cut ? one_line(end.sleeve->ordering.code) : std::string();
        return words(end.sleeve->expanded_m, end.sleeve->recovered_m, end.sleeve->lined) +
               (code.empty() ? "" : " (" + code + ")");
    }
    if (cut)
        return voice.say(Phrase::sleeve_none);
    const physics::ShrinkTube wanted =
        physics::tube_wanted({end.sleeve_wanted.thickest_m, end.sleeve_wanted.thinnest_m});
    return voice.say(Phrase::sleeve_missing,
                     {words(wanted.expanded_m, wanted.recovered_m, end.sleeve_wanted.wet)});
}

layout::papers::CutListContent cut_list_content(const Voice& voice, const std::vector<CutCable>& cuts,
                                                ReelPlanPlace reels) {
    layout::papers::CutListContent content;
    for (const CutCable& cut : cuts)
        content.rows.push_back(row_of(voice, cut));
    if (reels == ReelPlanPlace::cut_list)
        content.reels = reel_plan(voice, cuts);
    content.words = {.heading = voice.say(Phrase::cut_list),
                     .remark = voice.say(Phrase::cut_list_remark, {std::to_string(cuts.size())}),
                     .print_check = voice.say(Phrase::print_check),
                     .cut = voice.say(Phrase::box_cut),
                     .crimp = voice.say(Phrase::box_crimp),
                     .sleeve = voice.say(Phrase::box_sleeve),
                     .fit = voice.say(Phrase::box_fit),
                     .reel_plan = voice.say(Phrase::reel_plan),
                     .continued = voice.say(Phrase::continued),
                     .none = voice.say(Phrase::no_new_cables),
                     .notes = {}};
    if (!cuts.empty())
        content.words.notes = {voice.say(Phrase::cut_note), voice.say(Phrase::crimp_note),
                               voice.say(Phrase::sleeve_note)};
    return content;
}

CsvTable cut_list_table(const Voice& voice, const std::vector<CutCable>& cuts) {
    CsvTable table{.name = "cut-list",
                   .rows = {{"cable",
                             "number",
                             "pieces",
                             "section_mm2",
                             "section",
                             "other_section",
                             "colour",
                             "insulation",
                             "class_degc",
                             "build",
                             "length_between_holes_m",
                             "cut_length_m",
                             "from",
                             "from_end",
                             "from_strip_mm",
                             "to",
                             "to_end",
                             "to_strip_mm",
                             "sleeve_from",
                             "sleeve_to",
                             "heat_shrink_from",
                             "heat_shrink_from_m",
                             "heat_shrink_to",
                             "heat_shrink_to_m",
                             "looms",
                             "order_code",
                             "price",
                             "from_end_order_code",
                             "from_end_price",
                             "to_end_order_code",
                             "to_end_price",
                             "heat_shrink_from_order_code",
                             "heat_shrink_from_price",
                             "heat_shrink_to_order_code",
                             "heat_shrink_to_price"}}};
    for (const CutCable& cut : cuts) {
        const model::Cable& cable = voice.harness().cable(cut.cable);
        const model::Terminal& from = voice.harness().terminal(cable.from.at);
        const model::Terminal& to = voice.harness().terminal(cable.to.at);
        static constexpr std::array<const char*, 3> builds = {"cable", "braid", "link-wire"};
        const bool shrunk = cut.sleeved && cut.section_known;
        std::string looms;
        for (const std::string& loom : loom_names(cable))
            looms += (looms.empty() ? "" : " ") + loom;
        table.rows.push_back({cable.id,
                              cut.number,
                              std::to_string(cut.pieces),
                              cut.section_known ? plain(cable.section_mm2.value, 2) : "",
                              voice.section(cable),
                              voice.section_other(cable),
                              cable.colour,
                              cable.insulation.text,
                              plain(cable.insulation.class_degc, 0),
                              builds.at(static_cast<std::size_t>(cable.build)),
                              plain(cable.length_m.value, 3),
                              plain(cut.cut_m, 3),
                              from.address,
                              voice.size_in_csv(cable.from.lug),
                              cut.section_known ? plain(cut.from.strip_mm, 0) : "",
                              to.address,
                              voice.size_in_csv(cable.to.lug),
                              cut.section_known ? plain(cut.to.strip_mm, 0) : "",
                              cable.id + " " + voice.terminal(cable.from.at),
                              cable.id + " " + voice.terminal(cable.to.at),
                              shrunk ? sleeve_size(voice, cut.from, SleeveUse::shop) : "",
                              shrunk ? plain(cut.from.sleeve_m, 3) : "",
                              shrunk ? sleeve_size(voice, cut.to, SleeveUse::shop) : "",
                              shrunk ? plain(cut.to.sleeve_m, 3) : "",
                              looms});
        std::vector<std::string> ordering = ordering_cells(voice.harness(), cut);
        std::move(ordering.begin(), ordering.end(), std::back_inserter(table.rows.back()));
    }
    return table;
}

} // namespace stoutloom::report

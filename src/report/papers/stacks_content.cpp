// The stud stacks: which lug goes on first, what tightens it and how far, what must stay clear, and what
// keying tells.
#include "report/papers/contents.h"

#include "physics/joint.h"
#include "report/diagram_parts.h"
#include "report/papers/id_ranges.h"
#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::report {
namespace {

using layout::StudGlyph;
using layout::papers::StackPlate;
using layout::papers::StudCard;
using layout::papers::TableBlock;

constexpr std::size_t most_plates = 22;           // on one stud, as many as a page holds
constexpr std::size_t most_wrong_assemblies = 12; // of one landing, on the sheet; the rest is counted

physics::StudPlace place_of(const model::Device& device, const model::Terminal& terminal) {
    using physics::StudPlace;
    const bool main = terminal.role == model::Role::positive || terminal.role == model::Role::negative;
    switch (device.kind()) {
    case model::DeviceKind::battery:
        return StudPlace::battery;
    case model::DeviceKind::generator:
        return main ? StudPlace::generator_output : StudPlace::generator_small;
    case model::DeviceKind::starter:
        return main ? StudPlace::starter_main : StudPlace::starter_control;
    case model::DeviceKind::fuse_link: {
        const std::string& type = std::get<model::FuseLink>(device.data).type;
        if (type == "SF51")
            return StudPlace::fuse_strip_51;
        return type == "SF30" ? StudPlace::fuse_strip_30 : StudPlace::apparatus;
    }
    case model::DeviceKind::post:
        return StudPlace::bus_bar;
    case model::DeviceKind::mass:
        return std::get<model::Mass>(device.data).aluminium ? StudPlace::ground_aluminium
                                                            : StudPlace::ground_steel;
    case model::DeviceKind::consumer:
    case model::DeviceKind::switch_:
    case model::DeviceKind::relay:
    case model::DeviceKind::shunt:
        break;
    }
    return StudPlace::apparatus;
}

struct TorqueWords {
    std::string large, remark;
    double newton_m = 0; // 0: unknown
};

TorqueWords torque_words(const Voice& voice, const model::Terminal& terminal) {
    const model::Device& device = voice.harness().device(terminal.device);
    if (terminal.torque_newton_m)
        return {.large = voice.torque(terminal.torque_newton_m->value),
                .remark = voice.say(Phrase::torque_from_file),
                .newton_m = terminal.torque_newton_m->value};
    const auto torque = physics::tightening_torque(place_of(device, terminal), terminal.stud);
    if (!torque)
        return {.large = {}, .remark = voice.say(Phrase::torque_unknown)};
    return {.large = voice.torque(torque->typical_newton_m),
            .remark = voice.say(Phrase::torque_range,
                                {voice.torque_range(torque->low_newton_m, torque->high_newton_m),
                                 voice.told(torque->source)}),
            .newton_m = torque->typical_newton_m};
}

/// Studs of the same part on the other side of the circuit.
std::vector<std::string> opposite_studs(const Voice& voice, model::TerminalIndex index) {
    const auto& sides = voice.facts().topology.side_of_terminal;
    const check::Side own = sides.at(model::at(index));
    std::vector<std::string> names;
    for (const model::TerminalIndex other :
         voice.harness().device(voice.harness().terminal(index).device).terminals) {
        const check::Side side = sides.at(model::at(other));
        const bool opposite = (own == check::Side::feed && side == check::Side::back) ||
                              (own == check::Side::back && side == check::Side::feed);
        if (opposite && !voice.harness().terminal(other).implicit)
            names.push_back(voice.terminal(other));
    }
    return names;
}

std::string clear_of(const Voice& voice, model::TerminalIndex index) {
    std::vector<std::string> names = opposite_studs(voice, index);
    if (voice.facts().topology.side_of_terminal.at(model::at(index)) == check::Side::feed)
        names.insert(names.begin(), voice.say(Phrase::earthed_metal));
    return names.empty() ? std::string() : voice.say(Phrase::must_not_touch, {some_of(voice, names, 6)});
}

std::vector<std::string> facts_of(const Voice& voice, model::TerminalIndex index, const StudGlyph& stud,
                                  const TorqueWords& torque) {
    const model::Terminal& terminal = voice.harness().terminal(index);
    const bool post = stud.kind == StudGlyph::Kind::post;
    const bool live = voice.facts().topology.side_of_terminal.at(model::at(index)) == check::Side::feed;
    std::vector<std::string> facts{torque.remark};
    if (post) // what holds for every other stud stands once on the sheet
        facts.push_back(voice.say(Phrase::clamp_hardware));
    if (terminal.booted)
        facts.push_back(voice.say(Phrase::boot_on));
    else if (live && terminal.near_ground)
        facts.push_back(voice.say(Phrase::boot_missing));
    if (terminal.steel_seat)
        facts.push_back(voice.say(Phrase::bare_metal));
    if (std::string clear = clear_of(voice, index); !clear.empty())
        facts.push_back(std::move(clear));
    std::vector<std::string> small, loose;
    for (const layout::LugGlyph& lug : stud.lugs) {
        const std::string& id = voice.harness().cables[lug.cable].id;
        if (lug.fit == layout::LugGlyph::Fit::too_small)
            small.push_back(id);
        if (lug.fit == layout::LugGlyph::Fit::loose)
            loose.push_back(id);
    }
    if (!small.empty())
        facts.push_back(voice.say(Phrase::lug_too_small, {some_of(voice, small, most_plates)}));
    if (!loose.empty())
        facts.push_back(voice.say(Phrase::lug_loose, {some_of(voice, loose, most_plates)}));
    if (stud.lugs.size() > most_plates)
        facts.push_back(voice.say(Phrase::and_more, {std::to_string(stud.lugs.size() - most_plates)}));
    return facts;
}

/// About: 1.5 mm at 16 mm2, 2.5 at 50, 3.5 at 95 (from memory, doubtful); a clamp is as high as its post is
/// proud.
double plate_thickness_mm(double section_mm2, bool post) {
    if (post)
        return 7;
    return std::clamp(1.0 + 0.026 * section_mm2, 0.8, 6.0);
}

StackPlate lug_plate(const Voice& voice, const layout::LugGlyph& lug, std::size_t number, bool post) {
    const model::Cable& cable = voice.harness().cables[lug.cable];
    const model::CableEnd& here = lug.end == 0 ? cable.from : cable.to;
    const model::CableEnd& there = lug.end == 0 ? cable.to : cable.from;
    const bool negative = voice.harness().terminal(here.at).role == model::Role::negative;
    const CutEndFigures end = cut_end(cable, here, negative);
    StackPlate plate;
    plate.number = std::to_string(number);
    // Hard blanks keep each half of the words together when they take two lines.
    plate.words = unbroken(cable.id + " " + voice.cable_words(cable)) + " " +
                  unbroken(voice.say(Phrase::to_terminal, {voice.terminal(there.at)}));
    plate.hole_mm = end.shape.hole_mm;
    plate.palm_mm = end.shape.palm_mm;
    plate.thickness_mm = plate_thickness_mm(cable.section_mm2.value, post);
    plate.flow = flow_of(voice.facts().topology.side_of_cable.at(lug.cable));
    plate.outside_mm = std::max(1.0, 2 * std::sqrt(std::max(0.5, cable.section_mm2.value)));
    plate.failing = lug.fit == layout::LugGlyph::Fit::too_small;
    plate.end = end.shape;
    plate.tag = plate.number + "  " + cable.id;
    // Zones stand in the file as they lie in the vehicle: the runs leave the stud in that order.
    if (!cable.segments.empty())
        plate.towards =
            static_cast<int>(model::at((lug.end == 0 ? cable.segments.back() : cable.segments.front()).zone));
    return plate;
}

bool is_strip_link(const model::Device& device) {
    const auto* link = std::get_if<model::FuseLink>(&device.data);
    return link != nullptr && (link->type == "SF51" || link->type == "SF30");
}

/// Marks what an error stands against: the lug of a cable on this stud, or all that is on it.
void mark_failing(const Voice& voice, const std::vector<check::Judgement>& found, const StudGlyph& stud,
                  StudCard& card) {
    const std::size_t tabs = card.plates.size() - std::min(card.plates.size(), stud.lugs.size());
    std::vector<std::string> numbers;
    for (std::size_t number = 1; number <= found.size(); ++number) {
        const check::Judgement& judgement = found[number - 1];
        const auto& subjects = judgement.subjects;
        if (judgement.severity != check::Severity::error || judgement.accepted ||
            std::find(subjects.begin(), subjects.end(), card.id) == subjects.end())
            continue;
        bool ringed = subjects.front() == card.id;
        card.failing = card.failing || ringed;
        for (std::size_t i = 0; i + tabs < card.plates.size() && i < stud.lugs.size(); ++i)
            if (voice.harness().cables[stud.lugs[i].cable].id == subjects.front())
                ringed = card.plates[i + tabs].failing = true;
        if (ringed)
            numbers.push_back(std::to_string(number));
    }
    if (!numbers.empty())
        card.facts.push_back(voice.say(Phrase::ringed_because, {some_of(voice, numbers, 6)}));
    if (card.failing || std::any_of(card.plates.begin(), card.plates.end(),
                                    [](const StackPlate& plate) { return plate.failing; }))
        card.desc += "; " + voice.say(Phrase::diagram_desc_error);
}

StudCard card_of(const Voice& voice, const StudGlyph& stud, model::TerminalIndex index) {
    const model::Terminal& terminal = voice.harness().terminal(index);
    const model::Device& device = voice.harness().device(terminal.device);
    const bool post = stud.kind == StudGlyph::Kind::post;
    StudCard card;
    card.id = terminal.address;
    card.designation = voice.terminal(index);
    card.name = device.label;
    card.size = voice.size(terminal.stud);
    card.post = post;
    // A taper post at its foot; the clamp's hole is the top of it.
    card.diameter_mm = post ? (terminal.role == model::Role::negative ? 17.9 : 19.5) : stud.diameter_mm;
    card.insulated = stud.insulated;
    card.booted = terminal.booted;
    if (is_strip_link(device)) {
        const std::string rating = std::get<model::FuseLink>(device.data).type;
        const double broad = rating == "SF51" ? 20.0 : 12.0, hole = terminal.stud.hole_low_m * 1000;
        card.plates.push_back({.number = "1",
                               .words = unbroken(voice.say(Phrase::fuse_link_tab, {"−" + device.id})),
                               .hole_mm = hole,
                               .palm_mm = broad,
                               .thickness_mm = 2,
                               .outside_mm = 0,
                               .end = {.hole_mm = hole, .palm_mm = broad}});
    }
    for (const layout::LugGlyph& lug : stud.lugs)
        if (card.plates.size() < most_plates)
            card.plates.push_back(lug_plate(voice, lug, card.plates.size() + 1, post));
    const TorqueWords torque = torque_words(voice, terminal);
    card.torque = torque.large;
    card.facts = facts_of(voice, index, stud, torque);
    for (const StackPlate& plate : card.plates)
        card.desc += fmt::format("{}: {}. ", plate.number, plate.words);
    card.desc += torque.large;
    return card;
}

std::vector<const StudGlyph*> studs_with_lugs(const layout::DiagramContent& diagram) {
    std::vector<const StudGlyph*> studs;
    for (const layout::UnitGlyph& unit : diagram.units)
        for (const StudGlyph& stud : unit.studs)
            if (!stud.lugs.empty())
                studs.push_back(&stud);
    for (const layout::BedGlyph& bed : diagram.beds)
        for (const StudGlyph& stud : bed.studs)
            if (!stud.lugs.empty())
                studs.push_back(&stud);
    return studs;
}

bool is_stack(const StudGlyph& stud) {
    return stud.kind == StudGlyph::Kind::stud || stud.kind == StudGlyph::Kind::post;
}

bool same_plate(const StackPlate& a, const StackPlate& b) {
    return a.hole_mm == b.hole_mm && a.palm_mm == b.palm_mm && a.thickness_mm == b.thickness_mm &&
           a.flow == b.flow && a.outside_mm == b.outside_mm && !a.failing && !b.failing;
}

/// Whether one drawing and one set of facts tell how both are made: one lug each, on the same part.
bool made_alike(const StudCard& a, const StudCard& b) {
    return a.name == b.name && a.size == b.size && a.post == b.post && a.insulated == b.insulated &&
           !a.failing && !b.failing && a.booted == b.booted && a.torque == b.torque && a.facts == b.facts &&
           a.plates.size() == 1 && b.plates.size() == 1 && same_plate(a.plates.front(), b.plates.front());
}

/// The studs of a bar that follow each other and are made alike share a card: a row for each.
std::vector<StudCard> gathered(const Voice& voice, std::vector<StudCard> cards) {
    constexpr std::size_t least = 3, most = 12;
    std::vector<StudCard> gathered;
    for (std::size_t first = 0, past = 0; first < cards.size(); first = past) {
        past = first + 1;
        while (past < cards.size() && past - first < most && !cards[first].name.empty() &&
               made_alike(cards[first], cards[past]))
            ++past;
        StudCard card = cards[first];
        std::vector<std::string> names;
        for (std::size_t i = first; i < past; ++i)
            names.push_back(cards[i].designation);
        // Names that do not count up would be told as a range of what lies between nobody knows which.
        const std::string range = voice.say(Phrase::range, {names.front(), names.back()});
        if (past - first < least || id_ranges(voice, names) != range) {
            past = first + 1;
        } else {
            card.designation = range;
            for (std::size_t i = first; i < past; ++i)
                card.alike.push_back({.id = cards[i].id,
                                      .designation = cards[i].designation,
                                      .words = cards[i].plates.front().words,
                                      .desc = cards[i].desc});
        }
        gathered.push_back(std::move(card));
    }
    return gathered;
}

/// One end of each, in the diagram's order.
struct PushOnEnd {
    std::string id, terminal, end, cables;
};
std::vector<PushOnEnd> push_on_ends(const Voice& voice, const layout::DiagramContent& diagram) {
    std::vector<PushOnEnd> ends;
    for (const StudGlyph* stud : studs_with_lugs(diagram)) {
        if (is_stack(*stud))
            continue;
        const auto index = model::find_terminal(voice.harness(), stud->id);
        std::string cables;
        for (const layout::LugGlyph& lug : stud->lugs) {
            const model::Cable& cable = voice.harness().cables[lug.cable];
            const model::CableEnd& there = lug.end == 0 ? cable.to : cable.from;
            // A line breaks between two cables, not within one.
            cables += (cables.empty() ? "" : "; ") +
                      unbroken(fmt::format("{} {} {}", cable.id, voice.cable_words(cable),
                                           voice.say(Phrase::to_terminal, {voice.terminal(there.at)})));
        }
        ends.push_back({.id = stud->id,
                        .terminal = index ? voice.terminal(*index) : stud->id,
                        .end = stud->thread,
                        .cables = std::move(cables)});
    }
    return ends;
}

/// A kind of end that fills a list of its own bears it in the heading: the list then has room for more
/// strips.
void add_push_on_tables(const Voice& voice, const layout::DiagramContent& diagram,
                        std::vector<TableBlock>& tables) {
    constexpr std::size_t worth_a_list = 40;
    const std::vector<PushOnEnd> ends = push_on_ends(voice, diagram);
    const auto count = [&](const std::string& kind) {
        return static_cast<std::size_t>(
            std::count_if(ends.begin(), ends.end(), [&](const PushOnEnd& end) { return end.end == kind; }));
    };
    const layout::papers::Column terminal{.title = voice.say(Phrase::column_terminal), .width_mm = 40},
        kind{.title = voice.say(Phrase::column_end), .width_mm = 30},
        cables{.title = voice.say(Phrase::column_cables), .width_mm = 150};
    TableBlock mixed{.caption = voice.say(Phrase::push_on_ends),
                     .columns = {terminal, kind, cables},
                     .rows = {},
                     .empty_words = voice.say(Phrase::none),
                     .boxes = true,
                     .folds = true};
    std::vector<std::pair<std::string, TableBlock>> own;
    for (const PushOnEnd& end : ends) {
        if (count(end.end) < worth_a_list) {
            mixed.rows.push_back({.id = end.id, .cells = {end.terminal, end.end, end.cables}});
            continue;
        }
        auto list =
            std::find_if(own.begin(), own.end(), [&](const auto& one) { return one.first == end.end; });
        if (list == own.end()) {
            TableBlock table = mixed;
            table.caption = voice.say(Phrase::named, {mixed.caption, end.end});
            table.columns = {terminal, cables};
            table.rows.clear();
            list = own.insert(own.end(), {end.end, std::move(table)});
        }
        list->second.rows.push_back({.id = end.id, .cells = {end.terminal, end.cables}});
    }
    if (!mixed.rows.empty())
        tables.push_back(std::move(mixed));
    for (auto& [name, table] : own)
        tables.push_back(std::move(table));
}

/// "W3 on −G1.B+": studs bear their sign here too, as on every other sheet.
std::string assembly_words(const Voice& voice, const check::WrongAssembly& wrong) {
    std::string words = with_signs(voice.told(wrong.sentence));
    std::size_t from = 0;
    for (const auto& placed : wrong.moved) { // in the order of the sentence
        const std::string address = with_signs(voice.harness().terminal(placed.stud).address);
        from = words.find(address, from);
        if (from == std::string::npos)
            return words;
        words.insert(from, "−");
        from += address.size() + 3;
    }
    return words;
}

/// Wrong assemblies that show themselves share a row: one sentence for all of them.
struct Revealed {
    std::vector<std::string> landings, assemblies;
};

void add_landing_rows(const Voice& voice, const check::LandingVerdict& landing, TableBlock& table,
                      Revealed& revealed) {
    const std::string name = "−" + landing.id;
    for (std::size_t i = 0; i < landing.wrong.size(); ++i) {
        if (i == most_wrong_assemblies) {
            const std::string more = std::to_string(landing.wrong.size() - most_wrong_assemblies);
            table.rows.push_back({.cells = {name, voice.say(Phrase::and_more, {more}), "", ""}});
            return;
        }
        check::WrongAssembly wrong = landing.wrong[i];
        if (!wrong.completes) {
            if (revealed.landings.empty() || revealed.landings.back() != name)
                revealed.landings.push_back(name);
            revealed.assemblies.push_back(unbroken(assembly_words(voice, wrong)));
            continue;
        }
        if (wrong.consequence.empty())
            check::add_consequence(voice.harness(), voice.facts(), wrong);
        table.rows.push_back(
            {.cells = {name, assembly_words(voice, wrong), voice.say(Phrase::can_be_completed),
                       with_signs(voice.told(wrong.consequence))}});
    }
}

void add_keying(const Voice& voice, layout::papers::StacksContent& content) {
    TableBlock table{.caption = voice.say(Phrase::keying),
                     .columns = {{.title = voice.say(Phrase::column_landing), .width_mm = 40},
                                 {.title = voice.say(Phrase::column_wrong_assembly), .width_mm = 84},
                                 {.title = voice.say(Phrase::column_completes),
                                  .width_mm = 36,
                                  .anchor = layout::Anchor::left,
                                  .weight = layout::Weight::bold},
                                 {.title = voice.say(Phrase::column_then), .width_mm = 94}},
                     .rows = {},
                     .empty_words = voice.say(Phrase::no_landing)};
    std::vector<std::string> safe;
    Revealed revealed;
    for (const check::LandingVerdict& landing : voice.facts().landings) {
        if (landing.open) {
            table.rows.push_back({.cells = {"−" + landing.id, voice.say(Phrase::size_open), "", ""}});
            continue;
        }
        add_landing_rows(voice, landing, table, revealed);
        if (landing.wrong.empty())
            safe.push_back("−" + landing.id);
    }
    if (!revealed.landings.empty())
        table.rows.push_back(
            {.cells = {fmt::format("{}", fmt::join(revealed.landings, ", ")),
                       fmt::format("{}", fmt::join(revealed.assemblies, "; ")),
                       voice.say(Phrase::cannot_be_completed), voice.say(Phrase::reveals_itself)}});
    if (!safe.empty())
        content.remarks.push_back(voice.say(Phrase::keying_safe, {id_ranges(voice, safe)}));
    if (!table.rows.empty() || safe.empty())
        content.keying.push_back(std::move(table));
}

} // namespace

layout::papers::StacksContent stacks_content(const Voice& voice, const layout::DiagramContent& diagram) {
    layout::papers::StacksContent content;
    const std::vector<check::Judgement> found = findings(voice.checked());
    for (const StudGlyph* stud : studs_with_lugs(diagram))
        if (const auto index = model::find_terminal(voice.harness(), stud->id); index && is_stack(*stud)) {
            content.cards.push_back(card_of(voice, *stud, *index));
            mark_failing(voice, found, *stud, content.cards.back());
        }
    content.cards = gathered(voice, std::move(content.cards));
    content.common = voice.say(Phrase::stacks_common);
    content.plan_caption = voice.say(Phrase::plan_caption);
    content.plan_fact = voice.say(Phrase::plan_fact);
    content.plan_crowded = voice.say(Phrase::plan_crowded);
    add_push_on_tables(voice, diagram, content.tables);
    add_keying(voice, content);
    content.heading = voice.say(Phrase::stud_stacks);
    content.remark = voice.say(Phrase::stacks_remark);
    content.continued = voice.say(Phrase::continued);
    content.print_check = voice.say(Phrase::print_check);
    return content;
}

CsvTable stacks_table(const Voice& voice, const layout::DiagramContent& diagram) {
    CsvTable table{.name = "stud-stacks",
                   .rows = {{"terminal", "fastener", "level", "cable", "lug", "to", "torque_newton_m",
                             "torque_source", "boot"}}};
    for (const StudGlyph* stud : studs_with_lugs(diagram)) {
        const auto index = model::find_terminal(voice.harness(), stud->id);
        if (!index)
            continue;
        const model::Terminal& terminal = voice.harness().terminal(*index);
        const TorqueWords torque = is_stack(*stud) ? torque_words(voice, terminal) : TorqueWords{};
        std::size_t level = 0;
        for (const layout::LugGlyph& lug : stud->lugs) {
            const model::Cable& cable = voice.harness().cables[lug.cable];
            const model::CableEnd& here = lug.end == 0 ? cable.from : cable.to;
            const model::CableEnd& there = lug.end == 0 ? cable.to : cable.from;
            table.rows.push_back({terminal.address, voice.size_in_csv(terminal.stud), std::to_string(++level),
                                  cable.id, voice.size_in_csv(here.lug),
                                  voice.harness().terminal(there.at).address,
                                  torque.newton_m > 0 ? plain(torque.newton_m, 1) : "", torque.remark,
                                  terminal.booted ? "yes" : "no"});
        }
    }
    return table;
}

} // namespace stoutloom::report

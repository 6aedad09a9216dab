// Units, beds, their studs, and the lugs on each stud in the order in which they are tightened.
#include "report/diagram_parts.h"

#include "physics/fuselink.h"
#include "physics/joint.h"
#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::report {
namespace {

using layout::StudGlyph;
using layout::UnitSymbol;

struct Sources {
    const Voice* voice;
    const Checked* checked;
    std::vector<double> greatest_a;
};

// What the author wrote, otherwise our figure.
std::string told(const model::Written& written, int decimals, std::string_view unit) {
    if (written.given && !written.text.empty())
        return with_signs(one_line(written.text));
    return with_signs(base::shown(written.value, decimals, base::Rounding::nearest, unit));
}

layout::LugGlyph lug(const model::Harness& harness, std::size_t cable, int end, const base::Fastener& stud) {
    const model::Cable& about = harness.cables[cable];
    const model::CableEnd& side = end == 0 ? about.from : about.to;
    layout::LugGlyph glyph;
    glyph.cable = cable;
    glyph.end = end;
    glyph.stud_size_mm = side.lug.diameter_m * 1000;
    glyph.hole_mm = side.lug.hole_low_m * 1000;
    const auto barrel =
        physics::barrel_for(side.barrel_mm2 ? side.barrel_mm2->value : about.section_mm2.value);
    // A ring needs metal on both sides of its hole, whatever its barrel.
    const double least_palm_mm = 1.7 * std::max(glyph.hole_mm, 4.0);
    glyph.palm_mm = std::max(barrel ? barrel->palm_width_m * 1000 : 0.0, least_palm_mm);
    if (!base::can_go_on(side.lug, stud))
        glyph.fit = layout::LugGlyph::Fit::too_small;
    else if (base::is_loose_on(side.lug, stud))
        glyph.fit = layout::LugGlyph::Fit::loose;
    return glyph;
}

StudGlyph::Kind kind_of(base::FastenerKind kind) {
    switch (kind) {
    case base::FastenerKind::stud:
        return StudGlyph::Kind::stud;
    case base::FastenerKind::taper_post:
        return StudGlyph::Kind::post;
    case base::FastenerKind::blade:
        return StudGlyph::Kind::blade;
    case base::FastenerKind::plug:
        return StudGlyph::Kind::plug;
    case base::FastenerKind::splice:
        return StudGlyph::Kind::splice;
    }
    return StudGlyph::Kind::stud;
}

layout::Flow stud_flow(const Checked& checked, model::TerminalIndex index) {
    // A stud that only light leads end on goes to the control sheet with them.
    bool any = false, all_light = true;
    for (std::size_t c = 0; c < checked.harness->cables.size(); ++c) {
        const model::Cable& cable = checked.harness->cables[c];
        if (cable.from.at != index && cable.to.at != index)
            continue;
        any = true;
        all_light = all_light && is_light_lead(checked, c);
    }
    if (any && all_light)
        return layout::Flow::control;
    const check::Side side = checked.facts->topology.side_of_terminal.at(model::at(index));
    if (side != check::Side::unknown)
        return flow_of(side);
    switch (checked.harness->terminal(index).role) {
    case model::Role::positive:
    case model::Role::through:
        return layout::Flow::feed;
    case model::Role::negative:
        return layout::Flow::back;
    case model::Role::excite:
    case model::Role::sense:
    case model::Role::control:
    case model::Role::signal:
        return layout::Flow::control;
    }
    return layout::Flow::control;
}

StudGlyph stud_glyph(const Sources& sources, model::TerminalIndex index) {
    const model::Harness& harness = *sources.checked->harness;
    const model::Terminal& terminal = harness.terminal(index);
    StudGlyph stud;
    stud.id = terminal.address;
    stud.designation = terminal.id;
    stud.thread = sources.voice->size(terminal.stud);
    stud.diameter_mm = terminal.stud.diameter_m * 1000;
    stud.kind = kind_of(terminal.stud.kind);
    stud.flow = stud_flow(*sources.checked, index);
    stud.insulated = harness.device(terminal.device).kind() != model::DeviceKind::mass;
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        for (const int end : {0, 1})
            if ((end == 0 ? harness.cables[c].from : harness.cables[c].to).at == index)
                stud.lugs.push_back(lug(harness, c, end, terminal.stud));
    // Heaviest current on the face, so that it does not pass through the other lugs; a tie in file order.
    std::stable_sort(stud.lugs.begin(), stud.lugs.end(),
                     [&](const layout::LugGlyph& a, const layout::LugGlyph& b) {
                         return sources.greatest_a[a.cable] > sources.greatest_a[b.cable];
                     });
    return stud;
}

bool is_drawn(const model::Terminal& terminal, const StudGlyph& stud) {
    if (!stud.lugs.empty())
        return true;
    return !terminal.implicit && !terminal.spare && terminal.stud.kind == base::FastenerKind::stud;
}

std::vector<StudGlyph> studs_of(const Sources& sources, const model::Device& device) {
    std::vector<StudGlyph> studs;
    for (const model::TerminalIndex index : device.terminals) {
        StudGlyph stud = stud_glyph(sources, index);
        if (is_drawn(sources.checked->harness->terminal(index), stud))
            studs.push_back(std::move(stud));
    }
    return studs;
}

// The zone of a stud of a mass: where the cable on it ends; the mass's own otherwise.
std::size_t zone_of_stud(const model::Harness& harness, const StudGlyph& stud, std::size_t own) {
    if (stud.lugs.empty())
        return own;
    const model::Cable& cable = harness.cables[stud.lugs.front().cable];
    if (cable.segments.empty())
        return own;
    return model::at((stud.lugs.front().end == 0 ? cable.segments.front() : cable.segments.back()).zone);
}

// A unit without a zone stands where its first cable ends.
std::size_t zone_of(const model::Harness& harness, const model::Device& device,
                    const std::vector<StudGlyph>& studs) {
    if (device.zone)
        return model::at(*device.zone);
    for (const StudGlyph& stud : studs)
        if (!stud.lugs.empty())
            return zone_of_stud(harness, stud, 0);
    return 0;
}

UnitSymbol symbol_of(const model::Device& device) {
    switch (device.kind()) {
    case model::DeviceKind::battery:
        return UnitSymbol::battery;
    case model::DeviceKind::generator:
        return UnitSymbol::generator;
    case model::DeviceKind::starter:
        return UnitSymbol::starter;
    case model::DeviceKind::switch_:
        return UnitSymbol::switch_;
    case model::DeviceKind::relay:
        return UnitSymbol::relay;
    case model::DeviceKind::fuse_link:
        return UnitSymbol::fuse_link;
    case model::DeviceKind::shunt:
        return UnitSymbol::shunt;
    case model::DeviceKind::post:
    case model::DeviceKind::mass:
        return UnitSymbol::post;
    case model::DeviceKind::consumer:
        break;
    }
    switch (std::get<model::Consumer>(device.data).symbol) {
    case model::ConsumerSymbol::lamp:
        return UnitSymbol::lamp;
    case model::ConsumerSymbol::motor:
        return UnitSymbol::motor;
    case model::ConsumerSymbol::electronics:
        return UnitSymbol::electronics;
    case model::ConsumerSymbol::general:
    case model::ConsumerSymbol::heater:
        return UnitSymbol::resistor;
    }
    return UnitSymbol::resistor;
}

std::string greatest_hot_output(const Voice& voice, const model::Generator& generator) {
    double greatest_a = 0;
    for (const model::Output& output : generator.outputs)
        greatest_a = std::max(greatest_a, output.hot_a.value);
    return voice.say(Phrase::diagram_hot_output, {base::shown_up(greatest_a, 0, "A")});
}

std::vector<std::string> details_of(const Voice& voice, const model::Device& device) {
    if (const auto* battery = std::get_if<model::Battery>(&device.data)) {
        std::string words = told(battery->capacity_ah, 0, "Ah");
        if (battery->cold_cranking_a)
            words += ", " + told(*battery->cold_cranking_a, 0, "A");
        return {words};
    }
    if (const auto* generator = std::get_if<model::Generator>(&device.data))
        return {greatest_hot_output(voice, *generator)};
    if (const auto* starter = std::get_if<model::Starter>(&device.data))
        return {told(starter->current_a, 0, "A")};
    if (const auto* consumer = std::get_if<model::Consumer>(&device.data)) {
        const std::string_view unit = consumer->demand == model::Demand::current ? "A"
                                      : consumer->demand == model::Demand::power ? "W"
                                                                                 : "ohm";
        return {told(consumer->amount, 1, unit)};
    }
    if (const auto* link = std::get_if<model::FuseLink>(&device.data))
        return {link->automatic ? fmt::format("{} {}", voice.told(link->type), voice.say(Phrase::rating_open))
                                : fmt::format("{} {}", voice.told(link->type), told(link->rating_a, 0, "A"))};
    if (const auto* contact = std::get_if<model::Switch>(&device.data))
        if (contact->rating_a)
            return {told(*contact->rating_a, 0, "A")};
    if (const auto* shunt = std::get_if<model::Shunt>(&device.data))
        return {told(shunt->resistance_ohm, 3, "ohm")};
    return {};
}

layout::BedGlyph bed_glyph(const Voice& voice, const Sources& sources, const model::Device& device,
                           std::size_t zone_count) {
    const model::Harness& harness = *sources.checked->harness;
    layout::BedGlyph bed;
    bed.id = device.id;
    bed.name =
        voice.say(Phrase::diagram_return_mass, {one_line(device.label.empty() ? device.id : device.label)});
    bed.resistance =
        with_signs(base::shown_resistance(std::get<model::Mass>(device.data).resistance_ohm.value));
    bed.studs = studs_of(sources, device);
    const std::size_t own = zone_of(harness, device, bed.studs);
    std::vector<bool> runs(std::max<std::size_t>(zone_count, 1), false);
    runs.at(own) = true;
    for (StudGlyph& stud : bed.studs) {
        stud.flow = layout::Flow::back;
        bed.stud_zones.push_back(zone_of_stud(harness, stud, own));
        runs.at(bed.stud_zones.back()) = true;
    }
    // The metal also reaches every unit that stands on it by its case.
    for (const model::Device& other : harness.devices)
        if (other.seat && &harness.device(*other.seat) == &device && other.zone)
            runs.at(model::at(*other.zone)) = true;
    for (std::size_t z = 0; z < runs.size(); ++z)
        if (runs[z])
            bed.zones.push_back(z);
    return bed;
}

} // namespace

void add_units_and_beds(const Voice& voice, layout::DiagramContent& content) {
    const Checked& checked = voice.checked();
    const model::Harness& harness = *checked.harness;
    const Sources sources{.voice = &voice, .checked = &checked, .greatest_a = greatest_currents_a(checked)};
    std::vector<std::optional<std::size_t>> bed_of(harness.devices.size());
    for (std::size_t i = 0; i < harness.devices.size(); ++i) {
        if (harness.devices[i].kind() != model::DeviceKind::mass)
            continue;
        bed_of[i] = content.beds.size();
        content.beds.push_back(bed_glyph(voice, sources, harness.devices[i], content.zones.size()));
    }
    for (const model::Device& device : harness.devices) {
        if (device.kind() == model::DeviceKind::mass)
            continue;
        layout::UnitGlyph unit;
        unit.id = device.id;
        unit.name = one_line(device.label);
        unit.details = details_of(voice, device);
        unit.symbol = symbol_of(device);
        unit.studs = studs_of(sources, device);
        unit.zone = zone_of(harness, device, unit.studs);
        if (device.seat)
            unit.seat_bed = bed_of.at(model::at(*device.seat));
        if (const auto* link = std::get_if<model::FuseLink>(&device.data))
            if (const physics::FuseType* type = physics::fuse_type_by_name(link->type))
                unit.fixing_pitch_mm = type->fixing_pitch_m * 1000;
        content.units.push_back(std::move(unit));
    }
}

} // namespace stoutloom::report

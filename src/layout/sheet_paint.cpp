// Painting order is reading order: zones, volt line, beds, cables, units, stacks, what is written about them.
#include "layout/sheet_paint.h"

#include "layout/devices.h"
#include "layout/hardware.h"
#include "layout/pen.h"
#include "layout/volt_line.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {
namespace {

Paint tint_of(double ambient_degc) {
    return ambient_degc <= 35   ? Paint::zone_cool
           : ambient_degc <= 45 ? Paint::zone_mild
           : ambient_degc <= 70 ? Paint::zone_warm
                                : Paint::zone_hot;
}

Element panel_element(const Panel& panel, const Arrangement& all, const TextMeasure& measure) {
    const ZonePanel& zone = all.content->zones[panel.zone];
    Element made = element(Role::zone, "zone-" + zone.id);
    made.title = said(all.content->title, "Zone {0}, {1}", {zone.label, zone.ambient});
    const double left = panel.left_mm;
    const double right = panel.right_mm;
    const double top = all.top_mm;
    const double under = top + 9;
    add(made, rectangle({left, under, right - left, all.bottom_mm - under}, tint_of(zone.ambient_degc)));
    add(made, line({left, under}, {left, all.bottom_mm}, pen(0.25, Dash::dash_dot)));
    add(made, line({right, under}, {right, all.bottom_mm}, pen(0.25, Dash::dash_dot)));
    add(made, line({left, all.bottom_mm}, {right, all.bottom_mm}, pen(0.25, Dash::dash_dot)));
    add(made, line({left, top}, {right, top}, pen(0.7)));
    add(made, line({left, under}, {right, under}, pen(0.35)));
    const double scale = right - left < 70 ? 10 : 20;
    const double bar = right - 3 - scale;
    const double base = top + 6.2;
    // Ambient on a scale from 0 to 125 degrees: a bar under its ticks.
    add(made, line({bar, base}, {bar + scale, base}, pen(0.25)));
    for (int tick = 0; tick <= 5; ++tick)
        add(made, line({bar + scale * tick / 5, base - 1.6}, {bar + scale * tick / 5, base}, pen(0.25)));
    add(made,
        rectangle({bar, base - 0.8, scale * std::clamp(zone.ambient_degc / 125, 0.0, 1.0), 0.8}, Paint::ink));
    Text figure =
        written(measure, {bar - 1.6, base}, zone.ambient, {.weight = Weight::bold, .anchor = Anchor::right});
    const double until = figure.box.x_mm - 2;
    add(made, std::move(figure));
    // A short id is a location designation; a long one says no more than the label does.
    const Lettering bold{.height_mm = 3.5, .weight = Weight::bold};
    double x = left + 3;
    std::string label = zone.label.empty() ? zone.id : zone.label;
    if (panel.again)
        label = said(all.content->title, "{0}, continued", {label});
    if (zone.id.size() <= 4) {
        Text id = written(measure, {x, base}, "+" + zone.id, bold);
        x = id.box.right_mm() + 1.8;
        add(made, std::move(id));
        const Lettering plain{.height_mm = 3.5};
        add(made, written(measure, {x, base}, shortened(measure, label, until - x, plain), plain));
    } else {
        add(made, written(measure, {x, base}, shortened(measure, label, until - x, bold), bold));
    }
    seal(made);
    return made;
}

std::vector<Box> taken_for_sleeve(const PlacedSheet& sheet, std::size_t own) {
    std::vector<Box> taken = sheet.notes.taken();
    for (const Obstacle& obstacle : sheet.routing.obstacles)
        taken.push_back(obstacle.box);
    for (const Routed& route : sheet.routing.routes)
        if (route.cable != own)
            for (const Piece& piece : pieces_of(route))
                taken.push_back(grown(box_around(piece.a, piece.b), piece.half_mm + 0.9));
    return taken;
}

void paint_cables(Page& page, const PlacedSheet& sheet) {
    const DiagramContent& content = *sheet.arrangement.content;
    for (const Routed& route : sheet.routing.routes) {
        std::vector<Box> quiet = sheet.notes.taken();
        for (const Routed& other : sheet.routing.routes)
            if (other.cable != route.cable)
                for (const Piece& piece : pieces_of(other))
                    quiet.push_back(grown(box_around(piece.a, piece.b), piece.half_mm + 1.2));
        Element made = cable_element(content.cables[route.cable], route.track, quiet);
        if (content.cables[route.cable].failing) {
            add_sleeve(made, content.cables[route.cable], route.track, taken_for_sleeve(sheet, route.cable));
            seal(made);
        }
        page.elements.push_back(std::move(made));
    }
}

/// Leads whose other half is on the sheet for control: a thin line from the lug up to a tag.
void paint_leads(Page& page, const PlacedSheet& sheet, const TagWords& goes_on, const TextMeasure& measure) {
    const Arrangement& all = sheet.arrangement;
    for (const PlacedStud& stud : all.studs)
        for (const PlacedLug& lug : stud.lugs) {
            if (!lug.off_sheet)
                continue;
            const RunGlyph& run = all.content->cables[lug.cable];
            const Track track = off_sheet_track(all, stud, lug, measure);
            Element lead = element(Role::cable, run.id + "-lead");
            lead.title = run.title.empty() ? run.id : run.title;
            add(lead,
                rounded(track, 2.5,
                        pen(std::max(0.5, std::min(2 * lug.half_mm, 1.0)), Dash::solid, Paint::control)));
            seal(lead);
            page.elements.push_back(std::move(lead));
            const std::string what = run.id + "  " + true_minus(stud.glyph->designation);
            page.elements.push_back(tag_element(run.id + "-tag", track.back(), 0, all.tag_width_mm, what,
                                                goes_on[lug.cable][static_cast<std::size_t>(lug.end)],
                                                measure));
        }
}

void paint_edge_tags(Page& page, const PlacedSheet& sheet, const TagWords& goes_on,
                     const TextMeasure& measure) {
    const Arrangement& all = sheet.arrangement;
    for (const Routed& route : sheet.routing.routes) {
        if (route.tag_end < 0)
            continue;
        const RunGlyph& run = all.content->cables[route.cable];
        const Point point = route.tag_end == 0 ? route.track.front() : route.track.back();
        const std::string other = route.tag_end == 0 ? run.from : run.to;
        page.elements.push_back(tag_element(
            run.id + "-tag", point, -route.tag_side, all.tag_width_mm, run.id + "  " + true_minus(other),
            goes_on[route.cable][static_cast<std::size_t>(route.tag_end)], measure));
    }
}

void paint_incidentals(Page& page, PlacedSheet& sheet, const TextMeasure& measure) {
    Arrangement& all = sheet.arrangement;
    const auto bed_named = [&](const std::string& address) -> PlacedBed* {
        const std::string id = address.substr(0, address.find('.'));
        for (PlacedBed& bed : all.beds)
            if (bed.glyph->id == id)
                return &bed;
        return nullptr;
    };
    for (const IncidentalGlyph& path : all.content->incidentals) {
        PlacedBed* a = bed_named(path.from);
        PlacedBed* b = bed_named(path.to);
        if (a == nullptr || b == nullptr || a == b)
            continue;
        if (a->top_mm > b->top_mm)
            std::swap(a, b);
        const double low = std::max(a->left_mm, b->left_mm) + 4;
        const double high = std::min(a->right_mm, b->right_mm) - 4;
        const double width = measure.width_mm(path.name, 2.5, Weight::regular);
        bool done = false;
        std::vector<Box> taken = taken_for_sleeve(sheet, nowhere);
        for (const Element& painted : page.elements)
            if (painted.role == Role::tag || painted.role == Role::flag)
                taken.push_back(painted.box);
        for (double x = high; x > low && !done; x -= 1) {
            const Box way{x - 0.4, a->top_mm + a->height_mm + 2.7, 0.8,
                          b->top_mm - a->top_mm - a->height_mm - 3.9};
            if (way.height_mm < 6 || std::any_of(taken.begin(), taken.end(),
                                                 [&](const Box& box) { return overlaps(way, box, 0.6); }))
                continue;
            for (const double y : {way.y_mm + way.height_mm / 2 + 1, way.y_mm + 4, way.bottom_mm() - 2}) {
                const Box words{x - 2 - width, y - 2.5, width, 3.4};
                if (std::any_of(taken.begin(), taken.end(),
                                [&](const Box& box) { return overlaps(words, box, 1); }) ||
                    words.x_mm < all.left_mm + 2)
                    continue;
                Element made = element(Role::furniture, path.id);
                made.title = path.id + ", " + path.name;
                add(made, line({x, a->top_mm + a->height_mm}, {x, b->top_mm - 0.5}, pen(0.35, Dash::dots)));
                add(made, written(measure, {x - 2, y}, path.name, {.anchor = Anchor::right}));
                seal(made);
                page.elements.push_back(std::move(made));
                done = true;
                break;
            }
        }
    }
}

void paint_notes(Page& page, const PlacedSheet& sheet, const TextMeasure& measure) {
    const DiagramContent& content = *sheet.arrangement.content;
    for (const CableNote& note : sheet.notes.cables) {
        if (note.has_balloon)
            page.elements.push_back(balloon_element(content.cables[note.cable], note, measure));
        if (note.has_label)
            page.elements.push_back(label_element(content.cables[note.cable], note, measure));
    }
    for (const FlagNote& note : sheet.notes.flags) {
        if (!note.placed)
            continue;
        const FlagGlyph& flag = content.flags[note.flag];
        Element made = element(Role::flag, "flag-" + flag.number);
        made.title = said(content.title, flag.error ? "Error {0}" : "Warning {0}", {flag.number});
        made.desc = flag.what + " " + flag.cure;
        add_flag(made, {note.box.x_mm, note.box.y_mm}, flag, note.to_left, &note.dot, measure);
        seal(made);
        page.elements.push_back(std::move(made));
    }
}

} // namespace

std::string end_reference(const PlacedSheet& sheet, std::size_t cable, int end) {
    if (const StudListRow* row = row_of(sheet.list, cable, end))
        return grid_reference(sheet.arrangement.size,
                              {row->box.x_mm + 16, row->box.y_mm + row->box.height_mm / 2});
    const PlacedLug* lug = nullptr;
    if (const PlacedStud* stud = sheet.arrangement.stud_of(cable, end, &lug))
        return grid_reference(sheet.arrangement.size, stud->lug_end(*lug));
    return {};
}

namespace {
void paint_drawing(Page& page, PlacedSheet& sheet, const TagWords& goes_on, const TextMeasure& measure) {
    Arrangement& all = sheet.arrangement;
    if (all.volt_line && all.content->volt_line)
        page.elements.push_back(volt_line_element(all, *all.content->volt_line, measure));
    // A bed keeps its words off the cables that pass over it.
    std::vector<Box> ways;
    for (const Routed& route : sheet.routing.routes)
        for (const Piece& piece : pieces_of(route))
            ways.push_back(grown(box_around(piece.a, piece.b), piece.half_mm + 1.5));
    for (const PlacedBed& bed : all.beds)
        page.elements.push_back(bed_element(bed, all, ways, measure));
    paint_cables(page, sheet);
    for (const PlacedUnit& unit : all.units)
        page.elements.push_back(
            unit.upper ? inline_element(unit, all.studs[unit.studs[0]], all.studs[unit.studs[1]], measure)
                       : unit_element(unit, all, measure));
    paint_leads(page, sheet, goes_on, measure);
    for (const PlacedStud& stud : all.studs)
        page.elements.push_back(stack_element(stud, measure));
    paint_edge_tags(page, sheet, goes_on, measure);
    // Last: paths nobody drew on purpose take what room is left.
    paint_incidentals(page, sheet, measure);
}
} // namespace

Page paint_sheet(PlacedSheet& sheet, const TagWords& goes_on, const std::string& sheet_number,
                 const TextMeasure& measure) {
    Arrangement& all = sheet.arrangement;
    Page page;
    page.id = "diagram-" + all.share.label;
    page.title = said(all.content->title, all.share.control ? "Control leads" : "Wiring diagram");
    page.label = all.share.label;
    page.width_mm = all.size.width_mm;
    page.height_mm = all.size.height_mm;
    page.elements.push_back(frame_element(all.size, measure));
    for (const Panel& panel : all.share.panels)
        page.elements.push_back(panel_element(panel, all, measure));
    if (sheet.list.rows.empty()) {
        paint_drawing(page, sheet, goes_on, measure);
    } else {
        page.title = said(all.content->title, "{0}, stud list", {page.title});
        for (Element& each :
             stud_list_elements(sheet.list, *all.content, sheet.notes.flags, goes_on, measure))
            page.elements.push_back(std::move(each));
    }
    paint_notes(page, sheet, measure);
    page.elements.push_back(title_element(all.size, all.content->title, sheet_number, measure));
    return page;
}

} // namespace stoutloom::layout

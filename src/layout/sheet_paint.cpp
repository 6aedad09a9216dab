// Painting order is reading order: zones, volt line, beds, cables, units, stacks, what is written about them.
#include "layout/sheet_paint.h"

#include "layout/devices.h"
#include "layout/direction.h"
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
    const double base = top + 6.2;
    const Lettering bold{.height_mm = 3.5, .weight = Weight::bold};
    std::string label = zone.label.empty() ? zone.id : zone.label;
    if (panel.again)
        label = running_right(said(all.content->title, "{0}, continued", {label}));
    // A short id is a location designation; a long one says no more than the label does.
    double x = left + 3;
    const bool named = zones_by_id(*all.content);
    if (named) {
        Text id = written(measure, {x, base}, "+" + zone.id, bold);
        x = id.box.right_mm() + 1.8;
        add(made, std::move(id));
    }
    // The long scale where the name leaves room for it; the name on one line where either scale does.
    const Lettering large{.height_mm = 3.5, .weight = named ? Weight::regular : Weight::bold};
    const double one = measure.width_mm(label, 3.5, large.weight);
    const double figure_mm = measure.width_mm(zone.ambient, 2.5, Weight::bold);
    const auto room = [&](double scale) { return right - 3 - scale - 1.6 - figure_mm - 2 - x; };
    const std::vector<std::string> two = two_lines(measure, label);
    double two_mm = 0;
    for (const std::string& each : two)
        two_mm = std::max(two_mm, measure.width_mm(each, 2.5, Weight::regular));
    const bool short_scale =
        right - left < 70 || (room(20) < one && room(10) >= one) || room(20) < std::min(one, two_mm);
    const double scale = short_scale ? 10 : 20;
    const double bar = right - 3 - scale;
    // Ambient on a scale from 0 to 125 degrees: a bar under its ticks.
    add(made, line({bar, base}, {bar + scale, base}, pen(0.25)));
    for (int tick = 0; tick <= 5; ++tick)
        add(made, line({bar + scale * tick / 5, base - 1.6}, {bar + scale * tick / 5, base}, pen(0.25)));
    add(made,
        rectangle({bar, base - 0.8, scale * std::clamp(zone.ambient_degc / 125, 0.0, 1.0), 0.8}, Paint::ink));
    add(made,
        written(measure, {bar - 1.6, base}, zone.ambient, {.weight = Weight::bold, .anchor = Anchor::right}));
    if (one <= room(scale)) {
        add(made, written(measure, {x, base}, label, large));
    } else {
        double baseline = top + 3.9;
        for (const std::string& each : two) {
            add(made, written(measure, {x, baseline}, each));
            baseline += 3.9;
        }
    }
    seal(made);
    return made;
}

/// `own`: the cable whose way does not count, if any.
std::vector<Box> taken_for_hatching(const PlacedSheet& sheet, std::size_t own) {
    std::vector<Box> taken = sheet.notes.taken();
    for (const Obstacle& obstacle : sheet.routing.obstacles)
        taken.push_back(obstacle.box);
    for (const Routed& route : sheet.routing.routes) {
        if (route.cable != own)
            for (const Piece& piece : pieces_of(route))
                taken.push_back(grown(box_around(piece.a, piece.b), piece.half_mm + 0.9));
        if (route.tag_end >= 0)
            taken.push_back(tag_box(route.tag_end == 0 ? route.track.front() : route.track.back(),
                                    -route.tag_side, route.tag_mm));
    }
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
            add_sleeve(made, content.cables[route.cable], route.track,
                       taken_for_hatching(sheet, route.cable));
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
            const std::string what = tag_words(run, stud.glyph->designation);
            page.elements.push_back(tag_element(run.id + "-tag", track.back(), 0, lug.tag_mm, what,
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
        page.elements.push_back(
            tag_element(run.id + "-tag", point, -route.tag_side, route.tag_mm, tag_words(run, other),
                        goes_on[route.cable][static_cast<std::size_t>(route.tag_end)], measure));
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
        add_planted_flag(made, note, flag, measure);
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
        // The middle of the lug: its end may reach over into the field beside.
        return grid_reference(sheet.arrangement.size,
                              {stud->x_mm + lug->side * lug->reach_mm / 2, stud->away(lug->level_mm)});
    return {};
}

namespace {
void paint_drawing(Page& page, PlacedSheet& sheet, const TagWords& goes_on, const TextMeasure& measure) {
    Arrangement& all = sheet.arrangement;
    if (all.volt_line && all.content->volt_line)
        page.elements.push_back(volt_line_element(all, sheet.routing, *all.content->volt_line, measure));
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
    for (const PlacedUnit& unit : all.units)
        if (unit.glyph->failing)
            page.elements.push_back(failing_band(unit, all, taken_for_hatching(sheet, nowhere), measure));
    for (const IncidentalNote& note : sheet.notes.incidentals)
        page.elements.push_back(incidental_element(all.content->incidentals[note.path], note, measure));
}
} // namespace

Page begin_page(const PlacedSheet& first, const TextMeasure& measure) {
    const Arrangement& all = first.arrangement;
    Page page;
    page.id = "diagram-" + all.share.label;
    page.title = said(all.content->title, all.share.control ? "Control leads" : "Wiring diagram");
    if (!first.list.rows.empty())
        page.title = said(all.content->title, "{0}, stud list", {page.title});
    page.label = all.share.label;
    page.width_mm = all.size.width_mm;
    page.height_mm = all.size.height_mm;
    page.elements.push_back(frame_element(all.size, measure));
    return page;
}

void paint_sheet(Page& page, PlacedSheet& sheet, const TagWords& goes_on, const TextMeasure& measure) {
    Arrangement& all = sheet.arrangement;
    for (const Panel& panel : all.share.panels)
        page.elements.push_back(panel_element(panel, all, measure));
    if (sheet.list.rows.empty())
        paint_drawing(page, sheet, goes_on, measure);
    else
        for (Element& each :
             stud_list_elements(sheet.list, *all.content, sheet.notes.flags, goes_on, measure))
            page.elements.push_back(std::move(each));
    paint_notes(page, sheet, measure);
}

} // namespace stoutloom::layout

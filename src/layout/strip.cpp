// What stands under the diagram: where the parts are, what is wrong, how to read it, what could hurt.
#include "layout/hardware.h"
#include "layout/notes.h"
#include "layout/pen.h"
#include "layout/sheet_paint.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace stoutloom::layout {

Element caution_element(const Box& box, const std::vector<std::string>& cautions, const TitleFields& fields,
                        const TextMeasure& measure) {
    Element made = element(Role::panel, "caution");
    made.title = said(fields, "WARNING");
    add(made, rectangle(box, Paint::white, pen(0.7)));
    // The most important caution is told whole: where the box is small, its margins give way first.
    const std::size_t needed =
        cautions.empty() ? 0 : wrapped(measure, cautions.front(), box.width_mm - 5, {}, 0).size();
    const double words_mm = line_pitch(2.5) * static_cast<double>(std::max<std::size_t>(needed, 1) - 1);
    const bool tight = box.y_mm + 2.5 + 7 + 5 + words_mm > box.bottom_mm() - 1.8;
    const double edge = tight ? 1.2 : 2.5;
    const Box head{box.x_mm + edge, box.y_mm + edge, box.width_mm - 2 * edge, tight ? 6.0 : 7.0};
    const double foot = box.bottom_mm() - (tight ? 1.0 : 1.8);
    add(made, rectangle(head, Paint::warning_panel, pen(0.5)));
    const double x = head.x_mm + 3;
    const double low = head.bottom_mm() - (tight ? 0.55 : 1.1);
    add(made, polyline({{x, low}, {x + 5.6, low}, {x + 2.8, low - 4.9}}, true, Paint::flag, pen(0.5)));
    add(made, line({x + 2.8, low - 3.4}, {x + 2.8, low - 1.6}, pen(0.5)));
    add(made, circle({x + 2.8, low - 0.8}, 0.35, Paint::ink));
    add(made, written(measure, {x + 9, head.bottom_mm() - (tight ? 1.25 : 1.75)}, said(fields, "WARNING"),
                      {.height_mm = 3.5, .weight = Weight::bold}));
    double baseline = head.bottom_mm() + (tight ? 3.6 : 5.0);
    for (const std::string& caution : cautions) {
        const auto room =
            static_cast<std::size_t>(std::max(0.0, (foot - baseline) / line_pitch(2.5) + 1 + 1e-9));
        if (room == 0)
            break;
        const std::vector<std::string> all = wrapped(measure, caution, box.width_mm - 2 * edge, {}, 0);
        // A caution cut short could mislead: whole, or not at all (but the first must be told).
        if (all.size() > room && &caution != &cautions.front())
            break;
        for (const std::string& each : wrapped(measure, caution, box.width_mm - 2 * edge, {}, room)) {
            add(made, written(measure, {box.x_mm + edge, baseline}, each));
            baseline += line_pitch(2.5);
        }
        baseline += 1;
    }
    seal(made);
    return made;
}

namespace {
std::string section_words(double mm2) {
    return fmt::format("{:.4g} mm²", mm2);
}

/// Samples of the widths that occur, feed beside return.
void read_widths(Element& to, const Box& area, const StripContent& strip, const TextMeasure& measure) {
    const auto room = static_cast<std::size_t>(std::max(1.0, (area.height_mm - 5) / 5.2));
    std::vector<double> chosen = strip.sections_mm2;
    while (chosen.size() > room)
        chosen.erase(chosen.begin() + static_cast<std::ptrdiff_t>(chosen.size() / 2));
    double y = area.y_mm + 2.2;
    const double half = 13;
    for (const double section : chosen) {
        RunGlyph run;
        run.section_mm2 = section;
        const double w = strand_width_mm(run);
        double x = area.x_mm;
        for (const bool feed : {true, false}) {
            if (feed ? !strip.feed : !strip.back)
                continue;
            add(to, line({x, y}, {x + half, y},
                         pen(w, Dash::solid, feed ? Paint::feed_edge : Paint::return_edge)));
            if (const double core = w - (feed ? 0.5 : 0.7); core >= 0.18)
                add(to, line({x, y}, {x + half, y},
                             pen(core, Dash::solid, feed ? Paint::feed_core : Paint::return_core)));
            x += half + 1.5;
        }
        add(to, written(measure, {x + 0.5, y + 1.25}, section_words(section)));
        y += 5.2;
    }
    double x = area.x_mm + half / 2;
    for (const bool feed : {true, false})
        if (feed ? strip.feed : strip.back) {
            add(to, written(measure, {x, y + 1.6}, said(strip.content->title, feed ? "feed" : "return"),
                            {.anchor = Anchor::middle}));
            x += half + 1.5;
        }
}

struct KeyRow {
    enum class Kind {
        fresh,
        kept,
        tag,
        probe,
        all_day,
        short_duty,
        over,
        braid,
        clamped,
        error,
        warning
    } kind;
    std::string words;
};

void draw_key(Element& to, Point at, const KeyRow& row, const TextMeasure& measure) {
    const Lettering bold{.height_mm = 2.5, .weight = Weight::bold, .anchor = Anchor::middle};
    const Point middle{at.x_mm + 5, at.y_mm};
    switch (row.kind) {
    case KeyRow::Kind::fresh:
        add(to, circle(middle, 3, Paint::white, pen(0.5)));
        add(to, written(measure, {middle.x_mm, middle.y_mm + 1.25}, "n", bold));
        break;
    case KeyRow::Kind::kept:
        add(to, circle(middle, 3, Paint::white, pen(0.35, Dash::broken_ring)));
        add(to, written(measure, {middle.x_mm, middle.y_mm + 1.25}, "n", bold));
        break;
    case KeyRow::Kind::tag:
        add(to, polyline({{at.x_mm + 1.5, at.y_mm - 2.2},
                          {at.x_mm + 8.5, at.y_mm - 2.2},
                          {at.x_mm + 8.5, at.y_mm + 1},
                          {middle.x_mm, at.y_mm + 2.4},
                          {at.x_mm + 1.5, at.y_mm + 1}},
                         true, Paint::white, pen(0.5)));
        break;
    case KeyRow::Kind::probe:
        add(to, polyline({{middle.x_mm, at.y_mm - 2.75},
                          {middle.x_mm + 2.75, at.y_mm},
                          {middle.x_mm, at.y_mm + 2.75},
                          {middle.x_mm - 2.75, at.y_mm}},
                         true, Paint::white, pen(0.35)));
        add(to, written(measure, {middle.x_mm, at.y_mm + 1.15}, "A",
                        {.height_mm = 2.3, .weight = Weight::bold, .anchor = Anchor::middle}));
        break;
    case KeyRow::Kind::all_day:
        add_gauge(to, {at.x_mm, at.y_mm}, {0.7, false}, "", measure);
        break;
    case KeyRow::Kind::short_duty:
        add_gauge(to, {at.x_mm, at.y_mm}, {0.5, true}, "", measure);
        break;
    case KeyRow::Kind::over:
        add_gauge(to, {at.x_mm, at.y_mm}, {1.2, false}, "", measure);
        break;
    case KeyRow::Kind::braid: {
        RunGlyph run;
        run.section_mm2 = 25;
        run.flow = Flow::back;
        run.braid = true;
        for (Shape& shape : cable_element(run, {{at.x_mm, at.y_mm}, {at.x_mm + 10, at.y_mm}}, {}).shapes)
            add(to, std::move(shape));
        break;
    }
    case KeyRow::Kind::clamped:
        break;
    case KeyRow::Kind::error:
        add_flag(to, {at.x_mm, at.y_mm - 3}, {"n", true, "", "", ""}, false, measure);
        break;
    case KeyRow::Kind::warning:
        add_flag(to, {at.x_mm, at.y_mm - 3}, {"n", false, "", "", ""}, false, measure);
        break;
    }
}

Element reading_element(const Box& box, const StripContent& strip, const TextMeasure& measure) {
    const TitleFields& fields = strip.content->title;
    Element made = titled_box("reading", box, said(fields, "Reading this sheet"),
                              said(fields, "studs, lugs, fuse-links 1:2; runs not to scale"), measure);
    const Box area{box.x_mm + 4, box.y_mm + 9.5, 0, box.height_mm - 11};
    read_widths(made, area, strip, measure);
    const bool both = strip.feed && strip.back;
    std::vector<KeyRow> marks;
    if (strip.fresh)
        marks.push_back({KeyRow::Kind::fresh, said(fields, "new cable")});
    if (strip.kept)
        marks.push_back({KeyRow::Kind::kept, said(fields, "kept cable")});
    if (strip.tags)
        marks.push_back({KeyRow::Kind::tag, said(fields, "goes on, other sheet")});
    if (strip.probes)
        marks.push_back({KeyRow::Kind::probe, said(fields, "meter probe point")});
    if (strip.braid)
        marks.push_back({KeyRow::Kind::braid, said(fields, "braid")});
    std::vector<KeyRow> gauges;
    if (strip.all_day)
        gauges.push_back({KeyRow::Kind::all_day, said(fields, "load / limit, all day")});
    if (strip.short_duty)
        gauges.push_back({KeyRow::Kind::short_duty, said(fields, "load / limit, seconds")});
    if (strip.over)
        gauges.push_back({KeyRow::Kind::over, said(fields, "over the limit")});
    const double pitch = 6.8;
    double x = area.x_mm + (both ? 48 : 34);
    const auto column = [&](const std::vector<KeyRow>& rows, double symbol) {
        double y = area.y_mm + 3;
        double reach = x;
        for (const KeyRow& row : rows) {
            if (y > box.bottom_mm() - 3)
                break;
            draw_key(made, {x, y}, row, measure);
            Text text = written(measure, {x + symbol + 2, y + 1.25}, row.words);
            reach = std::max(reach, text.box.right_mm());
            add(made, std::move(text));
            y += pitch;
        }
        x = reach + 6;
        return y;
    };
    if (!marks.empty())
        column(marks, 10);
    if (!gauges.empty()) {
        const double from = x;
        const double y = column(gauges, strip.over ? 27 : 23);
        if (y < box.bottom_mm() - 1.5)
            add(made, written(measure, {from, y + 0.6},
                              said(fields, strip.clamped ? "tick 80 %, post 100 %; broadest not to width"
                                                         : "tick 80 %, post 100 %")));
    }
    seal(made);
    return made;
}

} // namespace

Element cable_list_element(const Box& box, const std::vector<std::string>& lines, const TitleFields& fields,
                           const TextMeasure& measure) {
    Element made = titled_box("cable-list", box, said(fields, "Cables told here"),
                              said(fields, "no room beside them"), measure);
    const auto rows = static_cast<std::size_t>(std::max(1.0, (box.height_mm - 11) / line_pitch(2.5)));
    const std::size_t columns = box.width_mm > 150 ? 2 : 1;
    const double width = (box.width_mm - 7) / static_cast<double>(columns);
    std::size_t row = 0;
    const auto write = [&](const std::string& each) {
        const std::size_t column = row / rows;
        const double x = box.x_mm + 3.5 + static_cast<double>(column) * width;
        add(made,
            written(measure, {x, box.y_mm + 11 + static_cast<double>(row % rows) * line_pitch(2.5)}, each));
        ++row;
    };
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const std::vector<std::string> words = wrapped(measure, lines[i], width - 3, {}, 0);
        const std::vector<std::string> more = wrapped(
            measure,
            said(fields, "and {0} more, in the report of the check", {std::to_string(lines.size() - i)}),
            width - 3, {}, 0);
        const std::size_t after = i + 1 < lines.size() ? more.size() : 0;
        const std::size_t left_here = rows - row % rows;
        if (words.size() > left_here && row % rows > 0)
            row += left_here; // a cable's words stay in one column
        if (row + words.size() + after > rows * columns) {
            row = std::min(row, rows * columns - std::min(more.size(), rows * columns));
            for (const std::string& each : more)
                write(each);
            break;
        }
        for (const std::string& each : words)
            write(each);
    }
    seal(made);
    return made;
}

void add_strip(Page& page, const StripBoxes& boxes, const StripContent& strip, Findings& findings,
               const TextMeasure& measure) {
    const bool apart = boxes.list.width_mm > 0;
    const Box& list = apart ? boxes.list : boxes.plan;
    if (boxes.plan.width_mm > 0 && (strip.unlabelled.empty() || apart))
        page.elements.push_back(key_plan_element(boxes.plan, strip, measure));
    if (list.width_mm > 0 && !strip.unlabelled.empty())
        page.elements.push_back(cable_list_element(list, strip.unlabelled, strip.content->title, measure));
    if (boxes.caution.width_mm > 0 && !strip.content->cautions.empty())
        page.elements.push_back(
            caution_element(boxes.caution, strip.content->cautions, strip.content->title, measure));
    if (boxes.findings.width_mm > 0)
        page.elements.push_back(findings.first_box(boxes.findings));
    if (boxes.reading.width_mm > 0)
        page.elements.push_back(reading_element(boxes.reading, strip, measure));
}

} // namespace stoutloom::layout

#include "layout/papers/measurements.h"

#include <algorithm>

namespace stoutloom::layout::papers {
namespace {

constexpr double step_pad_mm = 2.0, box_mm = 6.6, number_box_mm = 6.2, bar_wide_mm = 42, bar_tall_mm = 3.6,
                 signature_mm = 19;
/// Of a row with its band, and of a map.
struct Spacing {
    double row_mm, map_mm;
};
constexpr Spacing roomy{10.6, 43}, close{10, 36};
constexpr std::size_t kept_with_signature = 2; // steps, or rows where there are no steps
constexpr double pitch_mm = line_pitch * text_height_mm;

/// Left edges of the columns, from the content's left edge.
struct Columns {
    double number, red, black, state, expect, accept, read, ok; // ok: middle of the box
};
Columns columns_of(const Box& area) {
    const double x = area.x_mm, right = area.right_mm();
    return {.number = x + 1.4,
            .red = x + 13.4,
            .black = x + 25.8,
            .state = x + 34.5,
            .expect = right - 105.5,
            .accept = right - 83,
            .read = right - 37.5,
            .ok = right - 7};
}

void draw_number(Pen& pen, Point left_middle, const std::string& number) {
    pen.box({left_middle.x_mm, left_middle.y_mm - number_box_mm / 2, number_box_mm, number_box_mm},
            {.width_mm = thin_mm});
    const bool wide = pen.width_mm(number, strong_height_mm, Weight::bold) > number_box_mm - 1;
    const double height = wide ? text_height_mm : strong_height_mm;
    pen.text({.at = {left_middle.x_mm + number_box_mm / 2, left_middle.y_mm + height / 2},
              .words = number,
              .height_mm = height,
              .weight = Weight::bold,
              .anchor = Anchor::middle});
}

void draw_band(Pen& pen, const Box& bar, const Band& band) {
    // One-sided: nothing to the limit fills three quarters; two-sided: the accepted span fills two thirds.
    const bool two_sided = band.low_v.has_value() && band.high_v.has_value();
    const double low = band.low_v.value_or(0), high = band.high_v.value_or(band.low_v.value_or(0) * 2);
    const double from = two_sided || band.low_v ? 1.0 / 6 : 0,
                 to = band.high_v ? (two_sided ? 5.0 / 6 : 0.75) : 1;
    const auto x_of = [&](double volts) {
        const double along = high > low ? (volts - low) / (high - low) : 0;
        return bar.x_mm + bar.width_mm * std::clamp(from + along * (to - from), 0.02, 0.98);
    };
    if (from > 0)
        pen.hatch({bar.x_mm, bar.y_mm, bar.width_mm * from, bar.height_mm},
                  {.pitch_mm = 0.9, .width_mm = hair_mm});
    if (to < 1)
        pen.hatch({bar.x_mm + bar.width_mm * to, bar.y_mm, bar.width_mm * (1 - to), bar.height_mm},
                  {.pitch_mm = 0.9, .width_mm = hair_mm});
    pen.box(bar, {.width_mm = rule_mm});
    const double text = bar.bottom_mm() + 3.3;
    for (const auto& [at, used, words] : {std::tuple{from, band.low_v.has_value(), band.low_words},
                                          std::tuple{to, band.high_v.has_value(), band.high_words}}) {
        const double x = bar.x_mm + bar.width_mm * at;
        if (used)
            pen.line({x, bar.y_mm}, {x, bar.bottom_mm()}, broad_mm);
        const bool at_edge = at < 0.01;
        pen.text({.at = {x, text}, .words = words, .anchor = at_edge ? Anchor::left : Anchor::middle});
    }
    const double mark = x_of(band.expected_v);
    pen.polygon({{mark, bar.y_mm - 0.3}, {mark - 1.1, bar.y_mm - 2.2}, {mark + 1.1, bar.y_mm - 2.2}},
                {.width_mm = 0, .fill = Paint::ink});
}

double draw_titles(PaperFlow& flow, const MeasureWords& words) {
    Pen pen(flow.next_id("head"), Role::rule_line, flow.measure());
    const Box& area = flow.content();
    const Columns at = columns_of(area);
    const double y = flow.y_mm() + 1, baseline = y + 4.8;
    pen.line({area.x_mm, y}, {area.right_mm(), y}, medium_mm);
    const auto title = [&](double x, const std::string& title_words, Anchor anchor) {
        pen.text({.at = {x, baseline}, .words = title_words, .weight = Weight::bold, .anchor = anchor});
    };
    title(at.number, words.number, Anchor::left);
    title(at.red, words.red, Anchor::middle);
    title(at.black, words.black, Anchor::middle);
    title(at.state + 1, words.state, Anchor::left);
    title(at.expect, words.expect, Anchor::left);
    title(at.accept, words.accept, Anchor::left);
    title(at.read, words.read, Anchor::left);
    title(at.ok, words.ok, Anchor::middle);
    pen.line({area.x_mm, y + 7.2}, {area.right_mm(), y + 7.2}, medium_mm);
    pen.put_on(flow.page());
    return 8.2;
}

constexpr double widest_name_mm = 11.8, red_name_mm = 8.8, black_name_mm = 21.4, names_end_mm = 33.4,
                 named_row_mm = 7.7, named_bar_mm = 27, named_heading_mm = 7;

/// Each name in its column; long ones in two lines, red above black.
void draw_names(Pen& pen, const MeasureRow& row, double left, double middle) {
    const double half = text_height_mm / 2, red = left + red_name_mm;
    if (std::max(pen.width_mm(row.red, text_height_mm), pen.width_mm(row.black, text_height_mm)) <=
        widest_name_mm) {
        pen.text({.at = {red, middle + half}, .words = row.red});
        pen.text({.at = {left + black_name_mm, middle + half}, .words = row.black});
        return;
    }
    const Measured room{.width_mm = names_end_mm - red_name_mm};
    pen.text({.at = {red, middle + half - pitch_mm / 2}, .words = shortened(row.red, room, pen.measure())});
    pen.text({.at = {left + names_end_mm, middle + half + pitch_mm / 2},
              .words = shortened(row.black, room, pen.measure()),
              .anchor = Anchor::right});
}

/// A short bar with its limit beside it: many such rows follow each other.
void draw_short_band(Pen& pen, const Box& bar, const MeasureRow& row) {
    Band band = row.band;
    band.low_words.clear();
    band.high_words.clear();
    draw_band(pen, bar, band);
    pen.text({.at = {bar.right_mm() + 2, bar.y_mm + bar.height_mm / 2 + text_height_mm / 2},
              .words = row.band.high_words + " " + row.unit});
}

double row_height_mm(const MeasureRow& row, const Box& area, const TextMeasure& measure,
                     const Spacing& spacing) {
    const Columns at = columns_of(area);
    const auto lines = wrapped(row.state, {.width_mm = at.expect - at.state - 2}, measure);
    const double words = lines_height_mm(lines.size(), text_height_mm);
    if (!row.named)
        return std::max(spacing.row_mm, words + 3.6);
    const double name = std::max(measure.width_mm(row.red, text_height_mm, Weight::regular),
                                 measure.width_mm(row.black, text_height_mm, Weight::regular));
    return std::max({named_row_mm, words + 2.4, name > widest_name_mm ? 2 * pitch_mm + 1 : 0});
}

void draw_row(PaperFlow& flow, const MeasureRow& row, double tall) {
    Pen pen(flow.next_id("measure-" + row.number), Role::rule_line, flow.measure());
    pen.told(row.number, row.desc);
    const Box& area = flow.content();
    const Columns at = columns_of(area);
    const double y = flow.y_mm(), middle = y + tall / 2;
    draw_number(pen, {at.number, middle}, row.number);
    if (row.named) {
        draw_names(pen, row, area.x_mm, middle);
    } else {
        draw_probe(pen, {at.red, middle}, row.red);
        draw_probe(pen, {at.black, middle}, row.black);
    }
    const auto lines = wrapped(row.state, {.width_mm = at.expect - at.state - 2}, pen.measure());
    const double text_tall = lines_height_mm(lines.size(), text_height_mm);
    pen.lines({.at = {at.state + 1, middle - text_tall / 2 + text_height_mm}, .words = {}}, lines);
    pen.text({.at = {at.expect, middle + strong_height_mm / 2},
              .words = row.expected,
              .height_mm = strong_height_mm,
              .weight = Weight::bold});
    if (row.named)
        draw_short_band(pen, {at.accept, middle - bar_tall_mm / 2 + 1, named_bar_mm, bar_tall_mm}, row);
    else
        draw_band(pen, {at.accept, middle - 2.6, bar_wide_mm, bar_tall_mm}, row.band);
    const double unit = pen.width_mm(row.unit, text_height_mm);
    const double read_right = at.ok - box_mm / 2 - 3 - unit - 1;
    pen.line({at.read, middle + 2.4}, {read_right, middle + 2.4}, thin_mm);
    pen.text({.at = {read_right + 1, middle + 2.4}, .words = row.unit});
    pen.box({at.ok - box_mm / 2, middle - box_mm / 2, box_mm, box_mm}, {.width_mm = thin_mm});
    pen.line({area.x_mm, y + tall}, {area.right_mm(), y + tall}, rule_mm);
    pen.put_on(flow.page());
    flow.advance(tall);
}

void draw_conditions(PaperFlow& flow, const MeasurementsContent& content) {
    const Box& area = flow.content();
    std::vector<std::vector<std::string>> texts;
    double tall = 9.4;
    for (const std::string& condition : content.conditions) {
        texts.push_back(wrapped(condition, {.width_mm = area.width_mm - 13}, flow.measure()));
        tall += lines_height_mm(texts.back().size(), text_height_mm) + 2.1;
    }
    flow.need(tall);
    Pen pen(flow.next_id("before"), Role::panel, flow.measure());
    pen.box({area.x_mm, flow.y_mm(), area.width_mm, tall}, {.width_mm = thin_mm});
    double y = flow.y_mm() + 2.4 + strong_height_mm;
    pen.text({.at = {area.x_mm + 2.5, y},
              .words = content.words.before,
              .height_mm = strong_height_mm,
              .weight = Weight::bold});
    y += 2.2;
    for (const auto& lines : texts) {
        pen.box({area.x_mm + 2.7, y - 0.1, 2.7, 2.7}, {.width_mm = thin_mm});
        y = pen.lines({.at = {area.x_mm + 8, y + text_height_mm}, .words = {}}, lines) - pitch_mm + 2.1;
    }
    pen.put_on(flow.page());
    flow.advance(tall + 4);
}

/// Letters and the terminals they stand for, in as many columns as fit.
void draw_probe_key(PaperFlow& flow, const MeasurementsContent& content) {
    if (content.probes.empty())
        return;
    const Box& area = flow.content();
    double widest = 0;
    for (const auto& [letter, terminal] : content.probes)
        widest = std::max(widest, flow.measure().width_mm(terminal, text_height_mm, Weight::regular));
    const auto columns = static_cast<std::size_t>(std::clamp(area.width_mm / (widest + 12), 1.0, 7.0));
    const double wide = area.width_mm / static_cast<double>(columns), tall = 6.6;
    const double title_tall = 5.5;
    for (std::size_t i = 0; i < content.probes.size(); i += columns) {
        flow.need(tall + (i == 0 ? title_tall : 0));
        Pen pen(flow.next_id("probes"), Role::probe, flow.measure());
        if (i == 0) {
            pen.text({.at = {area.x_mm, flow.y_mm() + text_height_mm + 0.6},
                      .words = content.words.probes,
                      .weight = Weight::bold});
            flow.advance(title_tall);
        }
        for (std::size_t k = 0; k < columns && i + k < content.probes.size(); ++k) {
            const double x = area.x_mm + wide * static_cast<double>(k);
            const double after = content.probes[i + k].first.size() > 1 ? 10.2 : 8;
            draw_probe(pen, {x + (after > 9 ? 4.6 : 3.4), flow.y_mm() + 3.2}, content.probes[i + k].first);
            pen.text({.at = {x + after, flow.y_mm() + 3.2 + text_height_mm / 2},
                      .words = content.probes[i + k].second});
        }
        pen.put_on(flow.page());
        flow.advance(tall);
    }
}

void draw_steps(PaperFlow& flow, const MeasurementsContent& content) {
    const Box& area = flow.content();
    if (!content.steps.empty())
        flow.subheading(content.words.steps);
    const auto height = [&](const MeasureStep& step) {
        const auto lines = wrapped(step.words, {.width_mm = area.width_mm - 28}, flow.measure());
        return std::max(8.6, lines_height_mm(lines.size(), text_height_mm) + 2 * step_pad_mm);
    };
    for (std::size_t i = 0; i < content.steps.size(); ++i) {
        const MeasureStep& step = content.steps[i];
        const auto lines = wrapped(step.words, {.width_mm = area.width_mm - 28}, flow.measure());
        const double tall = height(step);
        // Nobody signs an empty sheet: the last steps go over with the signature.
        double kept = tall;
        if (i + kept_with_signature == content.steps.size()) {
            kept = signature_mm;
            for (std::size_t k = i; k < content.steps.size(); ++k)
                kept += height(content.steps[k]);
        }
        flow.need(std::min(kept, area.height_mm / 2));
        Pen pen(flow.next_id("step-" + step.number), Role::rule_line, flow.measure());
        const double middle = flow.y_mm() + tall / 2,
                     text_tall = lines_height_mm(lines.size(), text_height_mm);
        draw_number(pen, {area.x_mm + 1.4, middle}, step.number);
        pen.lines({.at = {area.x_mm + 12, middle - text_tall / 2 + text_height_mm}, .words = {}}, lines);
        pen.box({area.right_mm() - 7 - box_mm / 2, middle - box_mm / 2, box_mm, box_mm},
                {.width_mm = thin_mm});
        pen.line({area.x_mm, flow.y_mm() + tall}, {area.right_mm(), flow.y_mm() + tall}, rule_mm);
        pen.put_on(flow.page());
        flow.advance(tall);
    }
}

/// What the rows of named studs are about, over the first of them.
void draw_named_heading(PaperFlow& flow, const std::string& words, double first_row_mm) {
    flow.need(named_heading_mm + 2 * first_row_mm);
    Pen pen(flow.next_id("named"), Role::rule_line, flow.measure());
    const Box& area = flow.content();
    pen.text(
        {.at = {area.x_mm + 1.4, flow.y_mm() + named_heading_mm - 2.2},
         .words = shortened(words, {.width_mm = area.width_mm - 2, .weight = Weight::bold}, flow.measure()),
         .weight = Weight::bold});
    pen.line({area.x_mm, flow.y_mm() + named_heading_mm}, {area.right_mm(), flow.y_mm() + named_heading_mm},
             rule_mm);
    pen.put_on(flow.page());
    flow.advance(named_heading_mm);
}

/// Remarks, a step if there is one, and the signature: what comes after the rows.
double after_rows_mm(const PaperFlow& flow, const MeasurementsContent& content) {
    double tall = signature_mm + 2;
    for (const std::string& remark : content.remarks)
        tall += lines_height_mm(wrapped(remark, {.width_mm = flow.content().width_mm}, flow.measure()).size(),
                                text_height_mm) +
                1.8;
    return content.steps.empty() ? tall : tall + 22;
}

void draw_signature(PaperFlow& flow, const MeasureWords& words) {
    flow.need(signature_mm);
    Pen pen(flow.next_id("signature"), Role::rule_line, flow.measure());
    const Box& area = flow.content();
    const double y = flow.y_mm() + 2, line = y + 13, wide = area.width_mm;
    const auto field = [&](double from, double to, const std::string& caption) {
        pen.text({.at = {area.x_mm + wide * from, y + text_height_mm + 0.6},
                  .words = shortened(caption, {.width_mm = wide * (to - from)}, flow.measure()),
                  .paint = Paint::grey});
        pen.line({area.x_mm + wide * from, line}, {area.x_mm + wide * to, line}, thin_mm);
    };
    field(0, 0.27, words.measured_by);
    field(0.30, 0.45, words.date);
    field(0.48, 0.75, words.counter);
    const double x = area.x_mm + wide * 0.785;
    pen.text({.at = {x, y + text_height_mm + 0.6},
              .words = shortened(words.all_within, {.width_mm = wide * 0.215}, flow.measure()),
              .paint = Paint::grey});
    for (const auto& [at, caption] : {std::pair{x, words.yes}, std::pair{x + wide * 0.11, words.no}}) {
        pen.box({at, line - 6, 6, 6}, {.width_mm = thin_mm});
        pen.text({.at = {at + 7.4, line - 1.8}, .words = caption});
    }
    pen.put_on(flow.page());
    flow.advance(signature_mm);
}

} // namespace

void draw_probe(Pen& pen, Point centre, const std::string& letter) {
    const double half = 3.0;
    const double flat =
        std::max(0.0, pen.measure().width_mm(letter, text_height_mm, Weight::bold) / 2 - 0.95);
    pen.polygon({{centre.x_mm - flat, centre.y_mm - half},
                 {centre.x_mm + flat, centre.y_mm - half},
                 {centre.x_mm + flat + half, centre.y_mm},
                 {centre.x_mm + flat, centre.y_mm + half},
                 {centre.x_mm - flat, centre.y_mm + half},
                 {centre.x_mm - flat - half, centre.y_mm}},
                {.width_mm = thin_mm, .fill = Paint::white});
    pen.text({.at = {centre.x_mm, centre.y_mm + text_height_mm / 2},
              .words = letter,
              .weight = Weight::bold,
              .anchor = Anchor::middle});
}

namespace {
std::vector<Page> laid_out(const MeasurementsContent& content, PaperSize size, const TextMeasure& measure,
                           const Spacing& spacing) {
    PaperFlow flow({.sheet = {.size = size, .portrait = true},
                    .id = "measurements",
                    .heading = {.words = content.words.heading, .remark = content.words.remark},
                    .continued = content.words.continued},
                   measure);
    draw_conditions(flow, content);
    for (const ProbeMap& map : content.maps) {
        flow.need(spacing.map_mm);
        Pen pen(flow.next_id("map"), Role::panel, measure);
        pen.told(map.heading, map.remark);
        draw_probe_map(pen, {flow.content().x_mm, flow.y_mm(), flow.content().width_mm, spacing.map_mm}, map);
        pen.put_on(flow.page());
        flow.advance(spacing.map_mm + 3);
    }
    draw_probe_key(flow, content);
    // The head does not stand alone at a sheet's foot, nor with one row of several.
    double first_rows = 0;
    for (std::size_t i = 0; i < std::min<std::size_t>(2, content.rows.size()); ++i)
        first_rows += row_height_mm(content.rows[i], flow.content(), measure, spacing);
    flow.need(8.2 + std::max(first_rows, spacing.row_mm));
    const auto titles = [&content](PaperFlow& page) { return draw_titles(page, content.words); };
    flow.advance(titles(flow));
    flow.set_head(titles);
    const bool rows_end = content.steps.empty() || content.steps.size() < kept_with_signature;
    for (std::size_t i = 0; i < content.rows.size(); ++i) {
        const double tall = row_height_mm(content.rows[i], flow.content(), measure, spacing);
        double kept = tall;
        if (rows_end && i + kept_with_signature == content.rows.size())
            kept = tall + row_height_mm(content.rows[i + 1], flow.content(), measure, spacing) +
                   after_rows_mm(flow, content);
        if (content.rows[i].named && (i == 0 || !content.rows[i - 1].named))
            draw_named_heading(flow, content.named_heading, tall);
        flow.need(std::min(kept, flow.content().height_mm / 2));
        draw_row(flow, content.rows[i], tall);
    }
    flow.drop_head();
    if (content.rows.empty()) {
        flow.advance(2);
        flow.paragraph(content.words.no_rows);
    }
    if (!content.remarks.empty())
        flow.advance(2);
    for (const std::string& remark : content.remarks)
        flow.paragraph(remark);
    draw_steps(flow, content);
    draw_signature(flow, content.words);
    return flow.done();
}
} // namespace

std::vector<Page> build_measurements(const MeasurementsContent& content, PaperSize size,
                                     const TextMeasure& measure) {
    std::vector<Page> pages = laid_out(content, size, measure, close);
    // Nobody likes a sheet for the signature alone: as roomy as the fewest sheets allow.
    for (const double map_mm :
         {66.0, 58.0, 50.0, roomy.map_mm, 39.5, 36.75, close.map_mm}) // a steep slope is read best
        for (const double row_mm : {roomy.row_mm, 0.5 * (roomy.row_mm + close.row_mm), close.row_mm})
            if (std::vector<Page> wider = laid_out(content, size, measure, {row_mm, map_mm});
                wider.size() == pages.size())
                return wider;
    return pages;
}

} // namespace stoutloom::layout::papers

#include "layout/papers/plots.h"

#include "base/quantity.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace stoutloom::layout::papers {
namespace {

constexpr double row_mm = 4.6, bar_mm = 2.8, post_mm = 4.0, axis_mm = 6.2, between_strips_mm = 8;

/// The chart's frame on the page: where a value stands.
struct Field {
    double left_mm, right_mm;
    double label_mm, words_mm; // room left and right of it
    AxisScale scale;
    double x(double value) const {
        return left_mm + (value - scale.low) / (scale.high - scale.low) * (right_mm - left_mm);
    }
};

/// How a chart's width is divided at the least.
struct Least {
    double label_mm, words_mm, field_mm;
};
constexpr Least across_sheet{.label_mm = 40, .words_mm = 50, .field_mm = 60},
    in_strip{.label_mm = 0, .words_mm = 0, .field_mm = 36};

/// The words get what they need, the bars at least their part.
Field field_of(const BarChart& chart, const Box& area, const Least& least, const TextMeasure& measure) {
    double low = 0, high = 0, label = least.label_mm, words = least.words_mm;
    for (const Bar& bar : chart.bars) {
        const Weight weight = bar.strong ? Weight::bold : Weight::regular;
        label = std::max(label, measure.width_mm(bar.label, text_height_mm, weight) + 5);
        words = std::max(words, measure.width_mm(bar.words, text_height_mm, weight) + 7);
    }
    const double over = label + words - (area.width_mm - least.field_mm);
    if (over > 0) {
        words -= std::min(over, std::max(0.0, words - 86));
        label = std::min(label, area.width_mm - least.field_mm - words);
    }
    for (const Bar& bar : chart.bars) {
        low = std::min({low, bar.from, bar.to});
        high = std::max({high, bar.from, bar.to});
        for (const double post : bar.posts) {
            low = std::min(low, post);
            high = std::max(high, post);
        }
    }
    for (const AxisLine& line : chart.lines) {
        low = std::min(low, line.value);
        high = std::max(high, line.value);
    }
    return {.left_mm = area.x_mm + label,
            .right_mm = area.right_mm() - words,
            .label_mm = label,
            .words_mm = words,
            .scale = axis_for(low, high)};
}

std::string axis_words(double value, const AxisScale& scale) {
    std::string words = base::shown_number(value, scale.decimals, base::Rounding::nearest);
    if (words.starts_with("-"))
        words = "−" + words.substr(1);
    return words;
}

double draw_axis(PaperFlow& flow, const BarChart& chart, const Field& field) {
    Pen pen(flow.next_id("axis"), Role::rule_line, flow.measure());
    const double y = flow.y_mm(), line = y + axis_mm - 1;
    const int steps = static_cast<int>(std::lround((field.scale.high - field.scale.low) / field.scale.step));
    // Where the bars have little room only every second mark, or third, bears its figure.
    double widest = 0;
    for (int i = 0; i <= steps; ++i)
        widest =
            std::max(widest, pen.width_mm(axis_words(field.scale.low + field.scale.step * i, field.scale),
                                          text_height_mm));
    const double apart = (field.right_mm - field.left_mm) / std::max(1, steps);
    const int stride = std::max(1, static_cast<int>(std::ceil((widest + 1.5) / apart)));
    for (int i = 0; i <= steps; ++i) {
        const double value = field.scale.low + field.scale.step * i, x = field.x(value);
        pen.line({x, line - 1.4}, {x, line}, rule_mm);
        if (i % stride == 0)
            pen.text(
                {.at = {x, line - 2.6}, .words = axis_words(value, field.scale), .anchor = Anchor::middle});
    }
    pen.text({.at = {field.right_mm + 6, line - 2.6}, .words = chart.unit});
    pen.line({field.left_mm, line}, {field.right_mm, line}, thin_mm);
    pen.put_on(flow.page());
    return axis_mm;
}

/// `strip`: its part of the sheet, from the row's top down.
void draw_bar(PaperFlow& flow, const BarChart& chart, const Bar& bar, const Field& field, const Box& strip) {
    Pen pen(bar.id, Role::gauge, flow.measure());
    pen.told(bar.label, bar.desc.empty() ? bar.words : bar.desc);
    const double y = strip.y_mm, middle = y + row_mm / 2;
    const Weight weight = bar.strong ? Weight::bold : Weight::regular;
    pen.text(
        {.at = {strip.x_mm, middle + text_height_mm / 2},
         .words = shortened(bar.label, {.width_mm = field.label_mm - 4, .weight = weight}, flow.measure()),
         .weight = weight});
    pen.text(
        {.at = {field.right_mm + 6, middle + text_height_mm / 2},
         .words = shortened(bar.words, {.width_mm = field.words_mm - 6, .weight = weight}, flow.measure()),
         .weight = weight});
    const int steps = static_cast<int>(std::lround((field.scale.high - field.scale.low) / field.scale.step));
    for (int i = 0; i <= steps; ++i) {
        const double x = field.x(field.scale.low + field.scale.step * i);
        pen.line({x, y}, {x, y + row_mm}, hair_mm, Dash::dots, Paint::grey);
    }
    const double from = field.x(std::min(bar.from, bar.to)), to = field.x(std::max(bar.from, bar.to));
    const Box box{from, middle - bar_mm / 2, std::max(0.3, to - from), bar_mm};
    // As on the diagram: what goes out is filled, what comes back is hollow.
    pen.box(box, {.width_mm = thin_mm,
                  .fill = bar.hatched  ? Paint::white
                          : bar.hollow ? Paint::return_core
                                       : Paint::ink});
    if (bar.hatched)
        pen.hatch(box, {.pitch_mm = 0.9, .width_mm = thin_mm});
    if (bar.torn) { // two slanting gaps before its end
        for (const double back : {3.4, 1.8}) {
            const double x = to - back, lean = 0.5;
            pen.polygon({{x - lean, box.bottom_mm() + 0.3},
                         {x + lean, box.y_mm - 0.3},
                         {x + lean + 0.8, box.y_mm - 0.3},
                         {x - lean + 0.8, box.bottom_mm() + 0.3}},
                        {.width_mm = hair_mm, .fill = Paint::white, .paint = Paint::white});
        }
    }
    for (const double post : bar.posts)
        pen.line({field.x(post), middle - post_mm / 2}, {field.x(post), middle + post_mm / 2}, broad_mm);
    for (const AxisLine& line : chart.lines)
        pen.line({field.x(line.value), y}, {field.x(line.value), y + row_mm}, rule_mm, Dash::dash_dot);
    if (chart.from_zero && field.scale.low < 0)
        pen.line({field.x(0), y}, {field.x(0), y + row_mm}, rule_mm);
    // From the name over its bar to its figures; everything that the bar stands for has its part of it.
    const double part = strip.width_mm / static_cast<double>(bar.also.size() + 1);
    pen.line({strip.x_mm, y + row_mm}, {strip.x_mm + part, y + row_mm}, hair_mm, Dash::dots, Paint::grey);
    pen.put_on(flow.page());
    double x = strip.x_mm + part;
    for (const BarMember& member : bar.also) {
        Pen own(member.id, Role::gauge, flow.measure());
        own.told(member.name, bar.desc.empty() ? bar.words : bar.desc);
        own.line({x, y + row_mm}, {x + part, y + row_mm}, hair_mm, Dash::dots, Paint::grey);
        own.put_on(flow.page());
        x += part;
    }
}

/// A chart of more rows than a sheet holds stands in two strips, read down the left one first; on its last
/// sheet they are equally long.
void draw_strips(PaperFlow& flow, const BarChart& chart) {
    const Box& area = flow.content();
    const double wide = (area.width_mm - between_strips_mm) / 2;
    for (std::size_t next = 0; next < chart.bars.size();) {
        if (next > 0)
            flow.new_page();
        const std::size_t left = chart.bars.size() - next;
        const auto most = static_cast<std::size_t>(std::max(1.0, (flow.left_mm() - axis_mm) / row_mm));
        const std::size_t rows = std::min(most, (left + 1) / 2);
        for (std::size_t k = 0; k < 2; ++k) {
            const Box strip{area.x_mm + static_cast<double>(k) * (wide + between_strips_mm), flow.y_mm(),
                            wide, axis_mm};
            // The scale is the whole chart's, so that all its strips compare.
            const Field field = field_of(chart, strip, in_strip, flow.measure());
            draw_axis(flow, chart, field);
            for (std::size_t n = 0; n < rows && next < chart.bars.size(); ++n, ++next)
                draw_bar(flow, chart, chart.bars[next], field,
                         {strip.x_mm, strip.y_mm + axis_mm + row_mm * static_cast<double>(n), wide, row_mm});
        }
        flow.advance(axis_mm + row_mm * static_cast<double>(rows));
    }
}

/// The chart as its strips show it.
BarChart briefly(BarChart chart) {
    for (Bar& bar : chart.bars)
        if (!bar.brief.empty()) {
            bar.desc = bar.desc.empty() ? bar.words : bar.desc;
            bar.words = bar.brief;
        }
    return chart;
}

/// Two strips leave the bars room enough to compare them.
bool in_strips(const PaperFlow& flow, const BarChart& chart) {
    const Box strip{0, 0, (flow.content().width_mm - between_strips_mm) / 2, axis_mm};
    const Field field = field_of(chart, strip, in_strip, flow.measure());
    return row_mm * static_cast<double>(chart.bars.size()) > flow.left_mm() - axis_mm &&
           field.label_mm + field.words_mm + in_strip.field_mm <= strip.width_mm + 0.001 &&
           std::all_of(chart.bars.begin(), chart.bars.end(), [&](const Bar& bar) {
               const Weight weight = bar.strong ? Weight::bold : Weight::regular;
               return flow.measure().width_mm(bar.label, text_height_mm, weight) <= field.label_mm - 4 &&
                      flow.measure().width_mm(bar.words, text_height_mm, weight) <= field.words_mm - 6;
           });
}

std::string words_over(const BarChart& chart) {
    return chart.legend.empty() ? chart.remark : chart.remark + "; " + chart.legend;
}

/// Under its heading. A short chart stands whole on its page; a long one begins where a dozen of its rows
/// have room.
double kept_mm(const PaperFlow& flow, const BarChart& chart) {
    return flow.paragraph_height_mm(words_over(chart)) + axis_mm +
           row_mm * static_cast<double>(std::min<std::size_t>(chart.bars.size(), 12));
}

double least_mm(const PaperFlow& flow, const BarChart& chart) {
    return flow.subheading_height_mm() + kept_mm(flow, chart);
}

void draw_chart(PaperFlow& flow, const BarChart& chart) {
    const std::string words = words_over(chart);
    flow.subheading(chart.heading, kept_mm(flow, chart));
    flow.paragraph(words);
    if (chart.bars.empty())
        return;
    if (const BarChart brief = briefly(chart); in_strips(flow, brief)) {
        draw_strips(flow, brief);
        flow.advance(0.5);
        return;
    }
    const Field field = field_of(chart, flow.content(), across_sheet, flow.measure());
    const auto axis = [&chart, field](PaperFlow& page) { return draw_axis(page, chart, field); };
    flow.advance(axis(flow));
    flow.set_head(axis);
    for (const Bar& bar : chart.bars) {
        flow.need(row_mm);
        draw_bar(flow, chart, bar, field,
                 {flow.content().x_mm, flow.y_mm(), flow.content().width_mm, row_mm});
        flow.advance(row_mm);
    }
    flow.drop_head();
    flow.advance(0.5);
}

} // namespace

AxisScale axis_for(double low, double high) {
    // Figures that differ by less than anyone measures are shown as one place on a plain axis.
    if (high - low < 1e-3) {
        low = std::floor(low);
        high = low + 1;
    }
    const double rough = (high - low) / 8, power = std::pow(10.0, std::floor(std::log10(rough)));
    double step = 10 * power;
    for (const double factor : {1.0, 2.0, 5.0})
        if (factor * power >= rough) {
            step = factor * power;
            break;
        }
    const int decimals = std::max(0, static_cast<int>(-std::floor(std::log10(step) + 1e-9)));
    return {.low = std::floor(low / step + 1e-9) * step,
            .high = std::ceil(high / step - 1e-9) * step,
            .step = step,
            .decimals = decimals};
}

namespace {

struct PlacedCharts {
    std::vector<Page> pages;
    std::vector<std::pair<const BarChart*, std::size_t>> begins; // in the order placed, on which sheet
};

struct Placing {
    bool pass = false;                // a low chart may pass a high one that has no room left on the sheet
    const BarChart* breaks = nullptr; // begins a sheet
};

PlacedCharts placed(const PlotsContent& content, PaperSize size, const TextMeasure& measure,
                    const Placing& how) {
    PaperFlow flow({.sheet = {.size = size, .portrait = false},
                    .id = "plots",
                    .heading = {.words = content.heading, .remark = content.remark},
                    .continued = content.continued},
                   measure);
    PlacedCharts result;
    std::vector<const BarChart*> rest;
    for (const BarChart& chart : content.charts)
        rest.push_back(&chart);
    while (!rest.empty()) {
        auto next = std::find_if(rest.begin(), rest.end(), [&](const BarChart* chart) {
            return least_mm(flow, *chart) <= flow.left_mm();
        });
        if (next == rest.end() || !how.pass)
            next = rest.begin();
        const BarChart* chart = *next;
        rest.erase(next);
        if (chart == how.breaks && !flow.fresh())
            flow.new_page();
        flow.need(least_mm(flow, *chart));
        result.begins.emplace_back(chart, flow.sheets());
        draw_chart(flow, *chart);
    }
    result.pages = flow.done();
    return result;
}

/// The last of three charts or more on the last sheet but one, where the last sheet has one alone.
const BarChart* lonely(const PlacedCharts& charts) {
    const std::size_t last = charts.pages.size();
    const auto on = [&](std::size_t sheet) {
        return std::count_if(charts.begins.begin(), charts.begins.end(),
                             [&](const auto& chart) { return chart.second == sheet; });
    };
    if (last < 2 || on(last) != 1 || on(last - 1) < 3)
        return nullptr;
    return charts.begins[charts.begins.size() - 2].first;
}

} // namespace

std::vector<Page> build_plots(const PlotsContent& content, PaperSize size, const TextMeasure& measure) {
    PlacedCharts charts = placed(content, size, measure, {});
    bool passed = false;
    if (PlacedCharts fewer = placed(content, size, measure, {.pass = true});
        fewer.pages.size() < charts.pages.size()) {
        charts = std::move(fewer);
        passed = true;
    }
    if (const BarChart* breaks = lonely(charts))
        if (PlacedCharts shared = placed(content, size, measure, {.pass = passed, .breaks = breaks});
            shared.pages.size() == charts.pages.size())
            return std::move(shared.pages);
    return std::move(charts.pages);
}

} // namespace stoutloom::layout::papers

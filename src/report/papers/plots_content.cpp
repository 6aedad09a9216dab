// Plots: how warm each cable gets against its class, where the volts go, what the battery gains or loses in
// each duty.
#include "physics/thermal.h"
#include "report/papers/contents.h"
#include "report/papers/id_ranges.h"
#include "report/papers/measured_rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stoutloom::report {
namespace {

using layout::papers::Bar;
using layout::papers::BarChart;

/// The air round the stretch that gets hottest with the worst duty's current, not round the one that may
/// carry least: where the bar begins.
double ambient_degc(const Voice& voice, std::size_t cable) {
    const solve::CableRating& rating = voice.facts().ratings.at(cable);
    const check::WorstDuty& worst = check::worst_duty(voice.facts(), static_cast<model::CableIndex>(cable));
    const double each_a = worst.current_a / voice.harness().cables[cable].parallel;
    double warmest = 0, hottest = -1e9;
    for (const solve::SegmentRating& segment : rating.segments) {
        const physics::Surroundings& around = segment.stretch.around;
        const double air_degc = around.ambient_degc + around.radiant_k;
        const double copper_degc =
            physics::steady_temperature_degc(segment.stretch, each_a).value_or(1e9 + air_degc);
        if (copper_degc > hottest) {
            hottest = copper_degc;
            warmest = air_degc;
        }
    }
    if (!rating.segments.empty())
        return warmest;
    for (const model::Segment& segment : voice.harness().cables[cable].segments)
        warmest = std::max(warmest, voice.harness().zone(segment.zone).ambient_degc.value);
    return warmest;
}

/// "W3 101 / 125 °C, ...": of a long plot the few rows that matter most.
std::string nearest_to_class(const Voice& voice) {
    constexpr std::size_t few = 5, long_plot = 20;
    std::vector<std::pair<double, std::string>> margins;
    for (std::size_t i = 0; i < voice.harness().cables.size(); ++i) {
        const model::Cable& cable = voice.harness().cables[i];
        const check::WorstDuty& worst = check::worst_duty(voice.facts(), static_cast<model::CableIndex>(i));
        if (worst.duty && !worst.runaway && std::isfinite(worst.temperature_degc))
            margins.emplace_back(
                cable.insulation.class_degc - worst.temperature_degc,
                unbroken(cable.id + " " +
                         voice.temperature_of(worst.temperature_degc, cable.insulation.class_degc)));
    }
    if (margins.size() < long_plot)
        return {};
    std::stable_sort(margins.begin(), margins.end(),
                     [](const auto& one, const auto& other) { return one.first < other.first; });
    std::string words;
    for (std::size_t i = 0; i < few; ++i)
        words += (i == 0 ? "" : ", ") + margins[i].second;
    return words;
}

/// Of a plot longer than a sheet, neighbours of one section that get as warm in the same air share a bar.
std::vector<Bar> gathered(const Voice& voice, std::vector<Bar> bars) {
    constexpr std::size_t long_plot = 50, most = 12;
    if (bars.size() < long_plot)
        return bars;
    std::vector<model::Cable> cables; // of the bars
    for (const std::size_t i : cables_to_look_up(voice.harness()))
        cables.push_back(voice.harness().cables[i]);
    std::vector<Bar> fewer;
    for (std::size_t first = 0, past = 0; first < bars.size(); first = past) {
        const auto alike = [&](std::size_t i) {
            const Bar &one = bars[first], &other = bars[i];
            return cables[i].section_mm2.value == cables[first].section_mm2.value &&
                   cables[i].parallel == cables[first].parallel && cables[i].build == cables[first].build &&
                   cables[i].automatic == cables[first].automatic && std::abs(one.from - other.from) < 0.05 &&
                   one.posts == other.posts && one.hatched == other.hatched && one.torn == other.torn &&
                   one.words == other.words && one.brief == other.brief;
        };
        past = first + 1;
        while (past < bars.size() && past - first < most && alike(past))
            ++past;
        Bar bar = bars[first];
        std::vector<std::string> ids;
        bool one_colour = true;
        for (std::size_t i = first; i < past; ++i) {
            ids.push_back(cables[i].id);
            one_colour = one_colour && cables[i].colour == cables[first].colour;
            bar.to = std::max(bar.to, bars[i].to);
            if (i > first)
                bar.also.push_back({.id = bars[i].id, .name = bars[i].label});
        }
        model::Cable shown = cables[first];
        if (!one_colour)
            shown.colour.clear();
        bar.label = id_ranges(voice, ids) + "  " + voice.cable_words(shown);
        fewer.push_back(std::move(bar));
    }
    return fewer;
}

BarChart temperatures(const Voice& voice) {
    BarChart chart;
    chart.heading = voice.say(Phrase::plot_temperatures);
    chart.remark = voice.say(Phrase::plot_temperatures_remark);
    const bool us = voice.harness().units == model::UnitSystem::us;
    const auto in_unit = [us](double degc) { return us ? base::fahrenheit(degc) : degc; };
    const auto words_of = [&](double degc, base::Rounding rounding) {
        return figure(in_unit(degc), 0, rounding, us ? "°F" : "°C");
    };
    chart.unit = us ? "°F" : "°C";
    chart.from_zero = false;
    double hottest_class = 0;
    for (const model::Cable& cable : voice.harness().cables)
        hottest_class = std::max(hottest_class, cable.insulation.class_degc);
    for (const std::size_t i : cables_to_look_up(voice.harness())) {
        const model::Cable& cable = voice.harness().cables[i];
        const check::WorstDuty& worst = check::worst_duty(voice.facts(), static_cast<model::CableIndex>(i));
        const bool burns = worst.runaway || !std::isfinite(worst.temperature_degc);
        // A cable that burns has no temperature to draw: its bar runs to the end of the hottest class and a
        // bit.
        const double shown_degc =
            burns ? hottest_class * 1.2 : std::min(worst.temperature_degc, hottest_class * 2);
        const double from = ambient_degc(voice, i);
        Bar bar;
        bar.id = "plot-" + cable.id;
        bar.label = cable.id + "  " + voice.cable_words(cable);
        bar.from = in_unit(std::min(from, shown_degc));
        bar.to = in_unit(worst.duty ? shown_degc : from);
        // The scale stops at twice the hottest class, so that the others are not crushed.
        bar.torn = worst.duty && (burns || worst.temperature_degc > hottest_class * 2);
        bar.hatched = burns || worst.temperature_degc > cable.insulation.class_degc;
        bar.posts = {in_unit(cable.insulation.class_degc)};
        const std::string reached =
            burns ? voice.say(Phrase::burns) : words_of(worst.temperature_degc, base::Rounding::up);
        const std::string of = words_of(cable.insulation.class_degc, base::Rounding::down);
        bar.words = worst.duty ? voice.say(Phrase::plot_of,
                                           {reached, of, voice.duty(voice.harness().duty(*worst.duty))})
                               : voice.say(Phrase::plot_no_load);
        bar.brief = !worst.duty ? bar.words
                    : burns     ? reached
                                : voice.temperature_of(worst.temperature_degc, cable.insulation.class_degc);
        chart.bars.push_back(std::move(bar));
    }
    chart.bars = gathered(voice, std::move(chart.bars));
    chart.legend = voice.say(Phrase::plot_temperatures_legend);
    if (const std::string nearest = nearest_to_class(voice); !nearest.empty())
        chart.legend += "; " + voice.say(Phrase::plot_nearest, {nearest});
    return chart;
}

void add_fall(const Voice& voice, BarChart& chart, const std::vector<WayPart>& way, const std::string& stem,
              bool back, double& at_v) {
    for (const WayPart& part : way) {
        Bar bar;
        bar.id = fmt::format("{}-{}", stem, chart.bars.size() + 1);
        bar.label = part.cable ? voice.harness().cable(*part.cable).id + "  " +
                                     voice.cable_words(voice.harness().cable(*part.cable))
                               : voice.device_with_label(*part.device);
        bar.from = at_v;
        bar.hollow = back;
        at_v += part.drop_v;
        bar.to = at_v;
        bar.words = figure(part.drop_v, 3, base::Rounding::up, "V");
        chart.bars.push_back(std::move(bar));
    }
}

BarChart waterfall(const Voice& voice, const MeasuredLoop& loop, std::size_t number) {
    BarChart chart;
    const std::string battery = voice.device(loop.battery), unit = voice.device(loop.unit);
    chart.heading = loop.charging ? voice.say(Phrase::plot_drop, {unit, battery})
                                  : voice.say(Phrase::plot_drop, {battery, unit});
    chart.remark = voice.say(loop.charging ? Phrase::plot_charging : Phrase::plot_cranking,
                             {base::shown(loop.current_a, 0, base::Rounding::nearest, "A")});
    chart.unit = "V";
    const std::string stem = "fall-" + std::to_string(number);
    const char* name = loop.charging ? "charging-loop-drop" : "cranking-loop-drop";
    const model::LimitInForce limit = model::limit_in_force(voice.harness(), name);
    double at_v = 0;
    add_fall(voice, chart, loop.feed, stem, false, at_v);
    add_fall(voice, chart, loop.back, stem, true, at_v);
    const bool over = at_v > limit.value;
    chart.bars.push_back({.id = stem + "-all",
                          .label = voice.say(Phrase::plot_loop),
                          .words = voice.say(Phrase::plot_of_limit, {base::shown_up(at_v, 3, "V"),
                                                                     base::shown_down(limit.value, 2, "V")}),
                          .from = 0,
                          .to = at_v,
                          .hatched = over,
                          .strong = true,
                          .posts = {},
                          .desc = {}});
    chart.lines = {{.value = limit.value, .words = {}}};
    // A limit of the file's own is named by its source: not twice.
    const std::string source = voice.told(limit.source);
    chart.legend = voice.say(
        Phrase::plot_drop_legend,
        {source.find(name) == std::string::npos ? name : base::shown_down(limit.value, 2, "V"), source});
    return chart;
}

BarChart battery_balance(const Voice& voice) {
    BarChart chart;
    chart.heading = voice.say(Phrase::plot_balance);
    chart.remark = voice.say(Phrase::plot_balance_remark);
    chart.unit = "A";
    for (const check::SolvedDuty& solved : voice.facts().duties)
        for (std::size_t i = 0; i < voice.harness().devices.size(); ++i) {
            if (voice.harness().devices[i].kind() != model::DeviceKind::battery)
                continue;
            const model::Duty& duty = voice.harness().duty(solved.duty);
            Bar bar;
            bar.id = "balance-" + duty.id + "-" + voice.harness().devices[i].id;
            bar.label = "−" + voice.harness().devices[i].id + "  " + voice.duty(duty);
            if (solved.point) {
                // Out of the positive terminal is discharge: drawn to the left.
                const double charge_a = -solved.point->devices.at(i).current_a;
                bar.to = charge_a;
                // What the battery loses is told up, what it gains down.
                const auto rounding = charge_a < 0 ? base::Rounding::up : base::Rounding::down;
                bar.words = voice.say(charge_a < 0 ? Phrase::discharges : Phrase::charges,
                                      {base::shown(std::abs(charge_a), 1, rounding, "A")});
            } else
                bar.words = voice.say(Phrase::no_operating_point);
            chart.bars.push_back(std::move(bar));
        }
    return chart;
}

} // namespace

layout::papers::PlotsContent plots_content(const Voice& voice) {
    layout::papers::PlotsContent content;
    content.heading = voice.say(Phrase::plots);
    content.continued = voice.say(Phrase::continued);
    content.charts.push_back(temperatures(voice));
    std::vector<MeasuredLoop> loops;
    measured_rows(voice, loops);
    for (std::size_t i = 0; i < loops.size(); ++i)
        content.charts.push_back(waterfall(voice, loops[i], i + 1));
    content.charts.push_back(battery_balance(voice));
    return content;
}

CsvTable temperatures_table(const Voice& voice) {
    CsvTable table{.name = "temperatures",
                   .rows = {{"cable", "ambient_degc", "temperature_degc", "class_degc", "current_a",
                             "usable_a", "duty"}}};
    for (std::size_t i = 0; i < voice.harness().cables.size(); ++i) {
        const check::WorstDuty& worst = check::worst_duty(voice.facts(), static_cast<model::CableIndex>(i));
        table.rows.push_back({voice.harness().cables[i].id, plain(ambient_degc(voice, i), 1),
                              worst.duty && !worst.runaway ? plain(worst.temperature_degc, 1) : "",
                              plain(voice.harness().cables[i].insulation.class_degc, 0),
                              plain(worst.current_a, 2), plain(voice.facts().ratings.at(i).usable_a, 1),
                              worst.duty ? voice.harness().duty(*worst.duty).id : ""});
    }
    return table;
}

} // namespace stoutloom::report

#include "report/papers/bar_rows.h"

#include "check/drops.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stoutloom::report {
namespace {

constexpr double least_current_a = 5;      // of a stretch: a drop of less tells little
constexpr double most_over_expected = 2;   // common practice, no source
constexpr double least_allowance_v = 0.05; // likewise, where twice of little is less

/// From stud to stud, in the direction of the current.
struct Stretch {
    model::TerminalIndex from{}, to{};
    std::vector<model::CableIndex> cables;
    std::size_t consumers = 0; // that it serves
    /// Least of limit over loss among them.
    double least_scale = std::numeric_limits<double>::infinity();
};

bool is_bar(const model::Harness& harness, model::TerminalIndex terminal) {
    return harness.device(harness.terminal(terminal).device).kind() == model::DeviceKind::post;
}

/// The way cut at its bars; what lies between the last bar and the consumer is no stretch of a bar's.
std::vector<Stretch> feed_stretches(const model::Harness& harness, const std::vector<WayPart>& way) {
    std::vector<Stretch> stretches;
    Stretch open;
    bool begun = false;
    for (const WayPart& part : way) {
        if (!begun)
            open = Stretch{.from = part.from, .to = {}, .cables = {}};
        begun = true;
        if (part.cable)
            open.cables.push_back(*part.cable);
        open.to = part.to;
        if (!is_bar(harness, part.to))
            continue;
        stretches.push_back(open);
        begun = false;
    }
    return stretches;
}

/// As on the way out, told from the battery: the stretch next to the consumer is left out.
std::vector<Stretch> return_stretches(const model::Harness& harness, std::vector<WayPart> way) {
    std::reverse(way.begin(), way.end());
    for (WayPart& part : way)
        std::swap(part.from, part.to);
    std::vector<Stretch> stretches = feed_stretches(harness, way);
    for (Stretch& stretch : stretches)
        std::swap(stretch.from, stretch.to);
    return stretches;
}

struct Ways {
    std::vector<WayPart> feed, back;
};

/// All that is lost on the way, from the highest volts on its feed to the lowest on its return: the charging
/// unit may lift a bar above the battery.
double loss_v(const solve::OperatingPoint& point, const Ways& ways) {
    const auto volts_at = [&](model::TerminalIndex terminal) {
        return point.terminal_v.at(model::at(terminal));
    };
    double highest = volts_at(ways.feed.front().from), lowest = volts_at(ways.back.back().to);
    for (const WayPart& part : ways.feed)
        highest = std::max(highest, volts_at(part.to));
    for (const WayPart& part : ways.back)
        lowest = std::min(lowest, volts_at(part.from));
    return highest - volts_at(ways.feed.back().to) + volts_at(ways.back.front().from) - lowest;
}

std::optional<Ways> ways_of(const Voice& voice, const check::SolvedDuty& solved,
                            model::DeviceIndex consumer) {
    const model::Harness& harness = voice.harness();
    const auto battery = check::battery_of(voice.facts(), *solved.point, consumer);
    if (!battery)
        return std::nullopt;
    const auto plus = model::terminal_of(harness, consumer, model::Role::positive),
               minus = model::terminal_of(harness, consumer, model::Role::negative),
               source = model::terminal_of(harness, *battery, model::Role::positive),
               sink = model::terminal_of(harness, *battery, model::Role::negative);
    if (!plus || !minus || !source || !sink)
        return std::nullopt;
    Ways ways{.feed = way_between(harness, *solved.point, *source, *plus),
              .back = way_between(harness, *solved.point, *minus, *sink)};
    if (ways.feed.empty() || ways.back.empty())
        return std::nullopt;
    return ways;
}

void add_stretches(std::vector<Stretch>& known, const std::vector<Stretch>& more, double scale) {
    for (const Stretch& stretch : more) {
        auto same = std::find_if(known.begin(), known.end(), [&](const Stretch& one) {
            return one.from == stretch.from && one.to == stretch.to;
        });
        if (same == known.end())
            same = known.insert(known.end(), stretch);
        ++same->consumers;
        same->least_scale = std::min(same->least_scale, scale);
    }
}

bool told_by(const std::vector<MeasuredLoop>& loops, const Stretch& stretch) {
    return std::all_of(stretch.cables.begin(), stretch.cables.end(), [&](model::CableIndex cable) {
        return std::any_of(loops.begin(), loops.end(), [&](const MeasuredLoop& loop) {
            const auto on = [&](const WayPart& part) { return part.cable == cable; };
            return std::any_of(loop.feed.begin(), loop.feed.end(), on) ||
                   std::any_of(loop.back.begin(), loop.back.end(), on);
        });
    });
}

std::optional<MeasuredRow> row_of(const Voice& voice, const check::SolvedDuty& solved,
                                  const Stretch& stretch) {
    MeasuredRow row;
    double most_a = 0;
    for (const model::CableIndex cable : stretch.cables) {
        const double current_a = std::abs(solved.point->cables.at(model::at(cable)).current_a);
        if (current_a <= most_a * (1 + 1e-6)) // of cables in series the first
            continue;
        most_a = current_a;
        row.current = base::shown(current_a, 0, base::Rounding::nearest, "A");
        row.cable = voice.harness().cable(cable).id;
    }
    const auto& volts = solved.point->terminal_v;
    row.red = stretch.from;
    row.black = stretch.to;
    row.expected_v = volts.at(model::at(stretch.from)) - volts.at(model::at(stretch.to));
    if (most_a < least_current_a || !(row.expected_v > 0))
        return std::nullopt;
    row.named = true;
    row.duty = voice.duty(voice.harness().duty(solved.duty));
    const double sound_v = std::max(most_over_expected * row.expected_v, row.expected_v + least_allowance_v);
    row.high_v = std::min(stretch.least_scale * row.expected_v, sound_v);
    row.why = voice.say(Phrase::why_bar);
    return row;
}

} // namespace

std::vector<MeasuredRow> bar_rows(const Voice& voice, const check::SolvedDuty& solved,
                                  const std::vector<MeasuredLoop>& loops) {
    const model::Harness& harness = voice.harness();
    std::vector<Stretch> stretches;
    for (std::size_t i = 0; i < harness.devices.size(); ++i) {
        const auto consumer = static_cast<model::DeviceIndex>(i);
        const auto* data = std::get_if<model::Consumer>(&harness.devices[i].data);
        const solve::DeviceState& state = solved.point->devices.at(i);
        if (data == nullptr || !state.running || !(std::abs(state.current_a) > 0))
            continue;
        const auto ways = ways_of(voice, solved, consumer);
        if (!ways)
            continue;
        const model::LimitInForce limit =
            model::limit_in_force(harness, data->critical ? "critical-drop" : "consumer-drop");
        const double lost_v = loss_v(*solved.point, *ways);
        const double scale = lost_v > 0 ? limit.value * harness.nominal_v.value / lost_v
                                        : std::numeric_limits<double>::infinity();
        add_stretches(stretches, feed_stretches(harness, ways->feed), scale);
        add_stretches(stretches, return_stretches(harness, ways->back), scale);
    }
    std::vector<MeasuredRow> rows;
    for (const Stretch& stretch : stretches)
        if (stretch.consumers > 1 && !told_by(loops, stretch))
            if (auto row = row_of(voice, solved, stretch))
                rows.push_back(std::move(*row));
    return rows;
}

} // namespace stoutloom::report

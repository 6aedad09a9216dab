#include "report/papers/measured_rows.h"

#include "check/drops.h"
#include "physics/source.h"
#include "report/diagram_parts.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::report {
namespace {

using model::DeviceKind;
using model::Role;

class Rows {
  public:
    explicit Rows(const Voice& voice) : voice_(&voice) {}

    /// Adds a row unless it asks for less than a meter shows; returns its number or nothing. Probes are
    /// swapped where the reading would be negative.
    std::string add(MeasuredRow row) {
        if (!std::isfinite(row.expected_v))
            return {};
        if (row.expected_v < 0) {
            std::swap(row.red, row.black);
            row.expected_v = -row.expected_v;
        }
        if (row.expected_v < meter_step_v)
            return {};
        row.number = std::to_string(rows_.size() + 1);
        rows_.push_back(std::move(row));
        return rows_.back().number;
    }
    const Voice& voice() const { return *voice_; }
    const model::Harness& harness() const { return voice_->harness(); }
    double scaled(double at_12_v) const { return at_12_v * harness().nominal_v.value / 12; }
    std::vector<MeasuredRow> take() { return std::move(rows_); }

  private:
    const Voice* voice_;
    std::vector<MeasuredRow> rows_;
};

struct Ends {
    model::TerminalIndex plus, minus;
};
std::optional<Ends> ends_of(const model::Harness& harness, model::DeviceIndex device) {
    const auto plus = model::terminal_of(harness, device, Role::positive);
    const auto minus = model::terminal_of(harness, device, Role::negative);
    if (!plus || !minus)
        return std::nullopt;
    return Ends{*plus, *minus};
}

std::vector<model::DeviceIndex> devices_of(const model::Harness& harness, DeviceKind kind) {
    std::vector<model::DeviceIndex> devices;
    for (std::size_t i = 0; i < harness.devices.size(); ++i)
        if (harness.devices[i].kind() == kind)
            devices.push_back(static_cast<model::DeviceIndex>(i));
    return devices;
}

const check::SolvedDuty* first_duty(const Voice& voice, model::Engine engine) {
    for (const check::SolvedDuty& solved : voice.facts().duties)
        if (solved.point && voice.harness().duty(solved.duty).engine == engine)
            return &solved;
    return nullptr;
}

/// "Rated output, 160 A on W1"
std::string state_words(const Voice& voice, const check::SolvedDuty& solved, model::TerminalIndex at) {
    const std::string duty = voice.duty(voice.harness().duty(solved.duty));
    const auto cable = heaviest_cable_on(voice.harness(), *solved.point, at);
    if (!cable)
        return duty;
    const double current_a = std::abs(solved.point->cables.at(model::at(*cable)).current_a);
    return voice.say(
        Phrase::state_with_current,
        {duty, base::shown(current_a, 0, base::Rounding::nearest, "A"), voice.harness().cable(*cable).id});
}

double between(const solve::OperatingPoint& point, model::TerminalIndex red, model::TerminalIndex black) {
    return point.terminal_v.at(model::at(red)) - point.terminal_v.at(model::at(black));
}

void add_rest_rows(Rows& rows) {
    const check::SolvedDuty* standby = first_duty(rows.voice(), model::Engine::off);
    if (standby == nullptr)
        return;
    for (const model::DeviceIndex index : devices_of(rows.harness(), DeviceKind::battery)) {
        const auto ends = ends_of(rows.harness(), index);
        if (!ends)
            continue;
        const auto& battery = std::get<model::Battery>(rows.harness().device(index).data);
        const auto kind = static_cast<physics::BatteryKind>(battery.kind);
        const double nominal_v = rows.harness().nominal_v.value;
        // Rested between 70 % and full, and a little surface charge; a measured figure of the file within 2
        // %.
        double low_v = physics::battery_emf_v(kind, nominal_v, 0.7);
        double high_v = physics::battery_emf_v(kind, nominal_v, 1.0) + rows.scaled(0.1);
        if (battery.emf_v) {
            low_v = battery.emf_v->value * 0.98;
            high_v = battery.emf_v->value * 1.02;
        }
        rows.add({.number = {},
                  .red = ends->plus,
                  .black = ends->minus,
                  .state = rows.voice().say(Phrase::state_rest),
                  .expected_v = between(*standby->point, ends->plus, ends->minus),
                  .low_v = low_v,
                  .high_v = high_v,
                  .why = rows.voice().say(Phrase::why_rest)});
    }
}

/// Feed, return and volts of one unit against its battery. `charging`: the unit is the source.
void add_loop_rows(Rows& rows, std::vector<MeasuredLoop>& loops, const check::SolvedDuty& solved,
                   model::DeviceIndex unit, bool charging) {
    const Voice& voice = rows.voice();
    const auto drop = check::drop_in(voice.facts(), solved, unit, charging);
    const auto unit_ends = ends_of(rows.harness(), unit);
    if (!drop || !unit_ends)
        return;
    const auto battery_ends = ends_of(rows.harness(), drop->battery);
    if (!battery_ends)
        return;
    const solve::OperatingPoint& point = *solved.point;
    const Ends source = charging ? *unit_ends : *battery_ends, load = charging ? *battery_ends : *unit_ends;
    MeasuredLoop loop{.charging = charging,
                      .unit = unit,
                      .battery = drop->battery,
                      .current_a = std::abs(drop->current_a),
                      .feed = way_between(rows.harness(), point, source.plus, load.plus),
                      .back = way_between(rows.harness(), point, load.minus, source.minus),
                      .feed_v = drop->feed_v,
                      .back_v = drop->return_v,
                      .feed_number = {},
                      .back_number = {}};
    const std::string state = state_words(voice, solved, unit_ends->plus);
    const std::string_view feed_limit = charging ? "charging-feed-drop" : "cranking-feed-drop";
    const std::string_view back_limit = charging ? "charging-return-drop" : "cranking-return-drop";
    const auto feed = model::limit_in_force(rows.harness(), feed_limit);
    const auto back = model::limit_in_force(rows.harness(), back_limit);
    loop.feed_number = rows.add({.number = {},
                                 .red = source.plus,
                                 .black = load.plus,
                                 .state = state,
                                 .expected_v = drop->feed_v,
                                 .low_v = {},
                                 .high_v = feed.value,
                                 .why = std::string(feed_limit) + ": " + feed.source});
    loop.back_number = rows.add({.number = {},
                                 .red = load.minus,
                                 .black = source.minus,
                                 .state = state,
                                 .expected_v = drop->return_v,
                                 .low_v = {},
                                 .high_v = back.value,
                                 .why = std::string(back_limit) + ": " + back.source});
    const double battery_v = between(point, battery_ends->plus, battery_ends->minus);
    MeasuredRow battery{.number = {},
                        .red = battery_ends->plus,
                        .black = battery_ends->minus,
                        .state = state,
                        .expected_v = battery_v,
                        .low_v = {},
                        .high_v = {},
                        .why = {}};
    if (charging) {
        const double unit_v = between(point, unit_ends->plus, unit_ends->minus),
                     band_v = rows.scaled(regulator_band_v);
        battery.low_v = battery_v - band_v;
        battery.high_v = battery_v + band_v;
        battery.why = voice.say(Phrase::why_regulator);
        rows.add({.number = {},
                  .red = unit_ends->plus,
                  .black = unit_ends->minus,
                  .state = state,
                  .expected_v = unit_v,
                  .low_v = unit_v - band_v,
                  .high_v = unit_v + band_v,
                  .why = voice.say(Phrase::why_regulator)});
    } else {
        // The floor of practice, or what is computed where the starter asks for more than that leaves.
        battery.low_v = std::min(battery_v, cranking_floor_fraction * rows.harness().nominal_v.value);
        battery.why = voice.say(Phrase::why_cranking);
    }
    rows.add(battery);
    loops.push_back(std::move(loop));
}

/// Volts between two masses: the strap's own test.
void add_mass_rows(Rows& rows, const check::SolvedDuty& solved, std::string_view limit_name) {
    const auto masses = devices_of(rows.harness(), DeviceKind::mass);
    const auto limit = model::limit_in_force(rows.harness(), limit_name);
    // The strap's studs are where a probe can stand; the metal itself has none.
    const auto stud_of = [&](model::DeviceIndex mass) {
        for (const model::TerminalIndex terminal : rows.harness().device(mass).terminals)
            if (!rows.harness().terminal(terminal).implicit &&
                heaviest_cable_on(rows.harness(), *solved.point, terminal))
                return terminal;
        return model::metal_of(rows.harness(), mass);
    };
    for (std::size_t i = 0; i < masses.size(); ++i)
        for (std::size_t k = i + 1; k < masses.size(); ++k) {
            const model::TerminalIndex a = stud_of(masses[i]), b = stud_of(masses[k]);
            rows.add({.number = {},
                      .red = b,
                      .black = a,
                      .state = rows.voice().duty(rows.harness().duty(solved.duty)),
                      .expected_v = between(*solved.point, b, a),
                      .low_v = {},
                      .high_v = limit.value,
                      .why = std::string(limit_name) + ": " + limit.source});
        }
}

/// Volts at each consumer of some weight while the engine runs; the loop's limit below the battery's volts.
void add_consumer_rows(Rows& rows, const check::SolvedDuty& solved) {
    constexpr double worth_measuring_a = 5;
    const auto batteries = devices_of(rows.harness(), DeviceKind::battery);
    for (const model::DeviceIndex index : devices_of(rows.harness(), DeviceKind::consumer)) {
        const solve::DeviceState& state = solved.point->devices.at(model::at(index));
        const auto ends = ends_of(rows.harness(), index);
        const auto battery = check::battery_of(rows.voice().facts(), *solved.point, index);
        if (!state.running || std::abs(state.current_a) < worth_measuring_a || !ends || !battery)
            continue;
        const auto battery_ends = ends_of(rows.harness(), *battery);
        if (!battery_ends)
            continue;
        const bool critical = std::get<model::Consumer>(rows.harness().device(index).data).critical;
        const char* name = critical ? "critical-drop" : "consumer-drop";
        const auto limit = model::limit_in_force(rows.harness(), name);
        const double battery_v = between(*solved.point, battery_ends->plus, battery_ends->minus);
        const double volts_v = between(*solved.point, ends->plus, ends->minus);
        rows.add({.number = {},
                  .red = ends->plus,
                  .black = ends->minus,
                  .state = state_words(rows.voice(), solved, ends->plus),
                  .expected_v = volts_v,
                  .low_v = battery_v - limit.value * rows.harness().nominal_v.value,
                  .high_v = std::max(battery_v, volts_v) + rows.scaled(regulator_band_v),
                  .why = std::string(name) + ": " + limit.source});
    }
}

} // namespace

std::vector<MeasuredRow> measured_rows(const Voice& voice, std::vector<MeasuredLoop>& loops) {
    Rows rows(voice);
    add_rest_rows(rows);
    const auto rated = rated_duty(voice.checked());
    if (rated) {
        const check::SolvedDuty& solved = voice.facts().duties.at(model::at(*rated));
        for (const model::DeviceIndex unit : devices_of(rows.harness(), DeviceKind::generator))
            if (solved.point->devices.at(model::at(unit)).running)
                add_loop_rows(rows, loops, solved, unit, true);
        add_mass_rows(rows, solved, "mass-shift");
        add_consumer_rows(rows, solved);
    }
    if (const check::SolvedDuty* cranking = first_duty(voice, model::Engine::cranking)) {
        for (const model::DeviceIndex unit : devices_of(rows.harness(), DeviceKind::starter))
            if (cranking->point->devices.at(model::at(unit)).current_a > 0)
                add_loop_rows(rows, loops, *cranking, unit, false);
        add_mass_rows(rows, *cranking, "mass-shift-cranking");
    }
    return rows.take();
}

} // namespace stoutloom::report

#include "report/papers/measured_rows.h"

#include "check/drops.h"
#include "physics/source.h"
#include "report/diagram_parts.h"
#include "report/papers/bar_rows.h"

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
    /// The state of each row in words; a state told before is told by the number of its first row.
    std::vector<MeasuredRow> take() {
        for (std::size_t i = 0; i < rows_.size(); ++i) {
            MeasuredRow& row = rows_[i];
            const auto first = std::find_if(rows_.begin(), rows_.begin() + static_cast<long>(i),
                                            [&](const MeasuredRow& other) { return other.duty == row.duty; });
            const bool told = first != rows_.begin() + static_cast<long>(i);
            const bool same =
                told && (row.current.empty() || (first->current == row.current && first->cable == row.cable));
            if (row.named)
                row.state =
                    voice_->say(Phrase::current_on, {row.current, row.cable}); // its heading tells the duty
            else if (same)
                row.state = voice_->say(Phrase::state_as, {first->number});
            else if (told)
                row.state =
                    voice_->say(Phrase::state_as_with_current, {first->number, row.current, row.cable});
            else if (row.current.empty())
                row.state = row.duty;
            else
                row.state = voice_->say(Phrase::state_with_current, {row.duty, row.current, row.cable});
            // A current and its cable stay in one line: "160 A on W1".
            const std::string load = voice_->say(Phrase::current_on, {row.current, row.cable});
            if (const std::size_t at = row.state.find(load); !row.current.empty() && at != std::string::npos)
                row.state.replace(at, load.size(), unbroken(load));
        }
        return std::move(rows_);
    }

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

/// A row of this duty; the clamp goes round the heaviest cable on a terminal, if one is given.
MeasuredRow row_in(const Voice& voice, const check::SolvedDuty& solved,
                   std::optional<model::TerminalIndex> clamp) {
    MeasuredRow row;
    row.duty = voice.duty(voice.harness().duty(solved.duty));
    const auto cable = clamp ? heaviest_cable_on(voice.harness(), *solved.point, *clamp) : std::nullopt;
    if (!cable)
        return row;
    const double current_a = std::abs(solved.point->cables.at(model::at(*cable)).current_a);
    row.current = base::shown(current_a, 0, base::Rounding::nearest, "A");
    row.cable = voice.harness().cable(*cable).id;
    return row;
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
        MeasuredRow row;
        row.red = ends->plus;
        row.black = ends->minus;
        row.duty = rows.voice().say(Phrase::state_rest);
        // Nothing flows: the battery's own volts, whatever the file leaves on while the vehicle is parked.
        const double charge = std::clamp(rows.harness().duty(standby->duty).charge_fraction.value, 0.7, 1.0);
        row.expected_v =
            battery.emf_v ? battery.emf_v->value : physics::battery_emf_v(kind, nominal_v, charge);
        row.low_v = low_v;
        row.high_v = high_v;
        row.why = rows.voice().say(Phrase::why_rest);
        rows.add(row);
    }
}

/// A drop against a limit of the kit, from red to black.
std::string add_drop(Rows& rows, MeasuredRow row, double drop_v, std::string_view limit_name) {
    const model::LimitInForce limit = model::limit_in_force(rows.harness(), limit_name);
    row.expected_v = drop_v;
    row.high_v = limit.value;
    row.why = std::string(limit_name) + ": " + limit.source;
    return rows.add(std::move(row));
}

struct LoopEnds {
    Ends unit, battery;
    model::DeviceIndex battery_device;
    check::Drop drop;
};
std::optional<LoopEnds> loop_ends(const Voice& voice, const check::SolvedDuty& solved,
                                  model::DeviceIndex unit, bool charging) {
    const auto drop = check::drop_in(voice.facts(), solved, unit, charging);
    const auto own = ends_of(voice.harness(), unit);
    const auto battery = drop ? ends_of(voice.harness(), drop->battery) : std::nullopt;
    if (!own || !battery)
        return std::nullopt;
    return LoopEnds{.unit = *own, .battery = *battery, .battery_device = drop->battery, .drop = *drop};
}

/// Feed and return of one unit against its battery. `charging`: the unit is the source.
void add_loop_rows(Rows& rows, std::vector<MeasuredLoop>& loops, const check::SolvedDuty& solved,
                   model::DeviceIndex unit, bool charging) {
    const auto ends = loop_ends(rows.voice(), solved, unit, charging);
    if (!ends)
        return;
    const Ends source = charging ? ends->unit : ends->battery, load = charging ? ends->battery : ends->unit;
    MeasuredLoop loop;
    loop.charging = charging;
    loop.unit = unit;
    loop.battery = ends->battery_device;
    loop.current_a = std::abs(ends->drop.current_a);
    loop.feed = way_between(rows.harness(), *solved.point, source.plus, load.plus);
    loop.back = way_between(rows.harness(), *solved.point, load.minus, source.minus);
    loop.feed_v = ends->drop.feed_v;
    loop.back_v = ends->drop.return_v;
    MeasuredRow row = row_in(rows.voice(), solved, ends->unit.plus);
    row.red = source.plus;
    row.black = load.plus;
    loop.feed_number =
        add_drop(rows, row, loop.feed_v, charging ? "charging-feed-drop" : "cranking-feed-drop");
    row.red = load.minus;
    row.black = source.minus;
    loop.back_number =
        add_drop(rows, row, loop.back_v, charging ? "charging-return-drop" : "cranking-return-drop");
    loops.push_back(std::move(loop));
}

/// Volts at the unit and at its battery where the regulator holds its set point: at the ceiling they follow
/// the battery.
void add_volt_rows(Rows& rows, const check::SolvedDuty& solved, model::DeviceIndex unit) {
    const auto ends = loop_ends(rows.voice(), solved, unit, true);
    if (!ends)
        return;
    const double band_v = rows.scaled(regulator_band_v);
    for (const Ends& at : {ends->unit, ends->battery}) {
        MeasuredRow row = row_in(rows.voice(), solved, ends->unit.plus);
        row.red = at.plus;
        row.black = at.minus;
        row.expected_v = between(*solved.point, at.plus, at.minus);
        row.low_v = row.expected_v - band_v;
        row.high_v = row.expected_v + band_v;
        row.why = rows.voice().say(Phrase::why_regulator);
        rows.add(std::move(row));
    }
}

/// The floor of practice, or what is computed where the starter asks for more than that leaves.
void add_cranking_volts(Rows& rows, const check::SolvedDuty& solved, model::DeviceIndex starter) {
    const auto ends = loop_ends(rows.voice(), solved, starter, false);
    if (!ends)
        return;
    MeasuredRow row = row_in(rows.voice(), solved, ends->unit.plus);
    row.red = ends->battery.plus;
    row.black = ends->battery.minus;
    row.expected_v = between(*solved.point, row.red, row.black);
    row.low_v = std::min(row.expected_v, cranking_floor_fraction * rows.harness().nominal_v.value);
    row.why = rows.voice().say(Phrase::why_cranking);
    rows.add(std::move(row));
}

/// Volts between two masses: the strap's own test.
void add_mass_rows(Rows& rows, const check::SolvedDuty& solved, std::string_view limit_name) {
    const auto masses = devices_of(rows.harness(), DeviceKind::mass);
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
            MeasuredRow row = row_in(rows.voice(), solved, std::nullopt);
            row.black = stud_of(masses[i]);
            row.red = stud_of(masses[k]);
            add_drop(rows, row, between(*solved.point, row.red, row.black), limit_name);
        }
}

/// Volts at each consumer of some weight while the engine runs; the loop's limit below the battery's volts.
void add_consumer_rows(Rows& rows, const check::SolvedDuty& solved) {
    constexpr double worth_measuring_a = 5;
    for (const model::DeviceIndex index : devices_of(rows.harness(), DeviceKind::consumer)) {
        const solve::DeviceState& state = solved.point->devices.at(model::at(index));
        const auto ends = ends_of(rows.harness(), index);
        const auto battery = check::battery_of(rows.voice().facts(), *solved.point, index);
        const auto battery_ends = battery ? ends_of(rows.harness(), *battery) : std::nullopt;
        if (!state.running || std::abs(state.current_a) < worth_measuring_a || !ends || !battery_ends)
            continue;
        const bool critical = std::get<model::Consumer>(rows.harness().device(index).data).critical;
        const char* name = critical ? "critical-drop" : "consumer-drop";
        const model::LimitInForce limit = model::limit_in_force(rows.harness(), name);
        const double battery_v = between(*solved.point, battery_ends->plus, battery_ends->minus);
        MeasuredRow row = row_in(rows.voice(), solved, ends->plus);
        row.red = ends->plus;
        row.black = ends->minus;
        row.expected_v = between(*solved.point, row.red, row.black);
        row.low_v = battery_v - limit.value * rows.harness().nominal_v.value;
        row.high_v = std::max(battery_v, row.expected_v) + rows.scaled(regulator_band_v);
        row.why = std::string(name) + ": " + limit.source;
        rows.add(std::move(row));
    }
}

/// The first running duty in which the unit holds its set point: a state that a workshop can bring about.
const check::SolvedDuty* regulated_duty(const Voice& voice, model::DeviceIndex unit) {
    for (const model::Engine engine : {model::Engine::cruise, model::Engine::idle, model::Engine::rated})
        for (const check::SolvedDuty& solved : voice.facts().duties) {
            if (!solved.point || voice.harness().duty(solved.duty).engine != engine)
                continue;
            const solve::DeviceState& state = solved.point->devices.at(model::at(unit));
            if (state.running && state.regime == solve::Regime::regulating)
                return &solved;
        }
    return nullptr;
}

} // namespace

std::vector<MeasuredRow> measured_rows(const Voice& voice, std::vector<MeasuredLoop>& loops) {
    Rows rows(voice);
    add_rest_rows(rows);
    const auto generators = devices_of(rows.harness(), DeviceKind::generator);
    if (const auto rated = rated_duty(voice.checked())) {
        const check::SolvedDuty& solved = voice.facts().duties.at(model::at(*rated));
        for (const model::DeviceIndex unit : generators)
            if (solved.point->devices.at(model::at(unit)).running)
                add_loop_rows(rows, loops, solved, unit, true);
        add_mass_rows(rows, solved, "mass-shift");
    }
    const check::SolvedDuty* consumers = nullptr;
    for (const model::DeviceIndex unit : generators)
        if (const check::SolvedDuty* solved = regulated_duty(voice, unit)) {
            add_volt_rows(rows, *solved, unit);
            consumers = consumers == nullptr ? solved : consumers;
        }
    if (consumers != nullptr)
        add_consumer_rows(rows, *consumers);
    if (const check::SolvedDuty* cranking = first_duty(voice, model::Engine::cranking)) {
        for (const model::DeviceIndex unit : devices_of(rows.harness(), DeviceKind::starter)) {
            if (!(cranking->point->devices.at(model::at(unit)).current_a > 0))
                continue;
            add_loop_rows(rows, loops, *cranking, unit, false);
            add_cranking_volts(rows, *cranking, unit);
        }
        add_mass_rows(rows, *cranking, "mass-shift-cranking");
    }
    const check::SolvedDuty* loaded = consumers;
    if (const auto rated = rated_duty(voice.checked()))
        loaded = &voice.facts().duties.at(model::at(*rated));
    if (loaded != nullptr)
        for (MeasuredRow& row : bar_rows(voice, *loaded, loops))
            rows.add(std::move(row));
    return rows.take();
}

} // namespace stoutloom::report

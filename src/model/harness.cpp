#include "model/harness.h"

#include <algorithm>
#include <array>
#include <stdexcept>

namespace stoutloom::model {
namespace {

template <class Index, class Things, class Key>
std::optional<Index> find_in(const Things& things, Key key, std::string_view wanted) {
    const auto found =
        std::find_if(things.begin(), things.end(), [&](const auto& thing) { return key(thing) == wanted; });
    if (found == things.end())
        return std::nullopt;
    return static_cast<Index>(found - things.begin());
}

} // namespace

std::string_view kind_name(DeviceKind kind) {
    static constexpr std::array<std::string_view, 10> names = {
        "battery", "generator", "starter", "consumer", "switch",
        "relay",   "fuse-link", "post",    "mass",     "shunt"};
    return names.at(static_cast<std::size_t>(kind));
}

std::optional<DeviceIndex> find_device(const Harness& harness, std::string_view id) {
    return find_in<DeviceIndex>(
        harness.devices, [](const Device& d) -> std::string_view { return d.id; }, id);
}

std::optional<TerminalIndex> find_terminal(const Harness& harness, std::string_view address) {
    return find_in<TerminalIndex>(
        harness.terminals, [](const Terminal& t) -> std::string_view { return t.address; }, address);
}

std::optional<CableIndex> find_cable(const Harness& harness, std::string_view id) {
    return find_in<CableIndex>(
        harness.cables, [](const Cable& c) -> std::string_view { return c.id; }, id);
}

std::optional<DutyIndex> find_duty(const Harness& harness, std::string_view id) {
    return find_in<DutyIndex>(
        harness.duties, [](const Duty& d) -> std::string_view { return d.id; }, id);
}

std::optional<TerminalIndex> terminal_of(const Harness& harness, DeviceIndex device, Role role) {
    for (const TerminalIndex terminal : harness.device(device).terminals)
        if (harness.terminal(terminal).role == role)
            return terminal;
    return std::nullopt;
}

TerminalIndex metal_of(const Harness& harness, DeviceIndex mass) {
    for (const TerminalIndex terminal : harness.device(mass).terminals)
        if (harness.terminal(terminal).implicit)
            return terminal;
    throw std::logic_error("a mass without its metal: " + harness.device(mass).id);
}

bool closed_in(const Duty& duty, Closes closes) {
    const bool engine_on = duty.engine != Engine::off && duty.engine != Engine::cranking;
    switch (closes) {
    case Closes::always:
        return true;
    case Closes::key_on:
        return duty.key_on;
    case Closes::engine_on:
        return engine_on;
    case Closes::cranking:
        return duty.engine == Engine::cranking;
    case Closes::never:
        return false;
    }
    return false;
}

bool runs_in(const Harness& harness, const Duty& duty, DeviceIndex consumer) {
    const auto listed = [&](const std::vector<DeviceIndex>& list) {
        return std::find(list.begin(), list.end(), consumer) != list.end();
    };
    if (listed(duty.off))
        return false;
    if (listed(duty.on))
        return true;
    const Consumer& about = std::get<Consumer>(harness.device(consumer).data);
    const bool engine_on = duty.engine != Engine::off && duty.engine != Engine::cranking;
    // What runs only while cranking is no load of any other duty, everything on or not.
    if (duty.all_on && about.runs != Runs::cranking)
        return true;
    switch (about.runs) {
    case Runs::always:
        return true;
    case Runs::key_on:
        return duty.key_on;
    case Runs::engine_on:
        return engine_on;
    case Runs::cranking:
        return duty.engine == Engine::cranking;
    case Runs::on_request:
        return false;
    }
    return false;
}

std::vector<Duty> built_in_duties() {
    const auto charge = [](double fraction) {
        return Written{.value = fraction, .given = false, .text = {}, .span = {}};
    };
    const auto duty = [&](std::string id, std::string label, Engine engine, bool key, double fraction,
                          bool all) {
        Duty made;
        made.id = std::move(id);
        made.label = std::move(label);
        made.engine = engine;
        made.key_on = key;
        made.charge_fraction = charge(fraction);
        made.all_on = all;
        made.built_in = true;
        return made;
    };
    std::vector<Duty> duties = {
        duty("cranking", "Cranking", Engine::cranking, true, 0.75, false),
        duty("idle", "Idle, hot, everything on", Engine::idle, true, 0.75, true),
        duty("rated", "Rated output into a flat battery, hot", Engine::rated, true, 0.2, true),
        duty("cruise", "Cruise", Engine::cruise, true, 0.9, false),
        duty("standby", "Key off", Engine::off, false, 0.75, false),
    };
    duties.front().duration_s = Written{.value = 10, .given = false, .text = {}, .span = {}};
    return duties;
}

const std::vector<LimitRow>& limit_rows() {
    using base::Quantity;
    static const std::vector<LimitRow> rows = {
        {"installed-margin", Quantity::fraction, 0.87, false,
         "share of the model's ampacity that an installed cable is given",
         "published marine and building tables sit 10 to 20 % under the still-air model"},
        {"continuous-load", Quantity::fraction, 0.80, false, "all-day load of a fuse-link over its rating",
         "common practice, no source (75 % for SF51, whose 100 % gate is 4 h)"},
        {"charging-feed-drop", Quantity::voltage, 0.20, true, "generator B+ to battery +, rated output hot",
         "good-practice target for a high-output unit, from memory"},
        {"charging-return-drop", Quantity::voltage, 0.10, true,
         "battery - to generator return, rated output hot",
         "good-practice target for a high-output unit, from memory"},
        {"charging-loop-drop", Quantity::voltage, 0.30, true, "charging feed and return together",
         "sum of the two good-practice targets, from memory"},
        {"cranking-feed-drop", Quantity::voltage, 0.50, true, "battery + to starter while cranking",
         "starter circuit test limits of workshop manuals (feed 0.5 V)"},
        {"cranking-return-drop", Quantity::voltage, 0.30, true, "starter return to battery - while cranking",
         "starter circuit test limits of workshop manuals (return 0.3 V)"},
        {"cranking-loop-drop", Quantity::voltage, 0.80, true, "starter feed and return together",
         "starter circuit test limits of workshop manuals (total 0.8 V)"},
        {"critical-drop", Quantity::fraction, 0.03, false,
         "loop drop of a critical consumer over nominal volts", "ABYC E-11 / ISO 10133, 3 %"},
        {"consumer-drop", Quantity::fraction, 0.10, false,
         "loop drop of any other consumer over nominal volts", "ABYC E-11 / ISO 10133, 10 %, from memory"},
        {"mass-shift", Quantity::voltage, 0.10, true, "volts between two masses while charging",
         "common practice, no source"},
        {"mass-shift-cranking", Quantity::voltage, 0.50, true, "volts between two masses while cranking",
         "common practice, no source"},
        {"incidental-current", Quantity::current, 5, false,
         "current through a path nobody meant to carry any", "common practice, no source"},
        {"unprotected-length", Quantity::length, 0.200, false,
         "bare cable between a source and its fuse-link (vehicle)",
         "ISO 10133:2012 clause 8, 200 mm, from memory"},
        {"unprotected-length-boat", Quantity::length, 0.178, false,
         "bare cable between a source and its fuse-link (boat)", "ABYC E-11, 7 in"},
        {"unprotected-length-sheathed", Quantity::length, 1.829, false,
         "cable in its own sheath from the battery terminal to its fuse-link", "ABYC E-11, 72 in"},
        {"lugs-per-stud", Quantity::pure_number, 4, false, "most lugs on one stud",
         "ABYC E-10 10.8.4 and E-11"},
        {"standby-current", Quantity::current, 0.05, false, "battery drain with the key off",
         "common practice, no source"},
    };
    return rows;
}

LimitInForce limit_in_force(const Harness& harness, std::string_view name) {
    for (const Limit& limit : harness.limits)
        if (limit.name == name)
            return {
                .value = limit.value.value, .source = "this file, limit " + limit.name, .from_file = true};
    for (const LimitRow& row : limit_rows())
        if (row.name == name) {
            const double scale = row.scales_with_voltage ? harness.nominal_v.value / 12.0 : 1.0;
            return {.value = row.value * scale, .source = std::string(row.source), .from_file = false};
        }
    throw std::logic_error("no such limit: " + std::string(name));
}

} // namespace stoutloom::model

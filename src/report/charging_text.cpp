// The report's tables of charging and of the batteries' balance: as built and at worst, side by side.
#include "check/balance.h"
#include "check/charging.h"
#include "report/text_tables.h"
#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace stoutloom::report {
namespace {

using base::shown_down;
using base::shown_up;

std::string volts(double voltage_v) {
    return std::isfinite(voltage_v) ? shown_down(voltage_v, 2, "V") : "floating";
}

std::string amps_in(double net_a) {
    if (std::abs(net_a) < 0.0005)
        return "0 A";
    return (net_a > 0 ? "+" : "") + shown_down(net_a, std::abs(net_a) < 1 ? 3 : 1, "A");
}

std::string time_up(double time_s) {
    if (time_s < 120)
        return shown_up(time_s, 0, "s");
    return time_s < 7200 ? shown_up(time_s / 60, 0, "min") : shown_up(time_s / 3600, 1, "h");
}

std::string what_follows(const model::Harness& harness, const check::BatteryBalance& balance) {
    if (balance.hours_to_half)
        return *balance.hours_to_half > 0
                   ? "half empty in " +
                         shown_down(*balance.hours_to_half, *balance.hours_to_half < 100 ? 1 : 0, "h")
                   : "under half already";
    if (!(balance.taken_ah > 0))
        return {};
    std::string words = fmt::format("takes {}", shown_up(balance.taken_ah, 2, "Ah"));
    words += balance.recovery_idle_s ? ", back after " + time_up(*balance.recovery_idle_s) + " of idling"
                                     : ", never back at idle";
    if (balance.recovery_best_s)
        words +=
            fmt::format(", {} in {}", time_up(*balance.recovery_best_s), harness.duty(*balance.best_duty).id);
    return words;
}

} // namespace

std::string charging_table(const Checked& checked) {
    const model::Harness& harness = *checked.harness;
    const std::vector<check::Charging> nominal = check::charging(*checked.facts);
    std::vector<check::Charging> worst;
    for (const check::Facts* facts : check::worst_cases(*checked.facts))
        for (check::Charging& told : check::charging(*facts))
            worst.push_back(std::move(told));
    Table table({{"unit"},
                 {"duty"},
                 {"gives", true},
                 {"could", true},
                 {"set point", true},
                 {"senses at"},
                 {"own stud", true},
                 {"battery", true},
                 {"gets", true},
                 {"at worst", true}});
    for (const check::Charging& told : nominal) {
        std::optional<double> least_v;
        for (const check::Charging& other : worst)
            if (other.unit == told.unit && other.duty == told.duty && other.battery)
                least_v = std::min(other.battery_v, least_v.value_or(other.battery_v));
        table.row({harness.device(told.unit).id, harness.duty(told.duty).id, shown_up(told.output_a, 1, "A"),
                   shown_down(told.ceiling_a, 0, "A"), shown_down(told.set_point_v, 2, "V"),
                   told.remote_sense ? told.senses_at : "its own stud", volts(told.own_v),
                   told.battery ? harness.device(*told.battery).id : "none",
                   told.battery ? volts(told.battery_v) : "-", least_v ? volts(*least_v) : "-"});
        if (told.shaft_rpm)
            table.remark(fmt::format("shaft {}", shown_up(*told.shaft_rpm, 0, "rpm")));
    }
    return table.empty() ? std::string() : table.text("  ");
}

std::string balance_table(const Checked& checked) {
    const model::Harness& harness = *checked.harness;
    const std::vector<check::BatteryBalance> nominal = check::battery_balances(*checked.facts);
    std::vector<check::BatteryBalance> worst;
    for (const check::Facts* facts : check::worst_cases(*checked.facts))
        for (const check::BatteryBalance& told : check::battery_balances(*facts))
            worst.push_back(told);
    Table table({{"battery"}, {"duty"}, {"net", true}, {"at worst", true}, {"what follows (as built)"}});
    for (const check::BatteryBalance& told : nominal) {
        std::optional<double> least_a;
        for (const check::BatteryBalance& other : worst)
            if (other.battery == told.battery && other.duty == told.duty)
                least_a = std::min(other.net_a, least_a.value_or(other.net_a));
        table.row({harness.device(told.battery).id, harness.duty(told.duty).id, amps_in(told.net_a),
                   least_a ? amps_in(*least_a) : "-", what_follows(harness, told)});
    }
    return table.empty() ? std::string() : table.text("  ");
}

} // namespace stoutloom::report

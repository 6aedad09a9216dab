// The report's pages of what goes wrong: each single failure by its consequences, joints gone dirty, short
// circuits. Everything is told by check and solve; here it is put into lines.
#include "check/faults.h"
#include "report/text_tables.h"
#include "report/words.h"
#include "solve/shorts.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace stoutloom::report {
namespace {

using base::shown_down;
using base::shown_up;

constexpr std::size_t page_width = 100;

std::string_view grave_word(check::Grave grave) {
    switch (grave) {
    case check::Grave::burns:
        return "HARM: ";
    case check::Grave::told:
        return "take care: ";
    case check::Grave::nothing:
        break;
    }
    return "";
}

auto shorts_of(const Checked& checked) {
    return checked.facts != nullptr && checked.facts->shorts ? *checked.facts->shorts
                                                             : solve::short_currents(*checked.harness);
}

std::string amps(double current_a, bool up) {
    return up ? shown_up(current_a, 0, "A") : shown_down(current_a, 0, "A");
}

} // namespace

std::string fault_list(const Checked& checked) {
    const auto& faults = checked.facts->faults;
    if (!faults || faults->asked.empty())
        return {};
    const auto harmful = std::count_if(faults->told.begin(), faults->told.end(),
                                       [](const auto& told) { return told.grave == check::Grave::burns; });
    std::string all = wrapped(fmt::format("{} parts and joints opened in turn in every duty, as built and at "
                                          "worst, and the rules asked again: "
                                          "{}.",
                                          faults->asked.size(),
                                          harmful == 0   ? "none of them does harm"
                                          : harmful == 1 ? "one line of them does harm"
                                                         : fmt::format("{} lines of them do harm", harmful)),
                              page_width, "  ", "  ");
    for (const check::FaultTold& told : faults->told) {
        std::vector<std::string> words = check::condensed(told);
        if (!told.like.empty()) {
            check::FaultTold rest = told;
            std::erase_if(rest.consequences,
                          [](const auto& one) { return one.weight != check::Grave::nothing; });
            words = check::condensed(rest);
            words.insert(words.begin(), fmt::format("the harm that the loss of {} alone does", told.like));
        }
        all += wrapped(fmt::format("{}{}: {}", grave_word(told.grave), told.what, joined(words, "; ")),
                       page_width, "  - ", "    ");
    }
    if (!faults->harmless.empty())
        all += wrapped("nothing out of its limits and nothing dead without " + joined(faults->harmless, ", "),
                       page_width, "  - ", "    ");
    for (const std::string& what : faults->unsolved)
        all += wrapped("CANNOT TELL: " + what, page_width, "  - ", "    ");
    return all;
}

namespace {

/// The cable whose end heats, or what else does.
std::string dirty_name(const check::DirtyTold& joint) {
    switch (joint.kind) {
    case check::DirtyKind::lug:
        return joint.cable;
    case check::DirtyKind::nut:
        return fmt::format("nut loose, {} most", joint.cable);
    case check::DirtyKind::seat:
        return "seat on its mass";
    case check::DirtyKind::metal:
        return "metal under the stud";
    }
    return joint.cable;
}

} // namespace

std::string dirty_joint_table(const Checked& checked) {
    if (!checked.facts->faults)
        return {};
    constexpr std::size_t most = 8;
    const std::vector<check::DirtyTold> told = check::dirty_joints_of(*checked.facts);
    Table table({{"cable"},
                 {"joint at"},
                 {"duty"},
                 {"current", true},
                 {"heat", true},
                 {"clean", true},
                 {"meter shows", true},
                 {"clean", true}});
    for (std::size_t i = 0; i < std::min(most, told.size()); ++i)
        table.row({dirty_name(told[i]), told[i].at, told[i].duty, amps(told[i].current_a, true),
                   shown_up(told[i].heat_w, 1, "W"), shown_up(told[i].healthy_heat_w, 1, "W"),
                   shown_up(told[i].meter_v * 1000, 0, "mV"),
                   shown_up(told[i].healthy_meter_v * 1000, 0, "mV")});
    if (table.empty())
        return {};
    if (told.size() > most)
        table.remark(fmt::format("and {} more, none hotter", told.size() - most));
    return table.text("  ");
}

/// One line for a stud and a source: the greatest, and by what.
std::string reach_table(const Checked& checked) {
    const model::Harness& harness = *checked.harness;
    const auto shorts = shorts_of(checked);
    if (!shorts)
        return {};
    struct Row {
        double greatest_a = 0;
        std::vector<std::string> parts;
    };
    std::map<std::pair<model::TerminalIndex, model::DeviceIndex>, Row> rows;
    for (const solve::ReachShort& one : shorts->in_reach) {
        Row& row = rows[{one.between.stud, one.source}];
        row.greatest_a = std::max(row.greatest_a, one.greatest_a);
        const std::string part = one.between.path ? harness.incidentals[model::at(*one.between.path)].id
                                                  : harness.terminal(one.between.part).address;
        if (std::find(row.parts.begin(), row.parts.end(), part) == row.parts.end())
            row.parts.push_back(part);
    }
    Table table({{"stud"}, {"source"}, {"greatest", true}, {"against"}});
    for (const auto& [key, row] : rows)
        table.row({harness.terminal(key.first).address, harness.device(key.second).id,
                   amps(row.greatest_a, true), joined(row.parts, " ")});
    return table.empty() ? std::string() : table.text("  ");
}

std::string short_table(const Checked& checked) {
    const auto shorts = shorts_of(checked);
    if (!shorts)
        return wrapped("cannot tell: " + shorts.error().message, page_width, "  ", "  ");
    struct Row {
        double at_a[3] = {0, 0, 0};
        double least_a = 0;
    };
    std::map<std::pair<model::CableIndex, model::DeviceIndex>, Row> rows;
    std::map<model::DeviceIndex, double> units;
    for (const solve::ShortCurrent& one : shorts->cables) {
        if (checked.harness->device(one.source).kind() == model::DeviceKind::generator) {
            units[one.source] = std::max(units[one.source], one.greatest_a);
            continue;
        }
        Row& row = rows[{one.cable, one.source}];
        row.at_a[static_cast<std::size_t>(one.place)] = one.greatest_a;
        row.least_a = row.least_a > 0 ? std::min(row.least_a, one.least_a) : one.least_a;
    }
    Table table({{"cable"},
                 {"source"},
                 {"first end", true},
                 {"middle", true},
                 {"second end", true},
                 {"least", true}});
    for (const auto& [key, row] : rows)
        table.row({checked.harness->cable(key.first).id, checked.harness->device(key.second).id,
                   amps(row.at_a[0], true), amps(row.at_a[1], true), amps(row.at_a[2], true),
                   amps(row.least_a, false)});
    for (const auto& [unit, current_a] : units)
        table.remark(fmt::format("{} alone gives at most {} into a short anywhere",
                                 checked.harness->device(unit).id, amps(current_a, true)));
    return table.empty() ? std::string() : table.text("  ");
}

} // namespace stoutloom::report

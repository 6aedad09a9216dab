// Terminals: the file's, the usual ones where it gives none, and the ones without a stud (a mass's metal, a
// seat).
#include "read/making.h"

#include "base/fastener.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace stoutloom::read {
namespace {

using model::DeviceKind;
using model::Role;

// DIN 72552 designations, and the plain signs on a battery.
struct Designation {
    std::string_view id;
    Role role;
};
constexpr std::array designations = {
    Designation{"B+", Role::positive}, Designation{"30", Role::positive}, Designation{"+", Role::positive},
    Designation{"B-", Role::negative}, Designation{"31", Role::negative}, Designation{"-", Role::negative},
    Designation{"D+", Role::excite},   Designation{"L", Role::excite},    Designation{"61", Role::excite},
    Designation{"S", Role::sense},     Designation{"W", Role::signal},    Designation{"50", Role::control},
    Designation{"15", Role::control},  Designation{"85", Role::control},  Designation{"86", Role::control},
};

// Parts with poles take roles from designations; contacts, links and metal pass current through.
bool has_poles(DeviceKind kind) {
    return kind == DeviceKind::battery || kind == DeviceKind::generator || kind == DeviceKind::starter ||
           kind == DeviceKind::consumer;
}

std::optional<Role> designated(DeviceKind kind, std::string_view id) {
    const auto found = std::find_if(designations.begin(), designations.end(),
                                    [&](const Designation& d) { return d.id == id; });
    if (has_poles(kind))
        return found == designations.end() ? std::nullopt : std::optional(found->role);
    if (kind == DeviceKind::relay && (id == "85" || id == "86"))
        return Role::control;
    return Role::through;
}

base::Fastener fastener(std::string_view name) {
    if (name == "auto")
        return base::fastener_to_choose();
    return base::fastener_by_name(name).value_or(base::Fastener{});
}

struct Usual {
    std::string_view id, stud;
};
std::vector<Usual> usual_terminals(const model::Device& device) {
    switch (device.kind()) {
    case DeviceKind::battery:
        return {{"+", "post"}, {"-", "post"}};
    case DeviceKind::generator:
        return {};
    case DeviceKind::starter:
        if (std::get<model::Starter>(device.data).case_return)
            return {{"30", "M8"}, {"50", "blade 6.3"}};
        return {{"30", "M8"}, {"50", "blade 6.3"}, {"31", "M8"}};
    case DeviceKind::consumer:
        if (std::get<model::Consumer>(device.data).case_return)
            return {{"+", "blade 6.3"}};
        return {{"+", "blade 6.3"}, {"-", "blade 6.3"}};
    case DeviceKind::relay:
        return {{"30", "blade 6.3"}, {"87", "blade 6.3"}, {"85", "blade 6.3"}, {"86", "blade 6.3"}};
    case DeviceKind::fuse_link: {
        const std::string& type = std::get<model::FuseLink>(device.data).type;
        std::string_view stud = "M8";
        if (type == "SF30")
            stud = "M5";
        if (type == "C" || type == "F")
            stud = type == "C" ? "blade 6.3" : "blade 2.8";
        if (type == "E")
            stud = "blade 9.5";
        if (type == "link-wire")
            stud = "splice";
        return {{"a", stud}, {"b", stud}};
    }
    case DeviceKind::switch_:
    case DeviceKind::shunt:
        return {{"a", "M8"}, {"b", "M8"}};
    case DeviceKind::post:
    case DeviceKind::mass:
        return {};
    }
    return {};
}

class Terminals {
  public:
    Terminals(Making& making, const Node& node, model::DeviceIndex device)
        : making_(making), node_(node), index_(device), given_(making.children(node, "terminal")) {}

    void run() {
        implicit();
        if (given_.empty())
            usual();
        else
            for (const Node* one : given_)
                from_file(*one);
        if (std::all_of(given_.begin(), given_.end(),
                        [](const Node* one) { return one->given("id") != nullptr; }))
            needed();
    }

  private:
    model::Device& device() { return making_.harness.devices[model::at(index_)]; }

    void add(model::Terminal terminal) {
        terminal.device = index_;
        const auto place = static_cast<model::TerminalIndex>(making_.harness.terminals.size());
        making_.terminals.emplace(terminal.address, place);
        device().terminals.push_back(place);
        making_.harness.terminals.push_back(std::move(terminal));
    }

    model::Terminal plain(Usual named) {
        const auto [id, stud] = named;
        model::Terminal terminal;
        terminal.id = std::string(id);
        terminal.address = id.empty() ? device().id : fmt::format("{}.{}", device().id, id);
        terminal.stud = fastener(stud);
        terminal.role = designated(device().kind(), id).value_or(Role::through);
        terminal.span = node_.tag;
        if (const auto* mass = std::get_if<model::Mass>(&device().data))
            terminal.steel_seat = !mass->aluminium;
        return terminal;
    }

    /// Where the stud stands in the file, and what `auto` may not be.
    void note_stud(const Node& node, model::Terminal& terminal) {
        const GivenAttribute* stud = node.given("stud");
        if (stud == nullptr)
            return;
        terminal.stud_span = stud->span;
        if (!base::is_to_choose(terminal.stud))
            return;
        if (device().kind() == DeviceKind::fuse_link)
            making_.complaints.meaning(
                "auto-stud", stud->span,
                fmt::format("the studs of fuse-link \"{}\" come with its type", device().id),
                "write their size, or leave the terminals out");
        else if (node.mentioned("torque") != nullptr)
            making_.complaints.meaning(
                "auto-stud", stud->span,
                fmt::format("{} has a torque of its own, and that belongs to one size", terminal.address),
                "write the stud's size, or leave the torque to the table");
    }

    void implicit() {
        const bool mass = device().kind() == DeviceKind::mass;
        if (!mass && !device().seat)
            return;
        model::Terminal terminal = plain({.id = mass ? "" : "case", .stud = "splice"});
        terminal.implicit = true;
        if (!mass)
            terminal.role = Role::negative;
        add(std::move(terminal));
    }

    void usual() {
        if (device().kind() == DeviceKind::post) {
            if (node_.mentioned("stud") == nullptr)
                making_.assume(device().id, "stud M8", "no stud is given");
            model::Terminal terminal = plain({.id = "", .stud = node_.text("stud", "M8")});
            note_stud(node_, terminal);
            add(std::move(terminal));
            return;
        }
        std::string told;
        for (const Usual& one : usual_terminals(device())) {
            model::Terminal terminal = plain(one);
            // Control leads are often left out of a heavy-current drawing: nothing need be fixed there.
            terminal.spare = terminal.role == Role::control;
            told += fmt::format("{}{} {}", told.empty() ? "" : ", ", one.id, one.stud);
            add(std::move(terminal));
        }
        if (!told.empty())
            making_.assume(device().id, "terminals " + told, "the file gives none");
    }

    void from_file(const Node& one) {
        model::Terminal terminal = plain({.id = one.text("id"), .stud = one.text("stud")});
        terminal.span = one.tag;
        if (terminal.id.empty())
            return;
        if (const GivenAttribute* role = one.given("role"); role != nullptr) {
            terminal.role = word_of(one, "role", Role::through);
        } else if (one.mentioned("role") == nullptr && !designated(device().kind(), terminal.id)) {
            making_.complaints.meaning(
                "role", place_of(one, "id"),
                fmt::format("the designation \"{}\" does not say what the terminal of {} is for", terminal.id,
                            device().id),
                "add role=\"positive\", negative, excite, sense, control or signal");
        }
        terminal.booted = one.yes("booted");
        terminal.near_ground = one.yes("near-ground");
        terminal.spare = one.yes("spare");
        terminal.steel_seat = one.is("seat", "steel", terminal.steel_seat);
        terminal.plated_seat = one.given("seat") != nullptr && !terminal.steel_seat;
        terminal.torque_newton_m = making_.written(one, "torque");
        note_stud(one, terminal);
        if (device().seat && terminal.id == "case")
            making_.complaints.meaning(
                "duplicate-id", place_of(one, "id"),
                fmt::format("\"case\" is the seat of {} on its mass already", device().id),
                "give the terminal another id");
        else if (making_.terminals.contains(terminal.address))
            return; // given twice: told by check_unique_ids
        add(std::move(terminal));
    }

    bool has(Role role) {
        return std::any_of(device().terminals.begin(), device().terminals.end(),
                           [&](model::TerminalIndex t) { return making_.harness.terminal(t).role == role; });
    }
    bool has(std::string_view id) {
        return std::any_of(device().terminals.begin(), device().terminals.end(),
                           [&](model::TerminalIndex t) { return making_.harness.terminal(t).id == id; });
    }
    void lacks(std::string what, std::string mend) {
        making_.complaints.meaning("missing-terminal", node_.name,
                                   fmt::format("{} \"{}\" has no {}", node_.row->name, device().id, what),
                                   std::move(mend));
    }

    void needed() {
        switch (device().kind()) {
        case DeviceKind::battery:
        case DeviceKind::generator:
        case DeviceKind::starter:
        case DeviceKind::consumer:
            poles();
            break;
        case DeviceKind::relay:
            for (const std::string_view id : {"30", "87", "85", "86"})
                if (!has(id))
                    lacks(fmt::format("terminal {}", id),
                          fmt::format("add <terminal id=\"{}\" stud=\"blade 6.3\"/>", id));
            break;
        case DeviceKind::switch_:
        case DeviceKind::fuse_link:
        case DeviceKind::shunt:
            if (!given_.empty() && given_.size() != 2)
                making_.complaints.meaning(
                    "missing-terminal", node_.name,
                    fmt::format("{} \"{}\" has {} terminals", node_.row->name, device().id, given_.size()),
                    "give it two: current goes in at one and out at the other");
            break;
        case DeviceKind::post:
            if (!given_.empty() && node_.mentioned("stud") != nullptr)
                making_.complaints.meaning(
                    "stud", place_of(node_, "stud"),
                    fmt::format("post \"{}\" has both a stud and terminals", device().id),
                    "leave the stud to each terminal");
            break;
        case DeviceKind::mass:
            break;
        }
    }

    void poles() {
        if (!has(Role::positive))
            lacks("positive terminal",
                  "add <terminal id=\"+\" stud=\"M8\"/>, or give a terminal role=\"positive\"");
        const bool by_wire = device().kind() == DeviceKind::battery || returns_by_wire();
        if (by_wire && !has(Role::negative))
            lacks("negative terminal",
                  "add <terminal id=\"-\" stud=\"M8\"/>, or give a terminal role=\"negative\"");
    }
    bool returns_by_wire() {
        if (const auto* generator = std::get_if<model::Generator>(&device().data))
            return !generator->case_return;
        if (const auto* starter = std::get_if<model::Starter>(&device().data))
            return !starter->case_return;
        return !std::get<model::Consumer>(device().data).case_return;
    }

    Making& making_;
    const Node& node_;
    model::DeviceIndex index_;
    std::vector<const Node*> given_;
};

} // namespace

void make_terminals(Making& making, const Node& node, model::DeviceIndex device) {
    Terminals(making, node, device).run();
}

} // namespace stoutloom::read

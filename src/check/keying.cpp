#include "check/keying.h"

#include "check/paths.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

namespace stoutloom::check {
namespace {

using base::FastenerKind;
using model::at;
using model::CableIndex;
using model::DeviceKind;
using model::Harness;
using model::TerminalIndex;

const model::CableEnd& end_of(const Harness& harness, CableIndex cable, int end) {
    const model::Cable& about = harness.cable(cable);
    return end == 0 ? about.from : about.to;
}

std::vector<LooseEnd> ends_at(const Harness& harness, const std::vector<TerminalIndex>& studs) {
    const std::set<TerminalIndex> within(studs.begin(), studs.end());
    std::vector<LooseEnd> ends;
    for (std::size_t c = 0; c < harness.cables.size(); ++c)
        for (const int end : {0, 1})
            for (int run = 0; run < harness.cables[c].parallel; ++run)
                if (within.contains(end_of(harness, static_cast<CableIndex>(c), end).at))
                    ends.push_back({.cable = static_cast<CableIndex>(c), .end = end, .run = run});
    return ends;
}

// In a moulded connector a blade fits only where it belongs.
bool in_connector(const Harness& harness, TerminalIndex terminal) {
    const model::Terminal& about = harness.terminal(terminal);
    const DeviceKind kind = harness.device(about.device).kind();
    return about.stud.kind == FastenerKind::plug || about.stud.kind == FastenerKind::splice ||
           (about.stud.kind == FastenerKind::blade &&
            (kind == DeviceKind::consumer || kind == DeviceKind::relay));
}

bool fits(const Harness& harness, const LooseEnd& end, TerminalIndex stud) {
    const model::CableEnd& about = end_of(harness, end.cable, end.end);
    if (about.at == stud)
        return true; // a lug that does not fit its own stud is another rule's business
    if (in_connector(harness, about.at) || in_connector(harness, stud))
        return false;
    const model::Terminal &here = harness.terminal(stud), &home = harness.terminal(about.at);
    if (about.lug.kind == FastenerKind::taper_post && here.stud.kind == FastenerKind::taper_post)
        return here.role == home.role;
    return base::can_go_on(about.lug, here.stud);
}

// Ends may be exchanged when their far ends are one node and their copper is alike; the two ends of a cable
// that lies wholly within the landing may be exchanged with each other.
std::vector<int> classes_of(const Harness& harness, const std::vector<LooseEnd>& ends,
                            const std::vector<int>& nodes, const std::set<TerminalIndex>& within) {
    using Key = std::tuple<int, int, double>;
    std::map<Key, int> name;
    std::vector<int> classes;
    for (const LooseEnd& end : ends) {
        const TerminalIndex far = end_of(harness, end.cable, 1 - end.end).at;
        const Key key = within.contains(far)
                            ? Key(-1, static_cast<int>(at(end.cable)), 0)
                            : Key(nodes[at(far)], 0, harness.cable(end.cable).section_mm2.value);
        classes.push_back(name.try_emplace(key, static_cast<int>(name.size())).first->second);
    }
    return classes;
}

bool conducts_alike_both_ways(const model::Device& device) {
    if (device.kind() != DeviceKind::consumer)
        return true; // a contact
    const auto symbol = std::get<model::Consumer>(device.data).symbol;
    return symbol == model::ConsumerSymbol::lamp || symbol == model::ConsumerSymbol::heater;
}

void add_mirrors(const Harness& harness, const std::map<TerminalIndex, int>& local_node, Puzzle& puzzle) {
    const auto add = [&](TerminalIndex one, TerminalIndex other) {
        const auto a = local_node.find(one), b = local_node.find(other);
        if (a != local_node.end() && b != local_node.end())
            puzzle.mirrors.emplace_back(a->second, b->second);
    };
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        const model::Device& device = harness.devices[d];
        const auto index = static_cast<model::DeviceIndex>(d);
        if (!conducts_alike_both_ways(device))
            continue;
        if (const auto contact = contact_of(harness, index))
            add(contact->first, contact->second);
        const auto named = [&](std::string_view id) {
            return model::find_terminal(harness, device.id + "." + std::string(id));
        };
        if (device.kind() == DeviceKind::relay && named("85") && named("86"))
            add(*named("85"), *named("86"));
        if (device.kind() == DeviceKind::consumer) {
            const auto plus = model::terminal_of(harness, index, model::Role::positive);
            const auto minus = model::terminal_of(harness, index, model::Role::negative);
            if (plus && minus && !harness.terminal(*minus).implicit)
                add(*plus, *minus);
        }
    }
}

std::string sentence_of(const Harness& harness, const std::vector<Placed>& moved) {
    std::string text;
    for (const Placed& placed : moved) {
        if (!text.empty())
            text += &placed == &moved.back() ? " and " : ", ";
        text += fmt::format("{} on {}", harness.cable(placed.end.cable).id,
                            harness.terminal(placed.stud).address);
    }
    return text;
}

bool has_sizes_to_choose(const Harness& harness, const LandingVerdict& landing) {
    return std::any_of(landing.studs.begin(), landing.studs.end(),
                       [&](TerminalIndex t) { return base::is_to_choose(harness.terminal(t).stud); }) ||
           std::any_of(landing.ends.begin(), landing.ends.end(), [&](const LooseEnd& end) {
               return base::is_to_choose(end_of(harness, end.cable, end.end).lug);
           });
}

void judge(const Harness& harness, LandingVerdict& landing) {
    landing.open = has_sizes_to_choose(harness, landing);
    landing.keyed = !landing.open;
    if (landing.open)
        return;
    const Puzzle puzzle = puzzle_of(harness, landing);
    const Wrongs wrongs = wrong_assemblies(puzzle);
    landing.keyed = wrongs.completing.empty();
    for (const Assembly& assembly : wrongs.completing) {
        WrongAssembly wrong;
        wrong.completes = true;
        for (std::size_t e = 0; e < assembly.size(); ++e)
            if (assembly[e] != puzzle.home[e])
                wrong.moved.push_back(
                    {landing.ends[e], landing.studs[static_cast<std::size_t>(assembly[e])]});
        wrong.sentence = sentence_of(harness, wrong.moved);
        landing.wrong.push_back(std::move(wrong));
    }
    for (const auto& [end, stud] : wrongs.self_revealing) {
        WrongAssembly wrong;
        wrong.moved.push_back(
            {landing.ends[static_cast<std::size_t>(end)], landing.studs[static_cast<std::size_t>(stud)]});
        wrong.sentence = sentence_of(harness, wrong.moved);
        landing.wrong.push_back(std::move(wrong));
    }
}

void add_assumptions(const Harness& harness, LandingVerdict& landing) {
    const auto any = [&](auto&& test) {
        return std::any_of(landing.studs.begin(), landing.studs.end(), test);
    };
    if (any([&](TerminalIndex t) { return harness.terminal(t).stud.kind == FastenerKind::taper_post; }))
        landing.assumptions.emplace_back(
            "battery posts differ by polarity, so a clamp fits only its own post");
    if (any([&](TerminalIndex t) { return in_connector(harness, t); }))
        landing.assumptions.emplace_back(
            "plugs, splices and the blades of consumers and relays fit only their own place");
}

// At least two nodes and two lugs, or nothing can be mixed up.
bool worth_judging(const LandingVerdict& landing, const std::vector<int>& nodes) {
    std::set<int> apart;
    for (const TerminalIndex t : landing.studs)
        apart.insert(nodes[at(t)]);
    return apart.size() >= 2 && landing.ends.size() >= 2;
}

} // namespace

Puzzle puzzle_of(const Harness& harness, const LandingVerdict& landing) {
    const std::vector<int> nodes = nodes_of(harness);
    const std::set<TerminalIndex> within(landing.studs.begin(), landing.studs.end());
    Puzzle puzzle;
    puzzle.class_of = classes_of(harness, landing.ends, nodes, within);
    std::map<int, int> local;
    std::map<TerminalIndex, int> local_node, place;
    for (const TerminalIndex t : landing.studs) {
        place.emplace(t, static_cast<int>(place.size()));
        local_node[t] = local.try_emplace(nodes[at(t)], static_cast<int>(local.size())).first->second;
        puzzle.node.push_back(local_node[t]);
    }
    std::vector<int> belong(landing.studs.size(), 0);
    for (const LooseEnd& end : landing.ends) {
        puzzle.home.push_back(place.at(end_of(harness, end.cable, end.end).at));
        ++belong[static_cast<std::size_t>(puzzle.home.back())];
        std::vector<bool>& row = puzzle.fits.emplace_back();
        for (const TerminalIndex t : landing.studs)
            row.push_back(fits(harness, end, t));
    }
    const int usual = static_cast<int>(model::limit_in_force(harness, "lugs-per-stud").value);
    for (std::size_t s = 0; s < landing.studs.size(); ++s) {
        const model::Terminal& stud = harness.terminal(landing.studs[s]);
        const bool bolted =
            stud.stud.kind == FastenerKind::stud || stud.stud.kind == FastenerKind::taper_post;
        puzzle.may_stay_bare.push_back(stud.spare || belong[s] == 0);
        puzzle.most.push_back(std::max(bolted ? usual : 1, belong[s]));
    }
    add_mirrors(harness, local_node, puzzle);
    return puzzle;
}

std::vector<LandingVerdict> judge_landings(const Harness& harness) {
    const std::vector<int> nodes = nodes_of(harness);
    std::vector<LandingVerdict> landings;
    const auto add = [&](const std::string& id, std::vector<TerminalIndex> studs, base::Span span) {
        LandingVerdict landing;
        landing.id = id;
        landing.span = span;
        landing.studs = std::move(studs);
        std::erase_if(landing.studs, [&](TerminalIndex t) { return harness.terminal(t).implicit; });
        landing.ends = ends_at(harness, landing.studs);
        if (!worth_judging(landing, nodes))
            return;
        judge(harness, landing);
        add_assumptions(harness, landing);
        landings.push_back(std::move(landing));
    };
    for (const model::Device& device : harness.devices)
        add(device.id, device.terminals, device.span);
    for (const model::Landing& landing : harness.landings)
        add(landing.id, landing.terminals, landing.span);
    return landings;
}

} // namespace stoutloom::check

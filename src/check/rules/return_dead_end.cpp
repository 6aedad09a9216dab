// return-dead-end. Does every ground cable and strap lead to something that returns through it?
#include "check/subjects.h"
#include "check/words.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::check {
namespace {

using model::CableIndex;

std::vector<CableIndex> return_cables(const Facts& facts) {
    std::vector<CableIndex> cables;
    for (std::size_t c = 0; c < facts.harness->cables.size(); ++c)
        if (facts.topology.side_of_cable[c] == Side::back)
            cables.push_back(static_cast<CableIndex>(c));
    return cables;
}

std::vector<std::string> subjects(const Facts& facts) {
    std::vector<std::string> ids;
    for (const CableIndex cable : return_cables(facts))
        ids.push_back(facts.harness->cable(cable).id);
    return ids;
}

// Nodes where current comes from or goes to: any terminal of a source, a starter, a consumer, a coil.
std::vector<bool> used_nodes(const Facts& facts) {
    std::vector<bool> used(static_cast<std::size_t>(facts.topology.node_count), false);
    for (std::size_t t = 0; t < facts.harness->terminals.size(); ++t) {
        const model::Terminal& terminal = facts.harness->terminals[t];
        switch (facts.harness->device(terminal.device).kind()) {
        case model::DeviceKind::battery:
        case model::DeviceKind::generator:
        case model::DeviceKind::starter:
        case model::DeviceKind::consumer:
            used[static_cast<std::size_t>(facts.topology.node_of_terminal[t])] = true;
            break;
        case model::DeviceKind::relay:
            if (terminal.role == model::Role::control)
                used[static_cast<std::size_t>(facts.topology.node_of_terminal[t])] = true;
            break;
        default:
            break;
        }
    }
    return used;
}

struct DeadEnd {
    model::TerminalIndex at{};
    std::vector<std::string> incidentals; // what alone joins the dead metal to the rest
};

// The end beyond which nothing ever takes or gives current, if there is one.
std::optional<DeadEnd> dead_end(const Facts& facts, CableIndex cable, const std::vector<bool>& used) {
    const model::Cable& about = facts.harness->cable(cable);
    for (const model::CableEnd* end : {&about.from, &about.to}) {
        const auto beyond = reached_from(facts.topology, facts.topology.node(end->at),
                                         [&](const Link& link) { return link.cable != cable; });
        bool serves = false;
        for (std::size_t node = 0; node < beyond.size(); ++node)
            serves = serves || (beyond[node] && used[node]);
        if (serves)
            continue;
        DeadEnd found{.at = end->at, .incidentals = {}};
        for (const model::Incidental& path : facts.harness->incidentals)
            if (beyond[static_cast<std::size_t>(facts.topology.node(path.from))] !=
                beyond[static_cast<std::size_t>(facts.topology.node(path.to))])
                found.incidentals.push_back(
                    path.label.empty() ? path.id : fmt::format("{} \"{}\"", path.id, path.label));
        return found;
    }
    return std::nullopt;
}

void judge(const Facts& facts, Judgements& judgements) {
    const std::vector<bool> used = used_nodes(facts);
    for (const CableIndex index : return_cables(facts)) {
        const model::Cable& cable = facts.harness->cable(index);
        Judgement judgement = about(cable.id, cable.span, {});
        const auto dead = dead_end(facts, index, used);
        if (!dead) {
            judgement.message = fmt::format("{} lies on the way of some current", cable.id);
            judgements.passes(std::move(judgement));
            continue;
        }
        const model::Device& part = facts.harness->device(facts.harness->terminal(dead->at).device);
        judgement.subjects.push_back(part.id);
        judgement.message = fmt::format("{} ends on {}, where nothing returns", cable.id, named(part));
        if (!dead->incidentals.empty())
            judgement.message += fmt::format(
                ": that metal is joined to the rest by {} only, so the strap carries next to nothing",
                listed(dead->incidentals));
        judgement.cure = fmt::format("bolt {} to the metal the current really comes from", cable.id);
        judgements.fails(std::move(judgement),
                         dead->incidentals.empty() ? Severity::note : Severity::warning);
    }
}

} // namespace

extern const Rule rule_return_dead_end;
const Rule rule_return_dead_end{
    .slug = "return-dead-end",
    .usual = Severity::warning,
    .asks = "Does every ground cable and strap lead to something that returns through it?",
    .source = "common practice, no source: an added strap whose lug sits on a loose bracket changes nothing",
    .cure = "bolt the strap to the block, the shell or the unit itself",
    .explanation =
        R"(A strap helps only where current wants to go through it. Its lug often lands on a bracket, a cover or a plate
that is itself no longer bolted to the block: then the strap is as good as left off, and the old weak one goes on
carrying everything.
A return cable is a dead end when, without it, the metal at one of its ends is joined by cable, stud and contact
to no battery, unit, starter or consumer. It is a warning where some other path (a hinge, a bearing, a painted
bracket) does join that metal to the rest, since somebody meant it to help; otherwise a note, for a bonding lead
to bare metal is meant to carry nothing.
Example: strap from the body to a lifting bracket, bracket on the block by painted faces of 60 mohm only.
)",
    .subjects = subjects,
    .judge = judge,
};

} // namespace stoutloom::check

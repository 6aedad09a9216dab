#include "check/returns.h"

#include "check/subjects.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace stoutloom::check {
namespace {

using model::DeviceIndex;
using model::DeviceKind;
using model::Harness;
using model::TerminalIndex;

enum class Through { copper, mass, incidental };

/// One conductor with the current that flows along it.
struct Flow {
    std::size_t from, to; // points
    double current_a;
    Through through;
    std::optional<model::CableIndex> cable;
    std::optional<model::IncidentalIndex> incidental;
};

/// Points of the network finer than nodes: each stud of a mass apart from its metal.
class Flows {
  public:
    Flows(const Harness& harness, const solve::OperatingPoint& point) : harness_(harness), point_(point) {
        group_.resize(harness.terminals.size());
        std::iota(group_.begin(), group_.end(), std::size_t{0});
        for (const model::Device& device : harness.devices)
            if (device.kind() == DeviceKind::post)
                for (const TerminalIndex t : device.terminals)
                    group_[model::at(t)] = model::at(device.terminals.front());
        add_cables();
        add_contacts();
        add_masses();
    }
    std::size_t point(TerminalIndex t) const { return group_[model::at(t)]; }
    const std::vector<Flow>& all() const { return flows_; }

  private:
    void add(TerminalIndex from, TerminalIndex to, double current_a, Flow kind) {
        kind.from = point(current_a >= 0 ? from : to);
        kind.to = point(current_a >= 0 ? to : from);
        kind.current_a = std::abs(current_a);
        if (kind.from != kind.to && kind.current_a > 0)
            flows_.push_back(kind);
    }
    void add_cables() {
        for (std::size_t c = 0; c < harness_.cables.size(); ++c)
            add(harness_.cables[c].from.at, harness_.cables[c].to.at, point_.cables[c].current_a,
                {.from = 0,
                 .to = 0,
                 .current_a = 0,
                 .through = Through::copper,
                 .cable = static_cast<model::CableIndex>(c),
                 .incidental = std::nullopt});
        for (std::size_t p = 0; p < harness_.incidentals.size(); ++p)
            add(harness_.incidentals[p].from, harness_.incidentals[p].to, point_.incidental_a[p],
                {.from = 0,
                 .to = 0,
                 .current_a = 0,
                 .through = Through::incidental,
                 .cable = std::nullopt,
                 .incidental = static_cast<model::IncidentalIndex>(p)});
    }
    void add_contacts() {
        for (std::size_t d = 0; d < harness_.devices.size(); ++d)
            if (const auto contact = contact_of(harness_, static_cast<DeviceIndex>(d)))
                add(contact->first, contact->second, point_.devices[d].current_a,
                    {.from = 0,
                     .to = 0,
                     .current_a = 0,
                     .through = Through::copper,
                     .cable = std::nullopt,
                     .incidental = std::nullopt});
    }
    // What cables and paths bring to a stud goes on into the metal; a seat is part of the metal it stands on.
    void add_masses() {
        std::map<std::size_t, double> brought;
        for (const Flow& flow : flows_) {
            brought[flow.to] += flow.current_a;
            brought[flow.from] -= flow.current_a;
        }
        const Flow metal{.from = 0,
                         .to = 0,
                         .current_a = 0,
                         .through = Through::mass,
                         .cable = std::nullopt,
                         .incidental = std::nullopt};
        for (std::size_t d = 0; d < harness_.devices.size(); ++d) {
            const model::Device& device = harness_.devices[d];
            const auto index = static_cast<DeviceIndex>(d);
            if (device.kind() == DeviceKind::mass) {
                const TerminalIndex middle = model::metal_of(harness_, index);
                for (const TerminalIndex stud : device.terminals)
                    if (stud != middle && brought.contains(point(stud)))
                        add(stud, middle, brought[point(stud)], metal);
            } else if (device.seat) {
                const auto seat = model::terminal_of(harness_, index, model::Role::negative);
                const double back_a = device.kind() == DeviceKind::generator ? -point_.devices[d].current_a
                                                                             : point_.devices[d].current_a;
                if (seat && harness_.terminal(*seat).implicit)
                    add(*seat, model::metal_of(harness_, *device.seat), back_a, metal);
            }
        }
    }

    const Harness& harness_;
    const solve::OperatingPoint& point_;
    std::vector<std::size_t> group_;
    std::vector<Flow> flows_;
};

struct Carried {
    double share[3] = {0, 0, 0}; // by Through
    double sum() const { return share[0] + share[1] + share[2]; }
};

/// Follows one unit of current downstream (or upstream, for what a generator gets back) to where it ends.
class Follow {
  public:
    Follow(const Flows& flows, bool upstream) {
        for (const Flow& flow : flows.all()) {
            Flow turned = flow;
            if (upstream)
                std::swap(turned.from, turned.to);
            out_[turned.from].push_back(turned);
        }
    }
    void from(std::size_t start, ReturnShare& told, const std::vector<std::size_t>& ends) {
        std::map<std::size_t, Carried> waiting;
        waiting[start].share[0] = 1;
        for (const std::size_t point : order_from(start)) {
            const Carried here = waiting[point];
            const bool ends_here =
                std::find(ends.begin(), ends.end(), point) != ends.end() || out_[point].empty();
            if (ends_here) {
                told.copper_fraction += here.share[0];
                told.mass_fraction += here.share[1];
                told.incidental_fraction += here.share[2];
                continue;
            }
            double total_a = 0;
            for (const Flow& flow : out_[point])
                total_a += flow.current_a;
            for (const Flow& flow : out_[point])
                pass(here, flow, flow.current_a / total_a, waiting[flow.to], told);
        }
    }

  private:
    static void pass(const Carried& here, const Flow& flow, double fraction, Carried& next,
                     ReturnShare& told) {
        constexpr double worth_naming = 0.005;
        for (int kind = 0; kind < 3; ++kind)
            next.share[std::max(kind, static_cast<int>(flow.through))] += fraction * here.share[kind];
        if (fraction * here.sum() < worth_naming)
            return;
        if (flow.cable)
            told.cables.push_back(*flow.cable);
        if (flow.incidental)
            told.incidentals.push_back(*flow.incidental);
    }
    // Every point after all that flow into it.
    std::vector<std::size_t> order_from(std::size_t start) {
        std::vector<std::size_t> order;
        std::map<std::size_t, int> mark; // 1 open, 2 done
        std::vector<std::pair<std::size_t, std::size_t>> stack = {{start, 0}};
        mark[start] = 1;
        while (!stack.empty()) {
            auto& [point, next] = stack.back();
            const std::vector<Flow>& flows = out_[point];
            if (next == flows.size()) {
                mark[point] = 2;
                order.push_back(point);
                stack.pop_back();
                continue;
            }
            const std::size_t to = flows[next++].to;
            if (mark[to] == 0) {
                mark[to] = 1;
                stack.emplace_back(to, 0);
            }
        }
        std::reverse(order.begin(), order.end());
        return order;
    }
    std::map<std::size_t, std::vector<Flow>> out_;
};

// The solved duty in which the unit moves most.
const SolvedDuty* busiest(const Facts& facts, DeviceIndex unit) {
    const SolvedDuty* best = nullptr;
    double most_a = 0.01;
    for (const SolvedDuty& solved : facts.duties)
        if (solved.point && std::abs(solved.point->devices[model::at(unit)].current_a) > most_a) {
            most_a = std::abs(solved.point->devices[model::at(unit)].current_a);
            best = &solved;
        }
    return best;
}

} // namespace

std::vector<ReturnShare> return_shares(const Facts& facts) {
    const Harness& harness = *facts.harness;
    std::vector<ReturnShare> all;
    for (const DeviceIndex unit : units_with_return(harness)) {
        const auto minus = model::terminal_of(harness, unit, model::Role::negative);
        const SolvedDuty* solved = busiest(facts, unit);
        if (!minus || solved == nullptr)
            continue;
        const Flows flows(harness, *solved->point);
        ReturnShare told{.unit = unit, .duty = solved->duty};
        told.current_a = std::abs(solved->point->devices[model::at(unit)].current_a);
        std::vector<std::size_t> ends;
        for (const DeviceIndex source : sources_of(harness))
            if (const auto terminal = model::terminal_of(harness, source, model::Role::negative);
                terminal && source != unit)
                ends.push_back(flows.point(*terminal));
        if (harness.device(unit).kind() != DeviceKind::generator)
            for (const DeviceIndex battery : devices_of(harness, DeviceKind::battery))
                if (const auto terminal = model::terminal_of(harness, battery, model::Role::negative);
                    terminal && facts.topology.component(*terminal) == facts.topology.component(*minus)) {
                    told.shift_v = solved->point->terminal_v[model::at(*minus)] -
                                   solved->point->terminal_v[model::at(*terminal)];
                    break;
                }
        Follow(flows, harness.device(unit).kind() == DeviceKind::generator)
            .from(flows.point(*minus), told, ends);
        std::sort(told.cables.begin(), told.cables.end());
        told.cables.erase(std::unique(told.cables.begin(), told.cables.end()), told.cables.end());
        std::sort(told.incidentals.begin(), told.incidentals.end());
        all.push_back(std::move(told));
    }
    return all;
}

} // namespace stoutloom::check

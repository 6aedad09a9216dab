#include "solve/reversal.h"

#include "solve/bare_conductors.h"
#include "solve/linear.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace stoutloom::solve {
namespace {

/// A straight line from volts to amperes between two nodes: a battery, or diodes that conduct.
struct Driver {
    int plus, minus;
    double emf_v, ohm;
};

struct Diodes {
    model::DeviceIndex unit{};
    int from, to; // they conduct from the unit's negative to its positive stud
    bool conduct = true;
};

std::vector<Diodes> diodes_of(const model::Harness& harness, const Network& network) {
    std::vector<Diodes> found;
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        const auto unit = static_cast<model::DeviceIndex>(d);
        const auto plus = model::terminal_of(harness, unit, model::Role::positive);
        const auto minus = model::terminal_of(harness, unit, model::Role::negative);
        if (harness.devices[d].kind() == model::DeviceKind::generator && plus && minus)
            found.push_back({.unit = unit,
                             .from = network.node_of[model::at(*minus)],
                             .to = network.node_of[model::at(*plus)]});
    }
    return found;
}

void add_loads(const model::Harness& harness, Network& network, double factor) {
    const double nominal_v = harness.nominal_v.value;
    for (std::size_t d = 0; d < harness.devices.size(); ++d) {
        const auto* load = std::get_if<model::Consumer>(&harness.devices[d].data);
        const auto index = static_cast<model::DeviceIndex>(d);
        const auto plus = model::terminal_of(harness, index, model::Role::positive);
        const auto minus = model::terminal_of(harness, index, model::Role::negative);
        if (load == nullptr || !plus || !minus || !(load->amount.value > 0))
            continue;
        const double amount = load->amount.value;
        const double ohm = load->demand == model::Demand::resistance ? amount
                           : load->demand == model::Demand::power    ? nominal_v * nominal_v / amount
                                                                     : nominal_v / amount;
        const int a = network.node_of[model::at(*plus)], b = network.node_of[model::at(*minus)];
        if (a != b)
            network.branches.push_back({.a = a, .b = b, .ohm = ohm * factor, .index = d, .part = "element"});
    }
}

std::vector<double> node_volts(const Network& bare, const std::vector<Driver>& drivers) {
    Network network = bare;
    std::vector<double> injected(static_cast<std::size_t>(network.nodes), 0.0);
    for (const Driver& driver : drivers) {
        network.branches.push_back(
            {.a = driver.plus, .b = driver.minus, .ohm = driver.ohm, .part = "source"});
        injected[static_cast<std::size_t>(driver.plus)] += driver.emf_v / driver.ohm;
        injected[static_cast<std::size_t>(driver.minus)] -= driver.emf_v / driver.ohm;
    }
    network.reference = drivers.front().minus;
    const Islands islands = find_islands(network);
    const LinearNetwork linear(network, islands);
    std::vector<double> volts = linear.volts(injected);
    linear.refine(volts, injected);
    return volts;
}

double across(const std::vector<double>& volts, int a, int b) {
    return volts[static_cast<std::size_t>(a)] - volts[static_cast<std::size_t>(b)];
}

/// Current out of the driver's plus pole.
double current_a(const std::vector<double>& volts, const Driver& driver) {
    return (driver.emf_v - across(volts, driver.plus, driver.minus)) / driver.ohm;
}

} // namespace

base::Outcome<ReversedCurrents, Unsolved> reversed_currents(const model::Harness& harness,
                                                            const std::vector<HungBattery>& batteries,
                                                            const std::vector<model::DeviceIndex>& opened,
                                                            Reckoning reckoning, double load_factor) {
    auto made = bare_conductors(harness, reckoning == Reckoning::greatest ? Side::greatest : Side::least);
    if (!made)
        return base::failure(Unsolved{made.error()});
    Network& network = *made;
    std::erase_if(network.branches, [&](const Branch& branch) {
        return branch.owner == Owner::device &&
               std::find(opened.begin(), opened.end(), static_cast<model::DeviceIndex>(branch.index)) !=
                   opened.end();
    });
    if (load_factor > 0)
        add_loads(harness, network, load_factor);
    const double drop_v = reckoning == Reckoning::greatest ? 0.0 : reversed_diodes_v;
    std::vector<Diodes> diodes = diodes_of(harness, network);
    std::vector<Driver> hung;
    hung.reserve(batteries.size());
    for (const HungBattery& battery : batteries)
        hung.push_back({.plus = network.node_of[model::at(battery.plus)],
                        .minus = network.node_of[model::at(battery.minus)],
                        .emf_v = battery.emf_v,
                        .ohm = battery.ohm});
    const auto as_driver = [&](const Diodes& one) {
        return Driver{.plus = one.from, .minus = one.to, .emf_v = drop_v, .ohm = nothing_ohm};
    };
    std::vector<double> volts;
    constexpr int most_rounds = 100;
    for (int round = 0; round < most_rounds; ++round) {
        std::vector<Driver> drivers = hung;
        for (const Diodes& one : diodes)
            if (one.conduct)
                drivers.push_back(as_driver(one));
        volts = node_volts(network, drivers);
        // One change at a time, the first that contradicts itself, so that the search cannot go round.
        const auto wrong = std::find_if(diodes.begin(), diodes.end(), [&](const Diodes& one) {
            return one.conduct ? current_a(volts, as_driver(one)) > 1e-9
                               : across(volts, one.from, one.to) > drop_v + 1e-9;
        });
        if (wrong == diodes.end())
            break;
        wrong->conduct = !wrong->conduct;
        if (round + 1 == most_rounds)
            return base::failure(
                Unsolved{.message = "the diodes of the charging units do not settle", .subjects = {}});
    }
    ReversedCurrents told;
    told.unit_a.assign(harness.devices.size(), 0.0);
    told.link_a.assign(harness.devices.size(), 0.0);
    told.cable_a.assign(harness.cables.size(), 0.0);
    for (const Diodes& one : diodes)
        if (one.conduct)
            told.unit_a[model::at(one.unit)] = -current_a(volts, as_driver(one));
    for (const Driver& one : hung)
        told.hung_a.push_back(std::abs(current_a(volts, one)));
    for (const Branch& branch : network.branches) {
        const double through_a = std::abs(across(volts, branch.a, branch.b)) / branch.ohm;
        if (branch.owner == Owner::cable)
            told.cable_a[branch.index] = through_a;
        else if (branch.owner == Owner::device &&
                 harness.devices[branch.index].kind() == model::DeviceKind::fuse_link)
            told.link_a[branch.index] = through_a;
    }
    return told;
}

} // namespace stoutloom::solve

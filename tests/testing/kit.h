// A harness built in memory, part by part, for tests of the rooms that do not read files.
#pragma once

#include "base/fastener.h"
#include "base/insulation.h"
#include "model/harness.h"

#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace stoutloom::testing {

inline model::Written written(double value) {
    return {.value = value, .given = true, .text = {}, .span = {}};
}

class Kit {
  public:
    explicit Kit(double nominal_v = 12, double ambient_degc = 20) {
        harness.title = "test kit";
        harness.nominal_v = written(nominal_v);
        zone("Z", ambient_degc);
        harness.duties = model::built_in_duties();
    }

    model::Harness harness;

    model::ZoneIndex zone(const std::string& id, double ambient_degc) {
        harness.zones.push_back({.id = id,
                                 .label = id,
                                 .ambient_degc = written(ambient_degc),
                                 .radiant_k = written(0),
                                 .span = {}});
        return static_cast<model::ZoneIndex>(harness.zones.size() - 1);
    }

    struct BatteryFigures {
        double emf_v = 12.6, ohm = 0.005, acceptance_a = 20;
    };
    model::DeviceIndex battery(const std::string& id, BatteryFigures figures) {
        model::Battery data;
        data.capacity_ah = written(100);
        data.emf_v = written(figures.emf_v);
        data.resistance_ohm = written(figures.ohm);
        data.acceptance_a = written(figures.acceptance_a);
        return poles(device(id, data));
    }

    struct GeneratorFigures {
        double set_point_v = 14.4, ceiling_a = 100;
        std::optional<std::string> seat = std::nullopt; // mass that it stands on
        bool excite = false, sense = false;             // has studs L, S
    };
    model::DeviceIndex generator(const std::string& id, const GeneratorFigures& figures) {
        model::Generator data;
        data.set_point_v = written(figures.set_point_v);
        data.exciter_resistance_ohm = written(8);
        for (const model::Speed speed : {model::Speed::idle, model::Speed::cruise, model::Speed::rated})
            data.outputs.push_back({.speed = speed,
                                    .shaft_rpm = std::nullopt,
                                    .cold_a = written(figures.ceiling_a),
                                    .hot_a = written(figures.ceiling_a),
                                    .span = {}});
        data.case_return = figures.seat.has_value();
        const model::DeviceIndex made = device(id, data);
        add_terminal(made, "B+", "M8", model::Role::positive);
        negative(made, "B-", figures.seat);
        if (figures.excite)
            add_terminal(made, "L", "M5", model::Role::excite);
        if (figures.sense) {
            const model::TerminalIndex stud = add_terminal(made, "S", "M5", model::Role::sense);
            std::get<model::Generator>(harness.devices[model::at(made)].data).sense = stud;
        }
        return made;
    }
    void sense_at(model::DeviceIndex generator, const std::string& address) {
        std::get<model::Generator>(harness.devices[model::at(generator)].data).sense = terminal(address);
    }

    model::DeviceIndex consumer(const std::string& id, model::Demand demand, double amount,
                                const std::optional<std::string>& seat = std::nullopt) {
        model::Consumer data;
        data.demand = demand;
        data.amount = written(amount);
        data.runs = model::Runs::always;
        data.case_return = seat.has_value();
        const model::DeviceIndex made = device(id, data);
        add_terminal(made, "+", "blade 6.3", model::Role::positive);
        negative(made, "-", seat);
        return made;
    }

    model::DeviceIndex starter(const std::string& id, double current_a,
                               const std::optional<std::string>& seat) {
        model::Starter data;
        data.current_a = written(current_a);
        data.case_return = seat.has_value();
        const model::DeviceIndex made = device(id, data);
        add_terminal(made, "30", "M8", model::Role::positive);
        add_terminal(made, "50", "blade 6.3", model::Role::control);
        negative(made, "31", seat);
        return made;
    }

    model::DeviceIndex mass(const std::string& id, double ohm, const std::vector<std::string>& studs) {
        model::Mass data;
        data.resistance_ohm = written(ohm);
        const model::DeviceIndex made = device(id, data);
        const model::TerminalIndex metal = add_terminal(made, "", "M8", model::Role::through);
        harness.terminals[model::at(metal)].implicit = true;
        harness.terminals[model::at(metal)].address = id;
        for (const std::string& stud : studs) {
            const model::TerminalIndex made_stud = add_terminal(made, stud, "M8", model::Role::through);
            harness.terminals[model::at(made_stud)].steel_seat = true;
        }
        return made;
    }

    model::DeviceIndex post(const std::string& id) {
        const model::DeviceIndex made = device(id, model::Post{});
        const model::TerminalIndex stud = add_terminal(made, "", "M8", model::Role::through);
        harness.terminals[model::at(stud)].address = id;
        return made;
    }

    model::DeviceIndex fuse_link(const std::string& id, double rating_a) {
        model::FuseLink data;
        data.type = "SF51";
        data.rating_a = written(rating_a);
        return two_studs(device(id, data));
    }
    model::DeviceIndex fuse_link_of(const std::string& id, double rating_a, double ohm) {
        const model::DeviceIndex made = fuse_link(id, rating_a);
        std::get<model::FuseLink>(harness.devices[model::at(made)].data).resistance_ohm = written(ohm);
        return made;
    }
    model::DeviceIndex a_switch(const std::string& id, model::Closes closes, double ohm) {
        model::Switch data;
        data.closes = closes;
        data.resistance_ohm = written(ohm);
        return two_studs(device(id, data));
    }
    model::DeviceIndex shunt(const std::string& id, double ohm) {
        model::Shunt data;
        data.resistance_ohm = written(ohm);
        return two_studs(device(id, data));
    }
    /// A plain resistance between two terminals: an incidental path, exact at any temperature.
    model::IncidentalIndex path(const std::string& id, const std::string& from, const std::string& to,
                                double ohm) {
        model::Incidental made;
        made.id = made.label = id;
        made.from = terminal(from);
        made.to = terminal(to);
        made.resistance_ohm = written(ohm);
        harness.incidentals.push_back(made);
        return static_cast<model::IncidentalIndex>(harness.incidentals.size() - 1);
    }

    struct CableFigures {
        double section_mm2 = 50, length_m = 2;
        int parallel = 1;
        std::string loom = {};
    };
    model::CableIndex cable(const std::string& id, const std::string& from, const std::string& to,
                            const CableFigures& figures) {
        model::Cable made;
        made.id = id;
        made.section_mm2 = written(figures.section_mm2);
        made.length_m = written(figures.length_m);
        made.parallel = figures.parallel;
        made.from = end_at(from);
        made.to = end_at(to);
        made.segments.push_back({.zone = model::ZoneIndex{0},
                                 .length_m = made.length_m,
                                 .loom = figures.loom,
                                 .mounting = std::nullopt,
                                 .span = {}});
        harness.cables.push_back(made);
        return static_cast<model::CableIndex>(harness.cables.size() - 1);
    }

    model::TerminalIndex terminal(const std::string& address) const {
        const auto found = model::find_terminal(harness, address);
        if (!found)
            throw std::logic_error("test kit has no terminal " + address);
        return *found;
    }
    model::DeviceIndex part(const std::string& id) const {
        const auto found = model::find_device(harness, id);
        if (!found)
            throw std::logic_error("test kit has no part " + id);
        return *found;
    }
    const model::Duty& duty(const std::string& id) const {
        const auto found = model::find_duty(harness, id);
        if (!found)
            throw std::logic_error("test kit has no duty " + id);
        return harness.duty(*found);
    }

    model::TerminalIndex add_terminal(model::DeviceIndex device, const std::string& id,
                                      const std::string& stud, model::Role role) {
        model::Terminal made;
        made.id = id;
        made.address = harness.device(device).id + "." + id;
        made.device = device;
        made.stud = base::fastener_by_name(stud).value();
        made.role = role;
        harness.terminals.push_back(made);
        const auto index = static_cast<model::TerminalIndex>(harness.terminals.size() - 1);
        harness.devices[model::at(device)].terminals.push_back(index);
        return index;
    }

    template <class Data> model::DeviceIndex add_device(const std::string& id, const Data& data) {
        return device(id, data);
    }

  private:
    template <class Data> model::DeviceIndex device(const std::string& id, const Data& data) {
        model::Device made;
        made.id = made.label = id;
        made.zone = model::ZoneIndex{0};
        made.data = data;
        harness.devices.push_back(made);
        return static_cast<model::DeviceIndex>(harness.devices.size() - 1);
    }
    model::DeviceIndex poles(model::DeviceIndex device) {
        add_terminal(device, "+", "M8", model::Role::positive);
        add_terminal(device, "-", "M8", model::Role::negative);
        return device;
    }
    model::DeviceIndex two_studs(model::DeviceIndex device) {
        add_terminal(device, "a", "M8", model::Role::through);
        add_terminal(device, "b", "M8", model::Role::through);
        return device;
    }
    void negative(model::DeviceIndex device, const std::string& id, const std::optional<std::string>& seat) {
        if (!seat) {
            add_terminal(device, id, "M8", model::Role::negative);
            return;
        }
        const model::TerminalIndex stud = add_terminal(device, "case", "M8", model::Role::negative);
        harness.terminals[model::at(stud)].implicit = true;
        harness.devices[model::at(device)].seat = part(*seat);
    }
    model::CableEnd end_at(const std::string& address) const {
        model::CableEnd end;
        end.at = terminal(address);
        end.lug = harness.terminal(end.at).stud;
        return end;
    }
};

/// A cable of exactly so many ohms at 20 degC: one metre, data-sheet resistance, joints measured as nothing.
inline model::CableIndex exact_cable(Kit& kit, const std::string& id, const std::string& from,
                                     const std::string& to, double ohm) {
    const auto made = kit.cable(id, from, to, {.section_mm2 = 50, .length_m = 1});
    model::Cable& cable = kit.harness.cables[model::at(made)];
    cable.r20_ohm_per_m = written(ohm);
    for (model::CableEnd* end : {&cable.from, &cable.to})
        end->joint_ohm = end->crimp_ohm = written(0);
    return made;
}

} // namespace stoutloom::testing

// Random harnesses for property and cross tests: several batteries and charging units, masses, fuse-links,
// switches, relays, remote sense, loads of all three kinds, looms, incidental paths. Electrically plausible,
// not pretty.
#pragma once

#include "testing/kit.h"

#include <fmt/format.h>

#include <random>

namespace stoutloom::testing {

struct RandomKitShape {
    int most_sources = 3; // batteries, and charging units, each
    int most_consumers = 10;
    bool power_loads = true;
    bool remote_sense = true;
    bool open_switches = true; // some contacts stand open, so that parts float or go dead
    bool coils = true;         // exciters, starters and relays, whose small currents no device state tells
};

class RandomKit {
  public:
    RandomKit(std::mt19937_64& source, const RandomKitShape& shape)
        : source_(source), shape_(shape), kit_(pick({12.0, 12.0, 24.0})) {
        scale_ = kit_.harness.nominal_v.value / 12.0;
        masses();
        posts();
        for (int i = 0, n = whole(1, shape.most_sources); i < n; ++i)
            battery(i);
        for (int i = 0, n = whole(0, shape.most_sources); i < n; ++i)
            generator(i);
        for (int i = 0, n = whole(1, shape.most_consumers); i < n; ++i)
            consumer(i);
        if (shape_.coils && chance(0.3))
            starter();
        if (shape_.coils && chance(0.4))
            relay();
        if (chance(0.5))
            kit_.path("P1", "U1", "U2", real(0.005, 0.2));
        if (chance(0.3))
            cable(live(), live(), real(1, 5));
    }
    Kit& kit() { return kit_; }

    double real(double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(source_);
    }
    int whole(int low, int high) { return std::uniform_int_distribution<int>(low, high)(source_); }
    bool chance(double share) { return real(0, 1) < share; }

  private:
    double pick(std::initializer_list<double> choices) {
        return *(choices.begin() + whole(0, static_cast<int>(choices.size()) - 1));
    }
    void cable(const std::string& from, const std::string& to, double length_m) {
        if (from == to)
            return;
        kit_.cable(fmt::format("W{}", ++cables_), from, to,
                   {.section_mm2 = pick({2.5, 6, 10, 16, 25, 35, 50, 70, 95}),
                    .length_m = length_m,
                    .parallel = chance(0.1) ? 2 : 1,
                    .loom = chance(0.3) ? "L1" : ""});
    }
    std::string live() { return fmt::format("X{}", whole(1, live_)); }
    std::string metal() { return fmt::format("U{}.{}", whole(1, 2), whole(1, 4)); }

    void masses() {
        for (const std::string id : {"U1", "U2"})
            kit_.mass(id, real(5e-5, 1e-3), {"1", "2", "3", "4"});
        cable("U1.1", "U2.1", real(0.2, 0.8));
    }
    /// A chain of live posts, each behind a cable and perhaps a fuse-link, switch or shunt.
    void posts() {
        kit_.post("X1");
        for (int i = 0, n = whole(0, 4); i < n; ++i) {
            const std::string from = live();
            const std::string id = fmt::format("X{}", ++live_);
            kit_.post(id);
            const std::string part = fmt::format("{}{}", chance(0.5) ? "F" : "S", live_);
            if (part[0] == 'F')
                kit_.fuse_link(part, pick({50, 100, 200}));
            else if (chance(0.3))
                kit_.shunt(part, real(1e-4, 1e-3));
            else
                kit_.a_switch(
                    part, shape_.open_switches && chance(0.2) ? model::Closes::never : model::Closes::always,
                    2e-4);
            cable(from, part + ".a", real(0.2, 6));
            cable(part + ".b", id, real(0.2, 3));
        }
    }
    void battery(int i) {
        const std::string id = fmt::format("GB{}", i);
        kit_.battery(id, {.emf_v = scale_ * real(11.8, 12.8),
                          .ohm = scale_ * real(0.002, 0.02),
                          .acceptance_a = real(1, 80)});
        cable(id + ".+", i == 0 ? "X1" : live(), real(0.3, 5));
        cable(id + ".-", metal(), real(0.2, 2));
    }
    void generator(int i) {
        const std::string id = fmt::format("GA{}", i);
        const bool cased = chance(0.6);
        const bool wired_sense = shape_.remote_sense && chance(0.25);
        const auto made = kit_.generator(
            id, {.set_point_v = scale_ * real(13.8, 14.6),
                 .ceiling_a = real(20, 200),
                 .seat = cased ? std::optional<std::string>(chance(0.7) ? "U2" : "U1") : std::nullopt,
                 .excite = shape_.coils && chance(0.5),
                 .sense = wired_sense});
        cable(id + ".B+", live(), real(0.5, 6));
        if (!cased)
            cable(id + ".B-", metal(), real(0.3, 4));
        if (wired_sense)
            cable(id + ".S", "GB0.+", real(1, 6));
        else if (shape_.remote_sense && chance(0.2))
            kit_.sense_at(made, "GB0.+");
        if (model::find_terminal(kit_.harness, id + ".L"))
            kit_.path("lamp" + id, live(), id + ".L", scale_ * real(30, 70));
    }
    void consumer(int i) {
        const std::string id = fmt::format("E{}", i);
        const int kind = whole(0, shape_.power_loads ? 2 : 1);
        const bool cased = chance(0.5);
        const double current_a = std::exp(real(std::log(0.5), std::log(60.0)));
        const double amount = kind == 0   ? current_a
                              : kind == 1 ? 12 * scale_ / current_a
                                          : current_a * 12 * scale_;
        const model::Demand demand = kind == 0   ? model::Demand::current
                                     : kind == 1 ? model::Demand::resistance
                                                 : model::Demand::power;
        kit_.consumer(id, demand, amount,
                      cased ? std::optional<std::string>(chance(0.5) ? "U1" : "U2") : std::nullopt);
        cable(live(), id + ".+", real(0.5, 5));
        if (!cased && chance(0.95))
            cable(id + ".-", metal(), real(0.3, 3));
    }
    void starter() {
        kit_.starter("M1", real(100, 300), "U2");
        cable("GB0.+", "M1.30", real(0.5, 3));
        if (chance(0.5)) {
            kit_.a_switch("S50", model::Closes::cranking, 0.005);
            cable(live(), "S50.a", 2);
            cable("S50.b", "M1.50", 3);
        }
    }
    void relay() {
        model::Relay data;
        data.closes = chance(0.7) ? model::Closes::always : model::Closes::never;
        data.coil_ohm = written(scale_ * scale_ * 80);
        data.resistance_ohm = written(0.001);
        const auto made = kit_.add_device("K1", data);
        for (const std::string stud : {"30", "87", "85", "86"})
            kit_.add_terminal(made, stud, "blade 6.3", model::Role::through);
        cable(live(), "K1.30", 1);
        cable(live(), "K1.86", 1);
        cable("K1.85", metal(), 1);
        kit_.consumer("EK", model::Demand::current, real(5, 20), "U1");
        cable("K1.87", "EK.+", 1);
    }

    std::mt19937_64& source_;
    RandomKitShape shape_;
    Kit kit_;
    double scale_ = 1;
    int cables_ = 0;
    int live_ = 1;
};

inline Kit random_kit(std::mt19937_64& source, const RandomKitShape& shape = {}) {
    return RandomKit(source, shape).kit();
}

} // namespace stoutloom::testing

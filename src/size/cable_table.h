// Every cable and fuse-link in every size that is open to it: resistance at a current, what it may carry.
// Room-internal. Lengths and joints are those of the worst case, at which the rules are asked as well.
#pragma once

#include "model/harness.h"
#include "size/choices.h"
#include "size/interval.h"
#include "solve/cable_parts.h"

#include <array>
#include <memory>
#include <optional>
#include <vector>

namespace stoutloom::size {

class CableTable {
  public:
    CableTable(const model::Harness& harness, const Choices& choices);

    /// Which choice a cable or fuse-link is; nothing if it is fixed (then its only option is 0).
    std::optional<std::size_t> choice_of_cable(std::size_t cable) const { return cable_choice_[cable]; }
    std::optional<std::size_t> choice_of_link(std::size_t device) const { return link_choice_[device]; }
    std::size_t cable_options(std::size_t cable) const { return cables_[cable].size(); }

    /// An end on a stud that is to be chosen: ohm over that of the best stud, by option. Resistances of
    /// cables below are with the best studs; this comes on top.
    struct Joint {
        std::size_t choice = 0;
        std::vector<double> ohm;
    };
    const std::vector<Joint>& joints(std::size_t cable) const { return joints_[cable]; }
    /// All ends of a cable together, over the studs that are open.
    Interval joints_ohm(std::size_t cable, const std::vector<std::uint64_t>& open) const;

    /// Stud to stud, at the temperature that a whole-cable current brings in a duty (steady, or after its
    /// duration): at a current a little less, or a little more, of a ladder of them, so that it need not be
    /// worked out again. A cable's resistance rises with its current, so these are bounds of it.
    double ohm_at_least(std::size_t cable, std::size_t option, std::size_t duty, double current_a) const;
    double ohm_at_most(std::size_t cable, std::size_t option, std::size_t duty, double current_a) const;
    /// At the temperature of the places it runs through.
    double cold_ohm(std::size_t cable, std::size_t option) const;
    /// The greatest it can have: at the temperature at which the solver gives a cable up.
    double hottest_ohm(std::size_t cable, std::size_t option) const;
    /// The greatest it has in a kit that keeps the rules: at its class, where they hold it to that.
    double warmest_good_ohm(std::size_t cable, std::size_t option) const;
    /// Whether a duty begins with every cable at its ambient; a short duty with the engine running begins
    /// warm.
    bool starts_cold(std::size_t duty) const;
    /// All-day current by the rule cable-ampacity; nothing where that rule does not ask (class under the
    /// zone, accepted).
    std::optional<double> usable_a(std::size_t cable, std::size_t option) const {
        return cables_[cable][option].usable_a;
    }
    /// Whether a short duty at this current takes the cable over its class for certain (rule
    /// cable-short-duty).
    bool overheats(std::size_t cable, std::size_t option, std::size_t duty, double current_a) const;

    Interval link_ohm(std::size_t device, std::size_t option) const {
        return {links_[device][option], links_[device][option]};
    }
    std::optional<double> link_allowed_a(std::size_t device, std::size_t option) const;
    void set_link_limits(std::size_t device, std::vector<double> allowed_a) {
        link_allowed_[device] = std::move(allowed_a);
    }

  private:
    struct Sized {
        std::optional<solve::CableParts> parts; // nothing: beyond the tables
        std::optional<double> usable_a;
        double class_degc = 0;
        bool asked_short = false; // rule cable-short-duty asks for it
    };
    /// What is known at the steps of the ladder of currents, by page of steps; NaN: not asked yet.
    struct Ladder {
        static constexpr std::size_t page = 64;
        std::vector<std::unique_ptr<std::array<double, page>>> pages;
        double& at(std::size_t step);
    };
    double cable_ohm(std::size_t cable, std::size_t option, std::size_t duty, double current_a) const;
    double ohm_at_step(std::size_t cable, std::size_t option, std::size_t duty, std::size_t step) const;
    Ladder& ladder(std::vector<std::vector<std::vector<Ladder>>>& of, std::size_t cable, std::size_t option,
                   std::size_t duty) const;
    void note_joints(const Choices& choices, model::Harness& one);
    std::vector<double> temperatures(const Sized& sized, std::size_t duty, double current_a) const;

    const model::Harness& harness_;
    std::vector<std::optional<std::size_t>> cable_choice_, link_choice_;
    std::vector<std::vector<Joint>> joints_; // by cable
    std::vector<std::vector<Sized>> cables_;
    std::vector<std::vector<double>> links_;
    std::vector<std::vector<double>> link_allowed_;
    mutable std::vector<std::vector<std::vector<Ladder>>> ohm_, reached_degc_; // by cable, option, duty
};

} // namespace stoutloom::size

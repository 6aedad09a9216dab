// The open SPICE deck of a solved network: plain resistors, and one behavioural source per battery, charging
// unit or consumer with the same bends that the solver uses.
#include "base/quantity.h"
#include "solve/solved.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::solve {
namespace {

class Deck {
  public:
    Deck(const model::Harness& harness, const Solved& solved) : harness_(harness), solved_(solved) {}
    std::string text(const model::Duty& duty) &&;

  private:
    std::string node(int index) const {
        return index == solved_.network.reference ? "0" : fmt::format("n{}", index);
    }
    std::string across(int plus, int minus) const { return fmt::format("v({},{})", node(plus), node(minus)); }
    void line(const std::string& words) { text_ += words + '\n'; }
    void heading(const model::Duty& duty);
    void nodes();
    void resistors();
    void ports();
    void islands();
    void first_guess();
    void control();
    std::string owner(const Branch& branch) const;
    std::string law(const Port& port) const;

    const model::Harness& harness_;
    const Solved& solved_;
    std::string text_;
};

/// A line end inside a title would start a new card.
std::string one_line(std::string words) {
    std::replace_if(
        words.begin(), words.end(), [](unsigned char letter) { return letter < 0x20; }, ' ');
    return words;
}

void Deck::heading(const model::Duty& duty) {
    line(one_line(fmt::format("{} (duty {})", harness_.title, duty.id)));
    line("* Direct current at the final cable temperatures. Volts are against the negative terminal of the "
         "first");
    line("* battery. Currents in behavioural sources run from the first node through the source to the "
         "second.");
    line(".options reltol=1e-9 vntol=1e-12 abstol=1e-12 itl1=1000");
}

void Deck::nodes() {
    line("*");
    line("* Nodes");
    for (int n = 0; n < solved_.network.nodes; ++n) {
        std::string words = "* " + node(n) + " =";
        for (std::size_t t = 0; t < harness_.terminals.size(); ++t)
            if (solved_.network.node_of[t] == n)
                words += " " + harness_.terminals[t].address;
        line(words);
    }
}

std::string Deck::owner(const Branch& branch) const {
    switch (branch.owner) {
    case Owner::cable: {
        const model::Cable& cable = harness_.cables[branch.index];
        const auto& degc = solved_.heat[branch.index].segment_degc;
        return fmt::format("cable {}, {} x {}, {}, hottest stretch {}, ends included", cable.id,
                           cable.parallel, base::shown_section(cable.section_mm2.value),
                           base::shown_up(cable.length_m.value, 2, "m"),
                           base::shown_up(*std::max_element(degc.begin(), degc.end()), 1, "degC"));
    }
    case Owner::incidental:
        return "incidental path " + harness_.incidentals[branch.index].id;
    case Owner::device:
        break;
    }
    const model::Device& device = harness_.devices[branch.index];
    return fmt::format("{} {}, {}", model::kind_name(device.kind()), device.id, branch.part);
}

void Deck::resistors() {
    line("*");
    line("* Cables, contacts, metal");
    for (std::size_t i = 0; i < solved_.network.branches.size(); ++i) {
        const Branch& branch = solved_.network.branches[i];
        line("* " + owner(branch));
        line(fmt::format("R{} {} {} {:.17g}", i, node(branch.a), node(branch.b), branch.ohm));
    }
}

/// Current out of plus as an expression of the volts across it.
std::string Deck::law(const Port& port) const {
    const std::string v = across(port.plus, port.minus);
    const std::string s = across(port.sense_plus, port.sense_minus);
    const auto slanted = [](const Piece& piece, const std::string& volts) {
        return fmt::format("{:.17g}-{:.17g}*{}", piece.alpha_a, piece.beta_s, volts);
    };
    switch (port.kind) {
    case PortKind::battery:
        if (port.pieces.size() == 1)
            return slanted(port.pieces[0], v);
        return fmt::format("max({:.17g},{})", port.pieces[1].alpha_a, slanted(port.pieces[0], v));
    case PortKind::generator:
        return fmt::format("max(0,min({:.17g},{}))", port.pieces[0].alpha_a, slanted(port.pieces[1], s));
    case PortKind::rectifier:
        return fmt::format("max(0,{})+min(0,{})", slanted(port.pieces[0], v), slanted(port.pieces[2], v));
    case PortKind::consumer:
    case PortKind::fault:
        break;
    }
    const double greatest_a = port.pieces[0].alpha_a;
    const double slope_s = port.pieces[1].beta_s;
    const std::string folded = fmt::format("{:.17g}*{}", slope_s, v);
    if (port.power_w > 0)
        return fmt::format("-(({0}>{1:.17g})?({2:.17g}/{0}):max({3:.17g},{4}))", v, port.fold_v, port.power_w,
                           -greatest_a, folded);
    return fmt::format("-max({:.17g},min({:.17g},{}))", -greatest_a, greatest_a, folded);
}

void Deck::ports() {
    line("*");
    line("* Sources and consumers");
    for (std::size_t k = 0; k < solved_.picture.ports.size(); ++k) {
        const Port& port = solved_.picture.ports[k];
        const model::Device& device = harness_.device(port.device);
        line(fmt::format("* {} {}{}", model::kind_name(device.kind()), device.id,
                         port.kind == PortKind::rectifier
                             ? ", its rectifier when reversed or driven into its avalanche"
                             : ""));
        line(fmt::format("B{} {} {} I={}", k, node(port.minus), node(port.plus), law(port)));
    }
}

void Deck::islands() {
    for (std::size_t i = 0; i < solved_.islands.local_zero.size(); ++i) {
        const int zero = solved_.islands.local_zero[i];
        if (static_cast<int>(i) == solved_.islands.main)
            continue;
        line(
            fmt::format("* a part that floats: {} tied to the reference, no current flows here", node(zero)));
        line(fmt::format("Rfloat{} {} 0 1", i, node(zero)));
    }
}

void Deck::first_guess() {
    line("*");
    line("* First guesses only: they spare the simulator a hunt over the bends of the sources, and lead "
         "constant-power");
    line("* consumers to the upper of their two solutions, which a harness comes to when it is switched on. "
         "The answer");
    line("* must still satisfy every element above to the tolerances set here.");
    for (int n = 0; n < solved_.network.nodes; ++n)
        if (n != solved_.network.reference)
            line(fmt::format(".nodeset v({})={:.17g}", node(n), solved_.node_v[static_cast<std::size_t>(n)]));
}

void Deck::control() {
    line("*");
    line(".control");
    line("set numdgt=17");
    line("op");
    for (int n = 0; n < solved_.network.nodes; ++n)
        if (n != solved_.network.reference)
            line(fmt::format("print v({})", node(n)));
    line("quit 0");
    line(".endc");
    line(".end");
}

std::string Deck::text(const model::Duty& duty) && {
    heading(duty);
    nodes();
    resistors();
    ports();
    islands();
    first_guess();
    control();
    return std::move(text_);
}

} // namespace

base::Outcome<std::string, Unsolved> spice_deck(const model::Harness& harness, const model::Duty& duty,
                                                const Variation& variation) {
    const auto solved = solve_network(harness, duty, variation);
    if (!solved)
        return base::failure(Unsolved{solved.error()});
    return Deck(harness, *solved).text(duty);
}

std::string deck_node_name(const model::Harness& harness, const model::Duty& duty,
                           model::TerminalIndex terminal, const Variation& variation) {
    const Network network = build_network(harness, duty, variation);
    const int node = network.node_of[model::at(terminal)];
    return node == network.reference ? "0" : fmt::format("n{}", node);
}

} // namespace stoutloom::solve

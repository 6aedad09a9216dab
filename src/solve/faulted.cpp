#include "solve/faulted.h"

#include <limits>

namespace stoutloom::solve {

Faulted::Faulted(const model::Harness& harness, const Solved& healthy)
    : harness_(harness), healthy_(healthy), picture_(healthy.picture),
      own_ports_(healthy.picture.ports.size()), last_(healthy.answer) {
    // The search starts where the healthy network rests: most faults move few regulators.
    for (std::size_t k = 0; k < picture_.ports.size(); ++k)
        picture_.ports[k].start = healthy.answer.piece[k];
}

void Faulted::restore() {
    drop_ports(picture_, picture_.ports.size() - own_ports_);
    if (dead_port_ >= 0)
        picture_.ports[static_cast<std::size_t>(dead_port_)] = replaced_;
    dead_port_ = -1;
}

base::Outcome<PortAnswer, Unsolved> Faulted::settle_with(const std::vector<Port>& faults, int dead_port) {
    restore();
    if (dead_port >= 0) {
        Port& dead = picture_.ports[static_cast<std::size_t>(dead_port)];
        dead_port_ = dead_port;
        replaced_ = dead;
        // The base piece stays: it is factored in.
        for (Piece& piece : dead.pieces)
            piece.upto_v = -std::numeric_limits<double>::max();
        dead.pieces.push_back({.alpha_a = 0, .beta_s = 0, .upto_v = std::numeric_limits<double>::infinity()});
        dead.start = dead.pieces.size() - 1;
    }
    for (const Port& fault : faults)
        add_port(*healthy_.linear, picture_, fault);
    auto answer = settle_with_power(picture_);
    if (!answer)
        return base::failure(unsolved_by(harness_, picture_, answer.error()));
    last_ = *answer;
    return *answer;
}

std::vector<double> Faulted::node_v() const {
    std::vector<double> volts_v = picture_.base_volts;
    for (std::size_t k = 0; k < last_.correction_a.size(); ++k)
        if (last_.correction_a[k] != 0)
            for (std::size_t n = 0; n < volts_v.size(); ++n)
                volts_v[n] += last_.correction_a[k] * picture_.column[k][n];
    return volts_v;
}

double Faulted::volts(int a, int b) const {
    const auto difference = [&](const std::vector<double>& node_v) {
        return node_v[static_cast<std::size_t>(a)] - node_v[static_cast<std::size_t>(b)];
    };
    double sum_v = difference(picture_.base_volts);
    for (std::size_t k = 0; k < last_.correction_a.size(); ++k)
        if (last_.correction_a[k] != 0)
            sum_v += last_.correction_a[k] * difference(picture_.column[k]);
    return sum_v;
}

double Faulted::branch_a(int branch) const {
    if (branch < 0)
        return 0;
    const Branch& about = healthy_.network.branches[static_cast<std::size_t>(branch)];
    return volts(about.a, about.b) / about.ohm;
}

} // namespace stoutloom::solve

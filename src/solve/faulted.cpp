#include "solve/faulted.h"

namespace stoutloom::solve {

Faulted::Faulted(const model::Harness& harness, const Solved& healthy)
    : harness_(harness), healthy_(healthy), picture_(healthy.picture), last_(healthy.answer) {
    // The search starts where the healthy network rests: most faults move few regulators.
    for (std::size_t k = 0; k < picture_.ports.size(); ++k)
        picture_.ports[k].start = healthy.answer.piece[k];
}

base::Outcome<PortAnswer, Unsolved> Faulted::settle_with(const std::vector<Port>& faults) {
    const std::size_t before = picture_.ports.size();
    for (const Port& fault : faults)
        add_port(*healthy_.linear, picture_, fault);
    auto answer = settle_with_power(picture_);
    fault_columns_.assign(picture_.column.begin() + static_cast<std::ptrdiff_t>(before),
                          picture_.column.end());
    base::Outcome<PortAnswer, Unsolved> told = [&]() -> base::Outcome<PortAnswer, Unsolved> {
        if (!answer)
            return base::failure(unsolved_by(harness_, picture_, answer.error()));
        return *answer;
    }();
    drop_ports(picture_, faults.size());
    if (told)
        last_ = *told;
    return told;
}

double Faulted::volts(int a, int b) const {
    const auto difference = [&](const std::vector<double>& node_v) {
        return node_v[static_cast<std::size_t>(a)] - node_v[static_cast<std::size_t>(b)];
    };
    double sum_v = difference(picture_.base_volts);
    for (std::size_t k = 0; k < last_.correction_a.size(); ++k)
        if (last_.correction_a[k] != 0)
            sum_v += last_.correction_a[k] * difference(k < picture_.column.size()
                                                            ? picture_.column[k]
                                                            : fault_columns_[k - picture_.column.size()]);
    return sum_v;
}

double Faulted::branch_a(int branch) const {
    if (branch < 0)
        return 0;
    const Branch& about = healthy_.network.branches[static_cast<std::size_t>(branch)];
    return volts(about.a, about.b) / about.ohm;
}

} // namespace stoutloom::solve

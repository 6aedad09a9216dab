#include "solve/ports.h"

#include <Eigen/LU>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

namespace stoutloom::solve {
namespace {

double across(const std::vector<double>& volts, int plus, int minus) {
    return volts[static_cast<std::size_t>(plus)] - volts[static_cast<std::size_t>(minus)];
}

double lower_end(const Port& port, std::size_t piece) {
    return piece == 0 ? -std::numeric_limits<double>::infinity() : port.pieces[piece - 1].upto_v;
}

/// Base current of a port at no correction: a - g v, with a and g those of its base piece.
struct Base {
    double a, g;
};
Base base_of(const Port& port) {
    if (!port.in_linear)
        return {.a = 0, .g = 0};
    const Piece& piece = port.pieces[port.base];
    return {.a = piece.alpha_a, .g = piece.beta_s};
}

bool senses_itself(const Port& port) {
    return port.sense_plus == port.plus && port.sense_minus == port.minus;
}

/// Every load pulls at every other, a few hundred by a few hundred numbers at each step: this product is
/// where a large kit spends its time.
double sum_of(const std::vector<double>& ohm, const std::vector<double>& current_a) {
    const auto size = static_cast<Eigen::Index>(ohm.size());
    return Eigen::Map<const Eigen::VectorXd>(ohm.data(), size)
        .dot(Eigen::Map<const Eigen::VectorXd>(current_a.data(), size));
}

/// The dense system for one choice of pieces. Ports that rest on their base piece have no correction and drop
/// out.
class Resting {
  public:
    Resting(const PortPicture& picture, const std::vector<std::size_t>& pieces)
        : picture_(picture), pieces_(pieces) {
        for (std::size_t k = 0; k < pieces.size(); ++k)
            if (!picture.ports[k].in_linear || pieces[k] != picture.ports[k].base ||
                !senses_itself(picture.ports[k]))
                active_.push_back(k);
        // A port that rests on a piece of constant current asks the same whatever the others do: its row is
        // that of the identity, so only the others have to be factored. Most consumers are such ports.
        for (const std::size_t k : active_)
            (piece(k).beta_s == 0 && slope(k) == 0 ? fixed_ : coupled_).push_back(k);
        const auto size = static_cast<Eigen::Index>(coupled_.size());
        Eigen::MatrixXd matrix = Eigen::MatrixXd::Identity(size, size);
        for (Eigen::Index row = 0; row < size; ++row)
            for (Eigen::Index column = 0; column < size; ++column)
                matrix(row, column) += couples(coupled_[static_cast<std::size_t>(row)],
                                               coupled_[static_cast<std::size_t>(column)]);
        if (size > 0)
            factor_.emplace(matrix);
    }

    /// Corrections for right-hand sides by port (only those of active ports are read).
    std::vector<double> corrections(const std::vector<double>& right) const {
        std::vector<double> found(pieces_.size(), 0.0);
        for (const std::size_t k : fixed_)
            found[k] = right[k];
        if (coupled_.empty())
            return found;
        Eigen::VectorXd side(static_cast<Eigen::Index>(coupled_.size()));
        for (std::size_t i = 0; i < coupled_.size(); ++i) {
            const std::size_t k = coupled_[i];
            double rest = right[k];
            if (piece(k).beta_s != 0)
                rest -= piece(k).beta_s * sum_of(picture_.zs[k], found);
            if (slope(k) != 0)
                rest += slope(k) * sum_of(picture_.z[k], found);
            side[static_cast<Eigen::Index>(i)] = rest;
        }
        const Eigen::VectorXd solution = factor_->solve(side);
        for (std::size_t i = 0; i < coupled_.size(); ++i)
            found[coupled_[i]] = solution[static_cast<Eigen::Index>(i)];
        return found;
    }

    const std::vector<std::size_t>& pieces() const { return pieces_; }
    const std::vector<std::size_t>& active() const { return active_; }

    /// What the law asks beside the base piece, minus the correction it has: zero at a solution.
    double mismatch_a(std::size_t k, double volts, double sense_v, double correction_a) const {
        const Base base = base_of(picture_.ports[k]);
        return piece(k).alpha_a - piece(k).beta_s * sense_v - base.a + base.g * volts - correction_a;
    }

  private:
    const Piece& piece(std::size_t k) const { return picture_.ports[k].pieces[pieces_[k]]; }
    double slope(std::size_t k) const { return base_of(picture_.ports[k]).g; }
    /// What a correction of port j adds to the mismatch of port k, beside the identity.
    double couples(std::size_t k, std::size_t j) const {
        return piece(k).beta_s * picture_.zs[k][j] - slope(k) * picture_.z[k][j];
    }

    const PortPicture& picture_;
    std::vector<std::size_t> pieces_;
    std::vector<std::size_t> active_;
    std::vector<std::size_t> fixed_, coupled_; // of the active ones
    std::optional<Eigen::PartialPivLU<Eigen::MatrixXd>> factor_;
};

PortAnswer answer_at(const PortPicture& picture, const Resting& resting) {
    const std::size_t count = picture.ports.size();
    std::vector<double> right(count, 0.0);
    for (const std::size_t k : resting.active())
        right[k] = resting.mismatch_a(k, picture.v0[k], picture.s0[k], 0.0);
    PortAnswer answer;
    answer.piece = resting.pieces();
    answer.correction_a = resting.corrections(right);
    answer.volts = picture.v0;
    answer.sense_v.resize(count);
    for (std::size_t k = 0; k < count; ++k) {
        answer.volts[k] += sum_of(picture.z[k], answer.correction_a);
        answer.sense_v[k] = senses_itself(picture.ports[k])
                                ? answer.volts[k]
                                : picture.s0[k] + sum_of(picture.zs[k], answer.correction_a);
    }
    return answer;
}

/// Volts may lie this far outside their piece: dust of the arithmetic.
double dust(double edge_v, double share) {
    return std::isfinite(edge_v) ? share * (1 + std::abs(edge_v)) : 0.0;
}

/// -1 below its piece, +1 above it, 0 inside.
int outside(const Port& port, std::size_t piece, double sense_v, double share) {
    const double high = port.pieces[piece].upto_v;
    const double low = lower_end(port, piece);
    if (std::isnan(sense_v))
        return 0;
    if (sense_v > high + dust(high, share))
        return 1;
    if (sense_v < low - dust(low, share))
        return -1;
    return 0;
}

std::vector<std::size_t> all_outside(const PortPicture& picture, const PortAnswer& answer, double share) {
    std::vector<std::size_t> found;
    for (std::size_t k = 0; k < picture.ports.size(); ++k)
        if (outside(picture.ports[k], answer.piece[k], answer.sense_v[k], share) != 0)
            found.push_back(k);
    return found;
}

bool is_finite(const PortAnswer& answer) {
    const auto finite = [](double value) { return std::isfinite(value); };
    return std::all_of(answer.correction_a.begin(), answer.correction_a.end(), finite) &&
           std::all_of(answer.sense_v.begin(), answer.sense_v.end(), finite);
}

constexpr double fine_share = 1e-11;
constexpr double coarse_share = 1e-8;
/// Moves of all ports at once that may fail to leave fewer of them outside, before single moves take over.
constexpr int steps_together = 3;
constexpr std::size_t most_choices = 4096;

/// Every choice of pieces in turn; for the few ports of a remote-sensing kit that the search cannot settle.
std::optional<PortAnswer> by_enumeration(const PortPicture& picture) {
    std::size_t choices = 1;
    for (const Port& port : picture.ports) {
        choices *= port.pieces.size();
        if (choices > most_choices)
            return std::nullopt;
    }
    std::vector<std::size_t> pieces(picture.ports.size(), 0);
    for (std::size_t choice = 0; choice < choices; ++choice) {
        std::size_t rest = choice;
        for (std::size_t k = 0; k < pieces.size(); ++k) {
            pieces[k] = rest % picture.ports[k].pieces.size();
            rest /= picture.ports[k].pieces.size();
        }
        PortAnswer answer = answer_at(picture, Resting(picture, pieces));
        if (is_finite(answer) && all_outside(picture, answer, coarse_share).empty())
            return answer;
    }
    return std::nullopt;
}

/// Keeps the factored system as long as no piece changes.
class Search {
  public:
    Search(const PortPicture& picture, std::vector<std::size_t> start)
        : picture_(picture), resting_(std::in_place, picture, std::move(start)) {}
    base::Outcome<PortAnswer, Disagreement> run();
    int changes() const { return changes_; }

  private:
    const PortPicture& picture_;
    std::optional<Resting> resting_;
    int changes_ = 0;
};

base::Outcome<PortAnswer, Disagreement> Search::run() {
    const int most_changes = 1000 + 20 * static_cast<int>(picture_.ports.size());
    std::size_t fewest = picture_.ports.size() + 1;
    int together_left = 0;
    for (int change = 0; change <= most_changes; ++change) {
        PortAnswer answer = answer_at(picture_, *resting_);
        std::vector<std::size_t> pieces = resting_->pieces();
        const std::vector<std::size_t> wrong = all_outside(picture_, answer, fine_share);
        if (wrong.size() < fewest) {
            fewest = wrong.size();
            together_left = steps_together;
        }
        // Ports that sense elsewhere are moved alone, after all others rest.
        std::vector<std::size_t> moving;
        if (together_left-- > 0)
            for (const std::size_t k : wrong)
                if (senses_itself(picture_.ports[k]))
                    moving.push_back(k);
        if (moving.empty() && !wrong.empty())
            moving.push_back(wrong.front());
        for (const std::size_t k : moving)
            pieces[k] += outside(picture_.ports[k], pieces[k], answer.sense_v[k], fine_share) > 0
                             ? std::size_t{1}
                             : std::numeric_limits<std::size_t>::max(); // one down
        const bool settled = wrong.empty();
        if (settled && is_finite(answer)) {
            answer.changes = changes_;
            return answer;
        }
        if (settled)
            return base::failure(Disagreement{.ports = {}, .why = "the arithmetic broke down"});
        resting_.emplace(picture_, pieces);
        ++changes_;
    }
    if (auto answer = by_enumeration(picture_)) {
        resting_.emplace(picture_, answer->piece);
        answer->changes = changes_;
        return *answer;
    }
    const PortAnswer last = answer_at(picture_, *resting_);
    return base::failure(Disagreement{.ports = all_outside(picture_, last, fine_share),
                                      .why = "no resting place of the regulators was found"});
}

std::vector<std::size_t> first_pieces(const PortPicture& picture) {
    std::vector<std::size_t> start;
    for (const Port& port : picture.ports)
        start.push_back(port.start);
    return start;
}

} // namespace

double PortAnswer::current_a(const PortPicture& picture, std::size_t k) const {
    const Piece& active = picture.ports[k].pieces[piece[k]];
    return active.alpha_a - active.beta_s * sense_v[k];
}

Port changed_branch(int a, int b, double from_ohm, double to_ohm) {
    // Current out of plus = v / from - v / to: the branch's own current, less what the new one would take.
    Port port{.kind = PortKind::fault,
              .plus = a,
              .minus = b,
              .sense_plus = a,
              .sense_minus = b,
              .in_linear = false};
    port.pieces.push_back({.alpha_a = 0,
                           .beta_s = 1 / to_ohm - 1 / from_ohm,
                           .upto_v = std::numeric_limits<double>::infinity()});
    return port;
}

Port added_branch(int a, int b, double ohm) {
    return changed_branch(a, b, std::numeric_limits<double>::infinity(), ohm);
}

void drop_ports(PortPicture& picture, std::size_t count) {
    const std::size_t kept = picture.ports.size() - count;
    picture.ports.resize(kept);
    picture.column.resize(kept);
    picture.v0.resize(kept);
    picture.s0.resize(kept);
    for (auto* matrix : {&picture.z, &picture.zs}) {
        matrix->resize(kept);
        for (auto& row : *matrix)
            row.resize(kept);
    }
}

PortPicture picture_of(const LinearNetwork& linear, const std::vector<Port>& ports) {
    PortPicture picture;
    std::vector<double> injected(linear.nodes(), 0.0);
    for (const Port& port : ports) {
        injected[static_cast<std::size_t>(port.plus)] += base_of(port).a;
        injected[static_cast<std::size_t>(port.minus)] -= base_of(port).a;
    }
    picture.base_volts = linear.volts(injected);
    linear.refine(picture.base_volts, injected);
    for (const Port& port : ports)
        add_port(linear, picture, port);
    return picture;
}

void add_port(const LinearNetwork& linear, PortPicture& picture, const Port& port) {
    std::vector<double> injected(linear.nodes(), 0.0);
    injected[static_cast<std::size_t>(port.plus)] += 1;
    injected[static_cast<std::size_t>(port.minus)] -= 1;
    picture.ports.push_back(port);
    picture.column.push_back(linear.volts(injected));
    picture.v0.push_back(across(picture.base_volts, port.plus, port.minus));
    picture.s0.push_back(across(picture.base_volts, port.sense_plus, port.sense_minus));
    const std::size_t last = picture.ports.size() - 1;
    picture.z.emplace_back(last, 0.0);
    picture.zs.emplace_back(last, 0.0);
    for (std::size_t j = 0; j < last; ++j) {
        picture.z[last][j] = across(picture.column[j], port.plus, port.minus);
        picture.zs[last][j] = across(picture.column[j], port.sense_plus, port.sense_minus);
    }
    for (std::size_t k = 0; k <= last; ++k) {
        const Port& seen = picture.ports[k];
        picture.z[k].push_back(across(picture.column[last], seen.plus, seen.minus));
        picture.zs[k].push_back(across(picture.column[last], seen.sense_plus, seen.sense_minus));
    }
}

struct HeldPieces::Inside {
    const PortPicture& picture;
    Resting resting;
};

HeldPieces::HeldPieces(const PortPicture& picture, const std::vector<std::size_t>& pieces)
    : inside_(new Inside{.picture = picture, .resting = Resting(picture, pieces)}) {}

HeldPieces::~HeldPieces() = default;

PortAnswer HeldPieces::answer() const {
    return answer_at(inside_->picture, inside_->resting);
}

base::Outcome<PortAnswer, Disagreement> settle(const PortPicture& picture,
                                               const std::vector<std::size_t>& start) {
    return Search(picture, start).run();
}

base::Outcome<PortAnswer, Disagreement> settle_with_power(PortPicture& picture) {
    std::vector<std::size_t> powered;
    for (std::size_t k = 0; k < picture.ports.size(); ++k)
        if (picture.ports[k].power_w > 0) {
            powered.push_back(k);
            set_power_current(picture.ports[k], 0.0);
        }
    // The search keeps a reference to the picture, so it sees each new current.
    Search search(picture, first_pieces(picture));
    constexpr int most_rounds = 20000;
    constexpr int patient_rounds = 500; // then the dust of an ill-conditioned network decides
    std::vector<std::size_t> moving;
    for (int round = 0; round < most_rounds; ++round) {
        auto answer = search.run();
        if (!answer || powered.empty())
            return answer;
        moving.clear();
        for (const std::size_t k : powered) {
            Port& port = picture.ports[k];
            const double now_a = -port.pieces[2].alpha_a;
            const double next_a = port.power_w / std::max(answer->volts[k], port.fold_v);
            if (std::abs(next_a - now_a) > (round < patient_rounds ? 1e-12 : 1e-9) * next_a)
                moving.push_back(k);
            set_power_current(port, next_a);
        }
        if (moving.empty())
            return answer;
    }
    return base::failure(Disagreement{.ports = moving, .why = "constant-power loads do not settle"});
}

double volts_without(const PortPicture& picture, const PortAnswer& answer, std::size_t port) {
    constexpr double never = -std::numeric_limits<double>::max();
    PortPicture without = picture;
    for (Piece& piece : without.ports[port].pieces)
        piece.upto_v = never; // the base piece must stay: it is factored in
    without.ports[port].pieces.back() = {
        .alpha_a = 0, .beta_s = 0, .upto_v = std::numeric_limits<double>::infinity()};
    std::vector<std::size_t> start = answer.piece;
    start[port] = without.ports[port].pieces.size() - 1;
    const auto settled = settle(without, start);
    return settled ? settled->volts[port] : std::numeric_limits<double>::quiet_NaN();
}

std::vector<double> node_volts(const LinearNetwork& linear, const PortPicture& picture, PortAnswer& answer) {
    const Resting resting(picture, answer.piece);
    const std::size_t count = picture.ports.size();
    std::vector<double> volts = picture.base_volts;
    const auto add = [&](const std::vector<double>& correction_a) {
        for (const std::size_t k : resting.active())
            for (std::size_t n = 0; n < volts.size(); ++n)
                volts[n] += picture.column[k][n] * correction_a[k];
    };
    const auto read = [&] {
        for (std::size_t k = 0; k < count; ++k) {
            answer.volts[k] = across(volts, picture.ports[k].plus, picture.ports[k].minus);
            answer.sense_v[k] = across(volts, picture.ports[k].sense_plus, picture.ports[k].sense_minus);
        }
    };
    const auto injected = [&] {
        std::vector<double> sum(linear.nodes(), 0.0);
        for (std::size_t k = 0; k < count; ++k) {
            const Port& port = picture.ports[k];
            const double current_a = base_of(port).a + answer.correction_a[k];
            sum[static_cast<std::size_t>(port.plus)] += current_a;
            sum[static_cast<std::size_t>(port.minus)] -= current_a;
        }
        return sum;
    };
    add(answer.correction_a);
    for (int round = 0; round < 3; ++round) {
        linear.refine(volts, injected());
        read();
        std::vector<double> mismatch(count, 0.0);
        for (const std::size_t k : resting.active())
            mismatch[k] = resting.mismatch_a(k, answer.volts[k], answer.sense_v[k], answer.correction_a[k]);
        const std::vector<double> step = resting.corrections(mismatch);
        for (std::size_t k = 0; k < count; ++k)
            answer.correction_a[k] += step[k];
        add(step);
    }
    linear.refine(volts, injected());
    read();
    return volts;
}

} // namespace stoutloom::solve

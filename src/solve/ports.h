// The network seen from its ports, and the search for the piece of its law on which every port rests.
// Room-internal.
//
// With the base pieces inside the linear network, each port k injects only a correction J_k beside its base
// piece:
//   v = v0 + Z J     volts across the ports            s = s0 + S J     volts at their sense nodes
//   alpha_k - beta_k s_k = a_k - g_k v_k + J_k         law of the active piece = base piece + correction
// which is a small dense system. Where all ports sense at their own nodes, every choice of pieces leaves the
// nodal matrix symmetric and positive definite (each port has a leak), so the problem has one solution.
//
// Search: change the piece of every port whose volts lie outside its piece, by one step towards them, as long
// as that leaves fewer of them outside (a few tries allowed); else only that of the lowest-numbered one,
// until fewer are outside than ever; repeat (block principal pivoting with a safeguard, Judice and Pires
// 1994, from memory). It ends, for the single moves do: hold the last port on one (prolonged) piece; by
// induction the others settle. If the last port's volts then lie beyond the upper end of its piece, the
// solution does too, for its volts minus what the others answer rise with its current; so it moves up once
// for good, and never back. Each port thus moves at most once over its pieces per settling of the ports
// before it; and each return to moves of all has fewer outside. A remote sense point can break the symmetry;
// then the count below ends the search and all choices are tried if they are few.
#pragma once

#include "base/outcome.h"
#include "solve/linear.h"

#include <memory>
#include <vector>

namespace stoutloom::solve {

struct PortPicture {
    std::vector<Port> ports;
    std::vector<double> base_volts;          // node volts with no correction
    std::vector<std::vector<double>> column; // node volts per ampere of J_k
    std::vector<double> v0, s0;
    std::vector<std::vector<double>> z, zs; // [k][j]
};
PortPicture picture_of(const LinearNetwork& linear, const std::vector<Port>& ports);
/// One more port, seen from the same factor: an opened branch, a short. It is not in the linear
/// network.
void add_port(const LinearNetwork& linear, PortPicture& picture, const Port& port);

/// Takes the last ports away again.
void drop_ports(PortPicture& picture, std::size_t count);

/// A branch whose resistance changes; infinite: it is taken out. The correction makes up the difference of
/// current.
Port changed_branch(int a, int b, double from_ohm, double to_ohm);
/// A resistance that was not there, for a short.
Port added_branch(int a, int b, double ohm);

struct PortAnswer {
    std::vector<double> correction_a; // J
    std::vector<std::size_t> piece;
    std::vector<double> volts, sense_v; // by port
    int changes = 0;
    /// Current out of plus, by the active piece.
    double current_a(const PortPicture& picture, std::size_t k) const;
};
/// No resting place: the ports that disagree.
struct Disagreement {
    std::vector<std::size_t> ports;
    std::string why;
};
/// Corrections and volts with every port held on a given piece, prolonged beyond its ends. The picture is
/// kept by reference: between answers the constant parts of its pieces (alpha_a) may change, their slopes
/// must not.
class HeldPieces {
  public:
    HeldPieces(const PortPicture& picture, const std::vector<std::size_t>& pieces);
    ~HeldPieces();
    HeldPieces(const HeldPieces&) = delete;
    HeldPieces& operator=(const HeldPieces&) = delete;
    PortAnswer answer() const;

  private:
    struct Inside;
    std::unique_ptr<const Inside> inside_;
};
/// Pieces and corrections at the given constant currents of power ports.
base::Outcome<PortAnswer, Disagreement> settle(const PortPicture& picture,
                                               const std::vector<std::size_t>& start);
/// The same with constant-power ports followed from the no-load volts downwards: the greatest solution, or
/// their fold.
base::Outcome<PortAnswer, Disagreement> settle_with_power(PortPicture& picture);

/// Volts across a consumer's port with that consumer taken out, all others as they then settle; NaN if they
/// do not.
double volts_without(const PortPicture& picture, const PortAnswer& answer, std::size_t port);

/// Node volts of an answer, refined against the linear network.
std::vector<double> node_volts(const LinearNetwork& linear, const PortPicture& picture, PortAnswer& answer);

} // namespace stoutloom::solve

// First come, first served leaves drawings alone whose partners stand with others; chains of exchanges find
// them one.
#include "layout/page_groups.h"

#include <algorithm>

namespace stoutloom::layout {
namespace {

constexpr std::size_t nobody = static_cast<std::size_t>(-1);
// By how many drawings a page may leave the order of the vehicle: as a rule, and to save a page.
constexpr std::size_t look_ahead = 8, far_ahead = 12;

class Grouping {
  public:
    Grouping(const std::vector<double>& least_mm, double whole_mm, const std::set<PageGroup>& barred)
        : least_(least_mm), whole_(whole_mm), barred_(barred), mate_(least_mm.size(), nobody),
          in_more_(least_mm.size(), false) {}
    std::vector<PageGroup> groups();

  private:
    const std::vector<double>& least_;
    double whole_;
    const std::set<PageGroup>& barred_;
    std::vector<std::size_t> mate_; // of those on a page for two
    std::vector<bool> in_more_;     // on a page for more
    std::vector<PageGroup> groups_;

    bool may_join(PageGroup group, std::size_t k, std::size_t apart) const;
    void pair_up(std::size_t a, std::size_t b) {
        mate_[a] = b;
        mate_[b] = a;
    }
    void first_come();
    void mate_up(std::size_t alone);
};

/// `k`, a drawing, beside those of the group; `apart`, by how many the first and last may differ.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters)
bool Grouping::may_join(PageGroup group, std::size_t k, std::size_t apart) const {
    group.push_back(k);
    std::sort(group.begin(), group.end());
    double tall = -between_decks_mm;
    for (const std::size_t each : group)
        tall += least_[each] + between_decks_mm;
    return group.back() - group.front() <= apart && tall <= whole_ + 1e-6 && !barred_.contains(group);
}

void Grouping::first_come() {
    std::vector<bool> placed(least_.size(), false);
    for (std::size_t i = 0; i < least_.size(); ++i) {
        if (placed[i])
            continue;
        PageGroup together;
        for (std::size_t next = i; next != nobody;) {
            together.push_back(next);
            placed[next] = true;
            next = nobody;
            for (std::size_t k = i + 1; k < least_.size(); ++k)
                if (!placed[k] && may_join(together, k, look_ahead) &&
                    (next == nobody || least_[k] > least_[next]))
                    next = k;
        }
        if (together.size() == 2)
            pair_up(together[0], together[1]);
        if (together.size() < 3)
            continue;
        for (const std::size_t k : together)
            in_more_[k] = true;
        groups_.push_back(std::move(together));
    }
}

/// A chain in which each takes the partner of the next, to the nearest that is alone too.
void Grouping::mate_up(std::size_t alone) {
    std::vector<bool> seen(least_.size(), false);
    std::vector<std::size_t> taker(least_.size(), nobody);
    std::vector<std::size_t> without{alone};
    std::size_t end = nobody;
    seen[alone] = true;
    for (std::size_t at = 0; at < without.size() && end == nobody; ++at)
        for (std::size_t k = 0; k < least_.size() && end == nobody; ++k) {
            if (seen[k] || in_more_[k] || !may_join({without[at]}, k, far_ahead))
                continue;
            seen[k] = true;
            taker[k] = without[at];
            if (mate_[k] == nobody) {
                end = k;
            } else {
                seen[mate_[k]] = true;
                without.push_back(mate_[k]);
            }
        }
    while (end != nobody) {
        const std::size_t left = mate_[taker[end]];
        pair_up(taker[end], end);
        end = left;
    }
}

std::vector<PageGroup> Grouping::groups() {
    first_come();
    for (std::size_t i = 0; i < least_.size(); ++i)
        if (mate_[i] == nobody && !in_more_[i])
            mate_up(i);
    for (std::size_t i = 0; i < least_.size(); ++i)
        if (!in_more_[i] && (mate_[i] == nobody || mate_[i] > i))
            groups_.push_back(mate_[i] == nobody ? PageGroup{i} : PageGroup{i, mate_[i]});
    std::sort(groups_.begin(), groups_.end());
    return groups_;
}

} // namespace

std::vector<PageGroup> page_groups(const std::vector<double>& least_mm, double whole_mm,
                                   const std::set<PageGroup>& barred) {
    return Grouping(least_mm, whole_mm, barred).groups();
}

} // namespace stoutloom::layout

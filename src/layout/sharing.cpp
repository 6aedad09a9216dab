// Joining from below: every unit begins alone, and the two groups with the most cables between them are
// joined while a sheet holds both. What is left over is moved one by one where that saves a cut.
#include "layout/sharing.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace stoutloom::layout {
namespace {

bool holds(const SheetGroup& group, const Whereabouts& where) {
    return where.on_bed ? std::find(group.beds.begin(), group.beds.end(), where.zone) != group.beds.end()
                        : std::find(group.units.begin(), group.units.end(), where.owner) != group.units.end();
}

class Sharing {
  public:
    Sharing(const DiagramContent& content, const Ends& ends, const std::vector<double>& unit_keys,
            bool control, const std::function<bool(const SheetGroup&)>& fits)
        : content_(content), ends_(ends), keys_(unit_keys), control_(control), fits_(fits) {}
    std::vector<std::vector<SheetGroup>> share(const SheetGroup& whole);

  private:
    const DiagramContent& content_;
    const Ends& ends_;
    const std::vector<double>& keys_;
    bool control_;
    const std::function<bool(const SheetGroup&)>& fits_;
    std::vector<SheetGroup> groups_;
    double modesty_ = 1; // how much the size of a pair counts against joining it

    void cut_along(const SheetGroup& whole);
    void join_all(const SheetGroup& whole);
    double cost() const;
    using Two = std::pair<std::size_t, std::size_t>;
    std::map<std::pair<std::vector<std::size_t>, std::vector<std::size_t>>, bool> known_;

    bool fit(const SheetGroup& group);
    std::vector<const Whereabouts*> ends_of(std::size_t unit) const;
    std::map<Two, double> pulls() const;
    double apart(const Two& two) const {
        return std::abs(key(groups_[two.first]) - key(groups_[two.second])) / 1000;
    }
    double key(const SheetGroup& group) const;
    bool join_best(bool strangers);
    bool move_one();
    SheetGroup joined(const SheetGroup& a, const SheetGroup& b) const;
    void sort(SheetGroup& group) const;
};

/// Cables between each two groups; a unit that stands on a block of metal counts as two towards the block's
/// studs, since the seat is a joint too.
std::map<Sharing::Two, double> Sharing::pulls() const {
    std::map<std::size_t, std::size_t> of_unit;
    std::map<std::size_t, std::size_t> of_beds;
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        for (const std::size_t unit : groups_[g].units)
            of_unit[unit] = g;
        for (const std::size_t zone : groups_[g].beds)
            of_beds[zone] = g;
    }
    std::map<Two, double> found;
    const auto add = [&](const std::map<std::size_t, std::size_t>& map_a, std::size_t a,
                         const std::map<std::size_t, std::size_t>& map_b, std::size_t b, double weight) {
        const auto one = map_a.find(a);
        const auto other = map_b.find(b);
        if (one != map_a.end() && other != map_b.end() && one->second != other->second)
            found[std::minmax(one->second, other->second)] += weight;
    };
    const auto map_of = [&](const Whereabouts& where) -> const std::map<std::size_t, std::size_t>& {
        return where.on_bed ? of_beds : of_unit;
    };
    const auto name_of = [](const Whereabouts& where) { return where.on_bed ? where.zone : where.owner; };
    for (std::size_t c = 0; c < content_.cables.size(); ++c)
        if ((content_.cables[c].flow == Flow::control) == control_) {
            const Whereabouts& from = ends_.of[c][0];
            const Whereabouts& to = ends_.of[c][1];
            add(map_of(from), name_of(from), map_of(to), name_of(to), 1);
        }
    // A block that stands under its units alone; the long body is on every sheet anyway.
    for (std::size_t u = 0; u < content_.units.size() && !control_; ++u)
        if (const auto seat = content_.units[u].seat_bed; seat && content_.beds[*seat].studs.size() <= 3)
            add(of_unit, u, of_beds, content_.units[u].zone, 2);
    return found;
}

double Sharing::key(const SheetGroup& group) const {
    double sum = 0;
    for (const std::size_t unit : group.units)
        sum += keys_[unit];
    for (const std::size_t zone : group.beds)
        sum += static_cast<double>(zone) * 1000 + 500;
    return group.size() == 0 ? 0 : sum / static_cast<double>(group.size());
}

void Sharing::sort(SheetGroup& group) const {
    std::sort(group.units.begin(), group.units.end(),
              [&](std::size_t a, std::size_t b) { return keys_[a] < keys_[b]; });
    std::sort(group.beds.begin(), group.beds.end());
}

// Which is first makes no difference.
// NOLINTNEXTLINE(bugprone-easily-swappable-parameters)
SheetGroup Sharing::joined(const SheetGroup& a, const SheetGroup& b) const {
    SheetGroup both = a;
    both.units.insert(both.units.end(), b.units.begin(), b.units.end());
    both.beds.insert(both.beds.end(), b.beds.begin(), b.beds.end());
    sort(both);
    return both;
}

/// Joins the pair with the strongest pull for its size; `strangers`: pairs without a cable between them too,
/// neighbours along the vehicle first.
bool Sharing::join_best(bool strangers) {
    struct Pair {
        double worth;
        std::size_t a, b;
    };
    std::vector<Pair> pairs;
    const std::map<Two, double> pull = pulls();
    for (const auto& [two, cables] : pull) {
        const auto size = static_cast<double>(groups_[two.first].size() + groups_[two.second].size());
        pairs.push_back({cables / std::pow(size, modesty_) - 0.01 * apart(two), two.first, two.second});
    }
    for (std::size_t a = 0; a < groups_.size() && strangers; ++a)
        for (std::size_t b = a + 1; b < groups_.size(); ++b)
            if (!pull.contains({a, b}) && apart({a, b}) < 1.5)
                pairs.push_back({-1 - apart({a, b}), a, b});
    std::stable_sort(pairs.begin(), pairs.end(),
                     [](const Pair& one, const Pair& other) { return one.worth > other.worth; });
    for (const Pair& pair : pairs) {
        SheetGroup both = joined(groups_[pair.a], groups_[pair.b]);
        if (!fit(both))
            continue;
        groups_[pair.a] = std::move(both);
        groups_.erase(groups_.begin() + static_cast<std::ptrdiff_t>(pair.b));
        return true;
    }
    return false;
}

/// Moves a unit to the sheet to which more cables lead from it than to what stands beside it now.
bool Sharing::move_one() {
    for (std::size_t from = 0; from < groups_.size(); ++from)
        for (const std::size_t unit : std::vector<std::size_t>(groups_[from].units)) {
            SheetGroup alone;
            alone.units.push_back(unit);
            SheetGroup rest = groups_[from];
            std::erase(rest.units, unit);
            std::vector<double> ways(groups_.size(), 0); // cables from the unit to each group
            for (const auto& end : ends_of(unit))
                for (std::size_t g = 0; g < groups_.size(); ++g)
                    ways[g] += holds(groups_[g], *end) ? 1 : 0;
            for (std::size_t to = 0; to < groups_.size(); ++to) {
                if (to == from || ways[to] <= ways[from])
                    continue;
                SheetGroup more = joined(groups_[to], alone);
                if (!fit(more) || (rest.size() > 0 && !fit(rest)))
                    continue;
                groups_[to] = std::move(more);
                groups_[from] = std::move(rest);
                if (groups_[from].size() == 0)
                    groups_.erase(groups_.begin() + static_cast<std::ptrdiff_t>(from));
                return true;
            }
        }
    return false;
}

/// The far ends of a unit's cables.
std::vector<const Whereabouts*> Sharing::ends_of(std::size_t unit) const {
    std::vector<const Whereabouts*> found;
    for (std::size_t c = 0; c < content_.cables.size(); ++c)
        for (std::size_t e = 0; e < 2; ++e)
            if (const Whereabouts& own = ends_.of[c][e];
                !own.on_bed && own.owner == unit && (content_.cables[c].flow == Flow::control) == control_)
                found.push_back(&ends_.of[c][1 - e]);
    return found;
}

bool Sharing::fit(const SheetGroup& group) {
    const auto [at, fresh] = known_.try_emplace({group.units, group.beds}, false);
    if (fresh)
        at->second = fits_(group);
    return at->second;
}

void Sharing::join_all(const SheetGroup& whole) {
    groups_.clear();
    for (const std::size_t unit : whole.units)
        groups_.push_back({{unit}, {}});
    for (const std::size_t zone : whole.beds)
        groups_.push_back({{}, {zone}});
    while (join_best(false)) {
    }
    for (std::size_t moves = 0; moves < 4 * whole.size() && move_one(); ++moves) {
    }
    while (join_best(true)) {
    }
}

/// Cuts the row of all things, as they stand along the vehicle, into the fewest sheets over the fewest
/// cables.
void Sharing::cut_along(const SheetGroup& whole) {
    std::vector<SheetGroup> things;
    for (const std::size_t unit : whole.units)
        things.push_back({{unit}, {}});
    for (const std::size_t zone : whole.beds)
        things.push_back({{}, {zone}});
    std::stable_sort(things.begin(), things.end(),
                     [&](const SheetGroup& a, const SheetGroup& b) { return key(a) < key(b); });
    groups_ = things;
    std::vector<double> over(things.size() + 1, 0); // cables over the border before each thing
    for (const auto& [two, cables] : pulls())
        for (std::size_t border = two.first + 1; border <= two.second; ++border)
            over[border] += cables;
    constexpr std::size_t most_things = 16;
    std::vector<double> least(things.size() + 1, 1e18);
    std::vector<std::size_t> from(things.size() + 1, 0);
    least[0] = 0;
    for (std::size_t end = 1; end <= things.size(); ++end) {
        SheetGroup part;
        for (std::size_t begin = end; begin-- > 0 && end - begin <= most_things;) {
            part = joined(things[begin], part);
            // One thing alone is taken in any case, so that there is always a way.
            if (end - begin > 1 && !fit(part))
                break;
            if (const double now = least[begin] + 6 + over[begin]; now < least[end]) {
                least[end] = now;
                from[end] = begin;
            }
        }
    }
    groups_.clear();
    for (std::size_t end = things.size(); end > 0; end = from[end]) {
        SheetGroup part;
        for (std::size_t i = from[end]; i < end; ++i)
            part = joined(part, things[i]);
        groups_.push_back(std::move(part));
    }
    for (std::size_t moves = 0; moves < 4 * whole.size() && move_one(); ++moves) {
    }
}

/// A sheet more is as bad as six cables that must be followed from one sheet to another.
double Sharing::cost() const {
    double cuts = 0;
    for (const auto& [two, cables] : pulls())
        cuts += cables;
    return 6 * static_cast<double>(groups_.size()) + cuts;
}

std::vector<std::vector<SheetGroup>> Sharing::share(const SheetGroup& whole) {
    std::vector<std::pair<double, std::vector<SheetGroup>>> found;
    // Joining the small first, or simply where the most cables run: neither is always the better.
    for (const double modesty : {-1.0, 1.0, 0.5, 0.0}) {
        modesty_ = modesty;
        if (modesty < 0)
            cut_along(whole);
        else
            join_all(whole);
        std::stable_sort(groups_.begin(), groups_.end(),
                         [&](const SheetGroup& a, const SheetGroup& b) { return key(a) < key(b); });
        if (std::none_of(found.begin(), found.end(),
                         [&](const auto& other) { return other.second == groups_; }))
            found.emplace_back(cost(), groups_);
    }
    std::stable_sort(found.begin(), found.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    std::vector<std::vector<SheetGroup>> ways;
    ways.reserve(found.size());
    for (auto& [cost, groups] : found)
        ways.push_back(std::move(groups));
    return ways;
}

} // namespace

std::vector<std::vector<SheetGroup>> shared_out(const DiagramContent& content, const Ends& ends,
                                                const std::vector<double>& unit_keys, const SheetGroup& whole,
                                                bool control,
                                                const std::function<bool(const SheetGroup&)>& fits) {
    return Sharing(content, ends, unit_keys, control, fits).share(whole);
}

} // namespace stoutloom::layout

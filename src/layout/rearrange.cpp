// Only what has a part in a fault is tried: the other orders of a tidy sheet would cost time and find
// nothing.
#include "layout/rearrange.h"

#include <algorithm>

namespace stoutloom::layout {
namespace {

constexpr int many_bends = 4; // from which a way is roundabout

/// Cables that cross another, most crossings first, then those that run round the device they come from, on
/// roundabout ways or without their label.
std::vector<std::size_t> knotted(const PlacedSheet& sheet) {
    const std::vector<Routed>& routes = sheet.routing.routes;
    std::vector<std::pair<int, std::size_t>> count;
    for (const Routed& one : routes) {
        const auto crossed = std::count_if(routes.begin(), routes.end(), [&](const Routed& other) {
            return other.cable != one.cable && cross(one, other);
        });
        if (crossed > 0 || track_bends(one.track) > many_bends || runs_round(sheet.arrangement, one))
            count.emplace_back(static_cast<int>(crossed), one.cable);
    }
    for (const CableNote& note : sheet.notes.cables)
        if (!note.again && (!note.has_label || note.short_label))
            count.emplace_back(0, note.cable);
    std::stable_sort(count.begin(), count.end(),
                     [](const auto& one, const auto& other) { return one.first > other.first; });
    std::vector<std::size_t> cables;
    for (const auto& [crossed, cable] : count)
        if (std::find(cables.begin(), cables.end(), cable) == cables.end())
            cables.push_back(cable);
    return cables;
}

class Finder {
  public:
    Finder(const DiagramContent& content, const Ends& ends, const PlacedSheet& sheet)
        : content_(content), ends_(ends), sheet_(sheet) {}
    std::vector<Rearrangement> find();

  private:
    const DiagramContent& content_;
    const Ends& ends_;
    const PlacedSheet& sheet_;
    std::vector<Rearrangement> found_;

    void add(const Rearrangement& how) {
        if (std::find(found_.begin(), found_.end(), how) == found_.end())
            found_.push_back(how);
    }
    void exchanges(std::size_t unit, std::size_t apart);
};

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): a unit and how many places off, named so
void Finder::exchanges(std::size_t unit, std::size_t apart) {
    for (const Panel& panel : sheet_.arrangement.share.panels)
        for (std::size_t i = 0; i < panel.units.size(); ++i) {
            if (panel.units[i] != unit)
                continue;
            if (i >= apart)
                add({Rearrangement::Kind::exchange, panel.units[i - apart], unit});
            if (i + apart < panel.units.size())
                add({Rearrangement::Kind::exchange, unit, panel.units[i + apart]});
        }
}

std::vector<Rearrangement> Finder::find() {
    const std::vector<std::size_t> cables = knotted(sheet_);
    std::vector<std::size_t> units; // of this sheet, at an end of one of them
    for (const std::size_t cable : cables)
        for (const Whereabouts& where : ends_.of[cable])
            for (const PlacedUnit& unit : sheet_.arrangement.units)
                if (!where.on_bed && unit.index == where.owner &&
                    std::find(units.begin(), units.end(), unit.index) == units.end())
                    units.push_back(unit.index);
    for (const std::size_t unit : units)
        if (content_.units[unit].studs.size() > 1)
            add({Rearrangement::Kind::mirror, unit, 0});
    for (const std::size_t unit : units)
        exchanges(unit, 1);
    for (const std::size_t cable : cables) {
        int free = 0;
        for (std::size_t end = 0; end < 2; ++end) {
            const PlacedLug* lug = nullptr;
            const PlacedStud* stud = sheet_.arrangement.stud_of(cable, static_cast<int>(end), &lug);
            if (stud == nullptr || stud->forced_side != 0)
                continue;
            add({Rearrangement::Kind::turn, cable, end});
            ++free;
        }
        if (free == 2)
            add({Rearrangement::Kind::turn, cable, 2});
    }
    for (const std::size_t cable : cables)
        for (const Leaving& leaving : sheet_.arrangement.leaving)
            if (leaving.cable == cable)
                add({Rearrangement::Kind::leave, cable, static_cast<std::size_t>(leaving.end)});
    // What was changed while other things stood otherwise may be better undone.
    const Departures& done = sheet_.arrangement.share.departures;
    for (const std::size_t unit : done.mirrored)
        add({Rearrangement::Kind::mirror, unit, 0});
    for (const auto& [cable, end] : done.turned)
        add({Rearrangement::Kind::turn, cable, static_cast<std::size_t>(end)});
    for (const auto& [cable, end] : done.astray)
        add({Rearrangement::Kind::leave, cable, static_cast<std::size_t>(end)});
    for (std::size_t apart = 2; apart < content_.units.size() && apart < 12; ++apart)
        for (const std::size_t unit : units)
            exchanges(unit, apart);
    return std::move(found_);
}

} // namespace

std::vector<Rearrangement> rearrangements(const DiagramContent& content, const Ends& ends,
                                          const PlacedSheet& sheet) {
    return Finder(content, ends, sheet).find();
}

SheetShare rearranged(const SheetShare& share, const Rearrangement& how) {
    SheetShare made = share;
    const auto toggle = [](auto& list, const auto& what) {
        if (std::erase(list, what) == 0)
            list.push_back(what);
    };
    switch (how.kind) {
    case Rearrangement::Kind::mirror:
        toggle(made.departures.mirrored, how.a);
        break;
    case Rearrangement::Kind::turn:
        for (int end = 0; end < 2; ++end)
            if (how.b == 2 || how.b == static_cast<std::size_t>(end))
                toggle(made.departures.turned, std::pair(how.a, end));
        break;
    case Rearrangement::Kind::leave:
        toggle(made.departures.astray, std::pair(how.a, static_cast<int>(how.b)));
        break;
    case Rearrangement::Kind::exchange:
        for (Panel& panel : made.panels) {
            const auto a = std::find(panel.units.begin(), panel.units.end(), how.a);
            const auto b = std::find(panel.units.begin(), panel.units.end(), how.b);
            if (a == panel.units.end() || b == panel.units.end())
                continue;
            std::iter_swap(a, b);
            std::swap(made.unit_keys[how.a], made.unit_keys[how.b]);
        }
        break;
    }
    return made;
}

} // namespace stoutloom::layout

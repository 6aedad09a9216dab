// A loom straightened: the trunk is made of its zones, each as long as the longest stretch in it; a cable
// that runs through a zone only in part joins or leaves inside it.
#include "report/papers/contents.h"

#include "physics/conductor.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

namespace stoutloom::report {
namespace {

using layout::papers::Breakout;
using layout::papers::LoomBoard;
using layout::papers::TrunkPart;

/// One cable in a loom: its stretches there, in trunk order, and the tails before and after.
struct Member {
    model::CableIndex cable{};
    bool reversed = false;                                      // runs against the trunk
    std::vector<std::pair<model::ZoneIndex, double>> stretches; // in the cable's own order
    double tail_from_m = 0, tail_to_m = 0;
    std::optional<model::ZoneIndex> zone_before, zone_after; // where it runs before and after the loom
    int from_side = 0, to_side = 0;    // of a cable in one zone: -1 that end leaves where the zone begins, +1
                                       // where it ends, 0 somewhere within
    double enters_m = 0, leaves_m = 0; // along the trunk
};

std::vector<std::string> loom_ids(const model::Harness& harness) {
    std::vector<std::string> ids;
    for (const model::Cable& cable : harness.cables)
        for (const model::Segment& segment : cable.segments)
            if (!segment.loom.empty() && std::find(ids.begin(), ids.end(), segment.loom) == ids.end())
                ids.push_back(segment.loom);
    return ids;
}

std::vector<Member> members_of(const model::Harness& harness, const std::string& loom) {
    std::vector<Member> members;
    for (std::size_t i = 0; i < harness.cables.size(); ++i) {
        const auto& segments = harness.cables[i].segments;
        Member member;
        member.cable = static_cast<model::CableIndex>(i);
        std::size_t first = segments.size(), last = 0;
        for (std::size_t s = 0; s < segments.size(); ++s)
            if (segments[s].loom == loom) {
                first = std::min(first, s);
                last = s;
            }
        if (first == segments.size())
            continue;
        for (std::size_t s = 0; s < segments.size(); ++s) {
            const double length_m = segments[s].length_m.value;
            if (s < first) {
                member.tail_from_m += length_m;
                member.zone_before = segments[s].zone;
            } else if (s > last) {
                member.tail_to_m += length_m;
                if (!member.zone_after)
                    member.zone_after = segments[s].zone;
            } else if (!member.stretches.empty() && member.stretches.back().first == segments[s].zone)
                member.stretches.back().second += length_m;
            else
                member.stretches.emplace_back(segments[s].zone, length_m);
        }
        members.push_back(member);
    }
    return members;
}

/// Zones of the trunk in order: the member with most zones gives the order, others add theirs beside a zone
/// they share.
std::vector<model::ZoneIndex> trunk_order(std::vector<Member>& members) {
    std::vector<std::size_t> by_length(members.size());
    for (std::size_t i = 0; i < members.size(); ++i)
        by_length[i] = i;
    std::stable_sort(by_length.begin(), by_length.end(), [&](std::size_t a, std::size_t b) {
        return members[a].stretches.size() > members[b].stretches.size();
    });
    std::vector<model::ZoneIndex> order;
    const auto place = [&](model::ZoneIndex zone) {
        return static_cast<std::size_t>(std::find(order.begin(), order.end(), zone) - order.begin());
    };
    for (const std::size_t m : by_length) {
        Member& member = members[m];
        std::vector<model::ZoneIndex> zones;
        for (const auto& [zone, length] : member.stretches)
            zones.push_back(zone);
        // Against the trunk if the zones shared with it come in the other order.
        std::vector<std::size_t> shared;
        for (const model::ZoneIndex zone : zones)
            if (const std::size_t at = place(zone); at < order.size())
                shared.push_back(at);
        member.reversed = shared.size() > 1 && shared.front() > shared.back();
        if (member.reversed)
            std::reverse(zones.begin(), zones.end());
        for (std::size_t z = 0; z < zones.size(); ++z) {
            if (place(zones[z]) < order.size())
                continue;
            // After the zone before it, or before the zone after it, else at the end.
            std::size_t at = order.size();
            if (z > 0)
                at = place(zones[z - 1]) + 1;
            else if (zones.size() > 1 && place(zones[1]) < order.size())
                at = place(zones[1]);
            order.insert(order.begin() + static_cast<long>(at), zones[z]);
        }
    }
    return order;
}

/// A cable that shares one zone alone with the trunk lies in it as it comes and goes: its ends point to where
/// it runs outside, by the trunk's order or else by the vehicle's, which is the file's order of zones.
void turn_to_their_ends(std::vector<Member>& members, const std::vector<model::ZoneIndex>& order) {
    const bool falling = order.front() > order.back();
    for (Member& member : members) {
        if (member.stretches.size() != 1)
            continue;
        const model::ZoneIndex own = member.stretches.front().first;
        const auto side = [&](const std::optional<model::ZoneIndex>& outside) {
            if (!outside || *outside == own)
                return 0;
            const auto at = std::find(order.begin(), order.end(), *outside);
            const bool later = at != order.end() ? at > std::find(order.begin(), order.end(), own)
                                                 : (*outside > own) != falling;
            return later ? 1 : -1;
        };
        member.from_side = side(member.zone_before);
        member.to_side = side(member.zone_after);
        member.reversed = member.from_side > member.to_side;
    }
}

struct Trunk {
    std::vector<model::ZoneIndex> zones;
    std::vector<double> from_m, length_m;
};

Trunk trunk_of(std::vector<Member>& members) {
    Trunk trunk;
    trunk.zones = trunk_order(members);
    turn_to_their_ends(members, trunk.zones);
    double at = 0;
    for (const model::ZoneIndex zone : trunk.zones) {
        double longest = 0;
        for (const Member& member : members)
            for (const auto& [own, length] : member.stretches)
                if (own == zone)
                    longest = std::max(longest, length);
        trunk.from_m.push_back(at);
        trunk.length_m.push_back(longest);
        at += longest;
    }
    return trunk;
}

/// A cable whose first stretch is shorter than its zone joins late; whose last is shorter leaves early. In
/// one zone alone it lies at that end of the zone where it goes out, or starts with the zone.
void place_members(std::vector<Member>& members, const Trunk& trunk) {
    for (Member& member : members) {
        auto stretches = member.stretches;
        if (member.reversed)
            std::reverse(stretches.begin(), stretches.end());
        const auto index = [&](model::ZoneIndex zone) {
            return static_cast<std::size_t>(std::find(trunk.zones.begin(), trunk.zones.end(), zone) -
                                            trunk.zones.begin());
        };
        const std::size_t first = index(stretches.front().first), last = index(stretches.back().first);
        const bool one = stretches.size() == 1;
        const auto [least, most] = std::minmax({member.from_side, member.to_side});
        const bool at_end = !one || (most > 0 && least >= 0);
        member.enters_m = at_end ? trunk.from_m[first] + trunk.length_m[first] - stretches.front().second
                                 : trunk.from_m[first];
        member.leaves_m = (one ? member.enters_m : trunk.from_m[last]) + stretches.back().second;
    }
}

struct Exit {
    double at_m;
    model::TerminalIndex terminal;
    model::CableIndex cable;
    double tail_m;
};

std::vector<Exit> exits_of(const Voice& voice, const std::vector<Member>& members) {
    std::vector<Exit> exits;
    for (const Member& member : members) {
        const model::Cable& cable = voice.harness().cable(member.cable);
        const double from_at = member.reversed ? member.leaves_m : member.enters_m;
        const double to_at = member.reversed ? member.enters_m : member.leaves_m;
        exits.push_back({.at_m = from_at,
                         .terminal = cable.from.at,
                         .cable = member.cable,
                         .tail_m = member.tail_from_m});
        exits.push_back(
            {.at_m = to_at, .terminal = cable.to.at, .cable = member.cable, .tail_m = member.tail_to_m});
    }
    std::stable_sort(exits.begin(), exits.end(),
                     [](const Exit& a, const Exit& b) { return a.at_m < b.at_m - 1e-9; });
    return exits;
}

std::vector<Breakout> breakouts_of(const Voice& voice, const std::vector<Member>& members) {
    std::vector<Breakout> breakouts;
    for (const Exit& exit : exits_of(voice, members)) {
        const model::DeviceIndex device = voice.harness().terminal(exit.terminal).device;
        const std::string unit = voice.device_with_label(device);
        auto found = std::find_if(breakouts.begin(), breakouts.end(), [&](const Breakout& breakout) {
            return breakout.unit == unit && std::abs(breakout.at_m - exit.at_m) < 0.0005;
        });
        if (found == breakouts.end())
            found = breakouts.insert(breakouts.end(), {.at_m = exit.at_m, .unit = unit, .tails = {}});
        found->tails.push_back({.cable = voice.harness().cable(exit.cable).id,
                                .terminal = voice.terminal(exit.terminal),
                                .length = voice.length(exit.tail_m),
                                .length_m = exit.tail_m});
    }
    return breakouts;
}

std::vector<TrunkPart> parts_of(const Voice& voice, const std::vector<Member>& members, const Trunk& trunk) {
    std::vector<double> cuts;
    for (std::size_t z = 0; z < trunk.zones.size(); ++z) {
        cuts.push_back(trunk.from_m[z]);
        cuts.push_back(trunk.from_m[z] + trunk.length_m[z]);
    }
    for (const Member& member : members) {
        cuts.push_back(member.enters_m);
        cuts.push_back(member.leaves_m);
    }
    std::sort(cuts.begin(), cuts.end());
    std::vector<TrunkPart> parts;
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
        if (cuts[i + 1] - cuts[i] < 0.0005)
            continue;
        const double middle = (cuts[i] + cuts[i + 1]) / 2;
        TrunkPart part{
            .from_m = cuts[i], .to_m = cuts[i + 1], .bundle_mm = 0, .cables = 0, .length = {}, .zone = {}};
        double area = 0;
        for (const Member& member : members) {
            if (middle < member.enters_m || middle > member.leaves_m)
                continue;
            const model::Cable& cable = voice.harness().cable(member.cable);
            const auto conductor = physics::conductor_for(cable.section_mm2.value);
            const double outside = conductor ? conductor->outer_diameter_m * 1000 : 8;
            part.cables += static_cast<std::size_t>(std::max(1, cable.parallel));
            area += std::max(1, cable.parallel) * outside * outside;
        }
        // Round cables fill about three quarters of a bundle.
        part.bundle_mm = std::sqrt(area / 0.75);
        part.length = voice.length(part.to_m - part.from_m);
        for (std::size_t z = 0; z < trunk.zones.size(); ++z)
            if (middle > trunk.from_m[z] && middle < trunk.from_m[z] + trunk.length_m[z]) {
                const model::Zone& zone = voice.harness().zone(trunk.zones[z]);
                part.zone = zone.label.empty() ? zone.id : zone.label;
            }
        parts.push_back(part);
    }
    return parts;
}

/// Distances told twice that differ: a cable that passes a zone in less than the trunk needs is short there.
std::vector<std::string> remarks_of(const Voice& voice, const std::vector<Member>& members,
                                    const Trunk& trunk) {
    std::vector<std::string> remarks;
    for (const Member& member : members)
        for (std::size_t s = 1; s + 1 < member.stretches.size(); ++s)
            for (std::size_t z = 0; z < trunk.zones.size(); ++z)
                if (trunk.zones[z] == member.stretches[s].first &&
                    trunk.length_m[z] - member.stretches[s].second > 0.0005) {
                    const model::Zone& zone = voice.harness().zone(trunk.zones[z]);
                    remarks.push_back(voice.say(
                        Phrase::loom_short,
                        {voice.harness().cable(member.cable).id, voice.length(member.stretches[s].second),
                         zone.label.empty() ? zone.id : zone.label, voice.length(trunk.length_m[z])}));
                }
    return remarks;
}

LoomBoard board_of(const Voice& voice, const std::string& loom) {
    std::vector<Member> members = members_of(voice.harness(), loom);
    const Trunk trunk = trunk_of(members);
    place_members(members, trunk);
    LoomBoard board;
    board.id = "loom-" + loom;
    board.length_m = trunk.from_m.back() + trunk.length_m.back();
    board.heading = voice.say(Phrase::loom_heading, {loom, voice.length(board.length_m)});
    board.parts = parts_of(voice, members, trunk);
    board.breakouts = breakouts_of(voice, members);
    board.remarks = remarks_of(voice, members, trunk);
    board.cables = {
        .caption = {},
        .columns = {{.title = voice.say(Phrase::column_breakout), .width_mm = 24},
                    {.title = voice.say(Phrase::column_at), .width_mm = 26, .anchor = layout::Anchor::right},
                    {.title = voice.say(Phrase::column_cable), .width_mm = 18},
                    {.title = voice.say(Phrase::column_section), .width_mm = 32},
                    {.title = voice.say(Phrase::column_terminal), .width_mm = 40},
                    {.title = voice.say(Phrase::column_tail),
                     .width_mm = 30,
                     .anchor = layout::Anchor::right}},
        .rows = {},
        .empty_words = voice.say(Phrase::none),
        .boxes = true};
    for (std::size_t i = 0; i < board.breakouts.size(); ++i)
        for (const Breakout::Tail& tail : board.breakouts[i].tails) {
            const auto cable = model::find_cable(voice.harness(), tail.cable);
            board.cables.rows.push_back(
                {.id = {},
                 .cells = {std::to_string(i + 1), voice.length(board.breakouts[i].at_m), tail.cable,
                           cable ? voice.cable_words(voice.harness().cable(*cable)) : "", tail.terminal,
                           tail.length}});
        }
    return board;
}

} // namespace

layout::papers::LoomBoardsContent loom_boards_content(const Voice& voice) {
    layout::papers::LoomBoardsContent content;
    for (const std::string& loom : loom_ids(voice.harness()))
        content.boards.push_back(board_of(voice, loom));
    content.words = {.heading = voice.say(Phrase::loom_boards),
                     .continued = voice.say(Phrase::continued),
                     .scale = voice.say(Phrase::loom_scale, {"{0}"}),
                     .scale_remark = voice.say(Phrase::loom_scale_remark),
                     .none = voice.say(Phrase::no_looms),
                     .tile = voice.say(Phrase::loom_tile, {"{0}"}),
                     .print_check = voice.say(Phrase::print_check),
                     .cut_here = voice.say(Phrase::loom_cut_here),
                     .straight = voice.say(Phrase::loom_straight, {"{0}"}),
                     .measure = [&voice](double length_m) {
                         const std::string other = voice.length_other(length_m);
                         return voice.length_mm(length_m) + (other.empty() ? "" : " (" + other + ")");
                     }};
    return content;
}

CsvTable loom_table(const Voice& voice) {
    CsvTable table{.name = "looms",
                   .rows = {{"loom", "breakout", "at_m", "cable", "terminal", "tail_length_m"}}};
    for (const LoomBoard& board : loom_boards_content(voice).boards)
        for (std::size_t i = 0; i < board.breakouts.size(); ++i)
            for (const Breakout::Tail& tail : board.breakouts[i].tails)
                table.rows.push_back({board.id.substr(5), std::to_string(i + 1),
                                      plain(board.breakouts[i].at_m, 3), tail.cable, tail.terminal,
                                      plain(tail.length_m, 3)});
    return table;
}

} // namespace stoutloom::report

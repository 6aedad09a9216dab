#include "layout/papers/loom_flags.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout::papers {
namespace {

constexpr double pad_mm = 1.6, gap_mm = 1.5, foot_mm = 2.5, pole_pitch_mm = 2.2, furthest_shift_mm = 8,
                 merged_pitch_mm = 17;
constexpr double pitch_mm = line_pitch * text_height_mm;

void set_size(LoomFlag& flag, const TextMeasure& measure) {
    for (std::size_t i = 0; i < flag.lines.size(); ++i)
        flag.wide_mm =
            std::max(flag.wide_mm, measure.width_mm(flag.lines[i], text_height_mm,
                                                    i < flag.strong_lines ? Weight::bold : Weight::regular));
    flag.tall_mm = lines_height_mm(flag.lines.size(), text_height_mm) + 1;
}

LoomFlag flag_for(const FlagWish& wish, bool with_tails, double widest_mm, const TextMeasure& measure) {
    LoomFlag flag;
    flag.x_mm = wish.x_mm;
    flag.lines = wrapped(std::to_string(wish.number) + "\u00A0\u00A0" + wish.breakout->unit,
                         {.width_mm = widest_mm, .weight = Weight::bold}, measure);
    flag.strong_lines = flag.lines.size();
    if (with_tails)
        for (const Breakout::Tail& tail : wish.breakout->tails)
            for (std::string& line :
                 wrapped(tail.cable + "\u00A0\u00A0" + tail.terminal + "\u00A0 " + tail.length,
                         {.width_mm = widest_mm}, measure))
                flag.lines.push_back(std::move(line));
    set_size(flag, measure);
    return flag;
}

/// From the right: a flag stands above every pole that its words would reach. Whether all of it has room.
bool raise(std::vector<LoomFlag>& flags, const FlagRoom& room) {
    bool fits = true;
    for (std::size_t i = flags.size(); i-- > 0;) {
        LoomFlag& flag = flags[i];
        const double reach = flag.x_mm + pad_mm + flag.wide_mm;
        flag.foot_mm = foot_mm;
        for (std::size_t j = i + 1; j < flags.size(); ++j)
            if (flags[j].x_mm < reach + 2)
                flag.foot_mm = std::max(flag.foot_mm, flags[j].foot_mm + flags[j].tall_mm + gap_mm);
        fits = fits && flag.foot_mm + flag.tall_mm <= room.height_mm && reach <= room.right_mm;
    }
    return fits;
}

/// Each breakout its own flag; false if one would stand too far from its place.
bool single_flags(std::vector<LoomFlag>& flags, const std::vector<FlagWish>& wishes, bool with_tails,
                  const FlagRoom& room, const TextMeasure& measure) {
    flags.clear();
    for (const FlagWish& wish : wishes) {
        LoomFlag flag = flag_for(wish, with_tails, room.widest_mm, measure);
        // Two breakouts at one place: their poles stand side by side.
        flag.x_mm = std::max(flag.x_mm, room.first_mm);
        if (!flags.empty())
            flag.x_mm = std::max(flag.x_mm, flags.back().x_mm + pole_pitch_mm);
        flags.push_back(std::move(flag));
    }
    // Those at the trunk's end stand side by side before it, not beyond it.
    double limit = room.last_mm;
    for (std::size_t i = flags.size(); i-- > 0; limit = flags[i].x_mm - pole_pitch_mm) {
        if (flags[i].x_mm <= limit)
            break;
        flags[i].x_mm = limit;
    }
    for (std::size_t i = 0; i < flags.size(); ++i)
        if (std::abs(flags[i].x_mm - wishes[i].x_mm) > furthest_shift_mm)
            return false;
    return raise(flags, room);
}

/// The same seen in a mirror: words left of their poles.
bool mirrored_flags(std::vector<LoomFlag>& flags, std::vector<FlagWish> wishes, bool with_tails,
                    const FlagRoom& room, const TextMeasure& measure) {
    const double sum = room.left_mm + room.right_mm;
    std::reverse(wishes.begin(), wishes.end());
    for (FlagWish& wish : wishes)
        wish.x_mm = sum - wish.x_mm;
    const bool fits = single_flags(flags, wishes, with_tails, room, measure);
    std::reverse(flags.begin(), flags.end());
    for (LoomFlag& flag : flags) {
        flag.x_mm = sum - flag.x_mm;
        flag.left_of_pole = true;
    }
    return fits;
}

std::vector<LoomFlag> merged_flags(const std::vector<FlagWish>& wishes, const FlagRoom& room,
                                   const TextMeasure& measure) {
    std::vector<LoomFlag> flags;
    for (std::size_t i = 0; i < wishes.size();) {
        std::size_t last = i;
        while (last + 1 < wishes.size() && wishes[last + 1].x_mm < wishes[i].x_mm + merged_pitch_mm)
            ++last;
        LoomFlag flag;
        flag.x_mm = wishes[i].x_mm;
        flag.lines = {std::to_string(wishes[i].number)};
        if (last > i)
            flag.lines.front() += " – " + std::to_string(wishes[last].number);
        set_size(flag, measure);
        // The last flag of a sheet's edge stands a little before its place rather than over the edge.
        flag.x_mm = std::min(flag.x_mm, room.right_mm - pad_mm - flag.wide_mm);
        flags.push_back(std::move(flag));
        i = last + 1;
    }
    raise(flags, room);
    return flags;
}

} // namespace

std::vector<LoomFlag> loom_flags(const std::vector<FlagWish>& wishes, const FlagRoom& room,
                                 const TextMeasure& measure) {
    std::vector<LoomFlag> flags;
    for (const bool with_tails : {true, false})
        if (single_flags(flags, wishes, with_tails, room, measure) ||
            mirrored_flags(flags, wishes, with_tails, room, measure))
            return flags;
    return merged_flags(wishes, room, measure);
}

void draw_loom_flags(Pen& pen, const std::vector<LoomFlag>& flags, double trunk_mm) {
    for (const LoomFlag& flag : flags) {
        const double top = trunk_mm - flag.foot_mm - flag.tall_mm;
        pen.line({flag.x_mm, trunk_mm}, {flag.x_mm, top}, thin_mm);
        double y = top + text_height_mm;
        for (std::size_t i = 0; i < flag.lines.size(); ++i, y += pitch_mm)
            pen.text({.at = {flag.x_mm + (flag.left_of_pole ? -pad_mm : pad_mm), y},
                      .words = flag.lines[i],
                      .weight = i < flag.strong_lines ? Weight::bold : Weight::regular,
                      .anchor = flag.left_of_pole ? Anchor::right : Anchor::left});
    }
}

} // namespace stoutloom::layout::papers

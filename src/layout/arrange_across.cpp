// Places along the sheet: panels in vehicle order, in each the units with their studs, then the studs of the
// beds.
#include "layout/arrangement.h"
#include "layout/devices.h"
#include "layout/direction.h"
#include "layout/hardware.h"
#include "layout/notes.h"
#include "layout/packer.h"
#include "layout/pen.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {

void Packer::find_leaving() {
    const auto is_here = [&](const Whereabouts& where) {
        for (const Panel& panel : made_.share.panels) {
            if (panel.zone != where.zone)
                continue;
            if (where.on_bed)
                return !panel.continued;
            if (std::find(panel.units.begin(), panel.units.end(), where.owner) != panel.units.end())
                return true;
        }
        return false;
    };
    double first_key = 1e18;
    for (const Panel& panel : made_.share.panels)
        for (const std::size_t unit : panel.units)
            first_key = std::min(first_key, made_.share.unit_keys[unit]);
    if (first_key > 1e17 && !made_.share.panels.empty())
        first_key = static_cast<double>(made_.share.panels.front().zone) * 1000;
    for (const std::size_t cable : made_.share.cables)
        for (int end = 0; end < 2; ++end) {
            const Whereabouts& where = ends_.of[cable][static_cast<std::size_t>(end)];
            if (!where.known || is_here(where))
                continue;
            Leaving leaving{cable, end, where.key < first_key ? -1 : 1, false};
            const auto& astray = made_.share.departures.astray;
            if (std::find(astray.begin(), astray.end(), std::pair(cable, end)) != astray.end())
                leaving.side = -leaving.side;
            if (!made_.share.panels.empty())
                leaving.away = leaving.side < 0 ? where.zone > made_.share.panels.back().zone
                                                : where.zone < made_.share.panels.front().zone;
            made_.leaving.push_back(leaving);
        }
}

double Packer::head_width(const Panel& panel) const {
    const ZonePanel& zone = content_.zones[panel.zone];
    std::string label = zone.label.empty() ? zone.id : zone.label;
    if (!made_.share.first)
        label = running_right(said(content_.title, "{0}, continued", {label}));
    double words = 0;
    for (const std::string& each : two_lines(measure_, label))
        words = std::max(words, measure_.width_mm(each, 2.5, Weight::regular));
    const bool named = zones_by_id(content_);
    const Weight weight = named ? Weight::regular : Weight::bold;
    words = std::max(words, std::min(measure_.width_mm(label, 3.5, weight), 34.0));
    // The head's own gaps and the short scale.
    return 22.5 + (named ? measure_.width_mm("+" + zone.id, 3.5, Weight::bold) : 0) + words +
           measure_.width_mm(zone.ambient, 2.5, Weight::bold);
}

/// So wide that the label of every cable that ends at a unit here finds room in the zone.
double Packer::label_room_mm(const Panel& panel) const {
    double widest = 0;
    for (const std::size_t unit : panel.units)
        for (const StudGlyph& stud : content_.units[unit].studs)
            for (const LugGlyph& lug : stud.lugs)
                if (lug.cable < content_.cables.size() && shown_[lug.cable])
                    widest =
                        std::max(widest, label_size(content_.cables[lug.cable], false, measure_).width_mm);
    return widest + 4;
}

void Packer::place_panel(std::size_t index) {
    Panel& panel = made_.share.panels[index];
    const double edge = panel.left_mm;
    const bool tags_left =
        !wish_.no_edge && index == 0 &&
        std::any_of(made_.leaving.begin(), made_.leaving.end(), [](const Leaving& l) { return l.side < 0; });
    const bool tags_right =
        !wish_.no_edge && index + 1 == made_.share.panels.size() &&
        std::any_of(made_.leaving.begin(), made_.leaving.end(), [](const Leaving& l) { return l.side > 0; });
    const double tags = tags_left ? made_.tag_width_mm + 8 : 0;
    above_ = low_ = below_ = edge - 1 + tags + wish_.pad_mm;
    boxes_ = edge - 2 + tags + wish_.pad_mm; // a gap of 6 follows
    last_up_ = nowhere;
    // Units that share a raised bed stand together, and the bed's studs follow them.
    std::vector<std::size_t> left = panel.units;
    while (!left.empty()) {
        const std::optional<std::size_t> seat = content_.units[left.front()].seat_bed;
        const bool raised = seat && bed_place_.contains(*seat) && made_.beds[bed_place_[*seat]].raised;
        std::vector<std::size_t> later;
        for (std::size_t i = 0; i < left.size(); ++i) {
            const bool now = i == 0 || (raised && content_.units[left[i]].seat_bed == seat);
            if (now)
                place_unit(left[i], index);
            else
                later.push_back(left[i]);
        }
        if (raised)
            place_raised(bed_place_[*seat], index);
        left = std::move(later);
    }
    place_bed_studs(index);
    double right = std::max({above_ + 3, low_ + 3, below_ + 3, boxes_ + 8}) + wish_.gap_mm + wish_.pad_mm;
    const double least = panel.units.empty() ? 62.0
                         : wish_.narrow      ? 46.0
                                             : std::max(46.0, label_room_mm(panel));
    right = std::max(right, edge + std::max(head_width(panel), least + wish_.pad_mm));
    if (wish_.label_room_mm > 0 && wish_.label_panel == index)
        right += wish_.label_room_mm;
    if (tags_right)
        right += made_.tag_width_mm + 6;
    panel.right_mm = snapped(right);
}

/// All boxes of a row are as high as the one with the most to say.
void Packer::settle_row() {
    double tallest = 20;
    for (const PlacedUnit& unit : made_.units)
        if (!unit.upper)
            tallest = std::max(tallest, unit_height_mm(unit));
    made_.row_height_mm = snapped(tallest + 0.25);
    for (PlacedUnit& unit : made_.units)
        if (!unit.upper)
            unit.box.height_mm = made_.row_height_mm;
}

std::optional<Arrangement> Packer::pack() {
    find_leaving();
    made_.tag_width_mm = whole_tag_mm("", content_.title, measure_);
    for (const Leaving& leaving : made_.leaving) {
        const RunGlyph& run = content_.cables[leaving.cable];
        made_.tag_width_mm =
            std::max(made_.tag_width_mm, whole_tag_mm(tag_words(run, leaving.end == 0 ? run.from : run.to),
                                                      content_.title, measure_));
    }
    place_beds();
    const Box content = content_box(made_.size);
    double left = content.x_mm;
    for (std::size_t i = 0; i < made_.share.panels.size(); ++i) {
        made_.share.panels[i].left_mm = left;
        place_panel(i);
        left = made_.share.panels[i].right_mm + 4;
    }
    made_.left_mm = content.x_mm;
    made_.right_mm = left - 4;
    if (made_.right_mm > content.right_mm() + 1e-6)
        return std::nullopt;
    made_.spare_mm = content.right_mm() - made_.right_mm;
    made_.right_mm = content.right_mm();
    made_.share.panels.back().right_mm = made_.right_mm;
    stretch_beds();
    settle_row();
    return std::move(made_);
}

std::optional<Arrangement> arrange_across(const DiagramContent& content, const Ends& ends,
                                          const SheetShare& share, const SheetSize& size,
                                          const TextMeasure& measure, const ArrangeWish& wish) {
    std::optional<Arrangement> packed = Packer(content, ends, share, size, measure, wish).pack();
    if (!packed || share.panels.empty())
        return packed;
    // What is left over goes to both sides of every panel.
    ArrangeWish padded = wish;
    padded.pad_mm =
        std::floor(packed->spare_mm / (2 * static_cast<double>(share.panels.size())) * 2) / 2 - 0.5;
    if (padded.pad_mm >= 0.5)
        if (std::optional<Arrangement> wide = Packer(content, ends, share, size, measure, padded).pack())
            return wide;
    return packed;
}

} // namespace stoutloom::layout

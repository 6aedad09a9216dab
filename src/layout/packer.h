// Packs one sheet's things side by side. Private to the files of arranging across.
#pragma once

#include "layout/arrangement.h"

#include <map>
#include <optional>
#include <vector>

namespace stoutloom::layout {

class Packer {
  public:
    Packer(const DiagramContent& content, const Ends& ends, const SheetShare& share, const SheetSize& size,
           const TextMeasure& measure, const ArrangeWish& wish)
        : content_(content), ends_(ends), measure_(measure), wish_(wish) {
        made_.content = &content;
        made_.share = share;
        made_.size = size;
        shown_.assign(content.cables.size(), false);
        for (const std::size_t cable : share.cables)
            shown_[cable] = true;
    }
    std::optional<Arrangement> pack();

  private:
    const DiagramContent& content_;
    const Ends& ends_;
    const TextMeasure& measure_;
    const ArrangeWish& wish_;
    Arrangement made_;
    std::vector<bool> shown_;
    std::map<std::size_t, std::size_t> bed_place_; // content index to placed index
    // Right edges so far: of what reaches up to the lanes, of low stacks with their tags, of the boxes, of
    // what hangs.
    double above_ = 0, low_ = 0, boxes_ = 0, below_ = 0;

    void find_leaving();
    void place_beds();
    bool bare_here(std::size_t bed, bool seated_here) const;
    PlacedStud stud(const StudGlyph& glyph, const std::string& owner, std::size_t panel, Row row,
                    bool hangs = false);
    void choose_sides(PlacedStud& placed, double key) const;
    double far_key(const LugGlyph& lug) const;
    bool mirrored(std::size_t unit) const;
    void place_panel(std::size_t index);
    void place_unit(std::size_t index, std::size_t panel);
    void place_inline(PlacedUnit& unit, std::size_t panel);
    void place_box(PlacedUnit& unit, std::size_t panel);
    void place_raised(std::size_t placed_bed, std::size_t panel);
    double hanging_to_mm(std::size_t panel) const;
    double aim_key(const Whereabouts& aim, std::size_t zone) const;
    void place_bed_studs(std::size_t panel);
    void stretch_beds();
    bool riser_clashes(const PlacedStud& candidate) const;
    bool cannot_step(const PlacedStud& candidate) const;
    double under(const PlacedStud& placed) const;
    double tag_half(const PlacedLug& lug) const { return lug.off_sheet ? lug.tag_mm / 2 : 0; }
    void widen_for_tags(PlacedStud& placed) const;
    std::size_t last_up_ = nowhere;   // the stud above the boxes that was placed last
    std::size_t last_down_ = nowhere; // the hanging one of the unit row
    bool joined_straight(std::size_t neighbour, const PlacedStud& next) const;
    double bridged_x(std::size_t neighbour, const PlacedStud& next) const;
    double beside_last(const PlacedStud& next, double plain_x) const;
    double crossing_room(const PlacedStud& left, const PlacedStud& right) const;
    bool runs_straight(const PlacedStud& placed, const UnitGlyph& unit) const;
    void settle_row();
    double label_room_mm(const Panel& panel) const;
    double head_width(const Panel& panel) const;
    bool on_raised_bed(const Whereabouts& where) const {
        const auto at = where.on_bed ? bed_place_.find(where.owner) : bed_place_.end();
        return at != bed_place_.end() && made_.beds[at->second].raised;
    }
};

} // namespace stoutloom::layout

// Places down the sheet: head, volt line, lanes, unit row, lanes, beds; and the strip below.
#include "layout/arrangement.h"
#include "layout/hardware.h"
#include "layout/pen.h"

#include <algorithm>

namespace stoutloom::layout {
namespace {
constexpr double head_mm = 9;
constexpr double volt_line_mm = 23;
constexpr double strip_mm = 76;

/// Beds whose ways along the vehicle overlap stand in rows, the longest lowest.
int give_rows(std::vector<PlacedBed>& beds) {
    std::vector<PlacedBed*> order;
    for (PlacedBed& bed : beds)
        if (!bed.raised)
            order.push_back(&bed);
    std::stable_sort(order.begin(), order.end(), [](const PlacedBed* a, const PlacedBed* b) {
        return a->right_mm - a->left_mm > b->right_mm - b->left_mm;
    });
    int rows = 0;
    for (std::size_t i = 0; i < order.size(); ++i) {
        order[i]->row = 0;
        for (bool moved = true; moved;) {
            moved = false;
            for (std::size_t k = 0; k < i; ++k)
                if (order[k]->row == order[i]->row && order[k]->left_mm < order[i]->right_mm + 4 &&
                    order[i]->left_mm < order[k]->right_mm + 4) {
                    ++order[i]->row;
                    moved = true;
                }
        }
        rows = std::max(rows, order[i]->row + 1);
    }
    return rows;
}

double row_pitch(const Arrangement& all) {
    double tallest = 0;
    for (const PlacedStud& stud : all.studs)
        if (stud.row == Row::bed)
            tallest = std::max(tallest, stud.tall_mm + (stud.glyph->probe.empty() ? 0 : 6.2));
    return snapped(9 + 3 + tallest + 5);
}
} // namespace

void settle_frame(Arrangement& all) {
    const Box content = content_box(all.size);
    const bool strip = all.size.has_strip && all.share.first && !all.share.control;
    all.top_mm = content.y_mm;
    all.bottom_mm = content.bottom_mm() + 4 - (strip ? strip_mm + 8 : all.size.title_height_mm + 4);
    if (all.share.deck_bottom_mm > 0) {
        all.top_mm = all.share.deck_top_mm;
        all.bottom_mm = all.share.deck_bottom_mm;
    }
    if (!all.share.panels.empty()) {
        all.left_mm = all.share.panels.front().left_mm = content.x_mm;
        all.right_mm = all.share.panels.back().right_mm = content.right_mm();
    }
}

bool arrange_down(Arrangement& all, const Heights& heights) {
    settle_frame(all);
    all.volt_line = heights.volt_line;
    all.sky_mm = all.top_mm + head_mm + (heights.volt_line ? volt_line_mm : 1);
    const int rows = give_rows(all.beds);
    const double pitch = row_pitch(all);
    const double lowest = snapped(all.bottom_mm - 17);
    all.bed_mm = rows == 0 ? snapped(all.bottom_mm - 4) : lowest - (rows - 1) * pitch;
    all.row_mm = snapped(all.bed_mm - heights.return_mm - all.row_height_mm);
    all.upper_mm = all.row_mm - heights.upper_mm;
    if (all.row_mm < all.sky_mm + 14)
        return false;
    for (PlacedUnit& unit : all.units)
        unit.box.y_mm = all.row_mm;
    for (PlacedBed& bed : all.beds)
        bed.top_mm = bed.raised ? all.row_mm + all.row_height_mm + 9 : lowest - bed.row * pitch;
    for (PlacedStud& stud : all.studs) {
        if (stud.row == Row::upper)
            stud.face_mm = all.upper_mm;
        else if (stud.row == Row::unit)
            stud.face_mm = stud.hanging ? all.row_mm + all.row_height_mm : all.row_mm;
    }
    for (const PlacedBed& bed : all.beds)
        for (const std::size_t index : bed.studs)
            all.studs[index].face_mm = bed.top_mm;
    return true;
}

} // namespace stoutloom::layout

// Boxes: the two questions that everything else asks.
#include "layout/scene.h"

namespace stoutloom::layout {

bool overlaps(const Box& a, const Box& b, double clear_mm) {
    return a.x_mm < b.right_mm() + clear_mm && b.x_mm < a.right_mm() + clear_mm &&
           a.y_mm < b.bottom_mm() + clear_mm && b.y_mm < a.bottom_mm() + clear_mm;
}

Box grown(const Box& box, double by_mm) {
    return {box.x_mm - by_mm, box.y_mm - by_mm, box.width_mm + 2 * by_mm, box.height_mm + 2 * by_mm};
}

} // namespace stoutloom::layout

#include "layout/diagram.h"
namespace stoutloom::layout {
Quality audit(const Page&) {
    return {};
}
} // namespace stoutloom::layout

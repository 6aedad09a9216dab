// An answer or the evidence why there is none. std::expected takes over when the compiler has it in C++20
// mode.
#pragma once

#include <tl/expected.hpp>

namespace stoutloom::base {

template <class T, class E> using Outcome = tl::expected<T, E>;

/// `return failure(Evidence{...});` from a function that returns Outcome<T, Evidence>.
template <class E> tl::unexpected<std::decay_t<E>> failure(E&& evidence) {
    return tl::unexpected<std::decay_t<E>>(std::forward<E>(evidence));
}

} // namespace stoutloom::base

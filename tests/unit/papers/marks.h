// The places for values in a phrase, {0} to {9}, whatever their order.
#pragma once

#include <set>
#include <string_view>

namespace stoutloom::testing {

inline std::multiset<char> marks(std::string_view words) {
    std::multiset<char> found;
    for (std::size_t i = 0; i + 2 < words.size(); ++i)
        if (words[i] == '{' && words[i + 2] == '}')
            found.insert(words[i + 1]);
    return found;
}

} // namespace stoutloom::testing

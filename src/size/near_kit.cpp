#include "size/near_kit.h"

#include <algorithm>
#include <numeric>

namespace stoutloom::size {
namespace {

/// Each judgement takes a good part of a second on a large kit.
constexpr int most_judged = 150;

} // namespace

std::optional<Assignment> good_kit_near(const Choices& choices, Judge& judge, const Assignment& from) {
    constexpr int steps = 16;
    const auto towards_largest = [&](int step) {
        Assignment choice = from;
        for (std::size_t i = 0; i < choice.size(); ++i)
            if (choices.list[i].kind == ChoiceKind::section) {
                const std::size_t last = choices.list[i].options.size() - 1;
                choice[i] += ((last - choice[i]) * static_cast<std::size_t>(step) + steps - 1) / steps;
            }
        return choice;
    };
    std::optional<Assignment> good;
    for (int step = 0; step <= steps && !good; ++step)
        if (const Assignment choice = towards_largest(step); judge.judge(choice)->good)
            good = choice;
    if (!good)
        return std::nullopt;
    std::vector<std::size_t> order(choices.list.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto dearest = [&](std::size_t i) { return choices.list[i].options.back().cost; };
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return dearest(a) > dearest(b); });
    int judged = 0;
    for (bool lighter = true; lighter && judged < most_judged;) {
        lighter = false;
        for (const std::size_t i : order) {
            if ((*good)[i] == 0 || judged >= most_judged)
                continue;
            Assignment smaller = *good;
            --smaller[i];
            if (choices.list[i].options[smaller[i]].cost >= choices.list[i].options[(*good)[i]].cost)
                continue;
            ++judged;
            if (!judge.judge(smaller)->good)
                continue;
            good = std::move(smaller);
            lighter = true;
        }
    }
    return good;
}

} // namespace stoutloom::size

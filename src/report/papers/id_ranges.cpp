#include "report/papers/id_ranges.h"

#include <algorithm>
#include <charconv>
#include <numeric>

namespace stoutloom::report {
namespace {

constexpr std::size_t least_run = 3;

struct Numbered {
    std::string stem;
    long number = -1; // -1: none, or one that is not written as it counts ("W007")
    std::string id;
};

Numbered numbered(const std::string& id) {
    std::size_t digits = id.size();
    while (digits > 0 && id[digits - 1] >= '0' && id[digits - 1] <= '9')
        --digits;
    Numbered result{.stem = id, .id = id};
    if (digits == 0 || digits == id.size() || (id[digits] == '0' && digits + 1 < id.size()))
        return result;
    long number = 0;
    const auto [end, wrong] = std::from_chars(id.data() + digits, id.data() + id.size(), number);
    if (wrong == std::errc() && end == id.data() + id.size())
        result = {.stem = id.substr(0, digits), .number = number, .id = id};
    return result;
}

} // namespace

bool stands_before(const std::string& a, const std::string& b) {
    const Numbered left = numbered(a), right = numbered(b);
    if (left.stem != right.stem)
        return left.stem < right.stem;
    return left.number < right.number;
}

std::vector<std::size_t> cables_to_look_up(const model::Harness& harness) {
    std::vector<std::size_t> order(harness.cables.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return stands_before(harness.cables[a].id, harness.cables[b].id);
    });
    return order;
}

std::vector<std::string> parted(const std::string& list) {
    std::vector<std::string> parts;
    for (std::size_t from = 0; from <= list.size();) {
        const std::size_t end = std::min(list.find(", ", from), list.size());
        parts.push_back(list.substr(from, end - from));
        from = end + 2;
    }
    return parts;
}

std::string id_ranges(const Voice& voice, const std::vector<std::string>& ids) {
    std::vector<std::vector<Numbered>> stems;
    for (const std::string& id : ids) {
        Numbered one = numbered(id);
        const auto same = std::find_if(stems.begin(), stems.end(), [&](const auto& stem) {
            return one.number >= 0 && stem.front().number >= 0 && stem.front().stem == one.stem;
        });
        if (same == stems.end())
            stems.push_back({std::move(one)});
        else
            same->push_back(std::move(one));
    }
    std::string words;
    const auto add = [&words](const std::string& part) { words += (words.empty() ? "" : ", ") + part; };
    for (std::vector<Numbered>& stem : stems) {
        std::stable_sort(stem.begin(), stem.end(),
                         [](const Numbered& a, const Numbered& b) { return a.number < b.number; });
        for (std::size_t from = 0; from < stem.size();) {
            std::size_t last = from;
            while (last + 1 < stem.size() && stem[last + 1].number == stem[last].number + 1)
                ++last;
            if (last - from + 1 >= least_run)
                add(voice.say(Phrase::range, {stem[from].id, stem[last].id}));
            else
                for (std::size_t i = from; i <= last; ++i)
                    add(stem[i].id);
            from = last + 1;
        }
    }
    return words;
}

} // namespace stoutloom::report

// A measure that asks another for every words once: while places are tried the same are measured again and
// again.
#pragma once

#include "layout/scene.h"

#include <map>
#include <string>
#include <utility>
#include <vector>

namespace stoutloom::layout {

/// For one drawing or one pack, on one thread; `measure` outlives it.
class RememberedMeasure final : public TextMeasure {
  public:
    explicit RememberedMeasure(const TextMeasure& measure) : measure_(measure) {}
    double width_mm(const std::string& words, double height_mm, Weight weight) const override {
        std::map<std::string, double>& known = widths_mm_[{height_mm, weight}];
        const auto at = known.find(words);
        if (at != known.end())
            return at->second;
        return known[words] = measure_.width_mm(words, height_mm, weight);
    }
    std::uint32_t missing_character(const std::string& words) const override {
        return measure_.missing_character(words);
    }
    std::vector<std::size_t> word_starts(const std::string& words) const override {
        const auto at = starts_.find(words);
        if (at != starts_.end())
            return at->second;
        return starts_[words] = measure_.word_starts(words);
    }

  private:
    const TextMeasure& measure_;
    mutable std::map<std::pair<double, Weight>, std::map<std::string, double>> widths_mm_;
    mutable std::map<std::string, std::vector<std::size_t>> starts_;
};

} // namespace stoutloom::layout

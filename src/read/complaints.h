// Gathers the mistakes of one file while it is read, bounded however many there are.
#pragma once

#include "base/diagnostic.h"

#include <cstddef>
#include <string>
#include <vector>

namespace stoutloom::read {

class Complaints {
  public:
    /// `most_told`: how many a person is shown in the end.
    explicit Complaints(std::size_t most_told) : most_told_(most_told) {}

    void form(std::string slug, base::Span span, std::string message, std::string mend) {
        add(base::Mistake::form, std::move(slug), span, std::move(message), std::move(mend));
    }
    void meaning(std::string slug, base::Span span, std::string message, std::string mend) {
        add(base::Mistake::meaning, std::move(slug), span, std::move(message), std::move(mend));
    }
    bool none() const { return count_ == 0; }
    /// Looking for the nearest name costs time for every candidate: only the mistakes that can be shown get
    /// one.
    bool worth_a_suggestion() const { return count_ < most_told_; }

    /// All in order of position; beyond the most that are told, the last one says how many more there are.
    std::vector<base::Diagnostic> in_order();

  private:
    void add(base::Mistake kind, std::string slug, base::Span span, std::string message, std::string mend);

    std::size_t most_told_;
    std::size_t count_ = 0;
    std::vector<base::Diagnostic> kept_;
};

/// "a, b or c"; long lists end with "...".
std::string listed(const std::vector<std::string>& words);
/// `did you mean "Y"?` when a candidate is near, otherwise `otherwise`.
std::string nearest_or(const Complaints& complaints, std::string_view word,
                       const std::vector<std::string>& candidates, std::string otherwise);
/// The text cut to a length that fits a message.
std::string cut(std::string_view text);

} // namespace stoutloom::read

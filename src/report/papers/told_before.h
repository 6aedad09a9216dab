// Findings of one rule often share most of what follows from them: it is told once.
#pragma once

#include <functional>
#include <string>
#include <vector>

namespace stoutloom::report {

struct ToldFinding {
    std::string rule, number, sentence;
};

class ToldBefore {
  public:
    using AsWords = std::function<std::string(const std::string& number)>;
    explicit ToldBefore(AsWords as_words) : as_words_(std::move(as_words)) {}
    /// The sentence without the clauses that an earlier finding of the same rule tells in the same order; in
    /// their place stands where to read them. Its first clause, what is the matter, is never left out.
    std::string shortened(const ToldFinding& finding);

  private:
    struct Told {
        std::string rule, number;
        std::vector<std::string> clauses;
    };
    AsWords as_words_;
    std::vector<Told> told_;
};

} // namespace stoutloom::report

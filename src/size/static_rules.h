// Rules that ask neither currents nor volts (a fuse-link against its cable, a return against its feed): a bad
// choice by one of them is told without solving anything, and all choices that are no better in its own
// direction are bad too.
#pragma once

#include "check/facts.h"
#include "check/rule.h"
#include "size/choices.h"
#include "size/rows.h"

#include <optional>
#include <string>
#include <vector>

namespace stoutloom::size {

/// How a rule's verdict about a subject can change as one choice grows; `none`: it does not depend on it;
/// `either`: it may, in any way.
enum class Direction { none, larger_helps, smaller_helps, either };

class StaticRules {
  public:
    /// `facts` of any assignment, for the topology; both must outlive this.
    StaticRules(const model::Harness& harness, const Choices& choices, const check::Facts& facts);

    /// Whether this file knows in which direction each choice moves the rule.
    static bool knows(std::string_view rule);
    /// Whether the rule fails about the subject for certain whatever is chosen: at the choice that is best
    /// for it.
    bool hopeless(const check::Rule& rule, const std::string& subject) const;
    /// The widest box around a bad choice in which the rule fails about the same subject for certain; nothing
    /// if the rule, judged without currents, does not fail at the choice itself.
    std::optional<std::vector<Range>> bad_box(const check::Judgement& judgement,
                                              const Assignment& assignment) const;
    /// The same as a sum, where the rule is one: the sections of the narrowest place of a return together are
    /// at least the feed's, unless the feed is thinner than in the box.
    std::optional<Row> return_row(const check::Judgement& judgement, const std::vector<Range>& box) const;

  private:
    std::vector<check::Judgement> answers(const check::Rule& rule, const Assignment& assignment) const;
    Direction direction(const check::Judgement& judgement, std::size_t choice) const;
    void widen_by_trying(const check::Judgement& judgement, const Assignment& at,
                         std::vector<Range>& tried) const;
    bool fails(const check::Rule& rule, const std::string& subject, const Assignment& assignment) const;

    const model::Harness& harness_;
    const Choices& choices_;
    const check::Facts& facts_;
    bool has_automatic_links_ = false;
};

} // namespace stoutloom::size

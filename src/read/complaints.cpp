// Keeps the mistakes of a file in bounds and in order, and finds the names that were meant.
#include "read/complaints.h"

#include <fmt/format.h>

#include <algorithm>

namespace stoutloom::read {

void Complaints::add(base::Mistake kind, std::string slug, base::Span span, std::string message,
                     std::string mend) {
    ++count_;
    // The phases of reading each go through the file from the top, so more than the first ones are kept: the
    // mistakes of a later phase may stand above those of an earlier one.
    const std::size_t most_kept = 20 * std::max<std::size_t>(most_told_, 1);
    if (kept_.size() >= most_kept)
        return;
    kept_.push_back(base::Diagnostic{.kind = kind,
                                     .slug = std::move(slug),
                                     .message = std::move(message),
                                     .mend = std::move(mend),
                                     .span = span});
}

std::vector<base::Diagnostic> Complaints::in_order() {
    std::stable_sort(kept_.begin(), kept_.end(), [](const base::Diagnostic& a, const base::Diagnostic& b) {
        return a.span.begin < b.span.begin;
    });
    // A part that several variants share is read for each of them: its mistake is told once.
    std::vector<base::Diagnostic> told;
    for (base::Diagnostic& one : kept_) {
        const auto again = [&](const base::Diagnostic& other) {
            return other.span == one.span && other.message == one.message;
        };
        auto place = told.rbegin();
        while (place != told.rend() && place->span == one.span && !again(*place))
            ++place;
        if (place != told.rend() && again(*place))
            --count_;
        else
            told.push_back(std::move(one));
    }
    kept_.clear();
    if (count_ > most_told_ && !told.empty()) {
        told.resize(std::max<std::size_t>(most_told_, 1));
        const base::Diagnostic last = told.back();
        told.push_back(
            base::Diagnostic{.kind = last.kind,
                             .slug = "more-mistakes",
                             .message = fmt::format("{} more mistakes are not told", count_ - told.size()),
                             .mend = "mend the first ones and read the file again",
                             .span = last.span});
    }
    return told;
}

std::string listed(const std::vector<std::string>& words) {
    constexpr std::size_t most = 24;
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i == most)
            return text + ", ...";
        if (i > 0)
            text += i + 1 == words.size() ? " or " : ", ";
        text += words[i];
    }
    return text;
}

std::string nearest_or(const Complaints& complaints, std::string_view word,
                       const std::vector<std::string>& candidates, std::string otherwise) {
    if (!complaints.worth_a_suggestion())
        return otherwise;
    const std::vector<std::string> nearest = base::nearest_names(word, candidates);
    if (nearest.empty() || nearest.size() > 3)
        return otherwise;
    std::vector<std::string> quoted;
    quoted.reserve(nearest.size());
    for (const std::string& name : nearest)
        quoted.push_back(fmt::format("\"{}\"", name));
    return fmt::format("did you mean {}?", listed(quoted));
}

std::string cut(std::string_view text) {
    constexpr std::size_t most = 60;
    if (text.size() <= most)
        return std::string(text);
    std::size_t end = most;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U)
        --end;
    return std::string(text.substr(0, end)) + "...";
}

} // namespace stoutloom::read

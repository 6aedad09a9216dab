// The front door: bounds, then form, then meaning; a harness only when there is no mistake.
#include "read/read.h"

#include "base/whole_file.h"
#include "read/form.h"
#include "read/making.h"

#include <fmt/format.h>

#include <map>

namespace stoutloom::read {
namespace {

void make_everything(Making& making) {
    check_unique_ids(making);
    make_head(making);
    make_devices(making);
    make_paths(making);
    make_cables(making);
    make_duties(making);
    make_limits(making);
    make_landings(making);
    make_stock(making);
    make_remarks(making);
}

// The same default taken for many parts is one line with all their ids.
std::vector<model::Assumption> gathered(const std::vector<model::Assumption>& all) {
    std::vector<model::Assumption> lines;
    std::map<std::pair<std::string, std::string>, std::size_t> place;
    for (const model::Assumption& one : all) {
        const auto [found, fresh] = place.emplace(std::pair(one.what, one.reason), lines.size());
        if (fresh)
            lines.push_back(one);
        else
            lines[found->second].subject += ", " + one.subject;
    }
    return lines;
}

Refused refused_whole(std::string path, std::string slug, std::string message, std::string mend) {
    Refused refused{.source = base::SourceText(std::move(path), {}), .mistakes = {}};
    refused.mistakes.push_back(base::Diagnostic{.kind = base::Mistake::form,
                                                .slug = std::move(slug),
                                                .message = std::move(message),
                                                .mend = std::move(mend),
                                                .span = {}});
    return refused;
}

} // namespace

base::Outcome<ReadHarness, Refused> read_text(std::string path, std::string text, const Bounds& bounds) {
    if (text.size() > bounds.bytes)
        return base::failure(
            refused_whole(std::move(path), "too-large",
                          fmt::format("the file has {} bytes, more than {}", text.size(), bounds.bytes),
                          "split the harness or take out what is not part of it"));
    Complaints complaints(bounds.mistakes);
    const Form form = read_form(text, bounds, complaints);
    model::Harness harness;
    if (!form.nodes.empty()) {
        Making making{.form = form, .complaints = complaints};
        make_everything(making);
        harness = std::move(making.harness);
        harness.assumptions = gathered(harness.assumptions);
    }
    base::SourceText source(std::move(path), std::move(text));
    if (!complaints.none())
        return base::failure(Refused{.source = std::move(source), .mistakes = complaints.in_order()});
    return ReadHarness{.source = std::move(source), .harness = std::move(harness)};
}

base::Outcome<ReadHarness, Refused> read_file(const std::string& path, const Bounds& bounds) {
    auto text = base::read_whole_file(path, bounds.bytes);
    if (!text)
        return base::failure(refused_whole(path, "unreadable", text.error().wrong, text.error().mend));
    return read_text(path, std::move(*text), bounds);
}

} // namespace stoutloom::read

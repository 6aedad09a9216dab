// The front door: bounds, then form, then meaning; a harness only when there is no mistake.
#include "read/read.h"

#include "base/whole_file.h"
#include "read/form.h"
#include "read/making.h"
#include "read/variants.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <optional>

namespace stoutloom::read {
namespace {

void make_everything(Making& making, const Form* stock) {
    check_unique_ids(making);
    make_head(making);
    make_devices(making);
    make_paths(making);
    make_cables(making);
    make_duties(making);
    make_limits(making);
    make_landings(making);
    make_stock(making, stock);
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

/// The file named by <stock file="...">: beside the harness or below it, nowhere else; a stock holds no
/// further file.
struct StockFile {
    base::SourceText source;
    Form form;
};
const GivenAttribute* stock_file_name(const Form& form) {
    if (form.nodes.empty())
        return nullptr;
    for (const std::uint32_t index : form.nodes.front().children)
        if (form.nodes[index].row->name == "stock")
            return form.nodes[index].given("file");
    return nullptr;
}

/// Nothing where there is none or a complaint says why; a Refused when the stock's own text has mistakes.
base::Outcome<std::optional<StockFile>, Refused>
included_stock(const std::string& path, const Form& form, const Bounds& bounds, Complaints& complaints) {
    const GivenAttribute* name = stock_file_name(form);
    if (name == nullptr)
        return std::nullopt;
    const std::filesystem::path wanted(name->value.text);
    const bool leaves = std::find(wanted.begin(), wanted.end(), "..") != wanted.end();
    if (wanted.is_absolute() || leaves || wanted.empty()) {
        complaints.meaning(
            "stock-file", name->span,
            fmt::format("the stock file \"{}\" is not beside this file", cut(name->value.text)),
            "name a file in the same folder or below it");
        return std::nullopt;
    }
    const std::string where = (std::filesystem::path(path).parent_path() / wanted).string();
    auto text = base::read_whole_file(where, bounds.bytes);
    if (!text) {
        complaints.meaning("stock-file", name->span,
                           fmt::format("the stock file {} cannot be read: {}", where, text.error().wrong),
                           text.error().mend);
        return std::nullopt;
    }
    Complaints own(bounds.mistakes);
    StockFile stock{.source = {}, .form = read_form(*text, bounds, own, "stock")};
    if (!stock.form.nodes.empty())
        if (const GivenAttribute* further = stock.form.nodes.front().given("file"))
            own.meaning("stock-file", further->span, "a stock file names another one",
                        "put all of it into one file");
    if (!stock.form.nodes.empty())
        check_stock(stock.form, stock.form.nodes.front(), own);
    stock.source = base::SourceText(where, std::move(*text));
    if (!own.none())
        return base::failure(Refused{.source = std::move(stock.source), .mistakes = own.in_order()});
    return stock;
}

} // namespace

namespace {

/// The wanted variants; empty with a complaint when there is no such one.
std::vector<std::uint32_t> wanted_variants(const Form& form, const std::vector<std::uint32_t>& all,
                                           const std::string& wanted, Complaints& complaints) {
    if (wanted.empty())
        return all;
    std::vector<std::string> known;
    for (const std::uint32_t index : all) {
        known.push_back(form.nodes[index].text("id"));
        if (known.back() == wanted)
            return {index};
    }
    complaints.meaning("unknown-variant", form.nodes.front().name,
                       fmt::format("the file has no variant \"{}\"", cut(wanted)),
                       nearest_or(complaints, wanted, known,
                                  known.empty() ? "it has none; leave the variant out"
                                                : fmt::format("it has {}", listed(known))));
    return {};
}

void check_variant_ids(const Form& form, const std::vector<std::uint32_t>& all, Complaints& complaints) {
    std::map<std::string, std::uint32_t> seen;
    for (const std::uint32_t index : all)
        if (const GivenAttribute* id = form.nodes[index].given("id"))
            if (!seen.emplace(id->value.text, index).second)
                complaints.meaning("duplicate-id", id->span,
                                   fmt::format("variant id \"{}\" is given twice", id->value.text),
                                   "rename one of them");
}

model::Harness made(const Form& form, const Form* stock, const Node* variant, Complaints& complaints) {
    Making making{.form = form, .complaints = complaints, .in_variant = variant != nullptr};
    make_everything(making, stock);
    model::Harness harness = std::move(making.harness);
    harness.assumptions = gathered(harness.assumptions);
    if (variant != nullptr) {
        harness.variant = variant->text("id");
        harness.variant_label = variant->text("label", harness.variant);
        // So that every paper names the kit it belongs to.
        std::string& subtitle = harness.title_block.subtitle;
        subtitle += (subtitle.empty() ? "" : ", ") + harness.variant_label;
    }
    return harness;
}

} // namespace

// A path, a whole file and a short id: what stands where is seen at every call.
// NOLINTBEGIN(bugprone-easily-swappable-parameters)
base::Outcome<std::vector<ReadHarness>, Refused>
read_kits_text(std::string path, std::string text, const std::string& variant, const Bounds& bounds) {
    // NOLINTEND(bugprone-easily-swappable-parameters)
    if (text.size() > bounds.bytes)
        return base::failure(
            refused_whole(std::move(path), "too-large",
                          fmt::format("the file has {} bytes, more than {}", text.size(), bounds.bytes),
                          "split the harness or take out what is not part of it"));
    Complaints complaints(bounds.mistakes);
    const Form form = read_form(text, bounds, complaints);
    const auto stock = included_stock(path, form, bounds, complaints);
    // Mistakes of the harness come first: they may be why the stock is not the wanted one.
    if (!stock && complaints.none())
        return base::failure(stock.error());
    const Form* stock_form = stock && *stock ? &(*stock)->form : nullptr;
    std::vector<model::Harness> harnesses;
    if (!form.nodes.empty()) {
        const std::vector<std::uint32_t> all = variants_of(form);
        check_variant_ids(form, all, complaints);
        if (!all.empty()) { // what the file itself says twice or leaves out, as the XSD sees it
            Making common{.form = form, .complaints = complaints};
            check_unique_ids(common);
        }
        if (all.empty() && variant.empty())
            harnesses.push_back(made(form, stock_form, nullptr, complaints));
        for (const std::uint32_t index : wanted_variants(form, all, variant, complaints))
            harnesses.push_back(
                made(with_variant(form, index, complaints), stock_form, &form.nodes[index], complaints));
    }
    const base::SourceText source(std::move(path), std::move(text));
    if (!complaints.none())
        return base::failure(Refused{.source = source, .mistakes = complaints.in_order()});
    std::vector<ReadHarness> kits;
    kits.reserve(harnesses.size());
    for (model::Harness& harness : harnesses)
        kits.push_back({.source = source, .harness = std::move(harness)});
    return kits;
}

base::Outcome<std::vector<ReadHarness>, Refused> read_kits(const std::string& path,
                                                           const std::string& variant, const Bounds& bounds) {
    auto text = base::read_whole_file(path, bounds.bytes);
    if (!text)
        return base::failure(refused_whole(path, "unreadable", text.error().wrong, text.error().mend));
    return read_kits_text(path, std::move(*text), variant, bounds);
}

base::Outcome<ReadHarness, Refused> read_text(std::string path, std::string text, const Bounds& bounds) {
    auto kits = read_kits_text(std::move(path), std::move(text), {}, bounds);
    if (!kits)
        return base::failure(std::move(kits.error()));
    return std::move(kits->front());
}

base::Outcome<ReadHarness, Refused> read_file(const std::string& path, const Bounds& bounds) {
    auto kits = read_kits(path, {}, bounds);
    if (!kits)
        return base::failure(std::move(kits.error()));
    return std::move(kits->front());
}

} // namespace stoutloom::read

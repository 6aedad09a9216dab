#include "published/tables.h"

#include "base/quantity.h"
#include "testing/testing.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <limits>

namespace stoutloom::published {

const std::string& Row::text(const std::string& column) const {
    const auto cell = cells_.find(column);
    REQUIRE_MESSAGE(cell != cells_.end(), "no column ", column);
    return cell->second;
}

std::optional<double> Row::number_if_any(const std::string& column) const {
    const std::string& cell = text(column);
    if (cell.empty())
        return std::nullopt;
    if (cell == "inf")
        return std::numeric_limits<double>::infinity();
    double value = 0;
    const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    REQUIRE_MESSAGE(error == std::errc{}, "not a number: ", cell);
    REQUIRE_MESSAGE(end == cell.data() + cell.size(), "not a number: ", cell);
    return value;
}

double Row::number(const std::string& column) const {
    const auto value = number_if_any(column);
    REQUIRE_MESSAGE(value.has_value(), "empty cell in ", column);
    return *value;
}

std::vector<Row> rows_of(const std::string& source) {
    const auto lines = testing::csv_rows(testing::tree_path("tests/published/" + source + "/data.csv"));
    REQUIRE(lines.size() > 1);
    std::vector<Row> rows;
    for (std::size_t i = 1; i < lines.size(); ++i) {
        REQUIRE(lines[i].size() == lines[0].size());
        std::map<std::string, std::string> cells;
        for (std::size_t c = 0; c < lines[0].size(); ++c)
            cells[lines[0][c]] = lines[i][c];
        rows.emplace_back(std::move(cells));
    }
    return rows;
}

Ratios::~Ratios() {
    if (ratios_.empty())
        return;
    std::sort(ratios_.begin(), ratios_.end());
    const std::size_t n = ratios_.size();
    const double median = (ratios_[(n - 1) / 2] + ratios_[n / 2]) / 2;
    fmt::print(
        "published: {:<58} {:>3} cells, computed/published least {:.3f}, median {:.3f}, greatest {:.3f}\n",
        table_, n, ratios_.front(), median, ratios_.back());
}

double section_mm2(const std::string& size, const std::string& unit) {
    const auto parsed = base::parse_quantity(base::Quantity::section, size + " " + unit);
    REQUIRE_MESSAGE(parsed.has_value(), "no section: ", size, " ", unit);
    return *parsed;
}

} // namespace stoutloom::published

// Published tables as rows by column name, and the line every table prints: cells compared, least, median,
// greatest.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace stoutloom::published {

class Row {
  public:
    explicit Row(std::map<std::string, std::string> cells) : cells_(std::move(cells)) {}
    const std::string& text(const std::string& column) const; // fails the test on a column that is not there
    double number(const std::string& column) const; // fails the test on anything but a number; "inf" is one
    std::optional<double> number_if_any(const std::string& column) const;

  private:
    std::map<std::string, std::string> cells_;
};
/// Rows of tests/published/<source>/data.csv; fails the test if there are none.
std::vector<Row> rows_of(const std::string& source);

/// Computed over published, cell by cell; prints its line when it goes.
class Ratios {
  public:
    explicit Ratios(std::string table) : table_(std::move(table)) {}
    Ratios(const Ratios&) = delete;
    Ratios& operator=(const Ratios&) = delete;
    ~Ratios();
    void add(double computed, double published) { ratios_.push_back(computed / published); }
    std::size_t cells() const { return ratios_.size(); }

  private:
    std::string table_;
    std::vector<double> ratios_;
};

/// A section "6" "AWG" in mm2.
double section_mm2(const std::string& size, const std::string& unit);

} // namespace stoutloom::published

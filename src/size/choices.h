// What is to be chosen in a harness and among what: each automatic cable's section, each automatic
// fuse-link's rating.
#pragma once

#include "base/outcome.h"
#include "model/harness.h"
#include "size/rows.h"
#include "size/stock.h"

#include <string>
#include <vector>

namespace stoutloom::size {

enum class ChoiceKind { section, rating };
struct Option {
    double value = 0; // mm2 or A
    std::string text; // as written into a file
    std::string order_code = {};
    std::int64_t cost = 0; // see cost_unit
};
struct Choice {
    ChoiceKind kind = ChoiceKind::section;
    std::size_t index = 0; // of the cable or the device
    std::string id;
    std::vector<Option> options;       // rising in value
    std::vector<std::string> left_out; // "35 mm2: no M12 lug in stock"
};

/// Copper: tenths of a gram times a thousand, so that the sum of fuse-link steps can break ties below one.
/// Prices: hundredths times a thousand.
constexpr std::int64_t cost_scale = 1000;

struct Choices {
    std::vector<Choice> list; // cables in file order, then fuse-links
    bool by_price = false;    // every option has a price; otherwise by copper mass
    std::vector<Variable> variables() const;
};

struct NoChoice {
    std::string subject, message; // "W4", "no section in stock takes an M12 lug"
};
struct Automatic {
    std::vector<model::CableIndex> cables; // marked, or added by the caller
    std::vector<model::DeviceIndex> fuse_links;
};
/// Those marked `auto` in the file.
Automatic marked(const model::Harness& harness);

/// Errors: a cable or fuse-link for which the stock has nothing at all.
base::Outcome<Choices, NoChoice> choices_of(const model::Harness& harness, const Automatic& automatic);

/// The harness with the options of an assignment written in; nothing in it is automatic any more.
model::Harness applied(const model::Harness& harness, const Choices& choices, const Assignment& assignment);

/// Copper of one cable, all parallel runs, kg.
double copper_kg(const model::Cable& cable);

} // namespace stoutloom::size

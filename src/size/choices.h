// What is to be chosen in a harness and among what: each automatic cable's section, each automatic
// fuse-link's rating, each automatic stud, each automatic lug.
#pragma once

#include "base/outcome.h"
#include "model/harness.h"
#include "size/rows.h"
#include "size/stock.h"

#include <string>
#include <vector>

namespace stoutloom::size {

enum class ChoiceKind { section, rating, stud, lug };
struct Option {
    double value = 0; // mm2, A, or m over the thread
    std::string text; // as written into a file
    std::string order_code = {};
    std::int64_t cost = 0;     // see cost_scale
    bool beyond_stock = false; // tried to see what would free a kit
};
struct Choice {
    ChoiceKind kind = ChoiceKind::section;
    std::size_t index = 0;             // of the cable, the device, the terminal; of a lug: end_index
    std::string id;                    // "W4", "F1", "G1.B-", "W4 at G1.B-"
    std::vector<Option> options;       // rising in value
    std::vector<std::string> left_out; // "35 mm2: no M12 lug in stock"
};
/// Ends of cables by number: 0 is the first end of the first cable, 1 its second.
constexpr std::size_t end_index(std::size_t cable, int end) {
    return 2 * cable + static_cast<std::size_t>(end);
}
const model::CableEnd& end_at(const model::Harness& harness, std::size_t end);

/// Copper: tenths of a gram times a thousand, so that the sum of steps of fuse-links and studs can break ties
/// below one. Prices: hundredths times a thousand.
constexpr std::int64_t cost_scale = 1000;

struct Choices {
    std::vector<Choice> list;  // cables in file order, then fuse-links, studs, lugs
    bool by_price = false;     // every option has a price; otherwise by copper mass
    bool lugs_priced = false;  // by price, and the price of the lugs is in it
    std::string lugs_unpriced; // why it is not, where the stock lists lugs
    std::vector<Variable> variables() const;
};

struct NoChoice {
    std::string subject, message; // "W4", "no section in stock takes an M12 lug"
};
struct Automatic {
    std::vector<model::CableIndex> cables; // marked, or added by the caller
    std::vector<model::DeviceIndex> fuse_links;
    std::vector<model::TerminalIndex> studs;
    std::vector<std::size_t> lugs; // end_index
};
/// Those marked `auto` in the file.
Automatic marked(const model::Harness& harness);
/// What these choices are made of.
Automatic automatic_of(const Choices& choices);

/// Errors: a cable, fuse-link, stud or lug for which the stock has nothing at all.
base::Outcome<Choices, NoChoice> choices_of(const model::Harness& harness, const Automatic& automatic);

/// The harness with the options of an assignment written in; nothing in it is automatic any more.
model::Harness applied(const model::Harness& harness, const Choices& choices, const Assignment& assignment);

/// Copper of one cable, all parallel runs, kg.
double copper_kg(const model::Cable& cable);

} // namespace stoutloom::size

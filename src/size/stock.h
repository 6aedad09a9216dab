// What can be bought: sections, fuse-link ratings, lugs. The file's stock, or the built-in one with its
// sources.
#pragma once

#include "base/fastener.h"
#include "model/harness.h"

#include <optional>
#include <string>
#include <vector>

namespace stoutloom::size {

struct StockSection {
    double section_mm2 = 0;
    std::string text;                       // as it is written into a file: "50 mm2", "1/0 AWG"
    std::optional<double> price_per_m = {}; // in the workshop's own currency
    std::string order_code = {};
};
struct StockRating {
    double rating_a = 0;
    std::string text; // "175 A"
    std::optional<double> price = {};
    std::string order_code = {};
};

/// Sections of the harness's stock, rising; built in: the metric series of IEC 60228 that ISO 6722 cable is
/// sold in, or for a harness in US units the gauges (physics/conductor.h, with their sources).
std::vector<StockSection> sections_of(const model::Harness& harness);
/// Studs that can be ordered, rising: those the file's stock has lugs for; built in: M5 to M12, in a file in
/// US units #10 to 1/2 in.
std::vector<base::Fastener> studs_of(const model::Harness& harness);
/// Lugs of the file's stock that are made for a stud or its pair in the other system; the stud's own where
/// the file lists none.
std::vector<base::Fastener> lugs_for(const model::Harness& harness, const base::Fastener& stud);
/// The listed lug of a section and a stud size; nothing where the file lists none.
const model::StockLug* listed_lug(const model::Harness& harness, double section_mm2,
                                  const base::Fastener& lug);
/// Ratings of a fuse-link type, rising; built in: physics/fuselink.h.
std::vector<StockRating> ratings_of(const model::Harness& harness, std::string_view type);
/// Whether a lug of this stud size is to be had for a section: in the file's own list of lugs if it gives
/// one, otherwise by the barrel tables (physics/joint.h). Ends that are no ring lug (post clamp, push-on,
/// plug, splice) are not listed.
bool lug_in_stock(const model::Harness& harness, double section_mm2, const base::Fastener& lug);
/// What the file's stock calls a cable's conductor (price of a metre) or a fuse-link; empty where it lists
/// neither.
model::Ordering conductor_ordering(const model::Harness& harness, const model::Cable& cable);
model::Ordering link_ordering(const model::Harness& harness, const model::FuseLink& link);
/// Where the stock comes from, for the report.
std::string stock_source(const model::Harness& harness);

} // namespace stoutloom::size

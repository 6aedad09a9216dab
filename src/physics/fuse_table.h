// The published rows behind fuselink.h; internal to the room.
#pragma once

#include "physics/fuselink.h"

namespace stoutloom::physics {

struct FuseResistanceRow {
    double rating_a, cold_ohm, drop_at_rating_v;
};
/// Blade fuse-links of type C, one maker's family, rising rating.
std::span<const FuseResistanceRow> blade_resistance_rows();

struct AmbientRow {
    double ambient_degc, factor;
};
/// Rerating: small blade types by the first table, everything bolted or time-lag by the second.
std::span<const AmbientRow> ambient_rows(const FuseType& type);

} // namespace stoutloom::physics

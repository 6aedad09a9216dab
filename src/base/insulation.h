// What a cable's insulation stands, by class letter or by temperature.
#pragma once

#include "base/outcome.h"
#include "base/quantity.h"

#include <string>
#include <string_view>

namespace stoutloom::base {

/// Upper continuous conductor temperature and the thermal resistivity of the wall.
struct Insulation {
    std::string text = "B";                    // as written: "C", "105 degC"
    double class_degc = 100;                   // conductor temperature the insulation stands all day
    double thermal_resistivity_km_per_w = 5.0; // PVC and elastomers (IEC 60287-2-1); PE and XLPE have 3.5
};

/// Class letters of ISO 6722-1 / ISO 19642 (A 85, B 100, C 125, D 150, E 175, F 200, G 225, H 250 degC) or a
/// temperature such as "105 degC". Neither tells the material, so the resistivity is always 5.0 K m/W (PVC
/// and elastomers): the poorer conductor of heat, hence the lower ampacity.
Outcome<Insulation, QuantityRefusal> parse_insulation(std::string_view text);

} // namespace stoutloom::base

// What the boat regulation's own table allows a single conductor, beside the thermal model.
#pragma once

#include <string>

namespace stoutloom::physics {

struct TablePlace {
    double ambient_degc; // radiant heat included
    bool engine_space;
    int loaded_cables; // of the bundle, this one included; 1 = alone
};
struct TableAllowance {
    double current_a; // 0 where the table has nothing to allow
    std::string source;
};
/// 33 CFR 183.425 table 5 (the same figures as ABYC E-11, single conductors in air), amperes by gauge and
/// insulation class. A section between two rows has the figure of the lower row; over 4/0 AWG that of 4/0;
/// under 18 AWG the current density of 18 AWG is kept. A class between two columns has the lower column;
/// under 60 degC the table allows nothing. Engine space: the table's own factors for 50 degC by class. Air
/// above the table's own (30 degC, 50 degC in an engine space): times sqrt((class - air) / (class - table's
/// air)), the law by which its own factors go (all but that of 200 degC). Bundles: 2 to 3 cables 0.70, 4 to 6
/// 0.60, 7 to 24 0.50, 25 and more 0.40: note 2, which the regulation asks for from 50 V up and ABYC E-11
/// below as well (from memory). What the regulation leaves out (under 1 A, pigtails under 7 in, cranking
/// conductors) is the caller's.
TableAllowance regulation_allowance(double section_mm2, double class_degc, const TablePlace& place);

} // namespace stoutloom::physics

// Random small kits with something to choose, for the properties of sizing: a unit, a battery, returns in
// loops, consumers of all three kinds, a starter now and then.
#pragma once

#include "model/harness.h"
#include "size/choices.h"

#include <random>
#include <string>

namespace stoutloom::testing {

struct KitOptions {
    int automatic = 3; // things to choose, about
    int sections = 3;  // in stock
    int fittings = 0;  // studs and lugs to choose, about; the stock then lists its lugs
    bool priced = false;
    bool measures = false;    // the first consumer is electronics, and the metal may shift by little
    bool second_ways = false; // every return has another beside it, of the stock's middle sizes
};
/// A harness file.
std::string random_size_kit(std::mt19937_64& source, const KitOptions& options);

struct OpenKit {
    std::string text;
    model::Harness harness;
    size::Choices choices;
};
/// The next one that leaves `least` or more to choose.
OpenKit random_open_kit(std::mt19937_64& source, const KitOptions& options, std::size_t least = 1);

} // namespace stoutloom::testing

// Kits of any size that the reader accepts: many cables, long labels, looms, parallel runs, odd ends.
#pragma once

#include <random>
#include <string>

namespace stoutloom::papers_test {

std::string random_kit_text(std::mt19937_64& random, int consumers);

} // namespace stoutloom::papers_test

// libFuzzer target: any bytes as a harness file. Run with -dict=tests/fuzz/harness.dict and
// tests/fuzz/corpus.
#include "fuzz/exercise.h"

#include <cstdint>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    stoutloom::testing::exercise_reader(std::string(reinterpret_cast<const char*>(data), size));
    return 0;
}

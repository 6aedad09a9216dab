// SHA-256 of a file's bytes, so that a record of the check can be tied to the very file it was made from.
#pragma once

#include <string>
#include <string_view>

namespace stoutloom::report {

/// 64 lower-case hexadecimal digits, FIPS 180-4.
std::string sha256_hex(std::string_view bytes);

} // namespace stoutloom::report

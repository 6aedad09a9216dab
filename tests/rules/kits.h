// The kits of the tree that several cases ask of: read and solved once, for that is most of these cases'
// time.
#pragma once

#include "check/check.h"
#include "read/read.h"

#include <memory>
#include <string>

namespace stoutloom::rules_test {

/// Kept together because the facts point into the harness.
struct Kit {
    read::ReadHarness file;
    check::Facts facts;
};
/// Fails the test if the file cannot be read.
std::shared_ptr<const Kit> kit_at(const std::string& path);

} // namespace stoutloom::rules_test

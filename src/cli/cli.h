// Arguments, exit codes, files; no decisions of its own.
#pragma once

namespace stoutloom::cli {

/// 0 nothing at error level, 1 errors found, 2 unreadable input, wrong usage or a failure of the machine.
int run(int argc, const char* const* argv);

} // namespace stoutloom::cli

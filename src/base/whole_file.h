// Files are read whole and replaced whole, or not at all.
#pragma once

#include "base/outcome.h"

#include <string>
#include <string_view>

namespace stoutloom::base {

struct FileRefusal {
    std::string message;     // one line with the path, what went wrong, how to mend it
    std::string wrong, mend; // its two halves, without the path
};

/// Reads a regular file. Errors: missing, a directory, no permission, longer than `limit_bytes`.
Outcome<std::string, FileRefusal> read_whole_file(const std::string& path, std::size_t limit_bytes);

/// Writes beside the target under a temporary name, flushes, then renames: a reader sees the old file or the
/// new. A target that exists and is no regular file (a device, a pipe) is written in place. Path "-" is
/// standard output.
Outcome<void, FileRefusal> write_whole_file(const std::string& path, std::string_view bytes);

} // namespace stoutloom::base

// Turns a harness file into a model, or into refusals with line and column. Reports every mistake in one run.
#pragma once

#include "base/diagnostic.h"
#include "base/outcome.h"
#include "base/source.h"
#include "model/harness.h"

#include <string>
#include <vector>

namespace stoutloom::read {

/// Refusal of a whole file: one or more mistakes, in order of position, never empty.
struct Refused {
    base::SourceText source;
    std::vector<base::Diagnostic> mistakes;
};

struct ReadHarness {
    base::SourceText source;
    model::Harness harness;
};

/// Guards that bound time and memory whatever the input: bytes, nesting, elements, attributes of one element.
struct Bounds {
    std::size_t bytes = 4U << 20;
    std::size_t depth = 16;
    std::size_t elements = 50'000;
    std::size_t attributes = 64;
    std::size_t mistakes = 200; // told at most; the rest is counted in the last one
};

/// Every kit of a file: one, or one for each of its variants in file order, or only the variant asked for.
/// Mistakes of all of them are told in one run. Never empty.
base::Outcome<std::vector<ReadHarness>, Refused>
read_kits(const std::string& path, const std::string& variant = {}, const Bounds& bounds = {});
base::Outcome<std::vector<ReadHarness>, Refused> read_kits_text(std::string path, std::string text,
                                                                const std::string& variant = {},
                                                                const Bounds& bounds = {});

/// The first kit of a file. Reads from memory; `path` is only for messages (and for the folder of an included
/// stock).
base::Outcome<ReadHarness, Refused> read_text(std::string path, std::string text, const Bounds& bounds = {});
/// Reads a file; a file that cannot be had is a Refused with one mistake and no source text.
base::Outcome<ReadHarness, Refused> read_file(const std::string& path, const Bounds& bounds = {});

} // namespace stoutloom::read

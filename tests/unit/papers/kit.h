// One example kit read and judged, kept together because the views point into it.
#pragma once

#include "base/source.h"
#include "check/check.h"
#include "report/papers/papers.h"

#include <memory>
#include <string>

namespace stoutloom::papers_test {

struct Kit {
    base::SourceText source;
    model::Harness harness;
    check::Facts facts;
    check::CheckRecord record;
    report::Checked view;
};
/// Fails the test if the file cannot be read. Judged once for all cases that ask: that is a good part of
/// their time.
std::shared_ptr<const Kit> kit_of(const std::string& path);
/// The same from a text.
std::unique_ptr<Kit> kit_of_text(const std::string& text);
std::vector<std::string> example_paths();
/// Kits of scores or hundreds of cables: slow to draw again and again.
bool large(const std::string& path);

} // namespace stoutloom::papers_test

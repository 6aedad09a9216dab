#include "unit/papers/kit.h"

#include "read/read.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

namespace stoutloom::papers_test {
namespace {

std::unique_ptr<Kit> judged(base::Outcome<read::ReadHarness, read::Refused> got) {
    std::string mistakes;
    if (!got)
        for (const base::Diagnostic& mistake : got.error().mistakes)
            mistakes += base::shown(mistake, got.error().source);
    REQUIRE_MESSAGE(got.has_value(), mistakes);
    auto kit = std::make_unique<Kit>();
    kit->source = std::move(got->source);
    kit->harness = std::move(got->harness);
    kit->facts = check::gather(kit->harness);
    kit->record = check::judge_all(kit->facts);
    kit->view = {
        .source = &kit->source, .harness = &kit->harness, .facts = &kit->facts, .record = &kit->record};
    return kit;
}

} // namespace

std::unique_ptr<Kit> kit_of(const std::string& path) {
    return judged(read::read_file(path));
}
std::unique_ptr<Kit> kit_of_text(const std::string& text) {
    return judged(read::read_text("kit.xml", text));
}
std::vector<std::string> example_paths() {
    return testing::files_below(testing::tree_path("harnesses"), ".xml");
}

} // namespace stoutloom::papers_test

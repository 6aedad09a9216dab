#include "unit/papers/kit.h"

#include "read/read.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <map>

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

std::shared_ptr<const Kit> kit_of(const std::string& path) {
    static std::map<std::string, std::shared_ptr<const Kit>> known;
    auto& kit = known[path];
    if (!kit)
        kit = judged(read::read_file(path));
    return kit;
}
std::unique_ptr<Kit> kit_of_text(const std::string& text) {
    return judged(read::read_text("kit.xml", text));
}
std::vector<std::string> example_paths() {
    // The small kits of the museum differ little on paper: one in ten stands for the rest. The workboat takes
    // minutes under a sanitizer.
    std::vector<std::string> paths;
    std::size_t museum = 0;
    for (const std::string& path : testing::files_below(testing::tree_path("harnesses"), ".xml"))
        if (path.find("/mistakes/") != std::string::npos ? museum++ % 10 == 0
                                                         : path.find("/workboat") == std::string::npos)
            paths.push_back(path);
    return paths;
}

bool large(const std::string& path) {
    return path.find("/coach") != std::string::npos || path.find("/workboat") != std::string::npos;
}

} // namespace stoutloom::papers_test

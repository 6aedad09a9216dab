#include "rules/kits.h"

#include <doctest/doctest.h>

#include <map>

namespace stoutloom::rules_test {

std::shared_ptr<const Kit> kit_at(const std::string& path) {
    static std::map<std::string, std::shared_ptr<const Kit>> known;
    std::shared_ptr<const Kit>& kit = known[path];
    if (kit)
        return kit;
    auto file = read::read_file(path);
    if (!file)
        for (const base::Diagnostic& mistake : file.error().mistakes)
            MESSAGE(base::shown(mistake, file.error().source));
    REQUIRE_MESSAGE(file.has_value(), path, " cannot be read");
    auto made = std::make_shared<Kit>();
    made->file = std::move(*file);
    made->facts = check::gather(made->file.harness);
    return kit = std::move(made);
}

} // namespace stoutloom::rules_test

// Writes the sheets of the invented kits into out/look when STOUTLOOM_LOOK is set, for a look at reading
// size.
#include "draw/draw.h"
#include "testing/diagram_kits.h"
#include "testing/testing.h"

#include <cstdlib>
#include <filesystem>
#include <fstream>

using namespace stoutloom;

namespace {
void write(const std::string& name, const layout::DiagramContent& content) {
    const auto measure = draw::lettering();
    const auto pages = layout::place_diagram(content, *measure);
    REQUIRE_MESSAGE(pages, (pages ? "" : pages.error().message));
    const layout::Document document{content.title.title,    content.title.created_by,
                                    content.title.subtitle, "en",
                                    content.title.date,     *pages};
    const std::string folder = testing::tree_path("out/look");
    std::filesystem::create_directories(folder);
    const auto pdf = draw::paint_pdf(document, draw::Palette::colour);
    REQUIRE_MESSAGE(pdf, (pdf ? "" : pdf.error().message));
    std::ofstream(folder + "/" + name + ".pdf", std::ios::binary) << *pdf;
    for (const layout::Page& page : *pages)
        for (const std::string& complaint : layout::audit(page).complaints)
            fmt::print("{} {}: {}\n", name, page.label, complaint);
}
} // namespace

TEST_CASE("the look sheets can be written") {
    if (std::getenv("STOUTLOOM_LOOK") == nullptr)
        return;
    write("van", testing::van().content);
    write("small", testing::small_kit().content);
}

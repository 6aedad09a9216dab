// On paper: page boxes as pdfinfo reads them, and the rule of 50 mm measured on a raster of 300 dots to the
// inch.
#include "draw/draw.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"

#include <cmath>
#include <fstream>
#include <optional>

using namespace stoutloom;
using namespace stoutloom::papers_test;

namespace {

report::Pack pack_of(layout::Sheet sheet, std::vector<report::Paper> only) {
    const auto lettering = draw::lettering();
    const auto kit = kit_of(testing::tree_path("harnesses/library-van-planned.xml"));
    report::PackOptions options;
    options.sheet = sheet;
    options.only = std::move(only);
    auto pack = report::build_pack(kit->view, options, *lettering);
    REQUIRE(pack.has_value());
    return std::move(*pack);
}

std::string painted(const report::Pack& pack) {
    auto pdf = draw::paint_pdf(pack.document, draw::Palette::monochrome);
    REQUIRE(pdf.has_value());
    return *pdf;
}

struct Grey {
    std::size_t width = 0, height = 0;
    std::string pixels;
    bool dark(std::size_t x, std::size_t y) const {
        return static_cast<unsigned char>(pixels[y * width + x]) < 128;
    }
};

Grey read_pgm(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    std::string magic;
    std::size_t greatest = 0;
    Grey grey;
    in >> magic >> grey.width >> grey.height >> greatest;
    REQUIRE(magic == "P5");
    in.get();
    grey.pixels.resize(grey.width * grey.height);
    in.read(grey.pixels.data(), static_cast<std::streamsize>(grey.pixels.size()));
    REQUIRE(in.good());
    return grey;
}

/// Middle of the run of dark pixels nearest to x on a line, in pixels.
std::optional<double> stroke_near(const Grey& grey, std::size_t y, double x) {
    for (std::size_t away = 0; away < 12; ++away)
        for (const long side : {-1L, 1L}) {
            const long at = std::lround(x) + side * static_cast<long>(away);
            if (at < 0 || static_cast<std::size_t>(at) >= grey.width ||
                !grey.dark(static_cast<std::size_t>(at), y))
                continue;
            long from = at, to = at;
            while (from > 0 && grey.dark(static_cast<std::size_t>(from - 1), y))
                --from;
            while (static_cast<std::size_t>(to + 1) < grey.width &&
                   grey.dark(static_cast<std::size_t>(to + 1), y))
                ++to;
            return (static_cast<double>(from) + static_cast<double>(to)) / 2 + 0.5;
        }
    return std::nullopt;
}

} // namespace

TEST_CASE("page boxes are those of the paper") {
    REQUIRE(testing::have_program("pdfinfo"));
    // ISO 216: 210 by 297 mm; ANSI Y14.1 Letter: 8.5 by 11 in. pdfinfo tells points of 1/72 in.
    struct Expected {
        layout::Sheet sheet;
        double narrow_mm, long_mm;
    };
    for (const Expected& expected :
         {Expected{layout::Sheet::a3, 210, 297}, Expected{layout::Sheet::letter, 8.5 * 25.4, 11 * 25.4}}) {
        const report::Pack pack = pack_of(
            expected.sheet, {report::Paper::cut_list, report::Paper::measurements, report::Paper::labels});
        const testing::TemporaryFolder folder;
        const std::string path = folder.file("pack.pdf", painted(pack));
        const testing::Ran ran = testing::run({"pdfinfo", "-f", "1", "-l", "99", path});
        REQUIRE(ran.exit_code == 0);
        std::size_t pages = 0, at = 0;
        while ((at = ran.out.find(" size:", at)) != std::string::npos) {
            double wide = 0, tall = 0;
            const bool page = std::sscanf(ran.out.c_str() + at, " size: %lf x %lf", &wide, &tall) == 2;
            ++at;
            if (!page) // the size of the file
                continue;
            const double a = std::min(wide, tall) * 25.4 / 72, b = std::max(wide, tall) * 25.4 / 72;
            CHECK(std::abs(a - expected.narrow_mm) < 0.1);
            CHECK(std::abs(b - expected.long_mm) < 0.1);
            ++pages;
        }
        CHECK(pages == pack.document.pages.size());
    }
}

TEST_CASE("the bar of 50 mm measures 50 mm on the raster") {
    REQUIRE(testing::have_program("pdftoppm"));
    for (const layout::Sheet sheet : {layout::Sheet::a4, layout::Sheet::letter}) {
        const report::Pack pack = pack_of(sheet, {report::Paper::cut_list});
        // Where the drawing says the end strokes stand; the raster must agree.
        double left = 0, right = 0, y = 0;
        for (const layout::Element& element : pack.document.pages.at(0).elements)
            if (element.id.find("print-check") != std::string::npos) {
                const layout::Shape& bar = element.shapes.front();
                left = bar.pieces.at(0).to.x_mm;
                right = bar.pieces.at(1).to.x_mm;
                y = bar.pieces.at(0).to.y_mm;
            }
        REQUIRE(right > left);
        const testing::TemporaryFolder folder;
        const std::string path = folder.file("pack.pdf", painted(pack));
        REQUIRE(testing::run({"pdftoppm", "-r", "300", "-gray", "-f", "1", "-l", "1", "-singlefile", path,
                              folder.path() + "/page"})
                    .exit_code == 0);
        const Grey grey = read_pgm(folder.path() + "/page.pgm");
        const double per_mm = 300 / 25.4;
        // Below the bar only the two end strokes reach down.
        const auto line = static_cast<std::size_t>((y + 1.2) * per_mm);
        const auto first = stroke_near(grey, line, left * per_mm),
                   last = stroke_near(grey, line, right * per_mm);
        REQUIRE(first.has_value());
        REQUIRE(last.has_value());
        CHECK(std::abs((*last - *first) / per_mm - 50) < 0.2);
        // Nothing dark between them: what was measured is the bar's own ends.
        const double middle = (*first + *last) / 2;
        CHECK_FALSE(stroke_near(grey, line, middle).has_value());
    }
}

TEST_CASE("the words of the sheets can be found in the PDF") {
    REQUIRE(testing::have_program("pdftotext"));
    const report::Pack pack =
        pack_of(layout::Sheet::a4, {report::Paper::cut_list, report::Paper::stud_stacks,
                                    report::Paper::measurements, report::Paper::check_record});
    const testing::TemporaryFolder folder;
    const std::string path = folder.file("pack.pdf", painted(pack));
    const testing::Ran ran = testing::run({"pdftotext", "-layout", path, "-"});
    REQUIRE(ran.exit_code == 0);
    for (const char* words :
         {"Cut list", "Stud stacks", "Commissioning measurements", "Record of check", "SHA-256"})
        CHECK_MESSAGE(ran.out.find(words) != std::string::npos, words);
    // The digest as sha256sum tells it.
    const testing::Ran sum =
        testing::run({"sha256sum", testing::tree_path("harnesses/library-van-planned.xml")});
    REQUIRE(sum.exit_code == 0);
    CHECK(ran.out.find(sum.out.substr(0, 64)) != std::string::npos);
    CHECK(testing::run({"qpdf", "--check", path}).exit_code == 0);
}

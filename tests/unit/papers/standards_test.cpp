// Papers held to open standards as numbers: ISO 3098 heights, ISO 128 lines, ISO 7200 fields, WCAG contrast,
// and to what outside programs say of the files.
#include "draw/draw.h"
#include "draw/palette.h"
#include "testing/testing.h"
#include "unit/papers/kit.h"

#include <cmath>
#include <set>

using namespace stoutloom;
using namespace stoutloom::papers_test;
using layout::Paint;

namespace {

report::Pack whole_pack(const char* kit_path) {
    const auto lettering = draw::lettering();
    const auto kit = kit_of(testing::tree_path(kit_path));
    report::PackOptions options;
    options.sheet = layout::Sheet::a4;
    auto pack = report::build_pack(kit->view, options, *lettering);
    REQUIRE(pack.has_value());
    return std::move(*pack);
}

bool one_of(double value, std::initializer_list<double> allowed) {
    return std::any_of(allowed.begin(), allowed.end(),
                       [&](double each) { return std::abs(value - each) < 1e-6; });
}

// WCAG 2.1, relative luminance and contrast ratio (W3C Recommendation, 2018, "relative luminance" in the
// glossary).
double luminance(draw::Colour colour) {
    const auto linear = [](std::uint8_t channel) {
        const double c = channel / 255.0;
        return c <= 0.03928 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * linear(colour.red) + 0.7152 * linear(colour.green) + 0.0722 * linear(colour.blue);
}
double contrast(draw::Colour one, draw::Colour other) {
    const double a = luminance(one), b = luminance(other);
    return (std::max(a, b) + 0.05) / (std::min(a, b) + 0.05);
}

} // namespace

/// A sample of a cable: its width tells the section.
bool copper(const layout::Element& element, Paint paint) {
    const bool halo = element.id == "reading" && paint == Paint::white;
    return halo || paint == Paint::feed_core || paint == Paint::feed_edge || paint == Paint::return_core ||
           paint == Paint::return_edge;
}

TEST_CASE("letters have heights of ISO 3098 and pens widths of ISO 128") {
    const report::Pack pack = whole_pack("harnesses/library-van-original.xml");
    std::size_t letters = 0, lines = 0;
    for (const layout::Page& page : pack.document.pages)
        for (const layout::Element& element : page.elements) {
            for (const layout::Text& text : element.texts) {
                // Series 1.8 2.5 3.5 5; the letter in a probe's diamond is the one exception, 1.8 is for the
                // captions of the title block alone.
                CHECK_MESSAGE(one_of(text.height_mm, {1.8, 2.3, 2.5, 3.5, 5}), page.id, " ", text.words, " ",
                              text.height_mm);
                if (text.height_mm < 2.5)
                    CHECK_MESSAGE((element.role == layout::Role::title || text.words.size() <= 2), page.id,
                                  " ", element.id, " ", text.words);
                ++letters;
            }
            if (element.role == layout::Role::cable || element.role == layout::Role::hatch)
                continue; // there the width tells the copper's section
            for (const layout::Shape& shape : element.shapes)
                if (shape.stroke.width_mm > 0 && !copper(element, shape.stroke.paint)) {
                    CHECK_MESSAGE(one_of(shape.stroke.width_mm, {0.18, 0.25, 0.35, 0.5, 0.7, 1.0}), page.id,
                                  " ", element.id, " ", shape.stroke.width_mm);
                    ++lines;
                }
        }
    CHECK(letters > 3000);
    CHECK(lines > 1000);
}

TEST_CASE("words stand out from what they stand on by the formula of WCAG") {
    using draw::Palette;
    for (const Palette palette : {Palette::colour, Palette::colour_safe, Palette::monochrome}) {
        const auto of = [&](Paint paint) {
            return draw::colour_of(paint, palette).value_or(draw::Colour{255, 255, 255});
        };
        for (const Paint ground : {Paint::white, Paint::zone_cool, Paint::zone_mild, Paint::zone_warm,
                                   Paint::zone_hot, Paint::bed, Paint::flag, Paint::caution_panel})
            CHECK(contrast(of(Paint::ink), of(ground)) >= 11);
        CHECK(contrast(of(Paint::ink), of(Paint::warning_panel)) >= 7);
        CHECK(contrast(of(Paint::grey), of(Paint::white)) >= 4.5); // AA for captions
        // Lines that must be told from the ground, 3 : 1 (success criterion 1.4.11).
        CHECK(contrast(of(Paint::feed_edge), of(Paint::white)) >= 3);
        CHECK(contrast(of(Paint::return_edge), of(Paint::white)) >= 3);
    }
    // The formula against its two ends.
    CHECK(contrast({0, 0, 0}, {255, 255, 255}) == doctest::Approx(21));
    CHECK(contrast({119, 119, 119}, {255, 255, 255}) == doctest::Approx(4.48).epsilon(0.01));
}

TEST_CASE(
    "outside programs read a whole pack: fonts within, no damage, a bookmark and a label for each sheet") {
    const report::Pack pack = whole_pack("harnesses/library-van-original.xml");
    const auto pdf = draw::paint_pdf(pack.document, draw::Palette::colour);
    REQUIRE(pdf.has_value());
    const testing::TemporaryFolder folder;
    const std::string path = folder.file("pack.pdf", *pdf);
    const testing::Ran checked = testing::run({"qpdf", "--check", path});
    CHECK_MESSAGE(checked.exit_code == 0, checked.out, checked.err);
    const std::string fonts = testing::run({"pdffonts", path}).out;
    CHECK(fonts.find(" yes yes ") != std::string::npos);
    CHECK(fonts.find(" no ") == std::string::npos);
    const std::string info = testing::run({"pdfinfo", path}).out;
    for (const std::string& words : {pack.document.title, pack.document.author})
        CHECK_MESSAGE(info.find(words) != std::string::npos, words);
    const std::string open = testing::run({"qpdf", "--qdf", "--object-streams=disable", path, "-"}).out;
    std::size_t jumps = 0;
    for (std::size_t at = open.find("/Subtype /Link"); at != std::string::npos;
         at = open.find("/Subtype /Link", at + 1))
        ++jumps;
    std::size_t asked = 0;
    for (const layout::Page& page : pack.document.pages)
        for (const layout::Element& element : page.elements)
            asked += element.link_page.empty() ? 0U : 1U;
    CHECK(jumps == asked);
    CHECK(jumps >= 20);
}

TEST_CASE(
    "each jump lands: balloons on the cable's row, flags on the finding, findings on what they speak of") {
    const report::Pack pack = whole_pack("harnesses/library-van-planned.xml");
    std::size_t balloons = 0, findings = 0;
    for (const layout::Page& page : pack.document.pages)
        for (const layout::Element& element : page.elements) {
            const bool fresh_balloon = element.role == layout::Role::balloon && !element.link_page.empty();
            balloons += fresh_balloon ? 1U : 0U;
            findings += element.id.starts_with("finding-") ? 1U : 0U;
            CHECK_FALSE((element.id.starts_with("finding-") && element.link_page.empty()));
            if (element.link_page.empty())
                continue;
            const std::size_t hash = element.link_page.find('#');
            REQUIRE(hash != std::string::npos);
            const std::string sheet = element.link_page.substr(0, hash),
                              what = element.link_page.substr(hash + 1);
            bool there = false;
            for (const layout::Page& other : pack.document.pages)
                for (const layout::Element& aim : other.elements)
                    there = there || (other.id == sheet && aim.id == what);
            CHECK_MESSAGE(there, element.link_page);
            if (fresh_balloon)
                CHECK(element.id.starts_with(what + "-"));
        }
    CHECK(balloons >= 9);
    CHECK(findings >= 1);
}

namespace {

struct Grey {
    std::size_t width = 0, height = 0;
    std::string pixels;
    bool dark(long x, long y) const {
        return x >= 0 && y >= 0 && x < static_cast<long>(width) && y < static_cast<long>(height) &&
               static_cast<unsigned char>(
                   pixels[static_cast<std::size_t>(y) * width + static_cast<std::size_t>(x)]) < 96;
    }
};

/// One page at ten dots to the millimetre.
Grey raster(const testing::TemporaryFolder& folder, const std::string& pdf, const std::string& name) {
    REQUIRE(testing::run({"pdftoppm", "-r", "254", "-gray", "-singlefile", pdf, folder.path() + "/" + name})
                .exit_code == 0);
    const std::string bytes = testing::file_text(folder.path() + "/" + name + ".pgm");
    Grey grey;
    int header = 0;
    REQUIRE(std::sscanf(bytes.c_str(), "P5 %zu %zu 255%n", &grey.width, &grey.height, &header) == 2);
    grey.pixels = bytes.substr(static_cast<std::size_t>(header) + 1);
    REQUIRE(grey.pixels.size() == grey.width * grey.height);
    return grey;
}

/// Share of the dark dots of one picture that have no dark dot of the other within 0.1 mm.
double alone_share(const Grey& one, const Grey& other) {
    std::size_t dark = 0, alone = 0;
    for (long y = 0; y < static_cast<long>(one.height); ++y)
        for (long x = 0; x < static_cast<long>(one.width); ++x) {
            if (!one.dark(x, y))
                continue;
            ++dark;
            bool near = false;
            for (long dy = -1; dy <= 1 && !near; ++dy)
                for (long dx = -1; dx <= 1 && !near; ++dx)
                    near = other.dark(x + dx, y + dy);
            alone += near ? 0U : 1U;
        }
    REQUIRE(dark > 10000);
    return static_cast<double>(alone) / static_cast<double>(dark);
}

} // namespace

TEST_CASE("the pages as SVG are well formed, say what they are, and draw what the PDF draws") {
    REQUIRE(testing::have_program("rsvg-convert"));
    const report::Pack pack = whole_pack("harnesses/first-kit.xml");
    const testing::TemporaryFolder folder;
    std::vector<std::string> lint = {"xmllint", "--noout"};
    std::size_t titles = 0;
    for (std::size_t i = 0; i < pack.document.pages.size(); ++i) {
        const auto svg = draw::paint_svg(pack.document, i, draw::Palette::monochrome);
        REQUIRE(svg.has_value());
        lint.push_back(folder.file(pack.document.pages[i].id + ".svg", *svg));
        titles += svg->find("<title id=") != std::string::npos && svg->find("<desc id=") != std::string::npos
                      ? 1U
                      : 0U;
    }
    CHECK(titles == pack.document.pages.size());
    const testing::Ran linted = testing::run(lint);
    CHECK_MESSAGE(linted.exit_code == 0, linted.err);
    // The same picture to 0.1 mm, drawn by another program; letters too, for their places and lengths are
    // told.
    for (std::size_t i = 0; i < pack.document.pages.size(); ++i) {
        const layout::Page& page = pack.document.pages[i];
        if (page.id != "cut-list" && page.id != "plots" && !page.id.starts_with("diagram-"))
            continue;
        layout::Document single = pack.document;
        single.pages = {page};
        const auto pdf = draw::paint_pdf(single, draw::Palette::monochrome);
        REQUIRE(pdf.has_value());
        const Grey ours = raster(folder, folder.file("ours.pdf", *pdf), "ours");
        REQUIRE(testing::run({"rsvg-convert", "-f", "pdf", "-o", folder.path() + "/theirs.pdf",
                              folder.path() + "/" + page.id + ".svg"})
                    .exit_code == 0);
        const Grey theirs = raster(folder, folder.path() + "/theirs.pdf", "theirs");
        CHECK(std::abs(static_cast<double>(ours.width) - static_cast<double>(theirs.width)) <= 1);
        CHECK_MESSAGE(alone_share(ours, theirs) < 0.002, page.id, " ", alone_share(ours, theirs));
        CHECK_MESSAGE(alone_share(theirs, ours) < 0.002, page.id, " ", alone_share(theirs, ours));
    }
}

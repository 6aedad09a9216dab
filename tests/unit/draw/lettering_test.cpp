// The carried lettering: any script an author may write in, measured and painted the same on every machine.
#include "draw/draw.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

using namespace stoutloom;

namespace {

layout::Document document_of(const std::string& words) {
    layout::Page page;
    page.id = page.title = "one";
    page.label = "1";
    page.width_mm = 100;
    page.height_mm = 60;
    layout::Element element;
    element.id = element.title = "words";
    element.texts.push_back({.at = {10, 30}, .height_mm = 5, .words = words, .box = {10, 25, 80, 6}});
    element.box = {10, 25, 80, 6};
    page.elements.push_back(std::move(element));
    layout::Document document;
    document.title = "Lettering";
    document.pages.push_back(std::move(page));
    return document;
}

} // namespace

TEST_CASE("the lettering has the scripts of authors and tells what it lacks") {
    const auto lettering = draw::lettering();
    for (const char* words :
         {"Größe, à côté, señal", "Łódź, ő, ğ, ș", "Мощность", "Δίκτυο", "קו הזנה", "كابل التغذية",
          "給電ケーブル", "电池负极", "전원 케이블", "ไฟทำงาน", "ขั้วแบตเตอรี่", "Ω µ ° ² ≤ → −"})
        CHECK_MESSAGE(lettering->missing_character(words) == 0, words);
    CHECK(lettering->missing_character("plug \xEE\x80\x80") == 0xE000); // private use: no font has it
    const auto refused = draw::paint_pdf(document_of("plug \xEE\x80\x80"), draw::Palette::colour);
    REQUIRE_FALSE(refused.has_value());
    CHECK(refused.error().message.find("U+E000") != std::string::npos);
}

TEST_CASE("scripts that must be shaped are shaped or refused") {
    const auto lettering = draw::lettering();
    const auto width = [&](const char* words) {
        return lettering->width_mm(words, 10, layout::Weight::regular);
    };
    for (const char* words :
         {"शक्ति", "ব্যাটারি", "ਬੈਟਰੀ", "બેટરી", "ବ୍ୟାଟେରୀ", "மின்கலம்", "బ్యాటరీ", "ಬ್ಯಾಟರಿ", "ബാറ്ററി"})
        CHECK_MESSAGE(lettering->missing_character(words) == 0, words);
    // A conjunct is one sign, narrower than its two letters side by side; joined Arabic letters are narrower
    // than alone.
    CHECK(width("क्ष") < 0.9 * (width("क") + width("ष")));
    CHECK(width("কত্র") < width("ক") + width("ত") + width("্") + width("র"));
    CHECK(width("ببب") < 0.9 * 3 * width("ب"));
    CHECK(width("لا") < 0.9 * (width("ل") + width("ا")));
    // No face with the rules of these is carried: a row of loose signs would not be read.
    for (const char* words : {"සිංහල", "မြန်မာ", "ខ្មែរ", "བོད", "ܣܘܪܝܝܐ"})
        CHECK_MESSAGE(lettering->missing_character(words) != 0, words);
}

TEST_CASE("a line's width grows with its height and an empty one has none") {
    const auto lettering = draw::lettering();
    for (const char* words : {"95 mm²", "電線 35 mm²", "كابل"}) {
        const double small = lettering->width_mm(words, 2.5, layout::Weight::regular);
        CHECK(small > 0);
        CHECK(lettering->width_mm(words, 5, layout::Weight::regular) == doctest::Approx(2 * small));
    }
    CHECK(lettering->width_mm("", 2.5, layout::Weight::bold) == 0);
}

// What only the last face has is left out here: it has PostScript outlines, for which Cairo forgets 24 bytes
// a document, and this folder runs under the leak sanitizer.
TEST_CASE("text of other scripts comes back from the PDF, which has its fonts in it") { // pdftotext and
                                                                                        // pdffonts of poppler
    const testing::TemporaryFolder folder;
    for (const std::string words : {"Größe 95", "給電ケーブル", "电池负极", "வட", "배터리 단자"}) {
        const auto pdf = draw::paint_pdf(document_of(words), draw::Palette::monochrome);
        REQUIRE(pdf.has_value());
        CHECK(*pdf == *draw::paint_pdf(document_of(words), draw::Palette::monochrome));
        const std::string path = folder.file("words.pdf", *pdf);
        CHECK(testing::run({"pdftotext", path, "-"}).out.find(words) != std::string::npos);
        const std::string fonts = testing::run({"pdffonts", path}).out;
        CHECK(fonts.find(" yes yes ") != std::string::npos);
        CHECK(fonts.find(" no ") == std::string::npos);
    }
}

// Unicode Annex 9, rules P2 and P3: the first strong letter tells the way of a line. SVG 1.1, 10.7: a viewer
// takes every line to run to the right unless told otherwise.
TEST_CASE("a line that runs to the left says so in SVG and others do not") {
    const auto svg_of = [](const std::string& words) {
        const auto svg = draw::paint_svg(document_of(words), 0, draw::Palette::colour);
        REQUIRE(svg.has_value());
        return *svg;
    };
    CHECK(svg_of("יחידת 180 A מאחור").find(">&#x2067;יחידת 180 A מאחור&#x2069;</text>") != std::string::npos);
    CHECK(svg_of("180 A, rear").find("&#x2067;") == std::string::npos);
}

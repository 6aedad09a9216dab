// Pages to PDF through Cairo: vector, embedded subsets, outline, page labels, links, a date that is not the
// clock's.
#include "draw/draw.h"
#include "draw/legible.h"
#include "draw/palette.h"
#include "draw/typeface.h"

#include <cairo-pdf.h>
#include <charconv>
#include <cstdlib>
#include <ctime>
#include <fmt/format.h>
#include <string_view>

namespace stoutloom::draw {
namespace {
using layout::Element;
using layout::Page;
using layout::PathPiece;
using layout::Shape;

constexpr double points_per_mm = 72.0 / 25.4;

cairo_status_t append(void* to, const unsigned char* bytes, unsigned int count) {
    static_cast<std::string*>(to)->append(static_cast<const char*>(static_cast<const void*>(bytes)), count);
    return CAIRO_STATUS_SUCCESS;
}

/// The document's own date; else the builder's agreed one; else a fixed day. Never the clock.
std::string creation_date(const std::string& document_date) {
    if (document_date.size() == 10)
        return document_date + "T00:00:00Z";
    if (document_date.size() > 10)
        return document_date;
    const char* agreed = std::getenv("SOURCE_DATE_EPOCH");
    std::int64_t seconds = 946684800; // 2000-01-01
    if (agreed != nullptr) {
        const std::string_view text = agreed;
        std::from_chars(text.data(), text.data() + text.size(), seconds);
    }
    const auto moment = static_cast<std::time_t>(seconds);
    std::tm parts{};
    gmtime_r(&moment, &parts);
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z", parts.tm_year + 1900, parts.tm_mon + 1,
                       parts.tm_mday, parts.tm_hour, parts.tm_min, parts.tm_sec);
}

class PdfPainter {
  public:
    PdfPainter(const layout::Document& document, Palette palette) : document_(document), palette_(palette) {
        surface_ = cairo_pdf_surface_create_for_stream(append, &bytes_, 100, 100);
        cairo_ = cairo_create(surface_);
    }
    ~PdfPainter() {
        cairo_destroy(cairo_);
        cairo_surface_destroy(surface_);
    }
    PdfPainter(const PdfPainter&) = delete;
    PdfPainter& operator=(const PdfPainter&) = delete;

    base::Outcome<std::string, PaintFailure> paint();

  private:
    const layout::Document& document_;
    Palette palette_;
    Typeface face_;
    std::string bytes_;
    cairo_surface_t* surface_ = nullptr;
    cairo_t* cairo_ = nullptr;
    bool jumps_ = false;                // some element leads to another page
    int over_ = CAIRO_PDF_OUTLINE_ROOT; // the bookmark that the sheets of one paper hang under

    void describe();
    void page(const Page& page, std::size_t index);
    void bookmark(const Page& page, std::size_t index);
    struct Target {
        std::size_t page = 0;
        double y_mm = 0;
    };
    std::optional<Target> target_of(const std::string& link) const;
    void element(const Element& element);
    void shape(const Shape& shape);
    void trace(const Shape& shape);
    bool choose(layout::Paint paint);
    std::optional<PaintFailure> trouble(const std::string& where) const;
};

std::optional<PaintFailure> PdfPainter::trouble(const std::string& where) const {
    for (const cairo_status_t status : {cairo_status(cairo_), cairo_surface_status(surface_)})
        if (status != CAIRO_STATUS_SUCCESS)
            return PaintFailure{fmt::format("PDF, {}: {}", where, cairo_status_to_string(status))};
    return std::nullopt;
}

void PdfPainter::describe() {
    cairo_pdf_surface_set_metadata(surface_, CAIRO_PDF_METADATA_TITLE, document_.title.c_str());
    if (!document_.author.empty())
        cairo_pdf_surface_set_metadata(surface_, CAIRO_PDF_METADATA_AUTHOR, document_.author.c_str());
    if (!document_.subject.empty())
        cairo_pdf_surface_set_metadata(surface_, CAIRO_PDF_METADATA_SUBJECT, document_.subject.c_str());
    cairo_pdf_surface_set_metadata(surface_, CAIRO_PDF_METADATA_CREATOR, "stoutloom " STOUTLOOM_VERSION);
    cairo_pdf_surface_set_metadata(surface_, CAIRO_PDF_METADATA_CREATE_DATE,
                                   creation_date(document_.date).c_str());
}

bool PdfPainter::choose(layout::Paint paint) {
    const std::optional<Colour> colour = colour_of(paint, palette_);
    if (colour)
        cairo_set_source_rgb(cairo_, colour->red / 255.0, colour->green / 255.0, colour->blue / 255.0);
    return colour.has_value();
}

void PdfPainter::trace(const Shape& shape) {
    cairo_new_path(cairo_);
    for (const PathPiece& piece : shape.pieces)
        switch (piece.kind) {
        case PathPiece::Kind::move:
            cairo_move_to(cairo_, piece.to.x_mm, piece.to.y_mm);
            break;
        case PathPiece::Kind::line:
            cairo_line_to(cairo_, piece.to.x_mm, piece.to.y_mm);
            break;
        case PathPiece::Kind::curve:
            cairo_curve_to(cairo_, piece.control1.x_mm, piece.control1.y_mm, piece.control2.x_mm,
                           piece.control2.y_mm, piece.to.x_mm, piece.to.y_mm);
            break;
        }
    if (shape.closed)
        cairo_close_path(cairo_);
}

void PdfPainter::shape(const Shape& shape) {
    trace(shape);
    if (choose(shape.fill))
        cairo_fill_preserve(cairo_);
    if (shape.stroke.width_mm > 0 && choose(shape.stroke.paint)) {
        cairo_set_line_width(cairo_, shape.stroke.width_mm);
        cairo_set_line_cap(cairo_, shape.stroke.round_caps ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
        cairo_set_line_join(cairo_, shape.stroke.round_caps ? CAIRO_LINE_JOIN_ROUND : CAIRO_LINE_JOIN_MITER);
        const std::span<const double> dashes = dash_pattern(shape.stroke.dash);
        cairo_set_dash(cairo_, dashes.data(), static_cast<int>(dashes.size()), 0);
        cairo_stroke_preserve(cairo_);
    }
    cairo_new_path(cairo_);
}

/// "cut-list-2#W5": a page and what to look at on it; without "#" its top.
std::optional<PdfPainter::Target> PdfPainter::target_of(const std::string& link) const {
    if (link.empty())
        return std::nullopt;
    const std::size_t hash = std::min(link.find('#'), link.size());
    for (std::size_t i = 0; i < document_.pages.size(); ++i) {
        const Page& page = document_.pages[i];
        if (page.id != link.substr(0, hash))
            continue;
        constexpr double above_mm = 8; // so that the reader sees where on the sheet it is
        for (const Element& element : page.elements)
            if (hash < link.size() && element.id == link.substr(hash + 1))
                return Target{.page = i, .y_mm = std::max(0.0, element.box.y_mm - above_mm)};
        return Target{.page = i};
    }
    return std::nullopt;
}

void PdfPainter::element(const Element& element) {
    const std::optional<Target> target = target_of(element.link_page);
    const bool linked = target.has_value();
    if (linked) {
        // Cairo's rectangle is in points from the top left of the page; pages count from 1.
        const layout::Box& box = element.box;
        const std::string where =
            fmt::format("rect=[{:.3f} {:.3f} {:.3f} {:.3f}] page={} pos=[0 {:.3f}]", box.x_mm * points_per_mm,
                        box.y_mm * points_per_mm, box.width_mm * points_per_mm, box.height_mm * points_per_mm,
                        target->page + 1, target->y_mm * points_per_mm);
        cairo_tag_begin(cairo_, CAIRO_TAG_LINK, where.c_str());
    }
    for (const Shape& drawn : element.shapes)
        shape(drawn);
    for (const layout::Text& text : element.texts)
        if (choose(text.paint)) {
            const double width_mm = face_.width_mm(text.words, text.height_mm, text.weight);
            face_.show(cairo_, text, left_edge_mm(text, width_mm), text.at.y_mm);
        }
    if (linked)
        cairo_tag_end(cairo_, CAIRO_TAG_LINK);
}

/// Sheets of one title hang under its first, closed when they are many: what a reader scans is the papers.
void PdfPainter::bookmark(const Page& page, std::size_t index) {
    const auto& pages = document_.pages;
    const bool first = index == 0 || pages[index - 1].title != page.title;
    const bool several = index + 1 < pages.size() && pages[index + 1].title == page.title;
    const std::string place = fmt::format("page={} pos=[0 0]", index + 1);
    if (first && several) {
        over_ = cairo_pdf_surface_add_outline(surface_, CAIRO_PDF_OUTLINE_ROOT, page.title.c_str(),
                                              place.c_str(), CAIRO_PDF_OUTLINE_FLAG_BOLD);
    } else if (first) {
        over_ = CAIRO_PDF_OUTLINE_ROOT;
    }
    const bool alone = over_ == CAIRO_PDF_OUTLINE_ROOT;
    const std::string of = alone || page.content.empty() ? page.title : page.content;
    const std::string own = page.label.empty() ? of : page.label + "  " + of;
    cairo_pdf_surface_add_outline(surface_, over_, own.c_str(), place.c_str(),
                                  static_cast<cairo_pdf_outline_flags_t>(0));
}

void PdfPainter::page(const Page& page, std::size_t index) {
    cairo_pdf_surface_set_size(surface_, page.width_mm * points_per_mm, page.height_mm * points_per_mm);
    cairo_pdf_surface_set_page_label(surface_, page.label.c_str());
    bookmark(page, index);
    cairo_save(cairo_);
    cairo_scale(cairo_, points_per_mm, points_per_mm);
    // Cairo 1.16 numbers an object for each jump and writes it only where some structure is tagged; a file
    // without is damaged.
    if (jumps_)
        cairo_tag_begin(cairo_, "Sect", nullptr);
    for (const Element& drawn : page.elements)
        element(drawn);
    if (jumps_)
        cairo_tag_end(cairo_, "Sect");
    cairo_restore(cairo_);
    cairo_show_page(cairo_);
}

base::Outcome<std::string, PaintFailure> PdfPainter::paint() {
    if (document_.pages.empty())
        return base::failure(PaintFailure{"PDF: the document has no page"});
    describe();
    for (const Page& each : document_.pages)
        for (const Element& one : each.elements)
            jumps_ = jumps_ || target_of(one.link_page).has_value();
    for (std::size_t i = 0; i < document_.pages.size(); ++i) {
        const Page& each = document_.pages[i];
        if (const auto lacking = illegible(each, face_))
            return base::failure(PaintFailure{*lacking});
        page(each, i);
        if (const auto wrong = trouble("sheet " + each.label))
            return base::failure(PaintFailure{*wrong});
    }
    cairo_surface_finish(surface_);
    if (const cairo_status_t status = cairo_surface_status(surface_); status != CAIRO_STATUS_SUCCESS)
        return base::failure(
            PaintFailure{fmt::format("PDF, at its end: {}", cairo_status_to_string(status))});
    return std::move(bytes_);
}

} // namespace

base::Outcome<std::string, PaintFailure> paint_pdf(const layout::Document& document, Palette palette) {
    PdfPainter painter(document, palette);
    return painter.paint();
}

} // namespace stoutloom::draw

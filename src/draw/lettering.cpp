// The measure of text for layout, and the one place that refuses text the lettering cannot write.
#include "draw/draw.h"
#include "draw/legible.h"
#include "draw/typeface.h"

#include <fmt/format.h>

namespace stoutloom::draw {
namespace {
class CarriedLettering final : public layout::TextMeasure {
  public:
    double width_mm(const std::string& words, double height_mm, layout::Weight weight) const override {
        return face_.width_mm(words, height_mm, weight);
    }
    std::uint32_t missing_character(const std::string& words) const override {
        return face_.missing_character(words);
    }
    std::vector<std::size_t> word_starts(const std::string& words) const override {
        return face_.word_starts(words);
    }

  private:
    Typeface face_;
};
} // namespace

std::unique_ptr<layout::TextMeasure> lettering() {
    return std::make_unique<CarriedLettering>();
}

std::optional<PaintFailure> illegible(const layout::Page& page, const Typeface& face) {
    if (!face.ready())
        return PaintFailure{
            "the carried lettering could not be opened (no memory file, or /proc is not mounted)"};
    for (const layout::Element& element : page.elements)
        for (const layout::Text& text : element.texts)
            if (const std::uint32_t code = face.missing_character(text.words); code != 0)
                return PaintFailure{
                    fmt::format("the lettering has no character U+{:04X}, in \"{}\" on sheet {}", code,
                                text.words, page.label)};
    return std::nullopt;
}

} // namespace stoutloom::draw

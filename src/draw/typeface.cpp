// Opens the carried fonts through a private fontconfig configuration on a private Pango font map.
#include "draw/typeface.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <fcntl.h>
#include <fontconfig/fontconfig.h>
#include <pango/pangocairo.h>
#include <pango/pangofc-fontmap.h>
#include <stdexcept>
#include <string_view>
#include <sys/mman.h>
#include <unistd.h>
#include <vector>

#define FONTS(FONT)                                                                                          \
    FONT(regular)                                                                                            \
    FONT(bold)                                                                                               \
    FONT(japanese)                                                                                           \
    FONT(devanagari)                                                                                         \
    FONT(bengali)                                                                                            \
    FONT(gurmukhi)                                                                                           \
    FONT(gujarati)                                                                                           \
    FONT(odia)                                                                                               \
    FONT(tamil)                                                                                              \
    FONT(telugu)                                                                                             \
    FONT(kannada)                                                                                            \
    FONT(malayalam)                                                                                          \
    FONT(thai)                                                                                               \
    FONT(thai_bold)                                                                                          \
    FONT(wide)                                                                                               \
    FONT(korean)                                                                                             \
    FONT(last)
extern "C" {
#define FONT(name) extern const unsigned char stoutloom_font_##name##_begin[], stoutloom_font_##name##_end[];
FONTS(FONT)
#undef FONT
}

namespace stoutloom::draw {
namespace {

/// A file without a name, so that fontconfig has a path to open; stays until the object goes.
class NamelessFile {
  public:
    NamelessFile(const unsigned char* begin, const unsigned char* end)
        : file_(memfd_create("lettering", MFD_CLOEXEC)) {
        while (file_ >= 0 && begin < end) {
            const ssize_t done = write(file_, begin, static_cast<std::size_t>(end - begin));
            if (done <= 0)
                break;
            begin += done;
        }
        whole_ = file_ >= 0 && begin == end;
    }
    ~NamelessFile() {
        if (file_ >= 0)
            close(file_);
    }
    NamelessFile(const NamelessFile&) = delete;
    NamelessFile& operator=(const NamelessFile&) = delete;
    bool whole() const { return whole_; }
    std::string path() const { return "/proc/self/fd/" + std::to_string(file_); }

  private:
    int file_;
    bool whole_ = false;
};

/// Pango works in whole 1/1024 of its unit; a measure made at this height and scaled is exact to a thousandth
/// of it.
constexpr double measuring_height_mm = 1000;

std::uint32_t next_code_point(std::string_view& rest) {
    const auto first = static_cast<unsigned char>(rest.front());
    const std::size_t length = first < 0x80 ? 1 : first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
    if (length > rest.size()) {
        rest = {};
        return 0xFFFD;
    }
    std::uint32_t code = length == 1 ? first : first & (0xFFU >> (length + 1));
    for (std::size_t i = 1; i < length; ++i)
        code = (code << 6U) | (static_cast<unsigned char>(rest[i]) & 0x3FU);
    rest.remove_prefix(length);
    return code;
}

/// Scripts whose letters join, stack or change places: without the rules of a face of their own they cannot
/// be read (Unicode 15, chapters 9 and 12 to 17), and the last face has none.
bool needs_shaping(std::uint32_t code) {
    struct Range {
        std::uint32_t from, to;
    };
    static constexpr std::array<Range, 12> ranges = {{{0x0600, 0x077F}, // Arabic, Syriac
                                                      {0x07C0, 0x085F}, // N'Ko to Mandaic
                                                      {0x0860, 0x08FF}, // Arabic and Syriac, extended
                                                      {0x0900, 0x0DFF}, // Devanagari to Sinhala
                                                      {0x0F00, 0x109F}, // Tibetan, Myanmar
                                                      {0x1700, 0x18AF}, // Tagalog to Mongolian
                                                      {0x1900, 0x1AAF}, // Limbu to Tai Tham
                                                      {0x1B00, 0x1C4F}, // Balinese to Lepcha
                                                      {0xA800, 0xA82F}, // Syloti Nagri
                                                      {0xA840, 0xA8FF}, // Phags-pa to Devanagari, extended
                                                      {0xA900, 0xAAFF}, // Kayah Li to Meetei Mayek, extended
                                                      {0xABC0, 0xABFF}}}; // Meetei Mayek
    return std::any_of(ranges.begin(), ranges.end(),
                       [code](const Range& range) { return code >= range.from && code <= range.to; });
}

} // namespace

struct Typeface::Parts {
    // Two cuts of the lettering, then one weight each of what they lack; the last has a picture of every
    // character of the basic plane and shapes none.
    std::vector<std::unique_ptr<NamelessFile>> files;
    FcConfig* config = nullptr;
    PangoFontMap* map = nullptr;
    PangoContext* context = nullptr;

    /// A layout of one line at a height; the caller releases it.
    PangoLayout* line(PangoContext* on, const std::string& words, double height_mm,
                      layout::Weight weight) const {
        PangoLayout* made = pango_layout_new(on);
        PangoFontDescription* wanted = pango_font_description_new();
        pango_font_description_set_family(wanted, "DejaVu Sans");
        pango_font_description_set_stretch(wanted, PANGO_STRETCH_SEMI_CONDENSED);
        pango_font_description_set_weight(wanted, weight == layout::Weight::bold ? PANGO_WEIGHT_BOLD
                                                                                 : PANGO_WEIGHT_NORMAL);
        pango_font_description_set_absolute_size(wanted, height_mm / capital_height_fraction * PANGO_SCALE);
        pango_layout_set_font_description(made, wanted);
        pango_font_description_free(wanted);
        pango_layout_set_single_paragraph_mode(made, 1);
        pango_layout_set_text(made, words.c_str(), static_cast<int>(words.size()));
        return made;
    }
};

namespace {
/// Outline metrics, never rounded to pixels: the same on paper and screen, at every size.
void free_of_pixels(PangoContext* context) {
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(context, options);
    cairo_font_options_destroy(options);
    pango_cairo_context_set_resolution(context, 72);
    pango_context_set_round_glyph_positions(context, 0);
    // Which form of a shared ideograph is taken must not hang on the machine's own language.
    pango_context_set_language(context, pango_language_from_string("ja"));
}
} // namespace

Typeface::Typeface() : parts_(std::make_unique<Parts>()) {
#define FONT(name)                                                                                           \
    parts_->files.push_back(                                                                                 \
        std::make_unique<NamelessFile>(stoutloom_font_##name##_begin, stoutloom_font_##name##_end));
    FONTS(FONT)
#undef FONT
    for (const auto& file : parts_->files)
        if (!file->whole())
            return;
    parts_->config = FcConfigCreate();
    if (parts_->config == nullptr)
        return;
    for (const auto& carried : parts_->files) {
        const std::string path = carried->path();
        const auto* file = static_cast<const FcChar8*>(static_cast<const void*>(path.c_str()));
        if (FcConfigAppFontAddFile(parts_->config, file) != FcTrue)
            return;
    }
    parts_->map = pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT);
    if (parts_->map == nullptr)
        return;
    pango_fc_font_map_set_config(PANGO_FC_FONT_MAP(parts_->map), parts_->config);
    parts_->context = pango_font_map_create_context(parts_->map);
    free_of_pixels(parts_->context);
}

Typeface::~Typeface() {
    if (parts_->context != nullptr)
        g_object_unref(parts_->context);
    if (parts_->map != nullptr)
        g_object_unref(parts_->map);
    if (parts_->config != nullptr)
        FcConfigDestroy(parts_->config);
}

bool Typeface::ready() const {
    return parts_->context != nullptr;
}

double Typeface::width_mm(const std::string& words, double height_mm, layout::Weight weight) const {
    if (!ready())
        throw std::logic_error("the lettering could not be opened");
    PangoLayout* line = parts_->line(parts_->context, words, measuring_height_mm, weight);
    int width = 0;
    pango_layout_get_size(line, &width, nullptr);
    g_object_unref(line);
    return static_cast<double>(width) / PANGO_SCALE * height_mm / measuring_height_mm;
}

std::uint32_t Typeface::missing_character(const std::string& words) const {
    if (!ready())
        throw std::logic_error("the lettering could not be opened");
    const FcFontSet* fonts = FcConfigGetFonts(parts_->config, FcSetApplication);
    const auto has = [&](int font, std::uint32_t code) {
        FcCharSet* set = nullptr;
        return FcPatternGetCharSet(fonts->fonts[font], FC_CHARSET, 0, &set) == FcResultMatch &&
               FcCharSetHasChar(set, code) == FcTrue;
    };
    // The order of opening: two cuts of the lettering, then what steps in for both.
    const auto written = [&](std::uint32_t code) {
        bool both = fonts->nfont >= 2;
        for (int i = 0; i < std::min(fonts->nfont, 2); ++i)
            both = both && has(i, code);
        const bool shaped = needs_shaping(code);
        for (int i = 2; i < fonts->nfont - (shaped ? 1 : 0) && !both; ++i)
            both = has(i, code);
        return both;
    };
    std::string_view rest = words;
    while (!rest.empty())
        if (const std::uint32_t code = next_code_point(rest); !written(code))
            return code;
    return 0;
}

std::vector<std::size_t> Typeface::word_starts(const std::string& words) const {
    if (!ready())
        throw std::logic_error("the lettering could not be opened");
    PangoLayout* line = parts_->line(parts_->context, words, measuring_height_mm, layout::Weight::regular);
    int count = 0;
    const PangoLogAttr* marks = pango_layout_get_log_attrs_readonly(line, &count);
    std::vector<std::size_t> starts;
    std::string_view rest = words;
    for (int i = 0; i < count && !rest.empty(); ++i) {
        if (i > 0 && marks[i].is_line_break != 0)
            starts.push_back(words.size() - rest.size());
        next_code_point(rest);
    }
    g_object_unref(line);
    return starts;
}

void Typeface::show(void* cairo, const layout::Text& text, double x_mm, double y_mm) const {
    auto* cr = static_cast<cairo_t*>(cairo);
    // The context learns the surface's resolution from cairo: a context of its own keeps the measuring one
    // clean.
    PangoContext* context = pango_font_map_create_context(parts_->map);
    pango_cairo_update_context(cr, context);
    free_of_pixels(context);
    // Set at the measuring height and scaled, so that glyphs stand where the measure says.
    PangoLayout* line = parts_->line(context, text.words, measuring_height_mm, text.weight);
    cairo_save(cr);
    cairo_translate(cr, x_mm, y_mm);
    const double scale = text.height_mm / measuring_height_mm;
    cairo_scale(cr, scale, scale);
    cairo_move_to(cr, 0, 0);
    pango_cairo_show_layout_line(cr, pango_layout_get_line_readonly(line, 0));
    cairo_restore(cr);
    g_object_unref(line);
    g_object_unref(context);
}

} // namespace stoutloom::draw

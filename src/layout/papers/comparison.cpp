#include "layout/papers/comparison.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout::papers {
namespace {

constexpr double row_mm = 8.2, bar_mm = 2.2, kit_mm = 19, gap_mm = 4, head_mm = 6.5, legend_mm = 6;
constexpr double line_mm = line_pitch * text_height_mm;
constexpr double more_mm = line_mm + 2;
constexpr double label_mm = 58, load_mm = 26, heat_mm = 26, drop_mm = 28;
constexpr double full_scale = 1.5; // bars end at one and a half times what a cable may carry

/// Lines of findings, each wrapped to two at most, and headings, measured before any is drawn.
struct Line {
    std::vector<std::string> lines;
    bool heading = false;
    double height_mm() const {
        return heading ? strong_height_mm + 4.5 : lines_height_mm(lines.size(), text_height_mm) + 2;
    }
};

class OnePage {
  public:
    OnePage(const ComparisonContent& content, PaperSize size, const TextMeasure& measure)
        : content_(&content), measure_(&measure) {
        const SheetForm form{.size = size, .portrait = true};
        area_ = papers::content_box(form);
        page_ = blank_page(form, "comparison", content.heading.words);
        y_ = draw_heading(page_, area_, content.heading, measure);
    }

    Page build() {
        const double half = (area_.width_mm - gap_mm) / 2;
        kit(content_->before, "kit-before", {area_.x_mm, y_, half, kit_mm});
        kit(content_->after, "kit-after", {area_.x_mm + half + gap_mm, y_, half, kit_mm});
        y_ += kit_mm + gap_mm;
        foot();
        const double room = bottom_ - y_;
        const double wanted = findings_height();
        // Bars first, but findings keep half where they need them.
        const double for_bars = room - std::min(wanted, 0.5 * room);
        bars(for_bars);
        findings();
        return std::move(page_);
    }

  private:
    const ComparisonContent* content_;
    const TextMeasure* measure_;
    Box area_;
    Page page_;
    double y_ = 0, bottom_ = 0;
    std::size_t ids_ = 0;

    Pen pen(const std::string& stem, Role role) {
        return {"comparison-" + stem + "-" + std::to_string(++ids_), role, *measure_};
    }

    std::string more(std::size_t count) const {
        std::string words = content_->more;
        if (const std::size_t at = words.find("{0}"); at != std::string::npos)
            words.replace(at, 3, std::to_string(count));
        return words;
    }

    void kit(const ComparedKit& kit, const std::string& id, const Box& box) {
        Pen pen(id, Role::panel, *measure_);
        pen.told(kit.when + ": " + kit.file, kit.verdict);
        pen.box(box, {.width_mm = kit.fit ? thin_mm : broad_mm});
        const double room = box.width_mm - 6;
        pen.text({.at = {box.x_mm + 3, box.y_mm + 5},
                  .words = shortened(kit.when + ": " + kit.file, {.width_mm = room}, *measure_)});
        const double height = verdict_height_mm(room);
        const auto lines =
            wrapped(kit.verdict, {.width_mm = room, .height_mm = height, .weight = Weight::bold}, *measure_);
        pen.lines({.at = {box.x_mm + 3, box.y_mm + 8 + height},
                   .words = {},
                   .height_mm = height,
                   .weight = Weight::bold},
                  {lines.begin(), lines.begin() + static_cast<long>(std::min<std::size_t>(lines.size(), 2))});
        pen.put_on(page_);
    }

    /// The same for both, or the larger letters would be the better kit.
    double verdict_height_mm(double room) const {
        for (const double height : {heading_height_mm, strong_height_mm})
            if (measure_->width_mm(content_->before.verdict, height, Weight::bold) <= room &&
                measure_->width_mm(content_->after.verdict, height, Weight::bold) <= room)
                return height;
        return text_height_mm;
    }

    /// From the bottom upwards, so that it is always there.
    void foot() {
        bottom_ = area_.bottom_mm();
        for (auto words = content_->foot.rbegin(); words != content_->foot.rend(); ++words) {
            const auto lines = wrapped(*words, {.width_mm = area_.width_mm}, *measure_);
            const double tall = lines_height_mm(lines.size(), text_height_mm) + 2;
            bottom_ -= tall;
            Pen text = pen("foot", Role::label);
            text.lines({.at = {area_.x_mm, bottom_ + text_height_mm}, .words = {}}, lines);
            text.put_on(page_);
        }
        Pen rule = pen("rule", Role::rule_line);
        rule.line({area_.x_mm, bottom_ - 2}, {area_.right_mm(), bottom_ - 2}, rule_mm);
        rule.put_on(page_);
        bottom_ -= 4;
    }

    double bar_left() const { return area_.x_mm + label_mm; }
    double bar_right() const { return area_.right_mm() - load_mm - heat_mm - drop_mm; }
    double bar_x(double fraction) const {
        return bar_left() + std::min(fraction, full_scale) / full_scale * (bar_right() - bar_left());
    }

    void bars(double room) {
        if (content_->cables.empty())
            return;
        const double fixed = head_mm + legend_mm;
        const auto fitting = static_cast<std::size_t>(std::max(0.0, (room - fixed) / row_mm));
        std::size_t shown = std::min(fitting, content_->cables.size());
        if (shown < content_->cables.size() && shown > 0)
            --shown; // its row tells how many are missing
        bar_heads();
        for (std::size_t i = 0; i < shown; ++i)
            bar_row(content_->cables[i]);
        if (shown < content_->cables.size()) {
            Pen text = pen("more", Role::label);
            text.text({.at = {area_.x_mm, y_ + row_mm / 2 + text_height_mm / 2},
                       .words = more(content_->cables.size() - shown)});
            text.put_on(page_);
            y_ += row_mm;
        }
        Pen text = pen("legend", Role::label);
        text.text({.at = {area_.x_mm, y_ + 1 + text_height_mm},
                   .words = shortened(content_->legend, {.width_mm = area_.width_mm}, *measure_)});
        text.put_on(page_);
        y_ += legend_mm;
    }

    void bar_heads() {
        Pen head = pen("head", Role::rule_line);
        const double base = y_ + text_height_mm + 0.6;
        const auto words = [&](const std::string& text, double x, double room, Anchor anchor) {
            head.text({.at = {x, base},
                       .words = shortened(text, {.width_mm = room, .weight = Weight::bold}, *measure_),
                       .weight = Weight::bold,
                       .anchor = anchor});
        };
        words(content_->cables_heading, area_.x_mm, label_mm + bar_right() - bar_left() - 12, Anchor::left);
        words(content_->load, bar_right() + load_mm, load_mm - 2, Anchor::right);
        words(content_->heat, bar_right() + load_mm + heat_mm, heat_mm - 2, Anchor::right);
        words(content_->drop, area_.right_mm(), drop_mm - 2, Anchor::right);
        y_ += head_mm;
        head.line({area_.x_mm, y_}, {area_.right_mm(), y_}, medium_mm);
        head.put_on(page_);
    }

    void bar(Pen& pen, double fraction, double top, bool solid) const {
        if (fraction < 0)
            return;
        const Box box{bar_left(), top, std::max(0.4, bar_x(fraction) - bar_left()), bar_mm};
        pen.box(box, {.width_mm = rule_mm, .fill = solid ? Paint::ink : Paint::white});
        if (!solid)
            pen.hatch(box, {.pitch_mm = 0.9, .width_mm = hair_mm});
        if (fraction > full_scale) // goes on beyond the scale
            pen.polyline({{box.right_mm() + 0.6, top - 0.3},
                          {box.right_mm() + 1.9, top + bar_mm / 2},
                          {box.right_mm() + 0.6, top + bar_mm + 0.3}},
                         medium_mm);
    }

    void bar_row(const ComparedCable& cable) {
        Pen row(cable.id, Role::gauge, *measure_);
        row.told(cable.label, cable.desc);
        const double middle = y_ + row_mm / 2, base = middle + text_height_mm / 2;
        row.text({.at = {area_.x_mm, base},
                  .words = shortened(cable.label, {.width_mm = label_mm - 3}, *measure_)});
        bar(row, cable.before, middle - bar_mm - 0.4, false);
        bar(row, cable.after, middle + 0.4, true);
        const double post = bar_x(1);
        row.line({post, y_ + 0.6}, {post, y_ + row_mm - 0.6}, medium_mm);
        const auto words = [&](const std::string& text, double right, double room) {
            row.text({.at = {right, base},
                      .words = shortened(text, {.width_mm = room - 1.5}, *measure_),
                      .anchor = Anchor::right});
        };
        words(cable.load, bar_right() + load_mm, load_mm - 2);
        words(cable.heat, bar_right() + load_mm + heat_mm, heat_mm);
        words(cable.drop, area_.right_mm(), drop_mm);
        y_ += row_mm;
        row.line({area_.x_mm, y_}, {area_.right_mm(), y_}, hair_mm, Dash::dots, Paint::grey);
        row.put_on(page_);
    }

    struct Block {
        Line heading;
        std::vector<Line> lines;
        std::size_t shown = 0;
        bool told = false; // its heading found room
        double height_mm() const {
            double tall = heading.height_mm();
            for (const Line& line : lines)
                tall += line.height_mm();
            return tall;
        }
    };

    std::vector<Block> blocks() const {
        std::vector<Block> all;
        for (const ComparedFindings& block : content_->findings) {
            Block made_block{.heading = {.lines = {block.heading}, .heading = true}, .lines = {}};
            for (const std::string& words : block.lines) {
                auto made = wrapped(words, {.width_mm = area_.width_mm - 4}, *measure_);
                if (made.size() > 2) {
                    made.resize(2);
                    made[1] += " …";
                    made[1] = shortened(made[1], {.width_mm = area_.width_mm - 4}, *measure_);
                }
                made_block.lines.push_back({.lines = std::move(made), .heading = false});
            }
            all.push_back(std::move(made_block));
        }
        return all;
    }

    double findings_height() const {
        double tall = 0;
        for (const Block& block : blocks())
            tall += block.height_mm();
        return tall + line_mm;
    }

    /// Every block shows its heading; then one line of each in turn while there is room, so that a long block
    /// crowds out none. What a block does not show is counted under it.
    void findings() {
        std::vector<Block> all = blocks();
        double room = bottom_ - y_ - 2;
        for (Block& block : all) {
            const double need = block.heading.height_mm() + (block.lines.empty() ? 0 : more_mm);
            block.told = need <= room;
            room -= block.told ? need : 0;
        }
        for (bool any = true; any;) {
            any = false;
            for (Block& block : all) {
                if (!block.told || block.shown == block.lines.size())
                    continue;
                // The last one needs no word of more.
                const bool last = block.shown + 1 == block.lines.size();
                const double need = block.lines[block.shown].height_mm() - (last ? more_mm : 0);
                if (need > room)
                    continue;
                room -= need;
                ++block.shown;
                any = true;
            }
        }
        std::size_t untold = 0;
        for (const Block& block : all) {
            if (!block.told) {
                untold += block.lines.size();
                continue;
            }
            draw(block.heading);
            for (std::size_t i = 0; i < block.shown; ++i)
                draw(block.lines[i]);
            if (block.shown < block.lines.size())
                draw_more(block.lines.size() - block.shown);
        }
        if (untold > 0)
            draw_more(untold);
    }

    void draw_more(std::size_t count) {
        Pen text = pen("more", Role::label);
        text.text({.at = {area_.x_mm + 4, y_ + text_height_mm}, .words = more(count)});
        text.put_on(page_);
        y_ += more_mm;
    }

    void draw(const Line& line) {
        Pen text = pen("finding", Role::label);
        if (line.heading) {
            text.text({.at = {area_.x_mm, y_ + 2 + strong_height_mm},
                       .words = line.lines.front(),
                       .height_mm = strong_height_mm,
                       .weight = Weight::bold});
        } else {
            text.text({.at = {area_.x_mm, y_ + text_height_mm}, .words = "–"});
            text.lines({.at = {area_.x_mm + 4, y_ + text_height_mm}, .words = {}}, line.lines);
        }
        text.put_on(page_);
        y_ += line.height_mm();
    }
};

} // namespace

Page build_comparison(const ComparisonContent& content, PaperSize size, const TextMeasure& measure) {
    return OnePage(content, size, measure).build();
}

} // namespace stoutloom::layout::papers

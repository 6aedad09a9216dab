#include "layout/papers/time_current.h"

#include "base/quantity.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace stoutloom::layout::papers {
namespace {

constexpr double axis_room_mm = 18, foot_room_mm = 13, letters_mm = 8.4, letter_row_mm = 3.4,
                 letter_apart_mm = 3, gap_mm = 6, sample_mm = 14;
// The words take what width they need, the field what they leave.
constexpr std::array legend_widths_mm = {86.0, 98.0, 110.0, 122.0};
// Over more decades than this 2 and 5 have no room beside 1.
constexpr double most_decades_marked = 2.4;
constexpr std::array band_fills = {Paint::feed_tint, Paint::return_tint, Paint::bed};
// In black and white the fills are all one: the edges tell the bands apart as well.
constexpr std::array band_dashes = {Dash::solid, Dash::dashed, Dash::dash_dot};

bool marked(double digit) {
    return digit == 1 || digit == 2 || digit == 5;
}

/// "a", "b" ... in the order of the legend.
std::string letter_of(std::size_t mark) {
    return std::string(1, static_cast<char>('a' + mark % 26));
}

std::vector<std::string> legend_words(const TimeCurrentContent& content) {
    std::vector<std::string> all;
    for (const TimeBand& band : content.bands)
        all.push_back(band.words);
    for (const TimeCurve& one : content.curves)
        all.push_back(one.words);
    for (std::size_t i = 0; i < content.marks.size(); ++i)
        all.push_back(letter_of(i) + "\u00A0\u00A0" + content.marks[i].words);
    all.insert(all.end(), content.notes.begin(), content.notes.end());
    return all;
}

constexpr double least_legend_gap_mm = 1.4, most_legend_gap_mm = 2.5;

/// Heights of the rows of a legend so wide, without what keeps them apart.
double legend_height_mm(const std::vector<std::string>& all, double width_mm, const TextMeasure& measure) {
    double sum = 0;
    for (const std::string& words : all)
        sum += lines_height_mm(wrapped(words, {.width_mm = width_mm - sample_mm - 3}, measure).size(),
                               text_height_mm);
    return sum;
}

double legend_width_mm(const TimeCurrentContent& content, double height_mm, const TextMeasure& measure) {
    const std::vector<std::string> all = legend_words(content);
    const double apart = least_legend_gap_mm * (static_cast<double>(all.size()) - 1);
    for (const double width : legend_widths_mm)
        if (legend_height_mm(all, width, measure) + apart + 1 <= height_mm)
            return width;
    return legend_widths_mm.back();
}

/// Where the field stands on the page.
class Plot {
  public:
    Plot(const TimeCurrentContent& content, const Box& area, Page& page, const TextMeasure& measure)
        : content_(&content), page_(&page), measure_(&measure),
          legend_mm_(legend_width_mm(content, area.height_mm, measure)), box_{area.x_mm + axis_room_mm,
                                                                              area.y_mm + letters_mm,
                                                                              area.width_mm - axis_room_mm -
                                                                                  legend_mm_ - gap_mm,
                                                                              area.height_mm - foot_room_mm -
                                                                                  letters_mm},
          area_(area) {
        double low = std::numeric_limits<double>::infinity(), high = 0;
        const auto hold = [&](double current_a) {
            low = std::min(low, current_a);
            high = std::max(high, current_a);
        };
        for (const CurrentMark& mark : content.marks)
            hold(mark.current_a);
        for (const TimeBand& band : content.bands)
            for (const TimePoint& point : band.slowest)
                hold(point.current_a);
        for (const TimeCurve& curve : content.curves)
            for (const TimePoint& point : curve.points)
                hold(point.current_a);
        field_ = {.current_a = high > 0 ? log_scale_for(low, high) : LogScale{1, 10},
                  .time_s = {.low = shortest_s, .high = longest_s}};
    }
    void draw() {
        for (std::size_t i = 0; i < content_->bands.size(); ++i)
            fill(content_->bands[i], band_fills[i % band_fills.size()]);
        grid();
        for (std::size_t i = 0; i < content_->bands.size(); ++i) {
            const TimeBand& band = content_->bands[i];
            const Dash dash = band_dashes[i % band_dashes.size()];
            curve({.id = band.id + "-fastest", .words = band.words, .points = band.fastest}, thin_mm, dash);
            curve({.id = band.id + "-slowest", .words = band.words, .points = band.slowest}, medium_mm, dash);
        }
        for (const TimeCurve& one : content_->curves)
            curve(one, broad_mm);
        for (const CurrentMark& mark : content_->marks)
            draw_mark(mark);
        letters();
        axes();
        legend();
    }

  private:
    double x(double current_a) const {
        const LogScale& scale = field_.current_a;
        return box_.x_mm + box_.width_mm * std::log(current_a / scale.low) / std::log(scale.high / scale.low);
    }
    double y(double time_s) const {
        const LogScale& scale = field_.time_s;
        return box_.bottom_mm() -
               box_.height_mm * std::log(time_s / scale.low) / std::log(scale.high / scale.low);
    }
    Pen pen(const std::string& id, Role role) const { return {id, role, *measure_}; }
    void fill(const TimeBand& band, Paint paint);
    void grid();
    void curve(const TimeCurve& one, double width_mm, Dash dash = Dash::solid);
    void draw_mark(const CurrentMark& mark);
    void letters();
    void axes();
    void legend();
    double legend_row(std::size_t row, const std::string& words, double at_mm);
    template <class Visit> static void each_step(const LogScale& scale, Visit visit);

    const TimeCurrentContent* content_;
    Page* page_;
    const TextMeasure* measure_;
    double legend_mm_;
    Box box_, area_;
    double legend_gap_mm_ = 2.5; // less where the rows are many
    LogField field_{};
};

/// Every 1 to 9 times a power of ten within the scale.
template <class Visit> void Plot::each_step(const LogScale& scale, Visit visit) {
    const int first = static_cast<int>(std::floor(std::log10(scale.low) + 1e-9));
    const int last = static_cast<int>(std::ceil(std::log10(scale.high) - 1e-9));
    for (int power = first; power <= last; ++power)
        for (int digit = 1; digit <= 9; ++digit) {
            const double value = digit * std::pow(10.0, power);
            if (value >= scale.low * (1 - 1e-9) && value <= scale.high * (1 + 1e-9))
                visit(value, digit);
        }
}

void Plot::fill(const TimeBand& band, Paint paint) {
    // Down the fastest edge and back up the slowest; what never opens stands at the top border.
    std::vector<Point> corners;
    const auto add = [&](const TimePoint& point) {
        const double time_s = std::clamp(point.time_s, field_.time_s.low, field_.time_s.high);
        const double current_a = std::clamp(point.current_a, field_.current_a.low, field_.current_a.high);
        corners.push_back({x(current_a), y(time_s)});
    };
    for (const TimePoint& point : band.fastest)
        add(point);
    for (auto point = band.slowest.rbegin(); point != band.slowest.rend(); ++point)
        add(*point);
    if (corners.size() < 3)
        return;
    Pen drawn = pen(band.id, Role::gauge);
    drawn.told(band.words, {});
    drawn.polygon(corners, {.width_mm = 0, .fill = paint, .paint = Paint::none});
    drawn.put_on(*page_);
}

void Plot::grid() {
    Pen drawn = pen("grid", Role::rule_line);
    each_step(field_.current_a, [&](double value, int digit) {
        drawn.line({x(value), box_.y_mm}, {x(value), box_.bottom_mm()}, hair_mm,
                   digit == 1 ? Dash::solid : Dash::dots, Paint::grey);
    });
    each_step(field_.time_s, [&](double value, int digit) {
        drawn.line({box_.x_mm, y(value)}, {box_.right_mm(), y(value)}, hair_mm,
                   digit == 1 ? Dash::solid : Dash::dots, Paint::grey);
    });
    drawn.put_on(*page_);
}

void Plot::curve(const TimeCurve& one, double width_mm, Dash dash) {
    Pen drawn = pen(one.id, Role::gauge);
    drawn.told(one.words, {});
    const auto pieces = visible(one.points, field_);
    if (pieces.empty())
        return;
    for (const std::vector<TimePoint>& piece : pieces) {
        std::vector<Point> corners;
        corners.reserve(piece.size());
        for (const TimePoint& point : piece)
            corners.push_back({x(point.current_a), y(point.time_s)});
        drawn.polyline(corners, width_mm, Paint::ink, dash);
    }
    drawn.put_on(*page_);
}

void Plot::draw_mark(const CurrentMark& mark) {
    Pen drawn = pen(mark.id, Role::gauge);
    drawn.told(mark.words, {});
    drawn.line({x(mark.current_a), box_.y_mm}, {x(mark.current_a), box_.bottom_mm()},
               mark.strong ? broad_mm : medium_mm, mark.dash);
    drawn.put_on(*page_);
}

/// Over each vertical line its letter of the legend: lines of one kind are told apart by nothing else. Near
/// neighbours step up.
void Plot::letters() {
    std::vector<std::size_t> by_place(content_->marks.size());
    for (std::size_t i = 0; i < by_place.size(); ++i)
        by_place[i] = i;
    std::stable_sort(by_place.begin(), by_place.end(), [this](std::size_t a, std::size_t b) {
        return content_->marks[a].current_a < content_->marks[b].current_a;
    });
    Pen drawn = pen("letters", Role::label);
    std::vector<double> taken; // to where each row's words reach
    for (const std::size_t mark : by_place) {
        const double at = x(content_->marks[mark].current_a);
        std::size_t row = 0;
        while (row < taken.size() && at - letter_apart_mm < taken[row])
            ++row;
        if (row == taken.size())
            taken.push_back(at);
        taken[row] = at;
        // More on one place than rows: they stand side by side in the highest.
        const std::size_t most = 1;
        const double aside = row > most ? static_cast<double>(row - most) * letter_apart_mm : 0;
        drawn.text(
            {.at = {at + aside, box_.y_mm - 1.2 - letter_row_mm * static_cast<double>(std::min(row, most))},
             .words = letter_of(mark),
             .weight = Weight::bold,
             .anchor = Anchor::middle});
    }
    drawn.put_on(*page_);
}

/// Of a figure on an axis: 0.01, 0.1, 1.
int decimals_of(double value) {
    return value < 0.0095 ? 3 : value < 0.095 ? 2 : value < 0.95 ? 1 : 0;
}

void Plot::axes() {
    Pen drawn = pen("axes", Role::rule_line);
    drawn.box(box_, {.width_mm = thin_mm});
    const bool close = std::log10(field_.current_a.high / field_.current_a.low) > most_decades_marked;
    each_step(field_.current_a, [&](double value, int digit) {
        if (digit == 1 || (marked(digit) && !close))
            drawn.text({.at = {x(value), box_.bottom_mm() + 2.3 + text_height_mm},
                        .words = base::shown_number(value, decimals_of(value), base::Rounding::nearest),
                        .anchor = Anchor::middle});
    });
    each_step(field_.time_s, [&](double value, int digit) {
        if (digit == 1)
            drawn.text({.at = {box_.x_mm - 2, y(value) + text_height_mm / 2},
                        .words = base::shown_number(value, decimals_of(value), base::Rounding::nearest),
                        .anchor = Anchor::right});
    });
    drawn.text({.at = {box_.right_mm(), box_.bottom_mm() + 4.5 + 2 * text_height_mm},
                .words = content_->current_axis,
                .anchor = Anchor::right});
    // At the head of its axis, where it is short enough to stay clear of the marks' letters.
    const bool over = drawn.width_mm(content_->time_axis, text_height_mm) <= axis_room_mm - letter_apart_mm;
    drawn.text({.at = {area_.x_mm, over ? box_.y_mm - 3.2 : box_.bottom_mm() + 4.5 + 2 * text_height_mm},
                .words = content_->time_axis});
    drawn.put_on(*page_);
}

/// One sample and its words; returns where the next one goes, or the same place where there is no room.
double Plot::legend_row(std::size_t row, const std::string& words, double at_mm) {
    const double left = box_.right_mm() + gap_mm;
    const auto lines = wrapped(words, {.width_mm = legend_mm_ - sample_mm - 3}, *measure_);
    const double tall = lines_height_mm(lines.size(), text_height_mm);
    if (at_mm + tall > area_.bottom_mm() + 1e-6) // a full legend ends on the border but for dust
        return at_mm;
    const std::size_t bands = content_->bands.size(), curves = content_->curves.size();
    Pen drawn = pen("legend-" + std::to_string(row + 1), Role::label);
    const double middle = at_mm + text_height_mm / 2;
    if (row < bands) {
        drawn.box({left, at_mm - 0.4, sample_mm, 3.4},
                  {.width_mm = 0, .fill = band_fills[row % band_fills.size()], .paint = Paint::none});
        const Dash dash = band_dashes[row % band_dashes.size()];
        drawn.line({left, at_mm - 0.4}, {left + sample_mm, at_mm - 0.4}, thin_mm, dash);
        drawn.line({left, at_mm + 3.0}, {left + sample_mm, at_mm + 3.0}, medium_mm, dash);
    } else if (row < bands + curves) {
        drawn.line({left, middle}, {left + sample_mm, middle}, broad_mm);
    } else if (row < bands + curves + content_->marks.size()) {
        const CurrentMark& mark = content_->marks[row - bands - curves];
        drawn.line({left, middle}, {left + sample_mm, middle}, mark.strong ? broad_mm : medium_mm, mark.dash);
    }
    drawn.lines({.at = {left + sample_mm + 3, at_mm + text_height_mm}, .words = {}}, lines);
    drawn.put_on(*page_);
    return at_mm + tall + legend_gap_mm_;
}

void Plot::legend() {
    const std::vector<std::string> all = legend_words(*content_);
    double at_mm = area_.y_mm + 0.5;
    const double words_mm = legend_height_mm(all, legend_mm_, *measure_);
    legend_gap_mm_ = std::clamp((area_.bottom_mm() - at_mm - words_mm) /
                                    std::max(1.0, static_cast<double>(all.size()) - 1),
                                least_legend_gap_mm, most_legend_gap_mm);
    for (std::size_t row = 0; row < all.size(); ++row) {
        const double next = legend_row(row, all[row], at_mm);
        if (next == at_mm) {
            legend_row(all.size(), "…", at_mm);
            return;
        }
        at_mm = next;
    }
}

/// Between a point inside and one outside: where the straight line on log-log paper meets the border.
TimePoint at_share(const TimePoint& a, const TimePoint& b, double share) {
    const auto between = [share](double from, double to) { return from * std::pow(to / from, share); };
    return {.current_a = between(a.current_a, b.current_a), .time_s = between(a.time_s, b.time_s)};
}

struct Share {
    double from = 0, to = 1;
};
/// What of the way from `a` to `b` lies within the scale, in shares of the way.
void narrow(Share& share, double a, double b, const LogScale& scale) {
    const double low = std::log(scale.low / a), high = std::log(scale.high / a), way = std::log(b / a);
    if (std::abs(way) < 1e-12) {
        if (low > 1e-12 || high < -1e-12)
            share = {1, 0};
        return;
    }
    share.from = std::max(share.from, std::min(low / way, high / way));
    share.to = std::min(share.to, std::max(low / way, high / way));
}

} // namespace

LogScale log_scale_for(double low, double high) {
    const auto border = [](double value, bool down) {
        const double power = std::pow(10.0, std::floor(std::log10(value) + 1e-9));
        double last = power;
        for (const double digit : {1.0, 2.0, 5.0, 10.0}) {
            if (digit * power >= value * (1 - 1e-9))
                return down && digit * power > value * (1 + 1e-9) ? last : digit * power;
            last = digit * power;
        }
        return last;
    };
    LogScale scale{.low = border(low, true), .high = border(high, false)};
    if (scale.high <= scale.low)
        scale.high = 10 * scale.low;
    return scale;
}

std::vector<std::vector<TimePoint>> visible(const std::vector<TimePoint>& points, const LogField& field) {
    std::vector<std::vector<TimePoint>> pieces;
    bool open = false;
    for (std::size_t i = 1; i < points.size(); ++i) {
        const TimePoint &a = points[i - 1], &b = points[i];
        Share share;
        const bool real = std::isfinite(a.time_s) && std::isfinite(b.time_s) && a.time_s > 0 && b.time_s > 0;
        if (real) {
            narrow(share, a.current_a, b.current_a, field.current_a);
            narrow(share, a.time_s, b.time_s, field.time_s);
        }
        if (!real || share.from >= share.to) {
            open = false;
            continue;
        }
        if (!open || share.from > 0)
            pieces.push_back({at_share(a, b, share.from)});
        pieces.back().push_back(at_share(a, b, share.to));
        open = share.to >= 1;
    }
    return pieces;
}

Page build_time_current(const TimeCurrentContent& content, PaperSize size, const TextMeasure& measure) {
    const SheetForm form{.size = size, .portrait = false};
    Page page = blank_page(form, "time-current", content.heading);
    const Box inside = content_box(form);
    const double top =
        draw_heading(page, inside, {.words = content.heading, .remark = content.remark}, measure);
    Plot(content, {inside.x_mm, top, inside.width_mm, inside.bottom_mm() - top}, page, measure).draw();
    return page;
}

} // namespace stoutloom::layout::papers

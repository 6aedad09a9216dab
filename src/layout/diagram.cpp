// The front door: shares the harness over sheets, has each placed, lets the tags answer each other, adds the
// strip.
#include "layout/diagram.h"

#include "layout/centring.h"
#include "layout/decks.h"
#include "layout/findings_room.h"
#include "layout/flag_room.h"
#include "layout/order.h"
#include "layout/pen.h"
#include "layout/remembered_measure.h"
#include "layout/sharing.h"
#include "layout/sheet_search.h"
#include "layout/strips.h"
#include "layout/wandering.h"

#include <algorithm>
#include <fmt/format.h>
#include <map>
#include <set>
#include <tuple>
#include <utility>

namespace stoutloom::layout {
namespace {

/// a to z, then aa to zz and so on.
std::string sheet_letters(std::size_t index) {
    std::string made;
    for (std::size_t rest = index + 1; rest > 0; rest = (rest - 1) / 26)
        made.insert(made.begin(), static_cast<char>('a' + (rest - 1) % 26));
    return made;
}

/// Things of a kit whose ways over sheets are all drawn and compared.
constexpr std::size_t most_compared = 14;

/// As `untidiness` has it, before anything is painted.
double untidy(const std::vector<PlacedSheet>& sheets) {
    double sum = 300.0 * static_cast<double>(sheets.size());
    for (const PlacedSheet& sheet : sheets) {
        sum += 10.0 * sheet.routing.crossings + 100.0 * sheet.routing.cut;
        sum += 40.0 * static_cast<double>(sheet.notes.without_label() + sheet.notes.short_labels());
        for (const Routed& route : sheet.routing.routes)
            sum += 2.0 * track_bends(route.track) + 0.05 * track_length_mm(route.track);
    }
    return sum;
}

class Placing {
  public:
    Placing(const DiagramContent& content, const TextMeasure& measure)
        : content_(content), measure_(measure), size_(sheet_size(content.sheet)) {}
    base::Outcome<std::vector<Page>, NoPlace> place();

  private:
    const DiagramContent& content_;
    const TextMeasure& measure_;
    SheetSize size_;
    std::vector<double> keys_;
    Ends ends_;
    std::vector<PlacedSheet> sheets_;
    using Asked = std::tuple<std::vector<std::size_t>, std::vector<std::size_t>, bool, bool, bool>;
    std::map<Asked, base::Outcome<PlacedSheet, NoPlace>> drawn_; // several ways share the same groups

    std::vector<Panel> all_panels(bool control) const;
    SheetShare share_of(std::vector<Panel> panels, bool control, bool first) const;
    std::size_t thin_ones(const SheetShare& share) const;
    bool within_limits(const SheetShare& share) const;
    void trim(std::vector<Panel>& panels) const;
    bool fits_across(const SheetShare& share) const;
    std::vector<Panel> panels_of(const SheetGroup& group, const std::vector<Panel>& all, bool control) const;
    bool has_beds(std::size_t zone) const;
    void divide(bool control);
    void place_group(const SheetGroup& group, const std::vector<Panel>& all, bool control);
    const base::Outcome<PlacedSheet, NoPlace>& drawn(const SheetGroup& group, const SheetShare& share,
                                                     Cutting cutting);
    void rejoin(std::size_t from, const std::vector<Panel>& all, bool control);
    SheetGroup group_of(const SheetShare& share) const;
    void list(const SheetShare& share);
    TagWords tag_words() const;
    std::vector<Page> painted(const TagWords& words);
    void name_sheets(std::size_t heavy);
};

std::vector<Panel> Placing::all_panels(bool control) const {
    std::vector<Panel> panels;
    for (std::size_t z = 0; z < content_.zones.size(); ++z) {
        Panel panel;
        panel.zone = z;
        for (std::size_t u = 0; u < content_.units.size(); ++u) {
            if (content_.units[u].zone != z)
                continue;
            bool has_control = false;
            bool has_heavy = content_.units[u].seat_bed.has_value();
            for (const StudGlyph& stud : content_.units[u].studs)
                for (const LugGlyph& lug : stud.lugs)
                    if (lug.cable < content_.cables.size())
                        (content_.cables[lug.cable].flow == Flow::control ? has_control : has_heavy) = true;
            // A unit without any cable stands on the first sheet, where it will be missed.
            if (control ? has_control : has_heavy || !has_control)
                panel.units.push_back(u);
        }
        std::stable_sort(panel.units.begin(), panel.units.end(),
                         [&](std::size_t a, std::size_t b) { return keys_[a] < keys_[b]; });
        const bool passed =
            std::any_of(content_.cables.begin(), content_.cables.end(), [&](const RunGlyph& run) {
                return (run.flow == Flow::control) == control &&
                       std::find(run.zones.begin(), run.zones.end(), z) != run.zones.end();
            });
        const bool bedded = !control && has_beds(z);
        if (!panel.units.empty() || (passed && !control) || bedded)
            panels.push_back(std::move(panel));
    }
    return panels;
}

/// Whether studs on metal stand in the zone.
bool Placing::has_beds(std::size_t zone) const {
    return std::any_of(content_.beds.begin(), content_.beds.end(), [&](const BedGlyph& bed) {
        return std::find(bed.stud_zones.begin(), bed.stud_zones.end(), zone) != bed.stud_zones.end();
    });
}

SheetShare Placing::share_of(std::vector<Panel> panels, bool control, bool first) const {
    SheetShare share;
    share.unit_keys = keys_;
    share.control = control;
    share.first = first;
    const auto here = [&](const Whereabouts& where) {
        return std::any_of(panels.begin(), panels.end(), [&](const Panel& panel) {
            const bool unit_here =
                std::find(panel.units.begin(), panel.units.end(), where.owner) != panel.units.end();
            return panel.zone == where.zone && (where.on_bed ? !panel.continued : unit_here);
        });
    };
    for (std::size_t c = 0; c < content_.cables.size(); ++c)
        if ((content_.cables[c].flow == Flow::control) == control &&
            (here(ends_.of[c][0]) || here(ends_.of[c][1])))
            share.cables.push_back(c);
    share.panels = std::move(panels);
    return share;
}

/// Cables over the usual number that a sheet still takes, since they are thin: half of those up to 16 mm2.
std::size_t Placing::thin_ones(const SheetShare& share) const {
    return static_cast<std::size_t>(
               std::count_if(share.cables.begin(), share.cables.end(),
                             [&](std::size_t c) { return content_.cables[c].section_mm2 <= 16; })) /
           2;
}

bool Placing::within_limits(const SheetShare& share) const {
    std::size_t boxes = 0;
    for (const Panel& panel : share.panels)
        for (const std::size_t unit : panel.units)
            boxes += content_.units[unit].symbol == UnitSymbol::fuse_link ? 0U : 1U;
    return share.cables.size() <= size_.most_cables + 2 + thin_ones(share) && boxes <= size_.most_units + 2 &&
           share.panels.size() <= size_.most_zones + 1;
}

bool Placing::fits_across(const SheetShare& share) const {
    return within_limits(share) && arrange_across(content_, ends_, share, size_, measure_,
                                                  {.gap_mm = 3, .tight = true, .narrow = true});
}

/// Panels of a group in vehicle order; a zone between them that one of its cables only passes is one too.
std::vector<Panel> Placing::panels_of(const SheetGroup& group, const std::vector<Panel>& all,
                                      bool control) const {
    std::set<std::size_t> passed;
    const auto here = [&](const Whereabouts& where) {
        const auto& things = where.on_bed ? group.beds : group.units;
        return std::find(things.begin(), things.end(), where.on_bed ? where.zone : where.owner) !=
               things.end();
    };
    for (std::size_t c = 0; c < content_.cables.size(); ++c)
        if (here(ends_.of[c][0]) && here(ends_.of[c][1]))
            passed.insert(content_.cables[c].zones.begin(), content_.cables[c].zones.end());
    std::vector<Panel> panels;
    for (const Panel& whole : all) {
        Panel panel = whole;
        std::erase_if(panel.units, [&](std::size_t unit) {
            return std::find(group.units.begin(), group.units.end(), unit) == group.units.end();
        });
        const bool bedded = std::find(group.beds.begin(), group.beds.end(), panel.zone) != group.beds.end();
        // Where the zone's studs on metal stand is its first sheet; without any, where its first unit does.
        panel.continued =
            !control && has_beds(panel.zone)
                ? !bedded
                : !whole.units.empty() && (panel.units.empty() || panel.units.front() != whole.units.front());
        if (!panel.units.empty() || bedded || passed.contains(panel.zone))
            panels.push_back(std::move(panel));
    }
    trim(panels);
    return panels;
}

/// Panels at the ends of a sheet where nothing stands and nothing passes to something on the sheet.
void Placing::trim(std::vector<Panel>& panels) const {
    const auto bare = [&](const Panel& panel) {
        return panel.units.empty() && (panel.continued || !has_beds(panel.zone));
    };
    while (!panels.empty() && bare(panels.front()))
        panels.erase(panels.begin());
    while (!panels.empty() && bare(panels.back()))
        panels.pop_back();
}

void Placing::divide(bool control) {
    const std::vector<Panel> all = all_panels(control);
    SheetGroup whole;
    for (const Panel& panel : all) {
        whole.units.insert(whole.units.end(), panel.units.begin(), panel.units.end());
        if (!control && has_beds(panel.zone))
            whole.beds.push_back(panel.zone);
    }
    const std::size_t from = sheets_.size();
    if (whole.size() > 0)
        place_group(whole, all, control);
    rejoin(from, all, control);
}

SheetGroup Placing::group_of(const SheetShare& share) const {
    SheetGroup group;
    for (const Panel& panel : share.panels) {
        group.units.insert(group.units.end(), panel.units.begin(), panel.units.end());
        if (!share.control && !panel.continued && has_beds(panel.zone))
            group.beds.push_back(panel.zone);
    }
    std::sort(group.units.begin(), group.units.end(),
              [&](std::size_t a, std::size_t b) { return keys_[a] < keys_[b]; });
    return group;
}

/// What was halved more often than it had to be: two small drawings of a zone become one where that is as
/// tidy.
void Placing::rejoin(std::size_t from, const std::vector<Panel>& all, bool control) {
    constexpr std::size_t most_cables = 9;
    const auto meet = [](const SheetShare& a, const SheetShare& b) {
        return std::any_of(a.panels.begin(), a.panels.end(), [&](const Panel& one) {
            return std::any_of(b.panels.begin(), b.panels.end(),
                               [&](const Panel& other) { return one.zone == other.zone; });
        });
    };
    const auto untold = [](const PlacedSheet& sheet) {
        return sheet.notes.without_label() + sheet.notes.short_labels();
    };
    for (std::size_t a = from; a < sheets_.size(); ++a)
        for (std::size_t b = a + 1; b < sheets_.size(); ++b) {
            const PlacedSheet& one = sheets_[a];
            const PlacedSheet& other = sheets_[b];
            const SheetShare& share_a = one.arrangement.share;
            const SheetShare& share_b = other.arrangement.share;
            if ((share_a.first && !control) || !one.list.rows.empty() || !other.list.rows.empty() ||
                share_a.cables.size() + share_b.cables.size() > most_cables || !meet(share_a, share_b))
                continue;
            SheetGroup both = group_of(share_a);
            const SheetGroup more = group_of(share_b);
            both.units.insert(both.units.end(), more.units.begin(), more.units.end());
            both.beds.insert(both.beds.end(), more.beds.begin(), more.beds.end());
            std::sort(both.units.begin(), both.units.end(),
                      [&](std::size_t x, std::size_t y) { return keys_[x] < keys_[y]; });
            std::sort(both.beds.begin(), both.beds.end());
            const SheetShare share = share_of(panels_of(both, all, control), control, false);
            if (!fits_across(share))
                continue;
            const auto& joined = drawn(both, share, Cutting::never);
            if (!joined || joined->routing.crossings > one.routing.crossings + other.routing.crossings ||
                untold(*joined) > untold(one) + untold(other))
                continue;
            sheets_[a] = *joined;
            sheets_.erase(sheets_.begin() + static_cast<std::ptrdiff_t>(b));
            b = a; // once more from the next one on
        }
}

/// The group on one sheet, drawn once however often it is asked for.
const base::Outcome<PlacedSheet, NoPlace>& Placing::drawn(const SheetGroup& group, const SheetShare& share,
                                                          Cutting cutting) {
    const Asked asked{group.units, group.beds, share.control, share.first, cutting == Cutting::never};
    const auto known = drawn_.find(asked);
    if (known != drawn_.end())
        return known->second;
    return drawn_.emplace(asked, search_sheet(content_, share, size_, measure_, cutting, Reordering::any))
        .first->second;
}

/// Places a group on one sheet, or shares it over smaller ones until each finds its place.
void Placing::place_group(const SheetGroup& group, const std::vector<Panel>& all, bool control) {
    const bool first = !control && sheets_.empty();
    const SheetShare share = share_of(panels_of(group, all, control), control, first);
    const auto keep = [&](Cutting cutting) {
        const auto& placed = drawn(group, share, cutting);
        if (placed)
            sheets_.push_back(*placed);
        return placed.has_value();
    };
    if (within_limits(share) && keep(Cutting::never))
        return;
    // Where no order that comes first gives every cable its way, another may, found with one cut.
    if (within_limits(share) && share.panels.size() + group.units.size() > 1 && fits_across(share)) {
        const auto& placed = drawn(group, share, Cutting::when_stuck);
        if (placed && placed->routing.cut == 0 &&
            placed->notes.without_label() + placed->notes.short_labels() == 0) {
            sheets_.push_back(*placed);
            return;
        }
    }
    // Few units of one zone: rather give up a cable's way than tear them apart.
    if (share.panels.size() < 2 && group.units.size() <= 3 && keep(Cutting::when_stuck))
        return;
    if (group.size() < 2) {
        list(share);
        return;
    }
    // As much as a sheet is wide; what is not too wide and found no way all the same is halved.
    const bool wide = !fits_across(share);
    const std::size_t most = wide ? group.size() - 1 : std::min(group.size() - 1, (2 * group.size() + 2) / 3);
    const auto fits = [&](const SheetGroup& part) {
        return part.size() <= most && fits_across(share_of(panels_of(part, all, control), control, first));
    };
    // Of a small kit every way is drawn and the tidiest kept; of a large one the way over the fewest cables.
    std::vector<std::vector<SheetGroup>> ways = shared_out(content_, ends_, keys_, group, control, fits);
    if (group.size() > most_compared)
        ways.resize(1);
    const std::vector<PlacedSheet> before = std::move(sheets_);
    std::vector<PlacedSheet> best;
    for (const std::vector<SheetGroup>& way : ways) {
        sheets_ = before;
        for (const SheetGroup& part : way)
            place_group(part, all, control);
        if (best.empty() || untidy(sheets_) < untidy(best))
            best = std::move(sheets_);
    }
    sheets_ = std::move(best);
}

/// What no drawing holds is listed: this cannot fail.
void Placing::list(const SheetShare& share) {
    Arrangement arrangement;
    arrangement.content = &content_;
    arrangement.share = share;
    arrangement.size = size_;
    settle_frame(arrangement);
    for (const StudList& each : list_studs(arrangement, measure_)) {
        PlacedSheet sheet;
        sheet.arrangement = arrangement;
        sheet.list = each;
        sheet.notes.flags = list_flags(each, content_);
        sheets_.push_back(std::move(sheet));
        arrangement.share.first = false; // only one carries the strip
    }
}

TagWords Placing::tag_words() const {
    TagWords words(content_.cables.size(), std::vector<std::string>(2));
    for (const PlacedSheet& sheet : sheets_)
        for (const std::size_t cable : sheet.arrangement.share.cables)
            for (int end = 0; end < 2; ++end)
                if (const std::string field = end_reference(sheet, cable, end); !field.empty())
                    words[cable][static_cast<std::size_t>(end)] =
                        said(content_.title, "sheet {0}, {1}", {sheet.arrangement.share.label, field});
    return words;
}

base::Outcome<std::vector<Page>, NoPlace> Placing::place() {
    keys_ = order_units(content_);
    ends_ = find_ends(content_, keys_);
    for (std::size_t c = 0; c < content_.cables.size(); ++c)
        for (const Whereabouts& where : ends_.of[c])
            if (!where.known)
                return base::failure(
                    NoPlace{fmt::format("cable {} has an end on no stud", content_.cables[c].id)});
    divide(false);
    const std::size_t heavy = sheets_.size();
    divide(true);
    stack_decks(sheets_, {0, heavy}, content_, size_, measure_);
    stack_decks(sheets_, {heavy, sheets_.size()}, content_, size_, measure_);
    for (PlacedSheet& sheet : sheets_)
        sheet = untied(content_, std::move(sheet), measure_);
    for (PlacedSheet& sheet : sheets_)
        if (const std::set<std::size_t> wanted = flags_without_place(sheets_); !wanted.empty())
            sheet = with_room_for_flags(content_, std::move(sheet), wanted, measure_);
    name_sheets(heavy);
    const Strips strips(sheets_, content_, size_, measure_);
    make_room_for_findings(sheets_, strips, content_, size_, measure_);
    for (PlacedSheet& sheet : sheets_)
        centre(sheet, measure_);
    std::vector<Page> pages = painted(tag_words());
    strips.add_to(pages);
    return pages;
}

std::vector<Page> Placing::painted(const TagWords& words) {
    std::vector<Page> pages;
    for (PlacedSheet& sheet : sheets_) {
        if (!sheet.under)
            pages.push_back(begin_page(sheet, measure_));
        paint_sheet(pages.back(), sheet, words, measure_);
    }
    return pages;
}

/// Sheet numbers, and which panels show a zone again that an earlier drawing shows.
void Placing::name_sheets(std::size_t heavy) {
    std::set<std::pair<bool, std::size_t>> shown; // control or not, zone
    const auto pages = [&](std::size_t from, std::size_t to) {
        return std::count_if(sheets_.begin() + static_cast<std::ptrdiff_t>(from),
                             sheets_.begin() + static_cast<std::ptrdiff_t>(to),
                             [](const PlacedSheet& sheet) { return !sheet.under; });
    };
    const auto of_heavy = pages(0, heavy);
    const auto of_control = pages(heavy, sheets_.size());
    std::size_t at = 0;
    for (std::size_t i = 0; i < sheets_.size(); ++i) {
        const bool control = i >= heavy;
        at = i == 0 || i == heavy ? 0 : at + (sheets_[i].under ? 0 : 1);
        for (Panel& panel : sheets_[i].arrangement.share.panels)
            panel.again = !shown.emplace(control, panel.zone).second;
        const bool several = (control ? of_control : of_heavy) > 1;
        sheets_[i].arrangement.share.label = (control ? "2" : "1") + (several ? sheet_letters(at) : "");
    }
}

} // namespace

base::Outcome<std::vector<Page>, NoPlace> place_diagram(const DiagramContent& content,
                                                        const TextMeasure& measure) {
    return Placing(content, RememberedMeasure(measure)).place();
}

} // namespace stoutloom::layout

// Rows in columns: head of a unit or a bed, head of each of its studs, one row for each lug. No row is
// parted; a stud that goes on in the next column gets its head again.
#include "layout/stud_list.h"

#include "layout/hardware.h"
#include "layout/pen.h"
#include "layout/stroke_path.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::layout {
namespace {
constexpr double head_mm = 9;
constexpr double owner_mm = 9;
constexpr double stud_mm = 8.5;
constexpr double between_mm = 3;
constexpr double rail_mm = 8;   // the stud, from the column's left edge
constexpr double barrel_mm = 8; // from the stud to the end of the barrel
constexpr double stub_mm = 29;  // from there to the tag
constexpr double nose_mm = 2.6;
constexpr double column_gap_mm = 6;
constexpr double head_flag_mm = 18;
constexpr double head_words_mm = 40; // of a head with flags, at least
constexpr double flag_over_mm = flag_height_mm + 2;

double label_left_mm(double tag_width_mm) {
    return rail_mm + barrel_mm + stub_mm + tag_width_mm + nose_mm + 3;
}

double lug_row_mm(const RunGlyph& run) {
    return std::max(18.0, 2 * half_width_mm(run) + 14.5); // a flag stands over the broadest too
}

/// More flags than one stand over each other on the first one's pole.
double more_flags_mm(const RunGlyph& run, const DiagramContent& content) {
    const auto here = std::count_if(content.flags.begin(), content.flags.end(),
                                    [&](const FlagGlyph& flag) { return flag.subject == run.id; });
    return here > 1 ? flag_over_mm * static_cast<double>(here - 1) : 0;
}

std::string told_at(const RunGlyph& run, int end) {
    return tag_words(run, end == 0 ? run.to : run.from);
}

struct Flowing {
    StudListRow row;
    double tall_mm = 0;
    std::size_t keep = 0; // this many rows after it stay in its column
};

class Lister {
  public:
    Lister(const Arrangement& all, const TextMeasure& measure) : all_(all), measure_(measure) {}
    std::vector<StudList> list();

  private:
    const Arrangement& all_;
    const TextMeasure& measure_;
    std::vector<Flowing> rows_;

    void take_owner(StudListRow::Kind kind, const std::string& id, const std::string& title,
                    const std::string& aside, const std::vector<const StudGlyph*>& studs);
    std::vector<Flowing> rows_of(const StudGlyph& stud) const;
    void take_panel(const Panel& panel);
    double widest_label() const;
};

std::vector<Flowing> Lister::rows_of(const StudGlyph& stud) const {
    std::vector<Flowing> made;
    StudListRow head;
    head.stud = &stud;
    made.push_back({head, stud_mm, 0});
    std::size_t step = 0;
    for (const LugGlyph& lug : stud.lugs) {
        if (lug.cable >= all_.content->cables.size())
            continue;
        ++step;
        const bool control = all_.content->cables[lug.cable].flow == Flow::control;
        if (all_.share.control && !control)
            continue; // told on the sheet of heavy cables
        StudListRow row;
        row.kind = StudListRow::Kind::lug;
        row.stud = &stud;
        row.lug = &lug;
        row.step = step;
        row.off_sheet = control != all_.share.control;
        const RunGlyph& run = all_.content->cables[lug.cable];
        if (!row.off_sheet)
            row.flags_mm = more_flags_mm(run, *all_.content);
        made.push_back({row, lug_row_mm(run) + row.flags_mm, 0});
    }
    made.front().keep = made.size() > 1 ? 1 : 0;
    return made;
}

void Lister::take_owner(StudListRow::Kind kind, const std::string& id, const std::string& title,
                        const std::string& aside, const std::vector<const StudGlyph*>& studs) {
    StudListRow head;
    head.kind = kind;
    head.owner = id;
    head.title = title;
    head.aside = aside;
    rows_.push_back({head, owner_mm, 0});
    const std::size_t at = rows_.size() - 1;
    for (const StudGlyph* stud : studs) {
        const std::vector<Flowing> more = rows_of(*stud);
        if (all_.share.control && more.size() < 2)
            continue;
        if (rows_.size() == at + 1)
            rows_[at].keep = 1 + more.front().keep;
        rows_.insert(rows_.end(), more.begin(), more.end());
    }
}

void Lister::take_panel(const Panel& panel) {
    const DiagramContent& content = *all_.content;
    for (const std::size_t index : panel.units) {
        const UnitGlyph& unit = content.units[index];
        std::string aside = unit.name;
        for (const std::string& each : unit.details)
            aside += ", " + each;
        if (unit.seat_bed && *unit.seat_bed < content.beds.size())
            aside +=
                ", " + said(content.title, "case on {0}", {designation(content.beds[*unit.seat_bed].id)});
        std::vector<const StudGlyph*> studs;
        for (const StudGlyph& stud : unit.studs)
            studs.push_back(&stud);
        take_owner(StudListRow::Kind::unit, unit.id, designation(unit.id), aside, studs);
    }
    for (const BedGlyph& bed : content.beds) {
        std::vector<const StudGlyph*> studs;
        for (std::size_t s = 0; s < bed.studs.size(); ++s)
            if ((s < bed.stud_zones.size() ? bed.stud_zones[s] : 0) == panel.zone)
                studs.push_back(&bed.studs[s]);
        if (!studs.empty() && !panel.continued && !all_.share.control)
            take_owner(StudListRow::Kind::bed, bed.id, designation(bed.id),
                       bed.name + (bed.resistance.empty() ? "" : ", " + bed.resistance), studs);
    }
}

double Lister::widest_label() const {
    double widest = 40;
    for (const Flowing& each : rows_)
        if (each.row.kind == StudListRow::Kind::lug && !each.row.off_sheet)
            widest = std::max(
                widest, label_size(all_.content->cables[each.row.lug->cable], false, measure_).width_mm);
    return widest;
}

std::vector<StudList> Lister::list() {
    for (const Panel& panel : all_.share.panels)
        take_panel(panel);
    StudList page;
    for (const Flowing& each : rows_)
        if (each.row.lug != nullptr)
            page.tag_width_mm =
                std::max(page.tag_width_mm,
                         whole_tag_mm(told_at(all_.content->cables[each.row.lug->cable], each.row.lug->end),
                                      all_.content->title, measure_));
    const double width = all_.right_mm - all_.left_mm - 8;
    const double wanted = label_left_mm(page.tag_width_mm) + widest_label() + 2;
    const double count = std::max(1.0, std::floor((width + column_gap_mm) / (wanted + column_gap_mm)));
    const double column = (width - column_gap_mm * (count - 1)) / count;
    const double top = all_.top_mm + head_mm + 4;
    const double foot = all_.bottom_mm - 3;
    std::vector<StudList> made;
    double at_column = 0;
    double y = top;
    for (std::size_t i = 0; i < rows_.size(); ++i) {
        double needed = 0;
        for (std::size_t k = i; k <= i + rows_[i].keep && k < rows_.size(); ++k)
            needed += rows_[k].tall_mm;
        const bool lug = rows_[i].row.kind == StudListRow::Kind::lug;
        if (rows_[i].row.kind == StudListRow::Kind::unit || rows_[i].row.kind == StudListRow::Kind::bed)
            y += y > top ? between_mm : 0;
        StudListRow again;
        again.stud = rows_[i].row.stud;
        if (y + needed > foot && y > top) {
            y = top;
            if (++at_column >= count) {
                made.push_back(page);
                page.rows.clear();
                at_column = 0;
            }
            if (lug) {
                again.box = {all_.left_mm + 4 + at_column * (column + column_gap_mm), y, column, stud_mm};
                again.aside = ", " + said(all_.content->title, "continued");
                page.rows.push_back(again);
                y += stud_mm;
            }
        }
        StudListRow row = rows_[i].row;
        row.box = {all_.left_mm + 4 + at_column * (column + column_gap_mm), y, column, rows_[i].tall_mm};
        y += rows_[i].tall_mm;
        page.rows.push_back(row);
    }
    if (!page.rows.empty())
        made.push_back(page);
    return made;
}

Point lug_foot(const StudListRow& row) {
    return {row.box.x_mm + rail_mm + barrel_mm,
            row.box.y_mm + row.flags_mm + (row.box.height_mm - row.flags_mm) / 2 + 1};
}

Element owner_element(const StudListRow& row, std::size_t flags, const TextMeasure& measure) {
    const bool unit = row.kind == StudListRow::Kind::unit;
    Element made = element(unit ? Role::unit : Role::bed, row.owner);
    made.title = row.owner;
    const Box box{row.box.x_mm, row.box.y_mm, row.box.width_mm, row.box.height_mm - 1};
    add(made, rectangle(box, unit ? Paint::white : Paint::bed, pen(unit ? 0.5 : 0.35)));
    if (!unit)
        add(made, line({box.x_mm, box.y_mm}, {box.right_mm(), box.y_mm}, pen(1.0)));
    const double low = box.y_mm + 5.9;
    Text name = written(measure, {box.x_mm + 3, low}, row.title, {.height_mm = 3.5, .weight = Weight::bold});
    const double from = name.box.right_mm() + 3;
    const double room = box.right_mm() - 3 - head_flag_mm * static_cast<double>(flags) - from;
    add(made, std::move(name));
    if (room > 8)
        add(made, written(measure, {from, low}, shortened(measure, row.aside, room, {})));
    seal(made);
    return made;
}

/// The stud as a rail down its lugs, each lug a plate across it with its barrel.
Element rail_element(const StudList& list, std::size_t at, const std::string& id,
                     const TextMeasure& measure) {
    const StudListRow& head = list.rows[at];
    Element made = element(Role::stack, id);
    made.title = head.stud->id;
    const double x = head.box.x_mm + rail_mm;
    const double low = head.box.y_mm + 5.8;
    Text name = written(measure, {head.box.x_mm + 3, low}, true_minus(head.stud->id) + head.aside,
                        {.height_mm = 3.5, .weight = Weight::bold});
    Text thread = written(measure, {name.box.right_mm() + 3, low}, head.stud->thread);
    const double probe = (head.stud->thread.empty() ? name.box : thread.box).right_mm() + 5.5;
    add(made, std::move(name));
    if (!head.stud->thread.empty())
        add(made, std::move(thread));
    if (!head.stud->probe.empty())
        add_probe(made, {probe, low - 1.7}, head.stud->probe, measure);
    for (std::size_t i = at + 1; i < list.rows.size(); ++i) {
        const StudListRow& row = list.rows[i];
        if (row.kind != StudListRow::Kind::lug || row.stud != head.stud || row.box.x_mm != head.box.x_mm)
            break;
        const Point foot = lug_foot(row);
        const double from = i == at + 1 ? head.box.y_mm + 7.6 : row.box.y_mm;
        const bool last = i + 1 == list.rows.size() || list.rows[i + 1].kind != StudListRow::Kind::lug;
        add(made, line({x, from}, {x, last ? foot.y_mm + 3.5 : row.box.bottom_mm()}, pen(0.7)));
        add(made, rectangle({x - 4, foot.y_mm - 0.85, 8, 1.7}, Paint::ink));
        add(made, rectangle({x + 4, foot.y_mm - 1.4, barrel_mm - 4, 2.8}, Paint::white, pen(0.35)));
        add(made, written(measure, {x - 5.2, foot.y_mm + 1.25}, std::to_string(row.step),
                          {.anchor = Anchor::right}));
    }
    seal(made);
    return made;
}

void add_lug(std::vector<Element>& made, const StudList& list, const StudListRow& row,
             const DiagramContent& content, const std::vector<std::vector<std::string>>& goes_on,
             const TextMeasure& measure) {
    const int end = row.lug->end;
    const std::size_t cable = row.lug->cable;
    const RunGlyph& whole = content.cables[cable];
    const Point foot = lug_foot(row);
    const Point tip{foot.x_mm + stub_mm, foot.y_mm};
    Track track{foot, tip};
    if (end == 1)
        std::reverse(track.begin(), track.end());
    const Point ring{foot.x_mm + 22, foot.y_mm};
    RunGlyph run = whole;
    const double label_left = row.box.x_mm + label_left_mm(list.tag_width_mm);
    const double room = row.box.right_mm() - label_left;
    run.line1 = shortened(measure, run.line1, room, {.height_mm = 3.5, .weight = Weight::bold});
    run.line3 = shortened(measure, run.line3, room, {});
    Element stub = cable_element(run, track, {grown({ring.x_mm, ring.y_mm, 0, 0}, 6)});
    stub.id = row.off_sheet ? run.id + "-lead" : run.id;
    made.push_back(std::move(stub));
    const auto& words = goes_on[cable][static_cast<std::size_t>(row.off_sheet ? end : 1 - end)];
    made.push_back(
        tag_element(run.id + "-tag", tip, -1, list.tag_width_mm, told_at(whole, end), words, measure));
    CableNote note;
    note.cable = cable;
    note.balloon = ring;
    made.push_back(balloon_element(run, note, measure));
    if (row.off_sheet)
        return;
    const LabelBox size = label_size(run, false, measure);
    note.label = {label_left, foot.y_mm - size.height_mm / 2, size.width_mm, size.height_mm};
    made.push_back(label_element(run, note, measure));
}
} // namespace

std::vector<StudList> list_studs(const Arrangement& arrangement, const TextMeasure& measure) {
    return Lister(arrangement, measure).list();
}

const StudListRow* row_of(const StudList& list, std::size_t cable, int end) {
    for (const StudListRow& row : list.rows)
        if (row.lug != nullptr && row.lug->cable == cable && row.lug->end == end && !row.off_sheet)
            return &row;
    return nullptr;
}

std::vector<FlagNote> list_flags(const StudList& list, const DiagramContent& content) {
    std::vector<FlagNote> made;
    std::vector<std::size_t> used(list.rows.size(), 0);
    for (std::size_t f = 0; f < content.flags.size(); ++f) {
        FlagNote note;
        note.flag = f;
        const double wide = flag_width_mm(content.flags[f]);
        const auto tells_of = [&](const StudListRow& row, const std::string& subject) {
            if (row.lug != nullptr)
                return !row.off_sheet && content.cables[row.lug->cable].id == subject;
            return row.stud == nullptr ? row.owner == subject : row.stud->id == subject && row.aside.empty();
        };
        const auto plant = [&](const std::string& subject) {
            for (std::size_t i = 0; i < list.rows.size() && !note.placed; ++i) {
                const StudListRow& row = list.rows[i];
                if (!tells_of(row, subject))
                    continue;
                const auto before = static_cast<double>(used[i]);
                const double left = row.box.right_mm() - head_flag_mm * (before + 1);
                if (row.lug == nullptr && left < row.box.x_mm + head_words_mm)
                    continue; // no more fit into a head
                ++used[i];
                note.placed = true;
                if (row.lug != nullptr) {
                    note.foot = note.dot = {lug_foot(row).x_mm + 1.5, lug_foot(row).y_mm};
                    note.box = {note.dot.x_mm,
                                row.box.y_mm + 0.4 + std::max(0.0, row.flags_mm - flag_over_mm * before),
                                wide, flag_height_mm};
                } else {
                    note.box = {left, row.box.y_mm + 1, wide, flag_height_mm};
                    note.foot = note.dot = {note.box.x_mm, note.box.bottom_mm()};
                }
            }
        };
        plant(content.flags[f].subject);
        if (!note.placed && !content.flags[f].instead.empty())
            plant(content.flags[f].instead);
        made.push_back(note);
    }
    return made;
}

std::vector<Element> stud_list_elements(const StudList& list, const DiagramContent& content,
                                        const std::vector<FlagNote>& flags,
                                        const std::vector<std::vector<std::string>>& goes_on,
                                        const TextMeasure& measure) {
    std::vector<Element> made;
    for (std::size_t i = 0; i < list.rows.size(); ++i) {
        const StudListRow& row = list.rows[i];
        if (row.lug != nullptr) {
            add_lug(made, list, row, content, goes_on, measure);
        } else if (row.stud != nullptr) {
            made.push_back(
                rail_element(list, i, row.stud->id + (row.aside.empty() ? "" : "-continued"), measure));
        } else {
            const auto here = std::count_if(flags.begin(), flags.end(), [&](const FlagNote& note) {
                return note.placed && overlaps(note.box, row.box);
            });
            made.push_back(owner_element(row, static_cast<std::size_t>(here), measure));
        }
    }
    return made;
}

} // namespace stoutloom::layout

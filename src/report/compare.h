// Before and after: two checked files side by side, made once and shown as text, as JSON and as one page for
// the customer.
#pragma once

#include "layout/scene.h"
#include "report/papers/papers.h"
#include "report/report.h"

#include <optional>
#include <string>
#include <vector>

namespace stoutloom::report {

enum class Fate { cured, part_gone, fresh, standing };
/// "cured", "gone with its part", "new", "standing".
std::string_view fate_words(Fate fate);

/// A finding of one or both files. Two are the same when rule and main subject are; where a rule has several
/// about one subject they are paired by duty first, then in order.
struct FindingChange {
    Fate fate = Fate::standing;
    std::optional<check::Judgement> before, after;
    const check::Judgement& shown() const { return after ? *after : *before; }
};
/// A cable in one of the files, at the worst of ageing and tolerance over all all-day duties.
struct CableFigure {
    std::string section; // as its author wrote it: "2 x 35 mm2"
    double section_mm2 = 0, length_m = 0;
    double copper_kg = 0;        // all conductors of it
    double current_a = 0;        // magnitude
    double usable_a = 0;         // after the margin
    double temperature_degc = 0; // of the hottest stretch
    double class_degc = 0;
    std::optional<double> drop_v; // ends included, greatest over the all-day duties; empty: none was solved
    bool runaway = false;         // no steady temperature exists
    std::string duty;             // id; empty: no all-day duty was solved
    bool original = false;        // was there already
    double share() const { return usable_a > 0 ? current_a / usable_a : (current_a > 0 ? 9.99 : 0); }
};
struct CableChange {
    std::string id;
    std::optional<CableFigure> before, after;
    bool changed = false; // section, length or number in parallel
};
/// What of a part, cable or stud is another one; the order is that of change_words.
enum class Change {
    part,
    cable,
    fuse_link,
    rating,
    place,
    stud,
    section,
    insulation,
    colour,
    length,
    route,
    ends,
    lug,
    sleeve,
    air,
    limit
};
std::string_view change_words(Change what); // "lug"
struct PartChange {
    std::string subject; // "W1", "F1", "G1.B+"; a zone, a limit
    Change what{};
    std::string place;         // of a lug or sleeve: the terminal
    std::string before, after; // empty: it was not there, it is left out
};
/// Lengths in the second file's units.
struct Lengths {
    bool us = false;
    std::string words(double length_m) const;
};
/// Parts that came, went, changed; then cables; then the air of zones and the limits in force.
std::vector<PartChange> changes_between(const Checked& before, const Checked& after);

struct Comparison {
    const Checked* before = nullptr;
    const Checked* after = nullptr;
    std::vector<FindingChange> findings; // cured, gone, new, standing; errors first in each
    std::vector<PartChange> changes;
    std::vector<CableChange> cables; // order of the second file, then those only in the first
    double copper_before_kg = 0, copper_after_kg = 0;
    double length_before_m = 0, length_after_m = 0;
    std::size_t count(Fate fate) const;
};
/// Both must have been read. They may be of two different vehicles: then little is paired, and it shows.
Comparison compare(const Checked& before, const Checked& after);

std::string compare_text(const Comparison& comparison);
std::string compare_json(const Comparison& comparison);
/// One page, A4 or Letter; what finds no room is counted on it and stands in the text.
layout::Document compare_page(const Comparison& comparison, const PackOptions& options,
                              const layout::TextMeasure& measure);

} // namespace stoutloom::report

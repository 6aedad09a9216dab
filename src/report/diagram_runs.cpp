// Cables as runs with their labels and gauges, and the flags of what is wrong with them.
#include "report/diagram_parts.h"

#include "physics/shorttime.h"
#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <limits>
#include <map>
#include <set>

namespace stoutloom::report {
namespace {

// The digits of each cable's id where they tell the cables apart, otherwise the place in the file.
std::vector<std::string> numbers_of(const model::Harness& harness) {
    std::vector<std::string> numbers;
    std::set<std::string> seen;
    bool unique = true;
    for (const model::Cable& cable : harness.cables) {
        std::string digits;
        for (const char c : cable.id)
            if (std::isdigit(static_cast<unsigned char>(c)) != 0)
                digits += c;
        const std::size_t first = digits.find_first_not_of('0');
        digits = first == std::string::npos ? "" : digits.substr(first);
        unique = unique && !digits.empty() && digits.size() <= 3 && seen.insert(digits).second;
        numbers.push_back(digits);
    }
    if (!unique)
        for (std::size_t i = 0; i < numbers.size(); ++i)
            numbers[i] = std::to_string(i + 1);
    return numbers;
}

std::string amperes(double current_a, base::Rounding rounding) {
    return base::shown(current_a, std::abs(current_a) < 9.95 ? 1 : 0, rounding, "A");
}

/// What the gauge shows: the load that comes nearest to its limit, all day or for seconds.
struct Load {
    double load_a = 0, limit_a = 0;
    std::optional<model::DutyIndex> duty;
    bool short_duty = false;
    double fraction() const {
        if (limit_a > 0)
            return load_a / limit_a;
        return load_a > 0 ? std::numeric_limits<double>::infinity() : 0;
    }
};

// A short duty has its own limit: the current that brings the hottest stretch from the air's temperature to
// the class temperature in just that time, with the installed margin that all-day figures carry too.
std::optional<Load> short_load(const Checked& checked, std::size_t cable) {
    const solve::CableRating& rating = checked.facts->ratings.at(cable);
    if (rating.segments.empty() || !(rating.ampacity_a > 0))
        return std::nullopt;
    const physics::Stretch& stretch = rating.segments.at(rating.hottest).stretch;
    std::vector<const check::Facts*> cases = check::worst_cases(*checked.facts);
    cases.insert(cases.begin(), checked.facts);
    std::map<double, double> limits_a; // by duration: the search is long, the cases share their duties
    const auto limit_a = [&](double duration_s) {
        const auto [at, fresh] = limits_a.try_emplace(duration_s, 0);
        if (fresh) {
            const double start_degc = stretch.around.ambient_degc + stretch.around.radiant_k;
            at->second =
                physics::current_for_time_a(stretch, start_degc, stretch.insulation.class_degc, duration_s) *
                checked.harness->cables[cable].parallel * rating.usable_a / rating.ampacity_a;
        }
        return at->second;
    };
    std::optional<Load> worst;
    for (const check::Facts* facts : cases)
        for (const check::SolvedDuty& solved : facts->duties) {
            const model::Duty& duty = checked.harness->duty(solved.duty);
            if (!solved.point || !duty.duration_s)
                continue;
            const Load load{.load_a = std::abs(solved.point->cables.at(cable).current_a),
                            .limit_a = limit_a(duty.duration_s->value),
                            .duty = solved.duty,
                            .short_duty = true};
            if (!worst || load.fraction() > worst->fraction())
                worst = load;
        }
    return worst;
}

Load worst_load(const Checked& checked, std::size_t cable) {
    // With aged joints and set points at their tolerance, as the record and the plots tell it.
    const check::WorstDuty& worst = check::worst_duty(*checked.facts, static_cast<model::CableIndex>(cable));
    Load load{.load_a = std::abs(worst.current_a),
              .limit_a = checked.facts->ratings.at(cable).usable_a,
              .duty = worst.duty,
              .short_duty = false};
    if (const auto brief = short_load(checked, cable);
        brief && (!load.duty || brief->fraction() > load.fraction()))
        return *brief;
    return load;
}

std::string insulation_label(const Voice& voice, const base::Insulation& insulation) {
    return insulation.text.size() == 1 ? voice.say(Phrase::diagram_class, {insulation.text})
                                       : with_signs(insulation.text);
}

// "160 A of 229 A, class C"; the duty stands in front when it is not rated output, hot.
std::string load_label(const Voice& voice, const model::Cable& cable, const Load& load) {
    const Checked& checked = voice.checked();
    std::string label;
    if (load.duty && load.duty != rated_duty(checked)) {
        const model::Duty& duty = checked.harness->duty(*load.duty);
        const std::string name = duty.built_in ? voice.told(duty.id) : duty.id;
        label = duty.duration_s ? name + ", " + base::shown_up(duty.duration_s->value, 0, "s") : name;
    }
    const std::string kind = cable.build == model::CableBuild::braid
                                 ? voice.say(Phrase::build_braid)
                                 : insulation_label(voice, cable.insulation);
    const std::string share = voice.say(Phrase::plot_of, {amperes(load.load_a, base::Rounding::up),
                                                          amperes(load.limit_a, base::Rounding::down), kind});
    return label.empty() ? share : voice.say(Phrase::named, {label, share});
}

int direction_of(const Checked& checked, std::size_t cable) {
    double greatest_a = 0;
    for (const check::SolvedDuty& solved : checked.facts->duties)
        if (solved.point)
            greatest_a = std::max(greatest_a, std::abs(solved.point->cables.at(cable).current_a));
    int direction = 0;
    for (const check::SolvedDuty& solved : checked.facts->duties) {
        if (!solved.point)
            continue;
        const double current_a = solved.point->cables.at(cable).current_a;
        // What leaks in standby does not turn the arrow.
        if (std::abs(current_a) < 0.02 * greatest_a || current_a == 0)
            continue;
        const int sign = current_a > 0 ? 1 : -1;
        if (direction != 0 && direction != sign)
            return 0;
        direction = sign;
    }
    return direction;
}

std::string first_line(const Voice& voice, const model::Cable& cable) {
    const model::UnitSystem units = voice.harness().units;
    std::string line = diagram_section(voice, cable);
    if (!cable.colour.empty())
        line += "  " + cable.colour;
    const std::string metric = base::shown_up(cable.length_m.value, 2, "m"), us = feet(cable.length_m.value);
    const bool wrote_feet = cable.length_m.text.find("ft") != std::string::npos ||
                            cable.length_m.text.find("in") != std::string::npos;
    if (units == model::UnitSystem::metric)
        return line + "  " + metric;
    return line + "  " +
           (wrote_feet ? fmt::format("{} ({})", us, metric) : fmt::format("{} ({})", metric, us));
}

std::string described(const Voice& voice, const model::Cable& cable, const layout::RunGlyph& run) {
    const Phrase side = run.flow == layout::Flow::feed   ? Phrase::diagram_desc_feed
                        : run.flow == layout::Flow::back ? Phrase::diagram_desc_return
                                                         : Phrase::diagram_desc_control;
    std::string words = voice.say(side, {voice.harness().terminal(cable.from.at).address,
                                         voice.harness().terminal(cable.to.at).address, run.line1});
    if (!run.line3.empty())
        words += "; " + run.line3;
    return run.failing ? words + "; " + voice.say(Phrase::diagram_desc_error) : words;
}

// The metal or device at the first end of an incidental path; empty when the id is no path's.
std::string end_of_incidental(const model::Harness& harness, const std::string& id) {
    for (const model::Incidental& path : harness.incidentals)
        if (path.id == id)
            return harness.device(harness.terminal(path.from).device).id;
    return {};
}

// What wears the flag: the first subject on the sheet, or what an undrawn one belongs to: a terminal's
// device, the metal at the end of an incidental path.
std::string drawn_subject(const model::Harness& harness, const check::Judgement& judgement,
                          const std::set<std::string>& drawn) {
    for (const std::string& id : judgement.subjects) {
        if (drawn.contains(id))
            return id;
        if (std::string device = end_of_incidental(harness, id); drawn.contains(device))
            return device;
        if (std::string device = id.substr(0, id.find('.')); drawn.contains(device))
            return device;
    }
    return {};
}

bool has_error(const std::vector<check::Judgement>& found, const std::string& id) {
    return std::any_of(found.begin(), found.end(), [&](const check::Judgement& judgement) {
        return judgement.severity == check::Severity::error && !judgement.subjects.empty() &&
               judgement.subjects.front() == id;
    });
}

} // namespace

std::string diagram_section(const Voice& voice, const model::Cable& cable) {
    std::string own = cable.automatic ? voice.say(Phrase::section_open) : with_signs(section_words(cable));
    if (voice.harness().units == model::UnitSystem::metric)
        return own;
    const std::string other = voice.section_other(cable);
    return other.empty() ? own : fmt::format("{} ({})", own, other);
}

void add_runs(const Voice& voice, layout::DiagramContent& content) {
    const Checked& checked = voice.checked();
    const model::Harness& harness = *checked.harness;
    const std::vector<check::Judgement> found = findings(checked);
    const std::vector<std::string> numbers = numbers_of(harness);
    for (std::size_t i = 0; i < harness.cables.size(); ++i) {
        const model::Cable& cable = harness.cables[i];
        const Load load = worst_load(checked, i);
        layout::RunGlyph run;
        run.id = cable.id;
        run.number = numbers[i];
        run.section_mm2 = cable.section_mm2.value;
        run.parallel = cable.parallel;
        run.braid = cable.build == model::CableBuild::braid;
        run.kept = cable.origin == model::Origin::original;
        run.flow = is_light_lead(checked, i) ? layout::Flow::control
                                             : flow_of(checked.facts->topology.side_of_cable.at(i));
        run.from = harness.terminal(cable.from.at).address;
        run.to = harness.terminal(cable.to.at).address;
        run.line1 = first_line(voice, cable);
        if (load.duty) {
            run.gauge = layout::Gauge{.fraction = std::isfinite(load.fraction()) ? load.fraction() : 9.99,
                                      .short_duty = load.short_duty};
            run.gauge_note = std::isfinite(load.fraction()) ? base::shown_up(load.fraction() * 100, 0, "%")
                                                            : voice.say(Phrase::diagram_gauge_over);
            run.line3 = load_label(voice, cable, load);
        }
        run.direction = direction_of(checked, i);
        run.failing = has_error(found, cable.id);
        for (const model::Segment& segment : cable.segments)
            if (run.zones.empty() || run.zones.back() != model::at(segment.zone))
                run.zones.push_back(model::at(segment.zone));
        run.title = voice.say(Phrase::diagram_title_cable, {cable.id});
        run.desc = described(voice, cable, run);
        content.cables.push_back(std::move(run));
    }
}

void add_flags(const Voice& voice, layout::DiagramContent& content) {
    const Checked& checked = voice.checked();
    const std::vector<check::Judgement> found = findings(checked);
    for (layout::UnitGlyph& unit : content.units)
        unit.failing = has_error(found, unit.id);
    std::set<std::string> drawn;
    for (const layout::RunGlyph& run : content.cables)
        drawn.insert(run.id);
    for (const layout::UnitGlyph& unit : content.units) {
        drawn.insert(unit.id);
        for (const layout::StudGlyph& stud : unit.studs)
            drawn.insert(stud.id);
    }
    for (const layout::BedGlyph& bed : content.beds) {
        drawn.insert(bed.id);
        for (const layout::StudGlyph& stud : bed.studs)
            drawn.insert(stud.id);
    }
    const model::Harness& harness = voice.harness();
    for (const check::Judgement& judgement : found) {
        if (judgement.severity == check::Severity::note) {
            content.remarks.push_back(with_signs(one_line(voice.found(judgement.message))));
            continue;
        }
        layout::FlagGlyph flag;
        flag.number = std::to_string(content.flags.size() + 1);
        flag.error = judgement.severity == check::Severity::error;
        flag.subject = drawn_subject(harness, judgement, drawn);
        if (flag.subject.empty() && !content.units.empty())
            flag.subject = content.units.front().id; // a finding about the whole kit hangs on its first unit
        // The path itself where a sheet shows it, else the metal at its end.
        for (const std::string& id : judgement.subjects)
            if (const std::string end = end_of_incidental(harness, id); !end.empty() && end == flag.subject) {
                flag.instead = flag.subject;
                flag.subject = id;
                break;
            }
        flag.what = with_signs(one_line(voice.found(judgement.message)));
        flag.cure = with_signs(one_line(
            voice.found(judgement.cure.empty() ? std::string(judgement.rule->cure) : judgement.cure)));
        content.flags.push_back(std::move(flag));
    }
}

} // namespace stoutloom::report

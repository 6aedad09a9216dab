// What is built differently: parts and cables that came or went, and what of the kept ones is another one.
// What the figures make of it is compare.cpp's.
#include "report/compare.h"
#include "report/papers/contents.h"
#include "report/papers/cut_cables.h"
#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace stoutloom::report {
namespace {

using model::Harness;

std::string number_words(double value, int decimals, std::string_view unit) {
    return base::shown(value, decimals, base::Rounding::nearest, unit);
}

std::string written_words(const model::Written& value, std::string_view unit) {
    return value.text.empty() ? number_words(value.value, 1, unit) : value.text;
}

/// What a part is rated or stands for, by its kind; empty where the kind has no such figure.
std::string figures_of(const model::Device& device) {
    if (const auto* link = std::get_if<model::FuseLink>(&device.data))
        return link->type + " " + (link->automatic ? "to choose" : written_words(link->rating_a, "A"));
    if (const auto* battery = std::get_if<model::Battery>(&device.data))
        return battery->cold_cranking_a ? fmt::format("{}, {}", written_words(battery->capacity_ah, "Ah"),
                                                      written_words(*battery->cold_cranking_a, "A"))
                                        : written_words(battery->capacity_ah, "Ah");
    if (const auto* generator = std::get_if<model::Generator>(&device.data)) {
        std::string words;
        for (const model::Output& output : generator->outputs)
            words += (words.empty() ? "" : " / ") + written_words(output.hot_a, "A");
        return words;
    }
    if (const auto* starter = std::get_if<model::Starter>(&device.data))
        return written_words(starter->current_a, "A");
    if (const auto* consumer = std::get_if<model::Consumer>(&device.data))
        return written_words(consumer->amount, consumer->demand == model::Demand::current ? "A"
                                               : consumer->demand == model::Demand::power ? "W"
                                                                                          : "ohm");
    return {};
}

std::string part_words(const model::Device& device) {
    const std::string figures = figures_of(device);
    std::string words(model::kind_name(device.kind()));
    if (device.label != device.id && !device.label.empty())
        words += " " + one_line(device.label);
    return figures.empty() ? words : words + ", " + figures;
}

std::string cable_words(const Harness& harness, const model::Cable& cable, const Lengths& lengths) {
    return fmt::format("{}, {}, {} to {}", section_words(cable), lengths.words(cable.length_m.value),
                       harness.terminal(cable.from.at).address, harness.terminal(cable.to.at).address);
}

std::string ends_words(const Harness& harness, const model::Cable& cable) {
    return fmt::format("{} to {}", harness.terminal(cable.from.at).address,
                       harness.terminal(cable.to.at).address);
}

std::string route_words(const Harness& harness, const model::Cable& cable, const Lengths& lengths) {
    static constexpr std::array<const char*, 3> mountings = {"clipped", "clear", "conduit"};
    std::string words;
    for (const model::Segment& segment : cable.segments) {
        words += (words.empty() ? "" : ", ") + harness.zone(segment.zone).id + " " +
                 lengths.words(segment.length_m.value);
        const model::Mounting mounting = segment.mounting.value_or(cable.mounting);
        if (mounting != model::Mounting::clipped)
            words += std::string(" ") + mountings.at(static_cast<std::size_t>(mounting));
        if (!segment.loom.empty())
            words += " in loom " + segment.loom;
    }
    return words;
}

std::string size_of(const base::Fastener& fastener) {
    return base::is_to_choose(fastener) ? "to choose" : fastener.name;
}

std::string lug_words(const model::CableEnd& end) {
    const std::string size = size_of(end.lug);
    return end.barrel_mm2 ? fmt::format("{}, barrel {}", size, end.barrel_mm2->text) : size;
}

/// The changes of one pair of files, gathered part by part.
class Changes {
  public:
    Changes(const Checked& before, const Checked& after)
        : before_(before), after_(after), old_(*before.harness),
          now_(*after.harness), lengths_{now_.units == model::UnitSystem::us} {}

    std::vector<PartChange> all() {
        devices();
        cables();
        zones();
        limits();
        return std::move(all_);
    }

  private:
    const Checked& before_;
    const Checked& after_;
    const Harness& old_;
    const Harness& now_;
    Lengths lengths_;
    std::vector<PartChange> all_;

    void add(std::string subject, Change what, std::string was, std::string is, std::string place = {}) {
        if (was != is)
            all_.push_back({.subject = std::move(subject),
                            .what = what,
                            .place = std::move(place),
                            .before = std::move(was),
                            .after = std::move(is)});
    }

    void devices() {
        for (const model::Device& device : now_.devices)
            if (!model::find_device(old_, device.id))
                add(device.id, Change::part, {}, part_words(device));
        for (const model::Device& device : old_.devices)
            if (!model::find_device(now_, device.id))
                add(device.id, Change::part, part_words(device), {});
        for (const model::Device& device : now_.devices)
            if (const auto at = model::find_device(old_, device.id))
                device_of_both(old_.device(*at), device);
    }

    void device_of_both(const model::Device& was, const model::Device& is) {
        if (was.kind() != is.kind()) {
            add(is.id, Change::part, part_words(was), part_words(is));
            return;
        }
        add(is.id, is.kind() == model::DeviceKind::fuse_link ? Change::fuse_link : Change::rating,
            figures_of(was), figures_of(is));
        const auto place = [](const Harness& harness, const model::Device& device) {
            return device.zone ? harness.zone(*device.zone).id : std::string("-");
        };
        add(is.id, Change::place, place(old_, was), place(now_, is));
        for (const model::TerminalIndex index : is.terminals) {
            const model::Terminal& terminal = now_.terminal(index);
            if (const auto at = model::find_terminal(old_, terminal.address); at && !terminal.implicit)
                add(terminal.address, Change::stud, size_of(old_.terminal(*at).stud), size_of(terminal.stud));
        }
    }

    void cables() {
        for (const model::Cable& cable : now_.cables)
            if (!model::find_cable(old_, cable.id))
                add(cable.id, Change::cable, {}, cable_words(now_, cable, lengths_));
        for (const model::Cable& cable : old_.cables)
            if (!model::find_cable(now_, cable.id))
                add(cable.id, Change::cable, cable_words(old_, cable, lengths_), {});
        const std::vector<CutCable> cut_old = cuts_of(before_), cut_now = cuts_of(after_);
        for (const model::Cable& cable : now_.cables) {
            const auto at = model::find_cable(old_, cable.id);
            if (!at)
                continue;
            cable_of_both(old_.cable(*at), cable);
            sleeves(cable.id, cut_of(old_, cut_old, cable.id), cut_of(now_, cut_now, cable.id));
        }
    }

    void cable_of_both(const model::Cable& was, const model::Cable& is) {
        // The same cable written the other way round has changed nothing.
        const bool turned = old_.terminal(was.from.at).address == now_.terminal(is.to.at).address &&
                            old_.terminal(was.to.at).address == now_.terminal(is.from.at).address;
        model::Cable old = was;
        if (turned) {
            std::swap(old.from, old.to);
            std::reverse(old.segments.begin(), old.segments.end());
        }
        add(is.id, Change::section, section_words(old), section_words(is));
        add(is.id, Change::insulation, insulation_words(old.insulation), insulation_words(is.insulation));
        add(is.id, Change::colour, old.colour, is.colour);
        add(is.id, Change::length, lengths_.words(old.length_m.value), lengths_.words(is.length_m.value));
        if (!one_stretch_alike(old, is)) // its length is told already
            add(is.id, Change::route, route_words(old_, old, lengths_), route_words(now_, is, lengths_));
        add(is.id, Change::ends, ends_words(old_, old), ends_words(now_, is));
        for (const model::CableEnd* end : {&is.from, &is.to}) {
            const model::CableEnd* former = end_at(old, now_.terminal(end->at).address);
            add(is.id, Change::lug, former != nullptr ? lug_words(*former) : std::string(), lug_words(*end),
                now_.terminal(end->at).address);
        }
    }

    /// The end of the former cable that was on that terminal already.
    const model::CableEnd* end_at(const model::Cable& cable, const std::string& address) const {
        for (const model::CableEnd* end : {&cable.from, &cable.to})
            if (old_.terminal(end->at).address == address)
                return end;
        return nullptr;
    }

    bool one_stretch_alike(const model::Cable& was, const model::Cable& is) const {
        if (was.segments.size() != 1 || is.segments.size() != 1)
            return false;
        const model::Segment &a = was.segments.front(), &b = is.segments.front();
        return old_.zone(a.zone).id == now_.zone(b.zone).id && a.loom == b.loom &&
               a.mounting.value_or(was.mounting) == b.mounting.value_or(is.mounting);
    }

    static std::vector<CutCable> cuts_of(const Checked& checked) {
        return cut_cables(Voice(checked, Language::english), {});
    }
    static const CutCable* cut_of(const Harness& harness, const std::vector<CutCable>& cuts,
                                  const std::string& id) {
        const auto found = std::find_if(cuts.begin(), cuts.end(), [&](const CutCable& cut) {
            return harness.cable(cut.cable).id == id && cut.sleeved && cut.section_known;
        });
        return found == cuts.end() ? nullptr : &*found;
    }

    /// Heat-shrink goes on what is made new: told where both kits make the cable.
    void sleeves(const std::string& id, const CutCable* was, const CutCable* is) {
        if (was == nullptr || is == nullptr)
            return;
        const Voice old_voice(before_, Language::english), now_voice(after_, Language::english);
        const model::Cable& cable = now_.cable(is->cable);
        const auto words = [](const Voice& voice, const CutEndFigures& end) {
            std::string size = sleeve_size(voice, end, SleeveUse::shop);
            constexpr std::string_view arrow = " → "; // stands for before and after here
            if (const std::size_t at = size.find(arrow); at != std::string::npos)
                size.replace(at, arrow.size(), "/");
            return size;
        };
        const model::Cable& former = old_.cable(was->cable);
        for (const bool first : {true, false}) {
            const std::string& address = now_.terminal((first ? cable.from : cable.to).at).address;
            const model::CableEnd* end = end_at(former, address);
            if (end != nullptr)
                add(id, Change::sleeve, words(old_voice, end == &former.from ? was->from : was->to),
                    words(now_voice, first ? is->from : is->to), address);
        }
    }

    void zones() {
        const auto heat = [&](const model::Zone& zone) {
            const double degc = zone.ambient_degc.value + zone.radiant_k.value;
            return lengths_.us ? number_words(base::fahrenheit(degc), 0, "degF")
                               : number_words(degc, 0, "degC");
        };
        for (const model::Zone& zone : now_.zones) {
            const auto was = std::find_if(old_.zones.begin(), old_.zones.end(),
                                          [&](const model::Zone& one) { return one.id == zone.id; });
            if (was != old_.zones.end())
                add(zone.id, Change::air, heat(*was), heat(zone));
        }
    }

    /// A finding may have gone because its limit was moved: that must be seen.
    void limits() {
        for (const model::LimitRow& row : model::limit_rows()) {
            const auto words = [&](const Harness& harness) -> std::string {
                const double value = model::limit_in_force(harness, row.name).value;
                if (row.quantity == base::Quantity::pure_number)
                    return base::shown_number(value, 0, base::Rounding::nearest);
                return row.quantity == base::Quantity::fraction
                           ? number_words(100 * value, 1, "%")
                           : number_words(value, 3, base::unit_names(row.quantity).front());
            };
            add(std::string(row.name), Change::limit, words(old_), words(now_));
        }
    }
};

} // namespace

std::string Lengths::words(double length_m) const {
    return us ? feet(length_m) : base::shown_up(length_m, 2, "m");
}

std::string_view change_words(Change what) {
    static constexpr std::array<std::string_view, 16> words = {
        "part",   "cable",  "fuse-link", "rating", "zone", "stud",        "section", "insulation",
        "colour", "length", "route",     "ends",   "lug",  "heat-shrink", "air",     "limit"};
    return words.at(static_cast<std::size_t>(what));
}

std::vector<PartChange> changes_between(const Checked& before, const Checked& after) {
    return Changes(before, after).all();
}

} // namespace stoutloom::report

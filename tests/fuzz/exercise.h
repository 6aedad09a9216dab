// What must hold for any bytes whatever: shared by the fuzz target and the replay of its corpus.
#pragma once

#include "base/diagnostic.h"
#include "read/edit.h"
#include "read/read.h"

#include <cmath>
#include <cstddef>
#include <stdexcept>
#include <string>

namespace stoutloom::testing {

inline void must(bool holds, const char* what) {
    if (!holds)
        throw std::logic_error(what);
}

inline void exercise_refusal(const read::Refused& refused, const read::Bounds& bounds) {
    must(!refused.mistakes.empty(), "a refusal without a mistake");
    must(refused.mistakes.size() <= bounds.mistakes + 1, "more mistakes than are told at most");
    std::uint32_t before = 0;
    for (const base::Diagnostic& mistake : refused.mistakes) {
        must(mistake.span.begin <= mistake.span.end && mistake.span.end <= refused.source.text().size(),
             "a place outside the file");
        must(mistake.span.begin >= before, "mistakes out of order");
        must(!mistake.slug.empty() && !mistake.message.empty() && !mistake.mend.empty(),
             "a mistake without words");
        before = mistake.span.begin;
        must(base::shown(mistake, refused.source).size() < 4000, "a message without end");
    }
}

inline void exercise_terminals(const model::Harness& harness) {
    for (const model::Terminal& terminal : harness.terminals) {
        must(model::at(terminal.device) < harness.devices.size(), "a terminal of no device");
        must(model::find_terminal(harness, terminal.address).has_value(), "an address that leads nowhere");
    }
    for (const model::Device& device : harness.devices) {
        must(!device.id.empty(), "a device without id");
        if (device.kind() == model::DeviceKind::battery)
            must(model::terminal_of(harness,
                                    static_cast<model::DeviceIndex>(&device - harness.devices.data()),
                                    model::Role::negative)
                     .has_value(),
                 "a battery without negative");
    }
}

inline void exercise_cables(const read::ReadHarness& read) {
    const model::Harness& harness = read.harness;
    for (const model::Cable& cable : harness.cables) {
        must(model::at(cable.from.at) < harness.terminals.size() &&
                 model::at(cable.to.at) < harness.terminals.size(),
             "a cable to nowhere");
        must(cable.from.at != cable.to.at, "a cable with both ends on one terminal");
        must(!cable.segments.empty(), "a cable that runs nowhere");
        must(cable.length_m.value > 0 && std::isfinite(cable.length_m.value), "a cable without length");
        double sum_m = 0;
        for (const model::Segment& segment : cable.segments) {
            must(model::at(segment.zone) < harness.zones.size(), "a stretch in no zone");
            must(segment.length_m.value > 0, "a stretch without length");
            sum_m += segment.length_m.value;
        }
        must(std::abs(sum_m - cable.length_m.value) <= 1e-9 * cable.length_m.value,
             "stretches do not add up");
        const auto edited = read::with_edits(read.source, {{.span = cable.section_span, .text = "95 mm2"}});
        must(edited.has_value(), "a section that cannot be changed");
        if (harness.cables.size() > 3)
            continue; // reading back is the dear part
        const auto again = read::read_text("again.xml", *edited);
        must(again.has_value(), "a changed file that is refused");
        must(again->harness.cables[static_cast<std::size_t>(&cable - harness.cables.data())]
                     .section_mm2.value == 95,
             "a change that did not arrive");
    }
}

/// Throws std::logic_error when something does not hold.
inline void exercise_reader(std::string text) {
    const read::Bounds bounds{
        .bytes = 1U << 16, .depth = 16, .elements = 2000, .attributes = 64, .mistakes = 50};
    const auto read = read::read_text("input.xml", std::move(text), bounds);
    if (!read)
        return exercise_refusal(read.error(), bounds);
    exercise_terminals(read->harness);
    exercise_cables(*read);
    must(!read->harness.duties.empty(), "no duty to judge in");
}

} // namespace stoutloom::testing

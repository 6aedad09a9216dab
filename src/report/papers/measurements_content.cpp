// What the installer measures: which two studs, in which duty, what the meter shows at running temperature,
// what is still accepted and why.
#include "report/papers/contents.h"
#include "report/papers/measured_rows.h"

#include "report/diagram_parts.h"
#include "report/words.h"

#include <algorithm>
#include <cmath>

namespace stoutloom::report {
namespace {

using layout::papers::MapPiece;
using layout::papers::MeasurementsContent;
using layout::papers::ProbeMap;

constexpr std::string_view letters_in_use = "ABCDEFGHJKLNPQRSTUVWXYZ"; // no I, no O; M is the motor's sign

std::string letter_number(std::size_t index) {
    const std::size_t count = letters_in_use.size();
    const std::string last(1, letters_in_use[index % count]);
    return index < count ? last : std::string(1, letters_in_use[index / count - 1]) + last;
}

layout::papers::MeasureWords words_of(const Voice& voice) {
    return {.heading = voice.say(Phrase::measurements),
            .remark = {},
            .continued = voice.say(Phrase::continued),
            .before = voice.say(Phrase::before_start),
            .probes = voice.say(Phrase::probe_points),
            .number = voice.say(Phrase::column_number),
            .red = voice.say(Phrase::column_red),
            .black = voice.say(Phrase::column_black),
            .state = voice.say(Phrase::column_state),
            .expect = voice.say(Phrase::column_expect),
            .accept = voice.say(Phrase::column_accept),
            .read = voice.say(Phrase::column_read),
            .ok = voice.say(Phrase::column_ok),
            .no_rows = voice.say(Phrase::no_measurement),
            .steps = voice.say(Phrase::steps),
            .measured_by = voice.say(Phrase::measured_by),
            .date = voice.say(Phrase::sign_date),
            .counter = voice.say(Phrase::sign_counter),
            .all_within = voice.say(Phrase::all_within),
            .yes = voice.say(Phrase::yes),
            .no = voice.say(Phrase::no)};
}

void add_way(const Voice& voice, ProbeMap& map, const std::vector<WayPart>& way, layout::Flow flow) {
    for (const WayPart& part : way) {
        MapPiece piece;
        piece.kind = part.cable ? MapPiece::Kind::cable : MapPiece::Kind::part;
        piece.drop_v = part.drop_v;
        piece.flow = flow;
        if (part.cable) {
            piece.name = voice.harness().cable(*part.cable).id;
            piece.length_m = voice.harness().cable(*part.cable).length_m.value;
        } else {
            piece.name = voice.device(*part.device);
            if (voice.harness().device(*part.device).kind() == model::DeviceKind::mass)
                piece.kind = MapPiece::Kind::metal;
        }
        map.pieces.push_back(piece);
    }
}

ProbeMap map_of(const Voice& voice, const MeasuredLoop& loop, ProbeLetters& letters) {
    ProbeMap map;
    map.heading = voice.say(Phrase::where_to_probe);
    map.remark = voice.say(loop.charging ? Phrase::map_charging : Phrase::map_cranking,
                           {base::shown(loop.current_a, 0, base::Rounding::nearest, "A")});
    add_way(voice, map, loop.feed, layout::Flow::feed);
    const std::size_t middle = map.pieces.size();
    MapPiece between;
    between.kind = loop.charging ? MapPiece::Kind::battery : MapPiece::Kind::unit;
    between.name = voice.device(loop.charging ? loop.battery : loop.unit);
    map.pieces.push_back(between);
    add_way(voice, map, loop.back, layout::Flow::back);
    const auto probe = [&](model::TerminalIndex terminal) { return letters.letter(terminal); };
    if (middle > 0 && !loop.feed_number.empty()) {
        map.pieces.front().probe_before = probe(loop.feed.front().from);
        map.pieces[middle].probe_before = probe(loop.feed.back().to);
        map.brackets.push_back({.first = 0,
                                .last = middle - 1,
                                .number = loop.feed_number,
                                .words = voice.say(Phrase::feed_side, {volts(loop.feed_v)})});
    }
    if (middle + 1 < map.pieces.size() && !loop.back_number.empty()) {
        map.pieces[middle].probe_after = probe(loop.back.front().from);
        map.pieces.back().probe_after = probe(loop.back.back().to);
        map.brackets.push_back({.first = middle + 1,
                                .last = map.pieces.size() - 1,
                                .number = loop.back_number,
                                .words = voice.say(Phrase::return_side, {volts(loop.back_v)})});
    }
    return map;
}

std::vector<std::string> conditions_of(const Voice& voice, const std::vector<MeasuredLoop>& loops) {
    double most_a = 0;
    for (const MeasuredLoop& loop : loops)
        most_a = std::max(most_a, loop.current_a);
    std::vector<std::string> conditions{voice.say(Phrase::condition_battery),
                                        voice.say(Phrase::condition_hot), voice.say(Phrase::condition_meter)};
    if (most_a > 0) {
        const double range_a = most_a <= 100 ? 100 : std::ceil(most_a / 200) * 200;
        conditions.push_back(
            voice.say(Phrase::condition_clamp, {base::shown(range_a, 0, base::Rounding::nearest, "A")}));
    }
    conditions.push_back(voice.say(Phrase::condition_probes));
    conditions.push_back(voice.say(Phrase::condition_clear));
    return conditions;
}

/// "Local bars, as 2", or the duty itself if no row before tells it.
std::string bars_heading(const Voice& voice, const std::vector<MeasuredRow>& rows, const MeasuredRow& bar) {
    const auto told = std::find_if(
        rows.begin(), rows.end(), [&](const MeasuredRow& row) { return !row.named && row.duty == bar.duty; });
    return voice.say(Phrase::bars_heading,
                     {told == rows.end() ? bar.duty : voice.say(Phrase::state_as, {told->number})});
}

} // namespace

std::string ProbeLetters::letter(model::TerminalIndex terminal) {
    for (const auto& [at, letter] : known)
        if (at == terminal)
            return letter;
    // The diagram gives its letters in order: the next one is free.
    std::size_t next = 0;
    const auto taken = [&](const std::string& letter) {
        return std::any_of(known.begin(), known.end(),
                           [&](const auto& entry) { return entry.second == letter; });
    };
    while (taken(letter_number(next)))
        ++next;
    known.emplace_back(terminal, letter_number(next));
    return known.back().second;
}

ProbeLetters probe_letters(const Voice& voice, const layout::DiagramContent& diagram) {
    ProbeLetters letters;
    const auto take = [&](const layout::StudGlyph& stud) {
        if (const auto index = model::find_terminal(voice.harness(), stud.id); index && !stud.probe.empty())
            letters.known.emplace_back(*index, stud.probe);
    };
    for (const layout::UnitGlyph& unit : diagram.units)
        for (const layout::StudGlyph& stud : unit.studs)
            take(stud);
    for (const layout::BedGlyph& bed : diagram.beds)
        for (const layout::StudGlyph& stud : bed.studs)
            take(stud);
    return letters;
}

MeasurementsContent measurements_content(const Voice& voice, ProbeLetters& letters) {
    MeasurementsContent content;
    std::vector<MeasuredLoop> loops;
    const std::vector<MeasuredRow> rows = measured_rows(voice, loops);
    std::vector<std::pair<std::string, model::TerminalIndex>> used;
    const auto use = [&](model::TerminalIndex terminal) {
        std::string letter = letters.letter(terminal);
        if (std::none_of(used.begin(), used.end(), [&](const auto& entry) { return entry.first == letter; }))
            used.emplace_back(letter, terminal);
        return letter;
    };
    for (const MeasuredLoop& loop : loops)
        if (!loop.feed_number.empty() || !loop.back_number.empty())
            content.maps.push_back(map_of(voice, loop, letters));
    for (const MeasuredRow& row : rows) {
        const std::string low = row.low_v ? volts(*row.low_v, base::Rounding::up) : std::string("0 V");
        const std::string high = row.high_v ? volts(*row.high_v, base::Rounding::down) : std::string();
        if (row.named && content.named_heading.empty())
            content.named_heading = bars_heading(voice, rows, row);
        content.rows.push_back(
            {.number = row.number,
             .red = row.named ? voice.terminal(row.red) : use(row.red),
             .black = row.named ? voice.terminal(row.black) : use(row.black),
             .named = row.named,
             .state = row.state,
             .expected = volts(row.expected_v),
             .unit = "V",
             .band = {.low_v = row.low_v,
                      .high_v = row.high_v,
                      .expected_v = row.expected_v,
                      .low_words = low.substr(0, low.size() - 2),
                      .high_words = high.substr(0, high.size() - std::min<std::size_t>(2, high.size()))},
             .desc = row.why});
    }
    std::sort(used.begin(), used.end(), [](const auto& a, const auto& b) {
        return a.first.size() != b.first.size() ? a.first.size() < b.first.size() : a.first < b.first;
    });
    for (const auto& [letter, terminal] : used)
        content.probes.emplace_back(letter, voice.terminal(terminal));
    content.conditions = conditions_of(voice, loops);
    if (!rows.empty())
        content.remarks = {voice.say(Phrase::scale_by_current), voice.say(Phrase::band_sources),
                           voice.say(Phrase::nothing_small)};
    if (!content.named_heading.empty())
        content.remarks.push_back(voice.say(Phrase::bars_remark));
    std::size_t number = rows.size();
    for (const model::Note& note : voice.harness().notes)
        if (note.step)
            content.steps.push_back({.number = std::to_string(++number), .words = note_words(note, "−")});
    content.words = words_of(voice);
    return content;
}

CsvTable measurements_table(const Voice&, const MeasurementsContent& content) {
    CsvTable table{.name = "measurements",
                   .rows = {{"number", "red", "red_terminal", "black", "black_terminal", "state",
                             "expected_v", "low_v", "high_v", "why"}}};
    const auto terminal = [&](const std::string& letter) {
        for (const auto& [known, name] : content.probes)
            if (known == letter)
                return name;
        return std::string();
    };
    for (const layout::papers::MeasureRow& row : content.rows)
        table.rows.push_back({row.number, row.named ? "" : row.red, row.named ? row.red : terminal(row.red),
                              row.named ? "" : row.black, row.named ? row.black : terminal(row.black),
                              row.state, plain(row.band.expected_v, 3),
                              row.band.low_v ? plain(*row.band.low_v, 3) : "",
                              row.band.high_v ? plain(*row.band.high_v, 3) : "", row.desc});
    return table;
}

} // namespace stoutloom::report

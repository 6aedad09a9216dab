// Lines of every script: where they may break by JIS X 4051 and Unicode Annex 14, and that nothing is lost on
// the way.
#include "draw/draw.h"
#include "layout/direction.h"
#include "layout/line_breaks.h"
#include "layout/papers/pen.h"
#include "layout/pen.h"
#include "report/phrases.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>

using namespace stoutloom;
using layout::papers::wrapped;

namespace {

const layout::TextMeasure& measure() {
    static const auto carried = draw::lettering();
    return *carried;
}

std::string without_blanks(std::string words) {
    std::string kept;
    for (std::size_t at = words.find("\xC2\xA0"); at != std::string::npos; at = words.find("\xC2\xA0"))
        words.replace(at, 2, " ");
    std::copy_if(words.begin(), words.end(), std::back_inserter(kept), [](char c) { return c != ' '; });
    return kept;
}

std::string joined(const std::vector<std::string>& lines) {
    std::string all;
    for (const std::string& line : lines)
        all += line;
    return without_blanks(all);
}

constexpr std::array<std::string_view, 22> never_first = {"。", "、", "）", "」", "：", "；", "ー", "々",
                                                          "ッ", "ャ", "ュ", "ョ", "っ", "ゃ", "ゅ", "ょ",
                                                          "ァ", "ィ", "ェ", "％", "・", "／"};
constexpr std::array<std::string_view, 4> never_last = {"（", "「", "『", "【"};

/// Every text of the catalogue in Japanese, by the papers' hand and by the diagram's, in columns from narrow
/// to wide.
template <class Each> void each_japanese_line(const Each& each) {
    for (const report::PhraseRow& row : report::phrase_rows()) {
        const std::string words(row.words[static_cast<std::size_t>(report::Language::japanese)]);
        for (const double width_mm : {25.0, 33.0, 47.0, 80.0}) {
            each(words, wrapped(words, {.width_mm = width_mm}, measure()), width_mm);
            each(words, layout::wrapped(measure(), words, width_mm, {}, 0), width_mm);
        }
    }
}

} // namespace

TEST_CASE("no Japanese line begins with a closing mark or ends with an opening one and no word is lost") {
    std::size_t broken = 0;
    each_japanese_line([&](const std::string& words, const std::vector<std::string>& lines, double width_mm) {
        CAPTURE(words);
        CAPTURE(width_mm);
        CHECK(joined(lines) == without_blanks(words));
        for (std::size_t i = 0; i < lines.size(); ++i) {
            const std::string& line = lines[i];
            CHECK(measure().width_mm(line, 2.5, layout::Weight::regular) <= width_mm + 1e-9);
            const auto begins = [&](std::string_view mark) { return line.starts_with(mark); };
            const auto ends = [&](std::string_view mark) { return line.ends_with(mark); };
            CHECK_MESSAGE((i == 0 || std::none_of(never_first.begin(), never_first.end(), begins)), line);
            CHECK_MESSAGE((i + 1 == lines.size() || std::none_of(never_last.begin(), never_last.end(), ends)),
                          line);
            broken += i;
        }
    });
    CHECK(broken > 500);
}

TEST_CASE("a figure keeps its unit and its decimals and a foreign word its letters in Japanese") {
    const std::string words =
        "クラスC、125 °C、25.4 → 12.7 mm、始動は5秒まで、スリーブとヒューズを 3 回確認（記憶、0.5 V）。";
    for (double width_mm = 16; width_mm < 60; width_mm += 0.7)
        for (const std::string& line : wrapped(words, {.width_mm = width_mm}, measure())) {
            CAPTURE(width_mm);
            for (const char* torn :
                 {"°C", "V", "mm", "秒", "回", "7 mm", ".", "ブと", "リーブ", "ューズ", "ズを"})
                CHECK_MESSAGE(!line.starts_with(torn), line);
            CHECK_MESSAGE(!line.ends_with("12."), line);
        }
}

TEST_CASE("Thai parts between its words and no mark is torn from its letter") {
    // "take off the negative pole of the battery first", words parted as a reader does
    const std::vector<std::string> known = {"ถอด", "ขั้ว", "ลบ", "ของ", "แบตเตอรี่", "ออก", "ก่อน"};
    std::string words;
    std::vector<std::size_t> starts;
    for (const std::string& word : known) {
        starts.push_back(words.size());
        words += word;
    }
    for (double width_mm = 20; width_mm < 45; width_mm += 1) {
        std::size_t at = 0;
        const auto lines = wrapped(words, {.width_mm = width_mm}, measure());
        for (const std::string& line : lines) {
            CHECK_MESSAGE(std::find(starts.begin(), starts.end(), at) != starts.end(), line);
            at += line.size();
        }
        CHECK(at == words.size());
        CHECK(lines.size() > 1);
    }
    // Narrower than a word: a tone mark and a vowel sign stay with what they stand on, the virama joins.
    for (const char* word : {"แบตเตอรี่", "चार्जिंग", "ขั้วลบ"})
        for (double width_mm = 1; width_mm < 12; width_mm += 0.5)
            for (const std::string& line : wrapped(word, {.width_mm = width_mm}, measure()))
                for (const char* mark :
                     {"\u0E31", "\u0E35", "\u0E48", "\u0E49", "\u093E", "\u094D", "\u093F", "\u0902"})
                    CHECK_MESSAGE(!line.starts_with(mark), line);
}

TEST_CASE("a range of designations stands in one line in every language") {
    for (const char* to : {"to", "bis", "à", "a"}) {
        const std::string words = std::string("F9, F111 ") + to + " F115, F121 " + to +
                                  " F125, F414, F421, F422, F431 " + to + " F433 [fuse-selectivity]";
        for (double width_mm = 28; width_mm < 90; width_mm += 0.5) {
            const auto lines = wrapped(words, {.width_mm = width_mm}, measure());
            CHECK(joined(lines) == without_blanks(words));
            for (const std::string& line : lines) {
                CHECK_MESSAGE(!line.ends_with(std::string(" ") + to), line);
                CHECK_MESSAGE(!line.ends_with("F431"), line);
                CHECK_MESSAGE(!line.ends_with("fuse-"), line); // a name in brackets is not parted either
            }
        }
    }
}

TEST_CASE("French puts no mark at the head of a line") {
    const std::string words = "couple du fabricant ; sinon : voir la feuille ; trop serré ? refaire ! sans "
                              "source (80 %\u00A0; 75 %)";
    for (double width_mm = 22; width_mm < 70; width_mm += 0.5)
        for (const auto& lines : {wrapped(words, {.width_mm = width_mm}, measure()),
                                  layout::wrapped(measure(), words, width_mm, {}, 0)})
            for (const std::string& line : lines)
                CHECK_MESSAGE(std::string_view(";:?!%").find(line.front()) == std::string_view::npos, line);
}

TEST_CASE(
    "a name stands before a text of either way and what follows a name of the other way stays right of it") {
    CHECK(layout::named_text("−G1", "oil it") == "−G1: oil it");
    const std::string hebrew = layout::named_text("−G1", "בדוק שוב");
    CHECK(layout::direction_of(hebrew) < 0);
    // the name itself is held to the right by marks on both sides
    CHECK(hebrew.find("\u200E−G1\u200E") != std::string::npos);
    CHECK(layout::direction_of(layout::running_right("בדוק") + ": 1a") > 0);
    CHECK(layout::running_right("Cab") == "Cab");
    CHECK(layout::marks_above("ที่"));
    CHECK(layout::marks_above("Kit हिन्दी"));
    CHECK_FALSE(layout::marks_above("Städte, été, дом, 電"));
}

TEST_CASE("figures that are too wide together part before the bracket and never within a word") {
    const std::string words =
        "gaine 39\u00A0→\u00A013\u00A0mm\u00A0(1.54\u00A0→\u00A00.51\u00A0in) avec colle";
    for (double width_mm = 24; width_mm < 70; width_mm += 0.5) {
        const auto lines = wrapped(words, {.width_mm = width_mm}, measure());
        CHECK(joined(lines) == without_blanks(words));
        for (const std::string& line : lines)
            for (const char* torn : {"n)", "in)", "mm", ".", "→)"})
                CHECK_MESSAGE(!line.starts_with(torn), line);
    }
    const auto lines = wrapped(words, {.width_mm = 36}, measure());
    CHECK(std::any_of(lines.begin(), lines.end(),
                      [](const std::string& line) { return line.starts_with("(1.54"); }));
}

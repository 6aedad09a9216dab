// Stud stacks: a card per stud with its lugs in tightening order, stud, holes and palms at true size; then
// keying.
#pragma once

#include "layout/papers/lug_plan.h"
#include "layout/papers/sheet.h"
#include "layout/papers/tables.h"

namespace stoutloom::layout::papers {

/// One plate on the stud, the first next to the face.
struct StackPlate {
    std::string number; // "1"
    std::string words;  // "W1  95 mm² RD  to −F1.b"
    double hole_mm = 8.4, palm_mm = 24, thickness_mm = 3;
    Flow flow = Flow::feed;
    double outside_mm = 10; // of the cable; 0: a tab, no cable
    bool failing = false;   // an error stands against this joint; its hole does not take the stud
    EndShape end = {};      // as seen from above
    std::string tag = {};   // "1 W1", in the view from above
    int towards = 0;        // where its run goes: small figures to the left of large ones
};
/// One of several studs that are made alike.
struct AlikeStud {
    std::string id, designation;
    std::string words; // of its lug
    std::string desc;
};
struct StudCard {
    std::string id;                // "G1.B+": unique on the paper
    std::string designation, name; // "−G1.B+", "Charging unit"
    std::string size;              // "M8"
    double diameter_mm = 8;        // thread; of a taper post its diameter
    bool post = false;
    bool insulated = true; // stands on an insulating bush
    bool booted = false;
    std::vector<StackPlate> plates;
    std::string torque;             // "13 N·m", printed large; empty: only the facts
    std::vector<std::string> facts; // range and source, washer and nut, boot, what must not touch
    std::string desc;
    bool failing = false; // an error stands against the whole stack
    /// Drawn once for all of these, this one the first; empty: it stands for itself.
    std::vector<AlikeStud> alike = {};
};
struct StacksContent {
    std::vector<StudCard> cards;
    std::vector<TableBlock> keying;   // what can be bolted on wrongly
    std::vector<std::string> remarks; // under it
    std::vector<TableBlock> tables;   // push-on ends
    std::string heading, remark, continued, print_check;
    std::string common; // what holds for every stud, told on every page of cards
    std::string plan_caption, plan_fact, plan_crowded; // of a stud with several lugs, seen from above
};
/// A4 or Letter, landscape.
std::vector<Page> build_stud_stacks(const StacksContent& content, PaperSize size, const TextMeasure& measure);

} // namespace stoutloom::layout::papers

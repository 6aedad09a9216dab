// What every paper needs to speak: the language, the system of units, the names of terminals and cables on
// paper.
#pragma once

#include "layout/diagram.h"
#include "report/phrases.h"
#include "report/report.h"
#include "report/rule_texts.h"

#include <memory>

namespace stoutloom::report {

class Voice {
  public:
    Voice(const Checked& checked, Language language);
    const Checked& checked() const { return *checked_; }
    const model::Harness& harness() const { return *checked_->harness; }
    const check::Facts& facts() const { return *checked_->facts; }
    Language language() const { return language_; }
    std::string say(Phrase phrase, const std::vector<std::string>& values = {}) const {
        return of_this_sheet(phrase, report::phrase(phrase, language_, values));
    }

    /// What a rule, a caution or an assumption says, in the language of the papers; in English where the
    /// tables have no words for it.
    std::string told(const std::string& english) const;
    std::string told(std::string_view english) const { return told(std::string(english)); }

    /// "−G1.B+": product prefix and true minus signs; metal of a mass: "−U1".
    std::string terminal(model::TerminalIndex index) const;
    /// "M8"; "post", "blade 6.3" in the language of the papers.
    std::string fastener(const std::string& name) const;
    std::string device(model::DeviceIndex index) const; // "−G1"
    /// "−G1  Charging unit"
    std::string device_with_label(model::DeviceIndex index) const;
    /// "5.40 m", in a US file "17.8 ft", in both "5.40 m (17.8 ft)"; rounded up.
    std::string length(double length_m) const;
    /// What is bought, a whole number of metres or feet; what is left of it, rounded down.
    std::string bought_length(double length_m) const;
    std::string left_length(double length_m) const;
    std::string weight(double kilograms) const; // "4.9 kg", in a US file "10.9 lb"; rounded up
    /// "92 °C", in a US file "198 °F", in both "92 °C (198 °F)".
    std::string temperature(double degc, base::Rounding rounding) const;
    /// "92 / 125 °C": a temperature and what may be reached, in the same units.
    std::string temperature_of(double degc, double limit_degc) const;
    /// A limit that is a length: "0.200 m", in a US file "7.8 in"; rounded down.
    std::string limit_length(double length_m) const;
    /// What a rule found or advises, as `told`; in a file that asks for US units a length or a temperature in
    /// it has its US figure after it in brackets.
    std::string found(const std::string& english) const;
    /// "5 400 mm", in a US file "17 ft 8 5/8 in"; and the other system's figure, which may be empty.
    std::string length_mm(double length_m) const;
    std::string length_other(double length_m) const;
    /// What is cut, rounded up: "5.42 m"; in a US file "17 ft 9 3/8 in" and "(5.42 m)"; both: the other way
    /// round.
    struct CutWords {
        std::string large, other;
    };
    CutWords cut_length(double length_m) const;
    /// Of a short piece: "60 mm", in a US file "2 3/8 in", in both "60 mm (2 3/8 in)"; rounded up.
    std::string short_length(double length_m) const;
    /// A sleeve's two bores: "19 → 9.5 mm", in a US file "3/4 → 3/8 in"; in both the metric ones first.
    std::string bores(double expanded_m, double recovered_m) const;
    /// "70 mm²", as the author wrote it; and the other system's figure, which may be empty.
    std::string section(const model::Cable& cable) const;
    std::string section_other(const model::Cable& cable) const;
    /// "M8"; or that the size is to be chosen.
    std::string size(const base::Fastener& fastener) const;
    /// The name as the file writes it, in every language; or that the size is to be chosen.
    std::string size_in_csv(const base::Fastener& fastener) const;
    /// "class C, 125 °C"; "105 °C"
    std::string insulation(const model::Cable& cable) const;
    /// "13 N·m", in a US file "9.6 lb·ft"; both: "13 N·m (9.6 lb·ft)".
    std::string torque(double torque_newton_m) const;
    /// "10 to 16 N·m"
    std::string torque_range(double low_newton_m, double high_newton_m) const;
    /// "95 mm² RD": section and colour, for lists.
    std::string cable_words(const model::Cable& cable) const;
    std::string duty(const model::Duty& duty) const; // label or id

  private:
    /// A sentence of the sheet's own language runs to the right, also where it begins with a name that does
    /// not.
    std::string of_this_sheet(Phrase phrase, std::string words) const;

    const Checked* checked_;
    Language language_;
    std::shared_ptr<const RuleTexts> texts_;
};

/// A figure with a true minus sign and its unit: "−0.27 V".
std::string figure(double value, int decimals, base::Rounding rounding, std::string_view unit);
/// Volts to 0.01 V, the last digit of a cheap meter.
std::string volts(double value_v, base::Rounding rounding = base::Rounding::nearest);
/// Every hyphen that stands for minus as a true minus sign: a leading one and one at the end of a terminal.
std::string true_minus(std::string text);
/// What the file says, after the part that it says it about.
std::string note_words(const model::Note& note, std::string_view prefix);
/// With blanks at which no line breaks.
std::string unbroken(std::string words);
/// Thousands apart: "5 400".
std::string grouped(long number);
/// Plain decimal text for CSV, never with an exponent: "5.42".
std::string plain(double value, int decimals);

} // namespace stoutloom::report

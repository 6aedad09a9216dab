// `stoutloom cable`: one cable worked out with no file. Every quantity comes with its unit.
#include "cli/commands.h"

#include "base/insulation.h"
#include "base/quantity.h"
#include "report/cable_card.h"

#include <fmt/format.h>

#include <charconv>

namespace stoutloom::cli {

const Grammar cable_grammar{
    .command = "cable",
    .purpose = "works out one cable with no file, the formula and numbers shown",
    .words = "",
    .least_words = 0,
    .most_words = 0,
    .options = {{.name = "--current", .value = "\"175 A\"", .help = "what it carries all day"},
                {.name = "--length", .value = "\"4.2 m\"", .help = "one way"},
                {.name = "--section",
                 .value = "\"50 mm2\"",
                 .help = "or a gauge, \"1/0 AWG\"; without it one is proposed"},
                {.name = "--ambient",
                 .value = "\"60 degC\"",
                 .help = "warmest air along it; 50 degC if not given"},
                {.name = "--insulation",
                 .value = "C",
                 .help = "class letter A to H, or a temperature, \"105 degC\"; B if not given"},
                {.name = "--mounting", .value = "HOW", .help = "clear, clipped (default) or conduit"},
                {.name = "--loaded",
                 .value = "N",
                 .help = "cables that carry load in its bundle, itself included; 1 if not given"},
                {.name = "--drop", .value = "\"0.2 V\"", .help = "most volts it may lose over its length"},
                {.name = "--nominal",
                 .value = "\"12 V\"",
                 .help = "system volts, for the drop in per cent; 12 V if not given"},
                {.name = "--margin",
                 .value = "\"87 %\"",
                 .help = "share of the model's ampacity an installed cable is given"},
                {.name = "--resistance-per-length",
                 .value = "\"0.39 mohm/m\"",
                 .help = "at 20 degC, from a data sheet"},
                {.name = "--conductor-diameter", .value = "\"9 mm\"", .help = "from a data sheet"},
                {.name = "--outer-diameter", .value = "\"13 mm\"", .help = "from a data sheet"},
                {.name = "--json",
                 .value = "PATH",
                 .help = "as JSON; alone or with - it is printed instead of the text",
                 .value_may_be_left_out = true}},
    .epilogue =
        "stoutloom cable --current \"175 A\" --length \"4.2 m\" --ambient \"60 degC\" --insulation C\n"
        "exit code: 0 it carries the current (and keeps the drop), 1 it does not, 2 wrong usage"};

namespace {

/// Collects the first mistake; every value asked for passes through here.
class Reader {
  public:
    explicit Reader(const Arguments& arguments) : arguments_(&arguments) {}

    std::optional<double> quantity(std::string_view option, base::Quantity kind) {
        const auto text = arguments_->value(option);
        if (!text)
            return std::nullopt;
        const auto value = base::parse_quantity(kind, *text);
        if (value)
            return *value;
        refuse(fmt::format("{}: {}; {}", option, value.error().wrong, value.error().mend));
        return std::nullopt;
    }
    double quantity_or(std::string_view option, base::Quantity kind, double otherwise,
                       std::string_view shown) {
        if (!arguments_->has(option))
            taken_.push_back(fmt::format("{} {}", option.substr(2), shown));
        return quantity(option, kind).value_or(otherwise);
    }
    base::Insulation insulation() {
        const auto text = arguments_->value("--insulation");
        if (!text)
            taken_.emplace_back("insulation class B");
        const auto value = base::parse_insulation(text.value_or("B"));
        if (value)
            return *value;
        refuse(fmt::format("--insulation: {}; {}", value.error().wrong, value.error().mend));
        return {};
    }
    physics::Mounting mounting() {
        const auto text = arguments_->value("--mounting");
        if (!text)
            taken_.emplace_back("mounting clipped");
        for (const physics::Mounting one :
             {physics::Mounting::clear, physics::Mounting::clipped, physics::Mounting::conduit})
            if (text.value_or("clipped") == physics::mounting_name(one))
                return one;
        refuse(fmt::format("--mounting: \"{}\" is none; write clear, clipped or conduit", *text));
        return physics::Mounting::clipped;
    }
    int loaded() {
        const auto text = arguments_->value("--loaded");
        if (!text) {
            taken_.emplace_back("1 loaded cable");
            return 1;
        }
        int count = 0;
        const auto [end, error] = std::from_chars(text->data(), text->data() + text->size(), count);
        if (error != std::errc() || end != text->data() + text->size() || count < 1 || count > 100)
            refuse(fmt::format("--loaded: \"{}\" is no count of cables; write a whole number from 1 to 100",
                               *text));
        return count;
    }
    void refuse(std::string message) {
        if (wrong_.empty())
            wrong_ = std::move(message);
    }
    const std::string& wrong() const { return wrong_; }
    const std::vector<std::string>& taken() const { return taken_; }

  private:
    const Arguments* arguments_;
    std::string wrong_;
    std::vector<std::string> taken_;
};

report::CableQuestion question_from(Reader& reader) {
    using base::Quantity;
    report::CableQuestion question{
        .current_a = reader.quantity("--current", Quantity::current),
        .length_m = reader.quantity("--length", Quantity::length),
        .section_mm2 = reader.quantity("--section", Quantity::section),
        .ambient_degc = reader.quantity_or("--ambient", Quantity::temperature, 50, "50 degC"),
        .insulation = reader.insulation(),
        .mounting = reader.mounting(),
        .loaded_cables = reader.loaded(),
        .margin_fraction = reader.quantity_or("--margin", Quantity::fraction,
                                              physics::default_installed_margin_fraction, "87 %"),
        .drop_limit_v = reader.quantity("--drop", Quantity::voltage),
        .nominal_v = reader.quantity_or("--nominal", Quantity::voltage, 12, "12 V"),
        .overrides = {.r20_ohm_per_m =
                          reader.quantity("--resistance-per-length", Quantity::resistance_per_length),
                      .conductor_diameter_m = reader.quantity("--conductor-diameter", Quantity::length),
                      .outer_diameter_m = reader.quantity("--outer-diameter", Quantity::length)}};
    if (!question.current_a && !question.section_mm2)
        reader.refuse(
            "say what it carries (--current \"175 A\"), or its section (--section \"50 mm2\"), or both");
    if (question.drop_limit_v && !question.length_m)
        reader.refuse("--drop needs --length");
    if (question.drop_limit_v && !question.current_a)
        reader.refuse("--drop needs --current");
    if (!(question.margin_fraction > 0) || question.margin_fraction > 1)
        reader.refuse("--margin: a share above 0 % and up to 100 % belongs here");
    if (!(question.nominal_v > 0))
        reader.refuse("--nominal: more than 0 V belongs here");
    return question;
}

std::string taken_text(const std::vector<std::string>& taken) {
    std::string text;
    for (const std::string& one : taken)
        text += (text.empty() ? "\nTaken as not given: " : ", ") + one;
    return text.empty() ? text : text + "\n";
}

} // namespace

int run_cable(const Arguments& arguments) {
    Reader reader(arguments);
    const report::CableQuestion question = question_from(reader);
    if (!reader.wrong().empty())
        return wrong_usage(cable_grammar, reader.wrong());
    const auto answer = report::work_out_cable(question);
    if (!answer) {
        say(fmt::format("stoutloom: error: cable: {}\n", answer.error().message));
        return exit_errors;
    }
    const auto json = arguments.value("--json");
    const bool printed = json && (json->empty() || *json == "-");
    int code = answer->carries ? exit_clean : exit_errors;
    if (json)
        code = std::max(code, deliver(printed ? "-" : *json, answer->json, {}));
    if (!printed)
        code = std::max(code, deliver("-", answer->text + taken_text(reader.taken()), {}));
    return code;
}

} // namespace stoutloom::cli

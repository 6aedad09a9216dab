// The part of the vocabulary that describes devices: everything that has terminals, and incidental paths.
#include "read/vocabulary_tables.h"

#include <array>

namespace stoutloom::read {
namespace {

constexpr std::string_view fuse_types = "SF51|SF30|C|F|E|A|B|stud-cube|flat-strip|link-wire";
constexpr std::string_view closes_words = "always|key-on|engine-on|cranking|never";

constexpr std::array<std::string_view, 1> with_terminals = {"terminal"};
constexpr std::array<std::string_view, 2> generator_children = {"output", "terminal"};

constexpr AttributeRow part_mass{
    "mass", id_type, optional, "", "U2", "id of the mass it is bolted to; needed for return=\"case\""};

constexpr std::array battery = {
    part_id,
    part_label,
    part_zone,
    AttributeRow{"capacity", above_zero(Quantity::charge), needed, "", "95 Ah", "20 h capacity"},
    AttributeRow{"cold-cranking", above_zero(Quantity::current), optional, "estimated from the capacity",
                 "760 A", "cold-cranking current on its label; gives the internal resistance"},
    AttributeRow{"resistance", above_zero(Quantity::resistance), optional, "from cold-cranking", "4.2 mohm",
                 "internal resistance, when measured"},
    AttributeRow{"emf", above_zero(Quantity::voltage), optional, "from the charge of the duty", "12.6 V",
                 "open-circuit voltage, when measured"},
    AttributeRow{"acceptance", above_zero(Quantity::current), optional, "from kind and capacity", "40 A",
                 "greatest charging current it takes"},
    AttributeRow{"kind", one_of("flooded|agm|gel|lithium"), optional, "flooded", "agm", "how it is made"},
};
constexpr std::array generator = {
    part_id,
    part_label,
    part_zone,
    AttributeRow{"set-point", above_zero(Quantity::voltage), optional, "14.2 V x nominal / 12 V", "14.3 V",
                 "voltage the regulator holds, regulator at 25 degC"},
    AttributeRow{"temperature-coefficient", figure(Quantity::voltage_per_kelvin), optional, "none", "-7 mV/K",
                 "change of the set point per kelvin of regulator temperature"},
    AttributeRow{"pulley-ratio", above_zero(Quantity::pure_number), optional, "", "2.6",
                 "shaft turns per engine turn"},
    AttributeRow{"greatest-shaft-speed", above_zero(Quantity::speed), optional, "", "16000 rpm",
                 "what its bearings and rotor stand"},
    AttributeRow{"belt-power", above_zero(Quantity::power), optional, "", "5 kW", "what the drive can carry"},
    AttributeRow{"sense", address_type, optional, "its own positive terminal", "G2.+",
                 "terminal whose voltage the regulator holds"},
    AttributeRow{"return", one_of("case|isolated"), optional, "case", "isolated",
                 "whether its case is its negative pole"},
    part_mass,
    AttributeRow{"self-limiting", yes_no, optional, "yes", "no",
                 "its current cannot exceed its output, even into a short"},
    AttributeRow{"exciter-resistance", above_zero(Quantity::resistance), optional, "8 ohm", "8 ohm",
                 "excite terminal to negative with the rotor still"},
};
constexpr std::array output = {
    AttributeRow{"speed",
                 {.kind = Kind::speed, .quantity = Quantity::speed, .positive = true},
                 needed,
                 "",
                 "idle",
                 "idle, cruise, rated, or a shaft speed such as 3000 rpm"},
    AttributeRow{"cold", above_zero(Quantity::current), needed, "", "180 A",
                 "greatest current, unit at 25 degC"},
    AttributeRow{"hot", above_zero(Quantity::current), optional, "0.80 of cold; 0.67 at idle", "160 A",
                 "greatest current, unit soaked at running temperature"},
};
constexpr std::array starter = {
    part_id,
    part_label,
    part_zone,
    AttributeRow{"draw", above_zero(Quantity::current), needed, "", "220 A",
                 "current while it turns the engine"},
    AttributeRow{"inrush", above_zero(Quantity::current), optional, "", "760 A", "current at breakaway"},
    AttributeRow{"return", one_of("case|wire"), optional, "case", "wire",
                 "whether its case is its negative pole"},
    part_mass,
};
constexpr std::array consumer = {
    part_id,
    part_label,
    part_zone,
    AttributeRow{"draw", above_zero(Quantity::current), optional, "", "12 A",
                 "current it takes, whatever the voltage; exactly one of draw, power, resistance"},
    AttributeRow{"power", above_zero(Quantity::power), optional, "", "55 W",
                 "power it takes; exactly one of the three"},
    AttributeRow{"resistance", above_zero(Quantity::resistance), optional, "", "0.5 ohm",
                 "its resistance; exactly one of the three"},
    AttributeRow{"inrush", above_zero(Quantity::current), optional, "", "40 A",
                 "current when it is switched on"},
    AttributeRow{"runs", one_of("always|key-on|engine-on|cranking|on-request"), optional, "engine-on",
                 "key-on", "when it runs unless a duty says otherwise"},
    AttributeRow{"switchable", yes_no, optional, "yes", "no",
                 "may be on or off in the worst case over combinations"},
    AttributeRow{"critical", yes_no, optional, "no", "yes",
                 "held to the small drop limit: navigation lamps, pumps, panel feeds"},
    AttributeRow{"symbol", one_of("general|lamp|motor|heater|electronics"), optional, "general", "lamp",
                 "how it is drawn"},
    AttributeRow{"return", one_of("case|wire"), optional, "wire", "case",
                 "whether it returns through the metal it is bolted to"},
    part_mass,
};
constexpr std::array switch_attributes = {
    part_id,
    part_label,
    part_zone,
    AttributeRow{"closes", one_of(closes_words), optional, "always", "key-on", "when its contact is closed"},
    AttributeRow{"rating", above_zero(Quantity::current), optional, "", "300 A",
                 "continuous current it stands"},
    AttributeRow{"intermittent", above_zero(Quantity::current), optional, "", "500 A",
                 "short-time current it stands"},
    AttributeRow{"resistance", above_zero(Quantity::resistance), optional, "0.2 mohm", "0.3 mohm",
                 "of the closed contact"},
};
constexpr std::array relay = {
    part_id,
    part_label,
    part_zone,
    AttributeRow{"closes", one_of(closes_words), optional, "key-on", "engine-on",
                 "when its contact is closed"},
    AttributeRow{"rating", above_zero(Quantity::current), optional, "", "70 A",
                 "continuous current of the contact"},
    AttributeRow{"coil", above_zero(Quantity::resistance), optional, "80 ohm at 12 V", "85 ohm",
                 "resistance of the coil"},
    AttributeRow{"resistance", above_zero(Quantity::resistance), optional, "1 mohm", "0.8 mohm",
                 "of the closed contact"},
};
constexpr std::array fuse_link = {
    part_id,
    part_label,
    part_zone,
    AttributeRow{"type", one_of(fuse_types), optional, "SF51", "C",
                 "SF51, SF30: bolted strip, 51 and 30 mm between studs (ISO 8820-5); A, B: bolted and "
                 "cartridge high current; "
                 "C, E, F: blade medium, high, small (ISO 8820-3); stud-cube; flat-strip; link-wire"},
    AttributeRow{"rating",
                 {.kind = Kind::rating_auto, .quantity = Quantity::current, .positive = true},
                 needed,
                 "",
                 "225 A",
                 "rated current, or auto to have it chosen"},
    AttributeRow{"resistance", above_zero(Quantity::resistance), optional, "from type and rating",
                 "0.35 mohm", "cold resistance, when known"},
    AttributeRow{"breaking-capacity", above_zero(Quantity::current), optional, "from the type", "2000 A",
                 "the maker's figure at the nominal voltage"},
};
constexpr std::array post = {
    part_id,
    part_label,
    part_zone,
    AttributeRow{"stud", fastener_or_auto, optional, "M8", "M10",
                 "size of a one-stud post, or auto to have it chosen; a bus bar has terminals instead"},
    AttributeRow{"jump-start", yes_no, optional, "no", "yes", "jump leads are clamped here"},
};
constexpr std::array mass = {
    part_id,
    part_label,
    part_zone,
    AttributeRow{"resistance", above_zero(Quantity::resistance), optional, "0.1 mohm", "0.05 mohm",
                 "between any two of its points"},
    AttributeRow{"metal", one_of("steel|aluminium"), optional, "steel", "aluminium", "what lugs sit on"},
};
constexpr std::array shunt = {
    part_id,
    part_label,
    part_zone,
    AttributeRow{"resistance", above_zero(Quantity::resistance), needed, "", "0.2 mohm",
                 "as stamped: 60 mV at 300 A is 0.2 mohm"},
    AttributeRow{"rating", above_zero(Quantity::current), optional, "", "300 A",
                 "continuous current it stands"},
};
constexpr std::array terminal = {
    AttributeRow{"id",
                 {.kind = Kind::terminal_id},
                 needed,
                 "",
                 "B+",
                 "designation on the part; letters, digits and + - _ /, unlike the part's other terminals"},
    AttributeRow{"stud", fastener_or_auto, needed, "", "M8",
                 "size of the stud, blade or post, or auto to have the stud chosen"},
    AttributeRow{"role", one_of("positive|negative|excite|sense|control|signal|through"), optional,
                 "from the designation", "positive", "what it is for"},
    AttributeRow{"booted", yes_no, optional, "no", "yes", "an insulating boot covers it"},
    AttributeRow{"near-ground", yes_no, optional, "no", "yes", "grounded metal within a spanner's reach"},
    AttributeRow{"spare", yes_no, optional, "no", "yes", "may stay empty in a complete assembly"},
    AttributeRow{"seat", one_of("steel|copper"), optional, "copper; steel on a steel mass", "steel",
                 "what the lug sits on (copper: or brass, tin)"},
    AttributeRow{"torque", above_zero(Quantity::torque), optional, "from the table by stud", "15 N*m",
                 "the maker's tightening torque"},
};
constexpr std::array incidental = {
    part_id,
    part_label,
    AttributeRow{"from", address_type, needed, "", "U1", "a terminal, or a mass's own metal"},
    AttributeRow{"to", address_type, needed, "", "U2", "the other end"},
    AttributeRow{"resistance", above_zero(Quantity::resistance), needed, "", "40 mohm", "end to end"},
    AttributeRow{"rating", above_zero(Quantity::current), optional, "a few amperes", "5 A",
                 "current it stands"},
    AttributeRow{"section", above_zero(Quantity::section), optional, "", "4 mm2",
                 "its conducting section, when it is known"},
};

constexpr std::array rows = {
    ElementRow{"battery",
               "A battery, or a set of batteries joined to one pair of poles. Without terminals it has + and "
               "-, taper posts.",
               Content::any_order, with_terminals, battery},
    ElementRow{"generator",
               "A charging unit with its regulator. It has at least one output and its terminals.",
               Content::any_order, generator_children, generator},
    ElementRow{"output", "Greatest current of the generator at one speed.", Content::nothing, {}, output},
    ElementRow{
        "starter",
        "A starter. Without terminals it has 30 (M8), 50 (blade 6.3) and, with return=\"wire\", 31 (M8).",
        Content::any_order, with_terminals, starter},
    ElementRow{
        "consumer",
        "Anything that takes current. Without terminals it has + and, with return=\"wire\", -, blades 6.3.",
        Content::any_order, with_terminals, consumer},
    ElementRow{"switch",
               "A hand switch or battery switch with one contact. Without terminals it has a and b, M8.",
               Content::any_order, with_terminals, switch_attributes},
    ElementRow{"relay",
               "A relay: contact 30 to 87, coil 85 and 86. Without terminals it has these four, blades 6.3.",
               Content::any_order, with_terminals, relay},
    ElementRow{"fuse-link", "A fuse-link in its holder. Without terminals it has a and b, studs of its type.",
               Content::any_order, with_terminals, fuse_link},
    ElementRow{"post", "A distribution stud; with terminals a bus bar. All its terminals are one node.",
               Content::any_order, with_terminals, post},
    ElementRow{
        "mass",
        "Metal that conducts: body shell, engine block, bonding plate. Its own metal is addressed by its id.",
        Content::any_order, with_terminals, mass},
    ElementRow{"shunt", "A measuring shunt. Without terminals it has a and b, M8.", Content::any_order,
               with_terminals, shunt},
    ElementRow{"terminal", "One stud, post or blade of a part.", Content::nothing, {}, terminal},
    ElementRow{"incidental",
               "A path nobody meant to carry current: control cable, hinge, bearing, exhaust hanger.",
               Content::nothing,
               {},
               incidental},
};

} // namespace

std::span<const ElementRow> device_rows() {
    return rows;
}
std::string_view fuse_link_types() {
    return fuse_types;
}

} // namespace stoutloom::read

// The part of the vocabulary that is not devices: the root, zones, cables, duties, limits, stock, notes.
#include "read/vocabulary_tables.h"

#include <array>

namespace stoutloom::read {
namespace {

constexpr std::array<std::string_view, 22> harness_children = {
    "title-block", "zone",  "battery", "generator", "starter", "consumer",   "switch", "relay",
    "fuse-link",   "post",  "mass",    "shunt",     "cable",   "incidental", "duty",   "limit",
    "landing",     "stock", "note",    "step",      "accept",  "variant"};
constexpr std::array<std::string_view, 20> variant_children = {
    "zone",      "battery", "generator", "starter", "consumer", "switch",     "relay",
    "fuse-link", "post",    "mass",      "shunt",   "cable",    "incidental", "duty",
    "limit",     "landing", "note",      "step",    "accept",   "without"};
constexpr std::array<std::string_view, 3> cable_children = {"from", "to", "route"};
constexpr std::array<std::string_view, 4> stock_children = {"conductor", "link", "lug", "sleeve"};

constexpr std::array harness = {
    AttributeRow{"title", title_type, needed, "", "Library van, charging", "what the papers are headed with"},
    AttributeRow{"drawing", text_type, optional, "", "LV-1208-E01", "drawing number"},
    AttributeRow{"revision", text_type, optional, "A", "B", "revision of the drawing"},
    AttributeRow{"nominal",
                 {.kind = Kind::nominal, .quantity = Quantity::voltage},
                 optional,
                 "12 V",
                 "24 V",
                 "nominal voltage: 6 V, 12 V, 24 V or 48 V"},
    AttributeRow{"profile", one_of("vehicle|boat"), optional, "vehicle", "boat",
                 "which rules hold: a boat also keeps the regulation's own tables"},
    AttributeRow{"units", one_of("metric|us|both"), optional, "metric", "both",
                 "units the papers are written in"},
};
constexpr std::array title_block = {
    AttributeRow{"owner", text_type, optional, "", "Coppice Lane Works", "legal owner of the drawing"},
    AttributeRow{"created-by", text_type, optional, "", "T. Osei", "who drew it"},
    AttributeRow{"approved-by", text_type, optional, "", "R. Aldane", "who approved it"},
    AttributeRow{"technical-reference", text_type, optional, "", "R. Aldane", "who answers questions"},
    AttributeRow{"department", text_type, optional, "", "Electrical", "department responsible"},
    AttributeRow{"date", {.kind = Kind::date}, optional, "", "2026-03-14", "date of issue, year-month-day"},
    AttributeRow{"language", {.kind = Kind::language}, optional, "en", "en", "language of the labels"},
    AttributeRow{"status", text_type, optional, "", "For installation", "status of the drawing"},
    AttributeRow{"subtitle", text_type, optional, "", "12 V, 180 A unit at rear", "second line of the title"},
};
constexpr std::array zone = {
    AttributeRow{"id", id_type, needed, "", "engine-bay", "name of the zone"},
    part_label,
    AttributeRow{"ambient", figure(Quantity::temperature), needed, "", "80 degC",
                 "air temperature on the worst day"},
    AttributeRow{"radiant", figure(Quantity::temperature_step), optional, "0 K", "15 K",
                 "added by sun or a hot pipe nearby"},
    AttributeRow{"engine-space", yes_no, optional, "no", "yes",
                 "engine space in the sense of the boat regulation"},
    AttributeRow{"wet", yes_no, optional, "no", "yes", "spray, bilge or road water reaches it"},
};
constexpr std::array cable = {
    part_id,
    AttributeRow{"section",
                 {.kind = Kind::section_auto, .quantity = Quantity::section, .positive = true},
                 needed,
                 "",
                 "50 mm2",
                 "copper section of one conductor, 1/0 AWG and the like too, or auto to have it chosen"},
    AttributeRow{"insulation",
                 {.kind = Kind::insulation, .quantity = Quantity::temperature},
                 optional,
                 "B",
                 "C",
                 "class letter A to H after ISO 6722-1 (85 to 250 degC) or a temperature"},
    AttributeRow{"colour",
                 {.kind = Kind::colours},
                 optional,
                 "",
                 "RD",
                 "colour codes after IEC 60757, main colour first: GNYE"},
    AttributeRow{"length", above_zero(Quantity::length), needed, "", "4.2 m", "hole centre to hole centre"},
    AttributeRow{"parallel", {.kind = Kind::count}, optional, "1", "2", "equal conductors side by side"},
    AttributeRow{"origin", one_of("original|new"), optional, "original", "new",
                 "there already, or to be made"},
    AttributeRow{"build", one_of("cable|braid|link-wire"), optional, "cable", "braid",
                 "insulated cable, bare braid or fusible link wire"},
    AttributeRow{"mounting", one_of("clipped|clear|conduit"), optional, "clipped", "conduit",
                 "clipped to a surface, in free air, or in conduit"},
    AttributeRow{"sheathed", yes_no, optional, "no", "yes", "in its own sheath or conduit all the way"},
    AttributeRow{"guarded", yes_no, optional, "no", "yes",
                 "mechanically protected, as an unfused starter cable must be"},
    AttributeRow{"zone", id_type, optional, "from its ends", "cab",
                 "all of it in one zone; in place of a route"},
    AttributeRow{"resistance-per-length", above_zero(Quantity::resistance_per_length), optional,
                 "from the section", "0.39 mohm/m", "the maker's figure at 20 degC, one conductor"},
    AttributeRow{"outer-diameter", above_zero(Quantity::length), optional, "from the section", "14.5 mm",
                 "over the insulation"},
    AttributeRow{"conductor-diameter", above_zero(Quantity::length), optional, "from the section", "10.9 mm",
                 "over the strands"},
};
constexpr std::array cable_end = {
    AttributeRow{"at", address_type, needed, "", "G1.B+", "terminal it is fixed to"},
    AttributeRow{"lug", fastener_or_auto, optional, "made for the stud", "M8",
                 "stud size the lug or receptacle is made for, or auto to have it chosen from stock"},
    AttributeRow{"barrel", above_zero(Quantity::section), optional, "made for the cable", "50 mm2",
                 "section the lug's barrel is made for"},
    AttributeRow{"joint", figure(Quantity::resistance), optional, "from the stud and its seat", "30 uohm",
                 "bolted joint, when measured"},
    AttributeRow{"crimp", figure(Quantity::resistance), optional, "from the section", "12 uohm",
                 "crimp, when measured"},
    AttributeRow{"stud-temperature", figure(Quantity::temperature), optional, "the zone's", "110 degC",
                 "temperature of the stud on a hot unit"},
    AttributeRow{"washer-under", yes_no, optional, "no", "yes", "a steel washer lies between lug and face"},
};
constexpr std::array route = {
    AttributeRow{"zone", id_type, needed, "", "underfloor", "id of the zone this stretch runs through"},
    AttributeRow{"length", above_zero(Quantity::length), needed, "", "3.0 m",
                 "of this stretch; all stretches add up to the cable's length"},
    AttributeRow{"loom", id_type, optional, "alone", "L1", "name of the bundle it runs in here"},
    AttributeRow{"mounting", one_of("clipped|clear|conduit"), optional, "the cable's", "clear",
                 "for this stretch"},
};
constexpr std::array duty = {
    AttributeRow{"id", id_type, needed, "", "hot-idle", "name of the duty"},
    AttributeRow{"label", text_type, optional, "the id", "Idle, hot, everything on",
                 "what the papers call it"},
    AttributeRow{"engine", one_of("off|cranking|idle|cruise|rated"), needed, "", "idle",
                 "what the engine does"},
    AttributeRow{"key", yes_no, optional, "yes; no with the engine off", "no", "key switched on"},
    AttributeRow{"temperature", one_of("hot|cold"), optional, "hot", "cold",
                 "which output curve the generator has"},
    AttributeRow{"charge", figure(Quantity::fraction), optional, "75 %", "20 %",
                 "state of charge of every battery"},
    AttributeRow{"duration", above_zero(Quantity::time), optional, "for ever; 10 s when cranking", "10 s",
                 "how long it lasts"},
    AttributeRow{"engine-speed", above_zero(Quantity::speed), optional, "", "700 rpm",
                 "with a pulley ratio gives the shaft speed"},
    AttributeRow{"on", id_list_type, optional, "each consumer's runs", "E1 E2",
                 "consumers that run all the same, or all"},
    AttributeRow{"off", id_list_type, optional, "none", "E3", "consumers that do not run"},
};
constexpr std::array limit = {
    AttributeRow{"name",
                 {.kind = Kind::limit_name},
                 optional,
                 "",
                 "charging-feed-drop",
                 "which default limit is changed; with value"},
    AttributeRow{"value",
                 {.kind = Kind::any_quantity},
                 optional,
                 "",
                 "0.40 V",
                 "its new value, in the unit of the table below"},
    AttributeRow{"from", address_type, optional, "", "G1.B+",
                 "first terminal of a drop limit; with to and drop"},
    AttributeRow{"to", address_type, optional, "", "G2.+", "second terminal"},
    AttributeRow{"drop", above_zero(Quantity::voltage), optional, "", "0.20 V",
                 "greatest voltage between them, either way"},
    AttributeRow{"duty", id_list_type, optional, "all", "idle rated", "duties the drop limit holds in"},
};
constexpr std::array landing = {
    AttributeRow{"id", id_type, needed, "", "bulkhead", "name of the landing"},
    AttributeRow{"terminals",
                 {.kind = Kind::address_list},
                 needed,
                 "",
                 "X1.a X1.b X2",
                 "terminals within one installer's reach"},
};
constexpr AttributeRow order_code{"order", text_type,  optional,
                                  "",      "CB-35-RD", "the workshop's own code to order it by; printed"};
constexpr std::string_view price_meaning =
    "price in the workshop's own currency; with one for every choice, sizing goes by price";
constexpr std::array stock = {
    AttributeRow{"file", text_type, optional, "", "our-stock.xml",
                 "a file beside this one whose root is a stock of its own; what stands here comes on top"},
};
constexpr std::array conductor = {
    AttributeRow{"section", above_zero(Quantity::section), needed, "", "35 mm2", "section that can be had"},
    order_code,
    AttributeRow{"price", figure(Quantity::pure_number), optional, "", "11.20",
                 "of a metre, in the workshop's own currency"},
};
constexpr std::array link = {
    AttributeRow{"type", one_of("SF51|SF30|C|F|E|A|B|stud-cube|flat-strip|link-wire"), needed, "", "SF51",
                 "type as in fuse-link"},
    AttributeRow{"rating", above_zero(Quantity::current), needed, "", "150 A", "rating that can be had"},
    order_code,
    AttributeRow{"price", figure(Quantity::pure_number), optional, "", "14.50", price_meaning},
};
constexpr std::array lug = {
    AttributeRow{"section", above_zero(Quantity::section), needed, "", "35 mm2",
                 "section its barrel is made for"},
    AttributeRow{"stud", fastener_type, needed, "", "M8", "stud it is made for"},
    order_code,
    AttributeRow{"price", figure(Quantity::pure_number), optional, "", "1.80", price_meaning},
};
constexpr std::array sleeve = {
    AttributeRow{"expanded", above_zero(Quantity::length), needed, "", "19.1 mm", "bore as it is sold"},
    AttributeRow{"recovered", above_zero(Quantity::length), needed, "", "9.5 mm",
                 "greatest bore once it is shrunk with nothing in it; less than expanded"},
    AttributeRow{"lined", yes_no, optional, "no", "yes",
                 "adhesive inside, which seals; needed where an end gets wet"},
    order_code,
    AttributeRow{"price", figure(Quantity::pure_number), optional, "", "3.10",
                 "of a metre, in the workshop's own currency"},
};
constexpr std::array about = {
    AttributeRow{"about", address_type, optional, "the whole kit", "G1",
                 "id of the part, cable, zone or terminal it is about"},
};
constexpr std::array accept = {
    AttributeRow{"rule", {.kind = Kind::slug}, needed, "", "charging-drop", "slug of the rule"},
    AttributeRow{"subject", title_type, needed, "", "W1", "subject of the finding, as the report names it"},
    AttributeRow{"reason", title_type, needed, "", "measured 0.18 V on the vehicle",
                 "why it is accepted; printed"},
};

constexpr std::array variant = {
    AttributeRow{"id", id_type, needed, "", "right-hand", "name of the variant, to ask for it by"},
    AttributeRow{"label", text_type, optional, "the id", "Right-hand drive", "what the papers call it"},
};
constexpr std::array without = {
    AttributeRow{"of", id_type, needed, "", "W7", "id of the part, cable, zone, duty or landing left out"},
};

constexpr std::array rows = {
    ElementRow{"harness", "The root: one kit of heavy-current cables and everything they join.",
               Content::any_order, harness_children, harness},
    ElementRow{"title-block", "What the drawing's title block says.", Content::nothing, {}, title_block},
    ElementRow{"zone", "A place with one temperature.", Content::nothing, {}, zone},
    ElementRow{"cable", "One cable from lug to lug.", Content::cable_ends, cable_children, cable},
    ElementRow{"from", "The first end of the cable.", Content::nothing, {}, cable_end},
    ElementRow{"to", "The second end of the cable.", Content::nothing, {}, cable_end},
    ElementRow{
        "route", "One stretch of the cable, in order from its first end.", Content::nothing, {}, route},
    ElementRow{"duty",
               "An operating case. A file without one is judged in the built-in cases.",
               Content::nothing,
               {},
               duty},
    ElementRow{
        "limit",
        "Changes a default limit (name, value), or limits the drop between two terminals (from, to, drop).",
        Content::nothing,
        {},
        limit},
    ElementRow{"landing",
               "Terminals an installer could confuse, when they are not those of one part.",
               Content::nothing,
               {},
               landing},
    ElementRow{"stock", "What the workshop can buy; whatever is not listed comes from the built-in list.",
               Content::any_order, stock_children, stock},
    ElementRow{"conductor", "A cable section in stock.", Content::nothing, {}, conductor},
    ElementRow{"link", "A fuse-link in stock.", Content::nothing, {}, link},
    ElementRow{"lug", "A lug in stock.", Content::nothing, {}, lug},
    ElementRow{"sleeve", "A heat-shrink sleeve in stock.", Content::nothing, {}, sleeve},
    ElementRow{"note", "Words for the drawing.", Content::text, {}, about},
    ElementRow{"step", "A line of the installer's checklist.", Content::text, {}, about},
    ElementRow{"accept",
               "One finding the author accepts; it becomes a note, printed with the reason.",
               Content::nothing,
               {},
               accept},
    ElementRow{
        "variant",
        "One of several kits in the file: each part here takes the place of the one with its id in the "
        "file, or is added. A file with variants is a kit for each of them and none without.",
        Content::any_order, variant_children, variant},
    ElementRow{"without", "A part that the variant does not have.", Content::nothing, {}, without},
};

} // namespace

std::span<const ElementRow> other_rows() {
    return rows;
}

} // namespace stoutloom::read

// What a harness is: parts, terminals, cables, routes, duties, and the indices that tie them. No XML, no
// physics.
//
// Everything that can be bolted to is a Terminal; a Terminal belongs to one Device. Cables join terminals.
// Masses are devices whose terminals are tied through the metal's own resistance; incidental paths join two
// terminals. Numbers are in the units of base/quantity.h. `Written::given` tells an author's figure from a
// default.
#pragma once

#include "base/fastener.h"
#include "base/insulation.h"
#include "base/quantity.h"
#include "base/source.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace stoutloom::model {

using base::Span;
using base::Written;

enum class ZoneIndex : std::uint32_t {};
enum class DeviceIndex : std::uint32_t {};
enum class TerminalIndex : std::uint32_t {};
enum class CableIndex : std::uint32_t {};
enum class IncidentalIndex : std::uint32_t {};
enum class DutyIndex : std::uint32_t {};
template <class Index> constexpr std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

struct Zone {
    std::string id, label;
    Written ambient_degc;
    Written radiant_k;         // added ambient from sun or a pipe nearby, default 0
    bool engine_space = false; // ABYC/CFR factor for the boat profile
    bool wet = false;
    Span span;
};

/// What a terminal is for; given by `role` or taken from the designation (DIN 72552: B+ 30 + positive; B- 31
/// - negative; D+ L 61 excite; S sense; 50 control; W signal; 15 85 86 control).
enum class Role { positive, negative, excite, sense, control, signal, through };

struct Terminal {
    std::string id;      // "B+"
    std::string address; // "G1.B+"; for a one-stud post just "X1"; for a mass's own metal just "U1"
    DeviceIndex device{};
    base::Fastener stud; // base::is_to_choose: stud="auto"
    Role role = Role::through;
    bool booted = false;      // insulated boot over the stud
    bool near_ground = false; // grounded metal within a spanner's reach
    bool spare = false;       // an assembly is complete without it
    bool implicit = false;    // the metal of a mass, the seat of a case-return unit: nothing bolts here
    bool steel_seat = false;  // lug sits on bare steel instead of copper or brass
    bool plated_seat = false; // the file says that it sits on copper, brass or tin
    std::optional<Written> torque_newton_m; // the maker's figure
    Span span;
    Span stud_span; // value of the stud attribute, for size --write
};

enum class BatteryKind { flooded, agm, gel, lithium };
struct Battery {
    Written capacity_ah;
    std::optional<Written> cold_cranking_a;
    std::optional<Written> resistance_ohm; // internal, when measured
    std::optional<Written> emf_v;        // open-circuit volts, when measured (then charge state is not asked)
    std::optional<Written> acceptance_a; // greatest charging current
    BatteryKind kind = BatteryKind::flooded;
};

enum class Speed { idle, cruise, rated };
struct Output {
    std::optional<Speed> speed;       // one of the named speeds ...
    std::optional<Written> shaft_rpm; // ... or a shaft speed
    Written cold_a, hot_a;            // hot_a filled by default when not given
    Span span;
};
struct Generator {
    Written set_point_v;
    std::optional<Written> temperature_coefficient_v_per_k;
    std::optional<Written> pulley_ratio;
    std::optional<Written> greatest_shaft_rpm;
    std::optional<Written> belt_power_w; // what the drive can carry
    std::optional<TerminalIndex> sense;  // where the regulator looks; own B+ otherwise
    std::vector<Output> outputs;
    bool case_return = false;       // mass of the owner Device is its return
    bool self_limiting = true;      // integral regulator, output bounded by its ceiling
    Written exciter_resistance_ohm; // L/D+ to case with the rotor still, default 8 ohm
};

struct Starter {
    Written current_a;               // turning
    std::optional<Written> inrush_a; // breakaway
    bool case_return = false;
};

enum class Demand { current, power, resistance };
/// When a consumer runs if a duty does not say otherwise.
enum class Runs { always, key_on, engine_on, cranking, on_request };
enum class ConsumerSymbol { general, lamp, motor, heater, electronics };
struct Consumer {
    Demand demand = Demand::current;
    Written amount; // A, W (at nominal volts) or ohm
    std::optional<Written> inrush_a;
    Runs runs = Runs::engine_on;
    bool switchable = true; // may be on or off in the worst case over combinations
    bool critical = false;  // 3 % drop limit instead of 10 %
    ConsumerSymbol symbol = ConsumerSymbol::general;
    bool case_return = false;
};

/// Contact position by duty: always closed, only with the key on, ...
enum class Closes { always, key_on, engine_on, cranking, never };
struct Switch {
    Closes closes = Closes::always;
    std::optional<Written> rating_a, intermittent_a;
    Written resistance_ohm; // default 0.2 mohm
};
struct Relay { // terminals 30 87 contact, 85 86 coil
    Closes closes = Closes::key_on;
    std::optional<Written> rating_a;
    Written coil_ohm;       // default 80 ohm at 12 V
    Written resistance_ohm; // contact
};
struct FuseLink {
    std::string type; // name in physics/fuselink.h, default "SF51"
    Written rating_a; // value 0 and given: rating="auto"
    bool automatic = false;
    std::optional<Written> resistance_ohm;
    std::optional<Written> breaking_capacity_a;
};
struct Post {                // all its terminals are one node
    bool jump_start = false; // jump leads are clamped here
};
struct Mass {               // each terminal reaches the metal's middle through half this
    Written resistance_ohm; // between any two of its points, default 0.1 mohm
    bool aluminium = false;
};
struct Shunt {
    Written resistance_ohm;
    std::optional<Written> rating_a;
};

/// The order of the alternatives is the order of DeviceKind.
enum class DeviceKind { battery, generator, starter, consumer, switch_, relay, fuse_link, post, mass, shunt };
std::string_view kind_name(DeviceKind kind); // "fuse-link"

struct Device {
    std::string id, label;
    std::optional<ZoneIndex> zone;
    std::vector<TerminalIndex> terminals;
    std::optional<DeviceIndex> seat; // the mass a case-return unit stands on
    std::variant<Battery, Generator, Starter, Consumer, Switch, Relay, FuseLink, Post, Mass, Shunt> data;
    Span span; // the whole start tag
    DeviceKind kind() const { return static_cast<DeviceKind>(data.index()); }
};

struct Incidental {
    std::string id, label;
    TerminalIndex from{}, to{};
    Written resistance_ohm;
    std::optional<Written> rating_a; // what it stands; anything over a few amperes otherwise
    std::optional<Written> section_mm2;
    Span span;
};

enum class Mounting { clipped, clear, conduit };
enum class Origin { original, fresh };
enum class CableBuild { cable, braid, link_wire };

struct CableEnd {
    TerminalIndex at{};
    base::Fastener lug;                // base::is_to_choose: lug="auto", or no lug on a stud that is auto
    bool lug_given = false;            // false: made for the stud, whatever that is
    std::optional<Written> barrel_mm2; // when not made for the cable's section
    std::optional<Written> joint_ohm;  // bolted joint, when measured
    std::optional<Written> crimp_ohm;
    std::optional<Written> joint_degc; // temperature of the stud it sits on (hot unit)
    bool washer_under = false;         // steel washer between lug and face
    Span span;
    Span lug_span; // value of the lug attribute, for size --write
};
struct Segment {
    ZoneIndex zone{};
    Written length_m;
    std::string loom; // empty: alone
    std::optional<Mounting> mounting;
    Span span;
};
struct Cable {
    std::string id;
    Written section_mm2;
    bool automatic = false; // section="auto"
    base::Insulation insulation;
    bool insulation_given = false;
    std::string colour; // IEC 60757 letters
    Written length_m;   // hole centre to hole centre
    int parallel = 1;
    Origin origin = Origin::original;
    CableBuild build = CableBuild::cable;
    Mounting mounting = Mounting::clipped;
    bool sheathed = false; // own sheath or conduit all the way
    bool guarded = false;  // mechanical protection of an unfused starter cable
    std::optional<Written> r20_ohm_per_m, outer_diameter_m, conductor_diameter_m;
    CableEnd from, to;
    std::vector<Segment> segments; // never empty after reading; lengths add up to length_m
    bool segments_given = false;
    Span span;         // start tag
    Span section_span; // value of the section attribute, for size --write
};

enum class Engine { off, cranking, idle, cruise, rated };
struct Duty {
    std::string id, label;
    Engine engine = Engine::off;
    bool key_on = true;
    bool hot = true;                   // generator's hot curve
    Written charge_fraction;           // of every battery
    std::optional<Written> duration_s; // empty: continuous
    std::optional<Written> engine_rpm;
    std::vector<DeviceIndex> on, off; // overrides of each consumer's `runs`
    bool all_on = false;              // on="all": every consumer but the cranking ones
    bool built_in = false;
    Span span;
};

/// A default limit by name, or a drop limit between two terminals.
struct Limit {
    std::string name; // empty for a drop between terminals
    Written value;
    std::optional<TerminalIndex> from, to;
    std::vector<DutyIndex> duties; // empty: all
    Span span;
};

struct Landing {
    std::string id;
    std::vector<TerminalIndex> terminals;
    Span span;
};

/// What the workshop calls a thing and pays for it, in its own codes and its own currency.
struct Ordering {
    std::string code; // may be empty
    std::optional<double> price;
};
struct StockConductor {
    Written section_mm2;
    Ordering ordering; // price of a metre
};
struct StockLink {
    std::string type;
    Written rating_a;
    Ordering ordering;
};
struct StockLug {
    double section_mm2 = 0;
    std::string stud; // name of the stud it is made for
    Ordering ordering;
};
/// Heat-shrink sleeve by its two bores: as sold, and shrunk free (the greatest it then may have).
struct StockSleeve {
    double expanded_m = 0, recovered_m = 0;
    bool lined = false; // with adhesive, which seals
    Ordering ordering;  // price of a metre
};
struct Stock {
    std::vector<StockConductor> conductors; // empty: the built-in list; so for the others
    std::vector<StockLink> links;
    std::vector<StockLug> lugs;
    std::vector<StockSleeve> sleeves;
    bool given = false;
    std::string file; // the included file's name, as written; empty: none
};

struct TitleBlock {
    std::string owner, created_by, approved_by, technical_reference, department, date, language = "en",
                                                                                       status;
    std::string subtitle;
};
/// A checklist line for the installer, or a free note.
struct Note {
    std::string text;
    std::string subject; // id, may be empty
    bool step = false;
    Span span;
};
/// One accepted finding, with the author's reason; it is printed, and lowers that one finding to a note.
struct Acceptance {
    std::string rule, subject, reason;
    Span span;
};

enum class Profile { vehicle, boat };
enum class UnitSystem { metric, us, both };

struct Assumption {
    std::string subject, what,
        reason; // "F1", "rating type SF51", "bolted strip link, the usual charging fuse-link"
};

struct Harness {
    std::string title, drawing, revision;
    std::string variant, variant_label; // which of the file's kits; empty: the file has one only
    Written nominal_v;
    Profile profile = Profile::vehicle;
    UnitSystem units = UnitSystem::metric;
    TitleBlock title_block;
    std::vector<Zone> zones;
    std::vector<Device> devices;
    std::vector<Terminal> terminals;
    std::vector<Cable> cables;
    std::vector<Incidental> incidentals;
    std::vector<Duty> duties; // the file's own, or the built-in ones
    std::vector<Limit> limits;
    std::vector<Landing> landings; // the file's own
    Stock stock;
    std::vector<Note> notes;
    std::vector<Acceptance> acceptances;
    std::vector<Assumption> assumptions; // every default taken, for the report

    const Zone& zone(ZoneIndex i) const { return zones[at(i)]; }
    const Device& device(DeviceIndex i) const { return devices[at(i)]; }
    const Terminal& terminal(TerminalIndex i) const { return terminals[at(i)]; }
    const Cable& cable(CableIndex i) const { return cables[at(i)]; }
    const Duty& duty(DutyIndex i) const { return duties[at(i)]; }
};

// --- look-ups every later room needs ---
std::optional<DeviceIndex> find_device(const Harness& harness, std::string_view id);
std::optional<TerminalIndex> find_terminal(const Harness& harness, std::string_view address);
std::optional<CableIndex> find_cable(const Harness& harness, std::string_view id);
std::optional<DutyIndex> find_duty(const Harness& harness, std::string_view id);
/// First terminal of a device with that role; for a case-return unit the implicit seat answers for
/// `negative`.
std::optional<TerminalIndex> terminal_of(const Harness& harness, DeviceIndex device, Role role);
/// The metal of a mass: its implicit terminal.
TerminalIndex metal_of(const Harness& harness, DeviceIndex mass);

/// Whether a consumer draws in a duty (its `runs`, the duty's on/off lists).
bool runs_in(const Harness& harness, const Duty& duty, DeviceIndex consumer);
/// Whether a switch or relay contact is closed in a duty.
bool closed_in(const Duty& duty, Closes closes);

/// The conditions a kit is judged in when its file defines none: cranking, idle, rated, cruise, standby.
std::vector<Duty> built_in_duties();

/// A limit with its default: names, values, meaning and source in one table.
struct LimitRow {
    std::string_view name; // "charging-feed-drop"
    base::Quantity quantity;
    double value;             // for 12 V nominal where it scales
    bool scales_with_voltage; // times nominal / 12 V
    std::string_view meaning;
    std::string_view source;
};
const std::vector<LimitRow>& limit_rows();
/// The limit in force: the file's or the default, with where it comes from.
struct LimitInForce {
    double value;
    std::string source; // "this file, limit charging-feed-drop" or the row's source
    bool from_file;
};
LimitInForce limit_in_force(const Harness& harness, std::string_view name);

} // namespace stoutloom::model

// The sizing chooses the section that published worked examples choose by formula and table; see README.md
// beside.
#include "published/single_choice.h"
#include "published/tables.h"

#include <doctest/doctest.h>

using namespace stoutloom;

namespace {

std::string kit(const published::Row& row) {
    const double drop_v = row.number("nominal_v") * row.number("drop_percent") / 100;
    std::string stock;
    for (const char* section : {"14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "2 AWG", "1 AWG"})
        stock += fmt::format(R"(<conductor section="{0}"/><lug section="{0}" stud="M8"/>)", section);
    return fmt::format(
        R"(<harness xmlns="urn:stoutloom:harness:1" title="Worked example" nominal="{0} V">
<zone id="z" ambient="30 degC"/>
<battery id="G2" capacity="200 Ah" cold-cranking="1200 A"/>
<mass id="U1"><terminal id="a" stud="M8"/></mass>
<fuse-link id="F1" type="stud-cube" rating="{1} A"/>
<consumer id="M1" draw="{2} A" runs="always" return="case" mass="U1"><terminal id="+" stud="M8"/></consumer>
<duty id="on" engine="off" on="all"/>
<cable id="W1" section="70 mm2" length="0.08 m"><from at="G2.+"/><to at="F1.a"/></cable>
<cable id="W2" section="auto" insulation="105 degC" length="{3}" mounting="clear"><from at="F1.b"/><to at="M1.+"/></cable>
<cable id="W3" section="70 mm2" length="0.08 m"><from at="G2.-"/><to at="U1.a"/></cable>
<limit from="F1.b" to="M1.+" drop="{4:.2f} V"/><limit name="consumer-drop" value="30 %"/>
<limit name="continuous-load" value="100 %"/>
{6}<stock>{5}</stock>
</harness>)",
        row.text("nominal_v"), row.text("link_a"), row.text("current_a"), row.text("length"), drop_v, stock,
        row.text("accepted").empty()
            ? std::string()
            : fmt::format(R"(<accept rule="{}" subject="W2" reason="the example gives no fuse-link"/>)",
                          row.text("accepted")));
}

} // namespace

TEST_CASE("published: a windlass and a feeder get the gauge of the worked examples") {
    int compared = 0;
    for (const published::Row& row : published::rows_of("sizing-formula")) {
        INFO(row.text("case"));
        published::check_single_choice(kit(row), row.text("published"), row.text("binds"));
        ++compared;
    }
    fmt::print("published: sizing-formula: {} sections compared, all equal\n", compared);
    CHECK(compared == 2);
}

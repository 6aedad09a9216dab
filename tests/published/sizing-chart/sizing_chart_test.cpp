// The sizing chooses the gauge that a published example reads off the marine drop charts; see README.md
// beside.
#include "published/single_choice.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

using namespace stoutloom;

namespace {

std::string kit(const std::vector<std::string>& row) {
    const int length_ft = std::stoi(row.at(1)) + std::stoi(row.at(2));
    const double drop_v = std::stod(row.at(3)) * std::stod(row.at(4)) / 100;
    std::string stock;
    for (const char* gauge : {"18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG"})
        stock += fmt::format(R"(<conductor section="{0}"/><lug section="{0}" stud="#10"/>)", gauge);
    return fmt::format(
        R"(<harness xmlns="urn:stoutloom:harness:1" title="Bilge pump" nominal="{} V" units="us">
<zone id="z" ambient="77 degF"/>
<battery id="G2" capacity="100 Ah" cold-cranking="800 A"/>
<mass id="U1"><terminal id="a" stud="M8"/></mass>
<fuse-link id="F1" type="C" rating="15 A"/>
<consumer id="M1" draw="{} A" runs="always" return="case" mass="U1"><terminal id="+" stud="#10"/></consumer>
<duty id="pumping" engine="off" on="all"/>
<cable id="W1" section="8 AWG" length="3 in"><from at="G2.+"/><to at="F1.a"/></cable>
<cable id="W2" section="auto" insulation="105 degC" length="{} ft"><from at="F1.b"/><to at="M1.+"/></cable>
<cable id="W3" section="1/0 AWG" length="3 in"><from at="G2.-"/><to at="U1.a"/></cable>
<limit from="F1.b" to="M1.+" drop="{:.2f} V"/><limit name="consumer-drop" value="20 %"/>
<stock>{}</stock>
</harness>)",
        row.at(3), row.at(0), length_ft, drop_v, stock);
}

} // namespace

TEST_CASE("published: a bilge pump gets the gauge of the marine drop charts") {
    int compared = 0;
    for (const auto& row : testing::csv_rows(testing::tree_path("tests/published/sizing-chart/data.csv"))) {
        INFO(row.at(4), " %");
        published::check_single_choice(kit(row), row.at(5), "limit-drop");
        ++compared;
    }
    fmt::print("published: sizing-chart: {} gauges compared, all equal\n", compared);
    CHECK(compared == 2);
}

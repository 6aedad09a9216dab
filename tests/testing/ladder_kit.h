// A kit as large as a coach's: a charging circuit, a trunk of posts with fused consumers at each, a ladder of
// return posts. As many of its cables as wanted are automatic, trunk first, so that choices hang together as
// much as they can. For the search's own tests and for the benchmark.
#pragma once

#include <fmt/format.h>

#include <string>
#include <vector>

namespace stoutloom::testing {

class LadderKit {
  public:
    /// Two consumers at each post, six cables more per post: 7 posts are 60 cables, of which 46 can be
    /// automatic.
    LadderKit(int posts, int automatic) : automatic_(automatic) {
        text_ = R"(<harness xmlns="urn:stoutloom:harness:1" title="Ladder" nominal="24 V">
<zone id="engine" ambient="70 degC"/><zone id="cabin" ambient="45 degC"/>
<battery id="G2" zone="cabin" capacity="180 Ah" cold-cranking="1000 A"/>
<generator id="G1" zone="engine" set-point="28.2 V" return="isolated">
<output speed="idle" cold="70 A" hot="60 A"/><output speed="cruise" cold="130 A" hot="110 A"/>
<output speed="rated" cold="140 A" hot="120 A"/>
<terminal id="B+" stud="M8" booted="yes"/><terminal id="B-" stud="M10"/></generator>
<fuse-link id="F1" zone="cabin" type="stud-cube" rating="200 A"/>
<fuse-link id="F2" zone="cabin" type="stud-cube" rating="200 A"/>
<limit name="charging-feed-drop" value="0.5 V"/><limit name="charging-return-drop" value="0.5 V"/>
<limit name="charging-loop-drop" value="0.9 V"/><limit name="consumer-drop" value="6 %"/>
)";
        cable("G1.B+", "F1.b", 95, 7.0, "engine");
        cable("F1.a", "G2.+", 95, 0.15);
        cable("G2.-", "G1.B-", 95, 7.4, "engine");
        cable("G2.+", "F2.a", 95, 0.15);
        cable("F2.b", "X1", 95, 2.0);
        cable("Y1", "G2.-", 95, 2.0);
        for (int p = 1; p <= posts; ++p)
            post(p);
        text_ += "</harness>\n";
    }
    const std::string& text() const { return text_; }
    int cables() const { return cables_; }
    int automatic() const { return marked_; }

  private:
    void post(int p) {
        text_ += fmt::format("<post id=\"X{0}\" zone=\"cabin\"/><post id=\"Y{0}\" zone=\"cabin\"/>\n", p);
        if (p > 1) {
            cable(fmt::format("X{}", p - 1), fmt::format("X{}", p), 95, 1.2 + 0.2 * p);
            cable(fmt::format("Y{}", p), fmt::format("Y{}", p - 1), 95, 1.25 + 0.2 * p);
        }
        for (int k = 0; k < 2; ++k) {
            const int amps = 3 + (p * 7 + k * 5) % 8;
            const int rating = amps <= 3 ? 5 : amps <= 7 ? 10 : 15;
            const double length_m = 1.5 + 0.9 * ((p * 3 + k * 2) % 7);
            text_ += fmt::format(
                R"(<fuse-link id="F{0}{1}" zone="cabin" type="C" rating="{2} A"/><consumer id="E{0}{1}" zone="cabin" draw="{3} A"><terminal id="+" stud="M6"/><terminal id="-" stud="M5"/></consumer>)"
                "\n",
                p, k, rating, amps);
            const std::string post = fmt::format("X{}", p), link = fmt::format("F{}{}", p, k),
                              unit = fmt::format("E{}{}", p, k);
            cable(post, link + ".a", 10, 0.15, "cabin", false);
            cable(link + ".b", unit + ".+", 6, length_m);
            cable(unit + ".-", fmt::format("Y{}", p), 6, length_m + 0.1);
        }
    }

    void cable(const std::string& from, const std::string& to, int section_mm2, double length_m,
               const char* zone = "cabin", bool may_be_open = true) {
        const bool open = may_be_open && marked_ < automatic_;
        marked_ += open ? 1 : 0;
        text_ += fmt::format(
            R"(<cable id="W{}" section="{}" insulation="B" length="{:.2f} m" zone="{}"><from at="{}"/><to at="{}"/></cable>)"
            "\n",
            ++cables_, open ? std::string("auto") : fmt::format("{} mm2", section_mm2), length_m, zone, from,
            to);
    }

    std::string text_;
    int automatic_, cables_ = 0, marked_ = 0;
};

} // namespace stoutloom::testing

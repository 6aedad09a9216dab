#include "property/size_kits.h"

#include "read/read.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <vector>

namespace stoutloom::testing {
namespace {

class Kit {
  public:
    Kit(std::mt19937_64& source, const KitOptions& options)
        : source_(source), automatic_(options.automatic), fittings_(options.fittings),
          lists_lugs_(options.fittings > 0), priced_(options.priced), second_ways_(options.second_ways),
          measures_(options.measures) {
        static const std::vector<std::vector<double>> series = {
            {4, 16, 70}, {6, 25, 95}, {10, 35, 95}, {16, 35, 70}, {2.5, 25, 95}};
        stock_ = series[pick(series.size())];
        while (stock_.size() > static_cast<std::size_t>(options.sections))
            stock_.erase(stock_.begin());
    }

    std::string text() {
        const bool case_return = pick(2) == 0 && !second_ways_, far_sense = pick(4) == 0,
                   starter = pick(3) == 0;
        head(case_return, far_sense, starter);
        cable("W1", "G1.B+", "F1.b", 0.5 + real() * 4, true);
        cable("W2", "F1.a", "G2.+", 0.1 + real() * 0.09, true);
        if (!case_return)
            cable("W3", "G2.-", "G1.B-", 0.5 + real() * 3, true);
        cable("W4", "G2.-", "U1.a", 0.3 + real() * 2, true);
        // A second way between body and block closes a loop.
        cable("W5", "U1.b", "U2.a", 0.3 + real(), true);
        if (pick(2) == 0 || second_ways_)
            cable("W6", "U1.c", "U2.b", 0.3 + real() * 2, true);
        if (!case_return && (pick(2) == 0 || second_ways_))
            cable("W7", "G1.B-", "U2.c", 0.4 + real(), true);
        if (starter)
            cable("W8", "G2.+", "M1.30", 0.5 + real() * 2.5, true, R"( sheathed="yes" guarded="yes")");
        const std::size_t consumers = 1 + pick(2);
        for (std::size_t e = 0; e < consumers; ++e)
            consumer(e);
        limits();
        return out_ + "</harness>\n";
    }

  private:
    std::size_t pick(std::size_t count) {
        return std::uniform_int_distribution<std::size_t>(0, count - 1)(source_);
    }
    double real() { return std::uniform_real_distribution<double>(0, 1)(source_); }

    /// A stud's size, or auto; asks chance only in kits with fittings to choose.
    std::string stud(const std::string& size) {
        if (fittings_ <= 0 || pick(3) == 0)
            return size;
        --fittings_;
        return "auto";
    }
    std::string lug() {
        if (fittings_ <= 0 || pick(6) != 0)
            return {};
        --fittings_;
        return R"( lug="auto")";
    }
    std::string price(double least, double most) {
        return priced_ ? fmt::format(R"( price="{:.2f}")", least + (most - least) * real()) : std::string();
    }

    void head(bool case_return, bool far_sense, bool starter) {
        out_ = R"(<harness xmlns="urn:stoutloom:harness:1" title="Random kit" nominal="12 V">)"
               "\n";
        out_ += fmt::format(R"(<zone id="z" ambient="{} degC"/><zone id="y" ambient="{} degC"/>)"
                            "\n",
                            30 + 10 * pick(5), 25 + 10 * pick(3));
        const double ceiling = 40 + 15 * static_cast<double>(pick(5));
        out_ += fmt::format(R"(<battery id="G2" zone="y" capacity="{} Ah" cold-cranking="{} A"/>)"
                            "\n",
                            50 + 10 * pick(8), 400 + 50 * pick(9));
        out_ += fmt::format(R"(<generator id="G1" zone="z" set-point="14.2 V" {}{}>)",
                            case_return ? R"(return="case" mass="U2")" : R"(return="isolated")",
                            far_sense ? R"( sense="G2.+")" : "");
        out_ += fmt::format(
            R"(<output speed="idle" cold="{0} A" hot="{0} A"/><output speed="rated" cold="{1} A" hot="{1} A"/><terminal id="B+" stud="{2}" booted="yes"/>)",
            ceiling / 2, ceiling, stud("M8"));
        if (!case_return)
            out_ += fmt::format(R"(<terminal id="B-" stud="{}"/>)", stud("M10"));
        out_ += "</generator>\n";
        if (starter)
            out_ += fmt::format(
                R"(<starter id="M1" zone="z" draw="{} A" return="case" mass="U2"><terminal id="30" stud="M10" booted="yes"/></starter>)"
                "\n",
                80 + 15 * pick(6));
        out_ +=
            R"(<mass id="U1" zone="y"><terminal id="a" stud="M8"/><terminal id="b" stud="M8"/><terminal id="c" stud="M8"/></mass>)"
            "\n";
        out_ += fmt::format(
            R"(<mass id="U2" zone="z"><terminal id="a" stud="{}"/><terminal id="b" stud="M8"/><terminal id="c" stud="M10"/></mass>)"
            "\n",
            stud("M8"));
        if (pick(3) == 0)
            out_ += fmt::format(R"(<incidental id="X9" from="U1" to="U2" resistance="{} mohm"/>)"
                                "\n",
                                40 + 20 * pick(6));
        rated_link("F1", "SF51", ceiling);
        out_ += R"(<post id="X1" zone="y" stud="M8"/>)"
                "\n";
        out_ += R"(<duty id="idle" engine="idle" on="all"/><duty id="rated" engine="rated" charge="20 %"/>)"
                "\n";
        if (starter)
            out_ += R"(<duty id="crank" engine="cranking" duration="8 s"/>)"
                    "\n";
    }

    void rated_link(const std::string& id, const std::string& type, double load_a) {
        static const std::vector<double> blades = {10, 15, 20, 25, 30},
                                         strips = {60, 80, 100, 125, 150, 175, 200, 225, 250, 300};
        double rating = 30;
        for (const double candidate : type == "C" ? blades : strips)
            if (candidate * 0.65 >= load_a) {
                rating = candidate;
                break;
            }
        const bool open = automatic_ > 0 && pick(3) == 0 && !second_ways_;
        if (open)
            --automatic_;
        out_ += fmt::format(R"(<fuse-link id="{}" zone="y" type="{}" rating="{}"/>)"
                            "\n",
                            id, type, open ? "auto" : fmt::format("{} A", rating));
    }

    void cable(const std::string& id, const std::string& from, const std::string& to, double length_m,
               bool may_be_open, const std::string& more = {}) {
        // Where second ways are asked for, the ways back are what is chosen.
        const bool asked = may_be_open && (!second_ways_ || (id >= "W3" && id <= "W7" && id.size() == 2));
        const bool open = asked && automatic_ > 0 && pick(2) == 0;
        if (open)
            --automatic_;
        const std::string section =
            open ? "auto"
                 : fmt::format("{} mm2",
                               pick(second_ways_ ? 2 : 8) == 0 ? stock_[pick(stock_.size())] : stock_.back());
        out_ += fmt::format(
            R"(<cable id="{}" section="{}" insulation="{}" length="{:.2f} m" zone="{}"{}><from at="{}"{}/><to at="{}"{}/></cable>)"
            "\n",
            id, section, pick(2) == 0 ? "B" : "C", length_m, pick(2) == 0 ? "z" : "y", more, from, lug(), to,
            lug());
    }

    void consumer(std::size_t e) {
        const std::size_t kind = pick(3);
        const double amps = 3 + 20 * real();
        const std::string amount = kind == 0   ? fmt::format(R"(draw="{:.1f} A")", amps)
                                   : kind == 1 ? fmt::format(R"(power="{:.0f} W")", amps * 12)
                                               : fmt::format(R"(resistance="{:.2f} ohm")", 12 / amps);
        out_ += fmt::format(R"(<consumer id="E{}" zone="y" {} runs="engine-on" return="case" mass="{}"{}{}/>)"
                            "\n",
                            e, amount, pick(2) == 0 ? "U1" : "U2", pick(2) == 0 ? R"( critical="yes")" : "",
                            measures_ && e == 0 ? R"( symbol="electronics")" : "");
        rated_link(fmt::format("F2{}", e), "C", amps * 1.2);
        if (e == 0)
            cable("W9", "G2.+", "X1", 0.05 + 0.05 * real(), true);
        cable(fmt::format("W2{}", e), "X1", fmt::format("F2{}.a", e), 0.07, false);
        cable(fmt::format("W3{}", e), fmt::format("F2{}.b", e), fmt::format("E{}.+", e), 0.5 + 5 * real(),
              true);
    }

    void limits() {
        const auto limit = [&](const char* name, double low, double high) {
            out_ += fmt::format(R"(<limit name="{}" value="{:.2f} V"/>)"
                                "\n",
                                name, low + (high - low) * real());
        };
        limit("charging-feed-drop", 0.15, 0.7);
        limit("charging-return-drop", 0.25, 0.7);
        limit("charging-loop-drop", 0.4, 1.2);
        limit("cranking-feed-drop", 0.3, 0.8);
        limit("cranking-return-drop", 0.4, 1);
        limit("cranking-loop-drop", 0.7, 1.8);
        limit("mass-shift", measures_ ? 0.02 : 0.1, measures_ ? 0.3 : 0.5);
        out_ += R"(<stock>)";
        for (const double section : stock_)
            out_ += fmt::format(R"(<conductor section="{} mm2"{}/>)", section,
                                price(0.1 * section, 0.4 * section));
        for (const double rating : {60, 80, 100, 125, 150, 200, 250})
            out_ += fmt::format(R"(<link type="SF51" rating="{} A"{}/>)", rating, price(5, 15));
        for (const double rating : {10, 15, 20, 30})
            out_ += fmt::format(R"(<link type="C" rating="{} A"{}/>)", rating, price(1, 3));
        if (lists_lugs_)
            for (const double section : stock_)
                for (const char* size : {"M5", "M6", "M8", "M10"})
                    if (pick(4) != 0 || size == std::string("M8"))
                        out_ += fmt::format(R"(<lug section="{} mm2" stud="{}"{}/>)", section, size,
                                            price(1, 12));
        out_ += "</stock>\n";
    }

    std::mt19937_64& source_;
    int automatic_, fittings_;
    bool lists_lugs_, priced_, second_ways_, measures_;
    std::vector<double> stock_;
    std::string out_;
};

} // namespace

std::string random_size_kit(std::mt19937_64& source, const KitOptions& options) {
    return Kit(source, options).text();
}

OpenKit random_open_kit(std::mt19937_64& source, const KitOptions& options, std::size_t least) {
    for (;;) {
        const std::string text = random_size_kit(source, options);
        auto got = read::read_text("random.xml", text);
        REQUIRE_MESSAGE(got, text);
        auto choices = size::choices_of(got->harness, size::marked(got->harness));
        REQUIRE_MESSAGE(choices, text);
        if (choices->list.size() >= least)
            return {text, std::move(got->harness), std::move(*choices)};
    }
}

} // namespace stoutloom::testing

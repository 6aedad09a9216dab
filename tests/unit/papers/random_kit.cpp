#include "unit/papers/random_kit.h"

#include <fmt/format.h>

#include <array>

namespace stoutloom::papers_test {
namespace {

template <class Things> auto one_of(std::mt19937_64& random, const Things& things) {
    return things[std::uniform_int_distribution<std::size_t>(0, things.size() - 1)(random)];
}
double between(std::mt19937_64& random, double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
}

std::string label(std::mt19937_64& random) {
    static constexpr std::array words = {
        "Head",    "lamps",      "of",      "the", "left", "roof",    "pump",  "heated",
        "mirrors", "compressor", "forward", "aft", "Kühl", "Ölpumpe", "no. 2", "Scheibenwischer"};
    std::string text;
    const int count = std::uniform_int_distribution<int>(1, 6)(random);
    for (int i = 0; i < count; ++i)
        text += (i > 0 ? " " : "") + std::string(one_of(random, words));
    return text;
}

struct Lead {
    std::string id, from, to, section, from_lug, to_lug;
};

std::string cable(std::mt19937_64& random, const Lead& lead) {
    static constexpr std::array colours = {"RD", "BK", "BU", "YE", "GNYE", "WH", ""};
    static constexpr std::array classes = {"A", "B", "C", "D", "105 degC"};
    static constexpr std::array looms = {"", "", "L1", "L2"};
    const double bay = between(random, 0.05, 1.5), floor = between(random, 0.2, 6),
                 cab = between(random, 0.05, 2);
    const std::string loom = one_of(random, looms);
    const std::string in_loom = loom.empty() ? "" : fmt::format(" loom=\"{}\"", loom);
    const std::string colour = one_of(random, colours);
    const bool lugs = !lead.from_lug.empty();
    std::string text =
        fmt::format("<cable id=\"{}\" section=\"{}\" insulation=\"{}\"{} length=\"{:.3f} m\" origin=\"{}\" "
                    "parallel=\"{}\">",
                    lead.id, lead.section, one_of(random, classes),
                    colour.empty() ? "" : fmt::format(" colour=\"{}\"", colour), bay + floor + cab,
                    between(random, 0, 1) < 0.7 ? "new" : "original", between(random, 0, 1) < 0.1 ? 2 : 1);
    text += fmt::format("<from at=\"{}\"{}/><to at=\"{}\"{}/>", lead.from,
                        lugs ? fmt::format(" lug=\"{}\"", lead.from_lug) : "", lead.to,
                        lugs ? fmt::format(" lug=\"{}\"", lead.to_lug) : "");
    text +=
        fmt::format("<route zone=\"bay\" length=\"{:.3f} m\"/><route zone=\"floor\" length=\"{:.3f} m\"{}/>"
                    "<route zone=\"cab\" length=\"{:.3f} m\"{}/></cable>\n",
                    bay, floor, in_loom, cab, in_loom);
    return text;
}

} // namespace

std::string random_kit_text(std::mt19937_64& random, int consumers) {
    static constexpr std::array heavy = {"35 mm2",  "50 mm2",  "70 mm2", "95 mm2",
                                         "120 mm2", "240 mm2", "2/0 AWG"};
    static constexpr std::array thin = {"1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2", "10 AWG"};
    static constexpr std::array units = {"metric", "us", "both"};
    static constexpr std::array studs = {"M6", "M8", "M10", "3/8 in", "5/16 in"};
    std::string text = fmt::format("<harness xmlns=\"urn:stoutloom:harness:1\" title=\"{}\" drawing=\"T-1\" "
                                   "nominal=\"12 V\" units=\"{}\">\n"
                                   "<title-block owner=\"A workshop with a rather long name, Harbour Road\" "
                                   "date=\"2026-01-31\" created-by=\"N. N.\"/>\n"
                                   "<zone id=\"bay\" label=\"Engine bay\" ambient=\"80 degC\"/><zone "
                                   "id=\"floor\" label=\"Under the floor\" "
                                   "ambient=\"45 degC\"/><zone id=\"cab\" ambient=\"35 degC\"/>\n"
                                   "<battery id=\"G2\" label=\"{}\" zone=\"cab\" capacity=\"95 Ah\" "
                                   "cold-cranking=\"760 A\"><terminal id=\"+\" "
                                   "stud=\"M8\"/><terminal id=\"-\" stud=\"M10\"/></battery>\n"
                                   "<generator id=\"G1\" label=\"{}\" zone=\"bay\" "
                                   "return=\"isolated\"><output speed=\"idle\" cold=\"60 A\"/>"
                                   "<output speed=\"rated\" cold=\"150 A\"/><terminal id=\"B+\" stud=\"M8\" "
                                   "booted=\"yes\"/><terminal id=\"B-\" "
                                   "stud=\"M8\"/></generator>\n"
                                   "<starter id=\"M1\" zone=\"bay\" draw=\"300 A\" return=\"case\" "
                                   "mass=\"U1\"><terminal id=\"30\" stud=\"M10\"/>"
                                   "</starter>\n<mass id=\"U1\" label=\"Engine block\" "
                                   "zone=\"bay\"><terminal id=\"strap\" stud=\"M10\"/></mass>\n"
                                   "<fuse-link id=\"F0\" zone=\"cab\" type=\"SF51\" rating=\"200 A\"/>\n",
                                   label(random), one_of(random, units), label(random), label(random));
    int number = 0;
    const auto lead = [&](const std::string& from, const std::string& to, const std::string& section) {
        text += cable(random, {fmt::format("W{}", ++number), from, to, section, {}, {}});
    };
    lead("G1.B+", "F0.b", one_of(random, heavy));
    lead("F0.a", "G2.+", one_of(random, heavy));
    lead("G2.-", "G1.B-", one_of(random, heavy));
    lead("G2.+", "M1.30", one_of(random, heavy));
    lead("G2.-", "U1.strap", one_of(random, heavy));
    std::string post = "G2.+";
    for (int i = 0; i < consumers; ++i) {
        if (i % 3 == 0) {
            const std::string next = fmt::format("X{}", i / 3 + 1);
            text += fmt::format("<post id=\"{}\" label=\"{}\" zone=\"cab\" stud=\"{}\"/>\n", next,
                                label(random), one_of(random, studs));
            lead(post, next, one_of(random, heavy));
            post = next;
        }
        text +=
            fmt::format("<consumer id=\"E{}\" label=\"{}\" zone=\"floor\" draw=\"{:.1f} A\" return=\"case\" "
                        "mass=\"U1\"/>\n",
                        i + 1, label(random), between(random, 0.5, 9));
        lead(post, fmt::format("E{}.+", i + 1), one_of(random, thin));
    }
    text +=
        fmt::format("<step about=\"G1\">{}</step><note>{}</note></harness>\n", label(random), label(random));
    return text;
}

} // namespace stoutloom::papers_test

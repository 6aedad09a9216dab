// The least copper of whole kits, and of bare rows, against a general-purpose solver of mixed-integer
// programmes (GLPK's glpsol, Debian package glpk-utils).
//
// The kits are such that a linear programme of choices tells them exactly: trunks with branches, no loops,
// and loads of constant current. Then each cable's current is the same whatever is chosen, so its
// temperature, its resistance and the volts it loses are constants of its own section, and so is whether it
// may carry the current. These constants are not taken from the sizing but from the solver and the check,
// asked with every cable of one section. The rows: each limit of the file; one section for each cable.
#include "check/check.h"
#include "read/read.h"
#include "size/cheapest.h"
#include "size/size.h"
#include "size/verdict.h"
#include "solve/solve.h"

#include "testing/testing.h"

#include <doctest/doctest.h>

#include <charconv>
#include <cmath>
#include <random>
#include <sstream>

using namespace stoutloom;

namespace {

std::size_t pick(std::mt19937_64& source, std::size_t count) {
    return std::uniform_int_distribution<std::size_t>(0, count - 1)(source);
}
double real(std::mt19937_64& source, double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(source);
}

std::string expression(const std::vector<std::pair<double, std::string>>& terms) {
    std::string text;
    for (const auto& [factor, name] : terms)
        if (factor != 0)
            text += fmt::format(" {} {:.12g} {}\n", factor < 0 ? '-' : '+', std::abs(factor), name);
    return text;
}

/// The programme in the LP format: x3_2 = 1 means that variable 3 takes its option 2. Costs in whole steps.
std::string programme(const std::vector<size::Variable>& variables, const std::vector<size::Row>& rows) {
    using Terms = std::vector<std::pair<double, std::string>>;
    const auto name = [](std::size_t i, std::size_t o) { return fmt::format("x{}_{}", i, o); };
    Terms objective;
    std::string ones, binaries;
    for (std::size_t i = 0; i < variables.size(); ++i) {
        Terms one;
        for (std::size_t o = 0; o < variables[i].cost.size(); ++o) {
            objective.emplace_back(static_cast<double>(variables[i].cost[o]), name(i, o));
            one.emplace_back(1, name(i, o));
            binaries += " " + name(i, o) + "\n";
        }
        ones += fmt::format(" one{}:\n{} = 1\n", i, expression(one));
    }
    std::string limits;
    for (std::size_t r = 0; r < rows.size(); ++r) {
        Terms terms;
        for (const size::Term& term : rows[r].terms)
            for (std::size_t o = 0; o < term.amount.size(); ++o)
                terms.emplace_back(1000 * term.amount[o], name(term.variable, o));
        if (const std::string text = expression(terms); !text.empty())
            limits += fmt::format(" row{}:\n{} <= {:.12g}\n", r, text, 1000 * rows[r].limit);
    }
    return "Minimize\n cost:\n" + expression(objective) + "Subject To\n" + ones + limits + "Binary\n" +
           binaries + "End\n";
}

/// A cheapest choice; nothing if there is none. Fails the test if the solver does not come to an end.
std::optional<size::Assignment> least_by_glpsol(const std::vector<size::Variable>& variables,
                                                const std::vector<size::Row>& rows,
                                                const testing::TemporaryFolder& folder) {
    const std::string model = folder.file("choice.lp", programme(variables, rows));
    const std::string answer = folder.path() + "/choice.sol";
    const testing::Ran ran =
        testing::run({"glpsol", "--lp", model, "--cuts", "--tmlim", "60", "--write", answer});
    REQUIRE_MESSAGE(ran.exit_code == 0, ran.out);
    // "s mip ROWS COLUMNS STATUS OBJECTIVE", then "j COLUMN VALUE" for each in the order of the objective.
    std::istringstream lines(testing::file_text(answer));
    std::vector<bool> taken;
    std::string status;
    for (std::string line; std::getline(lines, line);) {
        std::istringstream words(line);
        std::string kind, second, third;
        words >> kind >> second >> third;
        if (kind == "s")
            words >> third >> status;
        if (kind == "j")
            taken.push_back(third == "1");
    }
    if (status == "n" || ran.out.find("HAS NO") != std::string::npos)
        return std::nullopt;
    REQUIRE_MESSAGE(status == "o", ran.out);
    size::Assignment choice;
    std::size_t column = 0;
    for (const size::Variable& variable : variables) {
        std::size_t option = variable.cost.size();
        for (std::size_t o = 0; o < variable.cost.size(); ++o)
            if (taken.at(column++))
                option = o;
        REQUIRE(option < variable.cost.size());
        choice.push_back(option);
    }
    return choice;
}

/// A trunk of posts with consumers on each, fed by one battery; the way back is metal. Nothing is protected
/// (accepted: protection would tie cables together by more than sums).
struct Trunk {
    std::string text;
    std::vector<std::vector<std::string>> ways; // cables between the battery and each consumer
    std::vector<double> limit_v;
};
Trunk random_trunk(std::mt19937_64& source) {
    Trunk trunk;
    trunk.text = R"(<harness xmlns="urn:stoutloom:harness:1" title="Trunk" nominal="12 V">
<zone id="z" ambient="40 degC"/>
<battery id="G2" capacity="100 Ah" cold-cranking="800 A"/>
<mass id="U1"><terminal id="a" stud="M10"/></mass>
<cable id="W0" section="120 mm2" insulation="C" length="0.3 m"><from at="G2.-"/><to at="U1.a"/></cable>
<duty id="load" engine="off" on="all"/>
<limit name="consumer-drop" value="60 %"/>
)";
    std::size_t cables = 0;
    std::vector<std::string> so_far;
    const auto cable = [&](const std::string& from, const std::string& to) {
        const std::string id = fmt::format("W{}", ++cables);
        trunk.text += fmt::format(
            R"(<cable id="{}" section="auto" insulation="B" length="{:.2f} m"><from at="{}"/><to at="{}"/></cable>)"
            R"(<accept rule="cable-unprotected" subject="{}" reason="sums only"/>)"
            "\n",
            id, real(source, 0.4, 6), from, to, id);
        return id;
    };
    const std::size_t posts = 2 + pick(source, 3);
    for (std::size_t p = 1; p <= posts; ++p) {
        trunk.text += fmt::format("<post id=\"X{}\" stud=\"M8\"/>\n", p);
        so_far.push_back(cable(p == 1 ? "G2.+" : fmt::format("X{}", p - 1), fmt::format("X{}", p)));
        for (std::size_t k = 0; k < 1 + pick(source, 2); ++k) {
            const std::string id = fmt::format("E{}{}", p, k);
            trunk.text += fmt::format(
                R"(<consumer id="{}" draw="{:.1f} A" runs="always" return="case" mass="U1"><terminal id="+" stud="M6"/></consumer>)"
                "\n",
                id, real(source, 3, 25));
            trunk.ways.push_back(so_far);
            trunk.ways.back().push_back(cable(fmt::format("X{}", p), id + ".+"));
            trunk.limit_v.push_back(std::round(100 * real(source, 0.12, 1.1)) / 100);
            trunk.text += fmt::format("<limit from=\"G2.+\" to=\"{}.+\" drop=\"{:.2f} V\"/>\n", id,
                                      trunk.limit_v.back());
        }
    }
    trunk.text += "</harness>\n";
    return trunk;
}

/// What each section loses and whether it may carry its current, from the solver and the check, with every
/// other cable at its largest (so that the loads get their volts).
struct Constants {
    std::vector<std::vector<double>> lost_v; // by choice, by option
    std::vector<std::vector<bool>> may;
};
Constants constants_of(const model::Harness& harness, const size::Choices& choices) {
    Constants made;
    size::Assignment probe;
    for (const size::Choice& choice : choices.list)
        probe.push_back(choice.options.size() - 1);
    for (std::size_t i = 0; i < choices.list.size(); ++i) {
        const size::Choice& choice = choices.list[i];
        made.lost_v.emplace_back();
        made.may.emplace_back();
        for (probe[i] = 0; probe[i] < choice.options.size(); ++probe[i]) {
            const model::Harness probed = size::applied(harness, choices, probe);
            const auto facts = check::gather(probed, check::Depth::healthy);
            const auto record = check::judge_all(facts);
            const auto& point = facts.at_worst->duties.at(0).point;
            // Not solved: the cable has no steady temperature.
            made.lost_v[i].push_back(point ? std::abs(point->cables[choice.index].drop_v) : 0);
            const auto refuses = [&](const check::Judgement& judgement) {
                return judgement.rule->slug == "cable-ampacity" &&
                       judgement.verdict != check::Verdict::passes && judgement.subjects.front() == choice.id;
            };
            made.may[i].push_back(point &&
                                  std::none_of(record.judgements.begin(), record.judgements.end(), refuses));
        }
        --probe[i];
    }
    return made;
}

std::vector<size::Row> rows_of(const Trunk& trunk, const size::Choices& choices, const Constants& constants) {
    std::vector<size::Row> rows;
    const auto choice_of = [&](const std::string& id) {
        for (std::size_t i = 0; i < choices.list.size(); ++i)
            if (choices.list[i].id == id)
                return i;
        throw std::logic_error("no choice " + id);
    };
    for (std::size_t w = 0; w < trunk.ways.size(); ++w) {
        size::Row row{.terms = {}, .limit = trunk.limit_v[w], .why = {}};
        for (const std::string& id : trunk.ways[w])
            row.terms.push_back({choice_of(id), constants.lost_v[choice_of(id)]});
        rows.push_back(std::move(row));
    }
    for (std::size_t i = 0; i < constants.may.size(); ++i) {
        size::Row row{.terms = {{i, {}}}, .limit = 0.5, .why = {}};
        for (const bool may : constants.may[i])
            row.terms.front().amount.push_back(may ? 0 : 1);
        rows.push_back(std::move(row));
    }
    return rows;
}

/// Costs in whole grams, tenths of them: what a choice's cost is a thousand times of.
std::vector<size::Variable> in_steps(std::vector<size::Variable> variables) {
    for (size::Variable& variable : variables)
        for (std::int64_t& cost : variable.cost)
            cost /= size::cost_scale;
    return variables;
}

} // namespace

TEST_CASE("the least copper of trunks with branches is what a solver of integer programmes finds") {
    REQUIRE_MESSAGE(testing::have_program("glpsol"), "glpsol is not installed: sh .ci/setup test");
    const testing::TemporaryFolder folder;
    auto source = testing::random_source("size against glpsol");
    int found = 0, none = 0;
    std::size_t cables = 0;
    for (int round = 0; round < 25; ++round) {
        const Trunk trunk = random_trunk(source);
        INFO(trunk.text);
        const auto got = read::read_text("trunk.xml", trunk.text);
        REQUIRE(got);
        const auto choices = size::choices_of(got->harness, size::marked(got->harness));
        REQUIRE(choices);
        const auto variables = in_steps(choices->variables());
        const auto rows = rows_of(trunk, *choices, constants_of(got->harness, *choices));
        const auto expected = least_by_glpsol(variables, rows, folder);
        const auto sizing = size::size_kit(
            got->harness, {.too_small = false, .sensitivity = false, .relaxations = false, .limits = {}});
        REQUIRE(sizing.has_value() == expected.has_value());
        (expected ? found : none) += 1;
        if (!expected)
            continue;
        cables += variables.size();
        REQUIRE(sizing->proven);
        const auto judged = size::Judge(got->harness, *choices).judge(*expected);
        for (const check::Judgement* obstacle : judged->obstacles)
            MESSAGE("the solver's choice breaks ", obstacle->rule->slug, ": ", obstacle->message);
        CHECK(size::cost_of(variables, sizing->assignment) == size::cost_of(variables, *expected));
    }
    MESSAGE(found, " kits of ", cables, " automatic cables agree, ", none, " impossible by both");
    CHECK(found > 15);
}

TEST_CASE("the cheapest choice under thirty drop limits is what a solver of integer programmes finds") {
    REQUIRE_MESSAGE(testing::have_program("glpsol"), "glpsol is not installed: sh .ci/setup test");
    const testing::TemporaryFolder folder;
    auto source = testing::random_source("rows against glpsol");
    const std::vector<double> sections = {1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120};
    for (int round = 0; round < 6; ++round) {
        // A trunk of ten pieces with two branches each: thirty variables, twenty rows.
        std::vector<size::Variable> variables;
        std::vector<size::Row> rows;
        std::vector<size::Term> trunk;
        const auto piece = [&](double current_a) {
            const double length_m = real(source, 0.3, 4);
            size::Variable variable{fmt::format("v{}", variables.size()), {}};
            size::Term term{variables.size(), {}};
            for (const double section : sections) {
                variable.cost.push_back(std::llround(88.9 * section * length_m));
                term.amount.push_back(current_a * 0.0185 * length_m / section);
            }
            variables.push_back(std::move(variable));
            return term;
        };
        for (int p = 0; p < 10; ++p) {
            trunk.push_back(piece(100 - 9.0 * p));
            for (int k = 0; k < 2; ++k) {
                size::Row row{.terms = trunk, .limit = real(source, 0.3, 0.9), .why = {}};
                row.terms.push_back(piece(real(source, 2, 12)));
                rows.push_back(std::move(row));
            }
        }
        const auto expected = least_by_glpsol(variables, rows, folder);
        size::Cheapest cheapest;
        size::CheapestQuestion question;
        question.variables = &variables;
        question.rows = &rows;
        const size::CheapestAnswer answer = cheapest.find(question);
        REQUIRE(answer.complete);
        REQUIRE(answer.choice.has_value() == expected.has_value());
        REQUIRE(expected);
        CHECK(answer.cost == size::cost_of(variables, *expected));
        MESSAGE((answer.cost / 10), " g in ", answer.effort.nodes, " nodes");
    }
}

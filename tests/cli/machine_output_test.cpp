// JSON and SARIF as a program reads them: valid against the schema, the keys that are promised, the
// standard's musts.
#include "testing/json_schema.h"
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace stoutloom::testing;
using Json = nlohmann::json;

namespace {
const std::string original = tree_path("harnesses/library-van-original.xml");
const std::string planned = tree_path("harnesses/library-van-planned.xml");

const SchemaCheck& schema() {
    static const SchemaCheck check(Json::parse(file_text(tree_path("schemas/check.schema.json"))));
    return check;
}

Json json_of(const std::vector<std::string>& files) {
    std::vector<std::string> words = {program(), "check", "--json", "-"};
    words.insert(words.end(), files.begin(), files.end());
    return Json::parse(run(words).out);
}
} // namespace

TEST_CASE("the JSON of every example kit follows its schema") {
    for (const std::string& path : files_below(tree_path("harnesses"), ".xml")) {
        if (path.find("/workboat") != std::string::npos)
            continue; // minutes under a sanitizer; read in tests/repo
        CAPTURE(path);
        CHECK(schema().complaint(json_of({path})) == "");
    }
    CHECK(schema().complaint(json_of({original, planned})) == "");
    CHECK(schema().complaint(json_of({original, "/no/such/file.xml"})) == "");
}

TEST_CASE("the schema refuses what is spoilt") {
    const Json good = json_of({original});
    REQUIRE(schema().complaint(good) == "");
    Json spoilt = good;
    spoilt["findings"][0]["severity"] = "fatal";
    CHECK(schema().complaint(spoilt) != "");
    spoilt = good;
    spoilt["duties"][0]["nodes"][0]["voltage_v"] = "12";
    CHECK(schema().complaint(spoilt) != "");
    spoilt = good;
    spoilt["cables"][0].erase("usable_a");
    CHECK(schema().complaint(spoilt) != "");
    spoilt = good;
    spoilt["extra"] = 1;
    CHECK(schema().complaint(spoilt) != "");
}

TEST_CASE("several files give an array in the order named and an unreadable one its refusals") {
    const Json all = json_of({planned, "/no/such/file.xml", original});
    REQUIRE(all.is_array());
    REQUIRE(all.size() == 3);
    CHECK(all[0]["file"] == planned);
    CHECK(all[0]["verdict"] == "no-errors");
    CHECK(all[1]["verdict"] == "unreadable");
    CHECK(all[2]["verdict"] == "errors");
    CHECK(all[2]["counts"]["errors"].get<int>() > 0);
}

TEST_CASE("text and JSON and SARIF count the same errors") {
    const Json json = json_of({original});
    std::size_t errors = 0;
    for (const Json& finding : json["findings"])
        errors += finding["severity"] == "error" ? 1U : 0U;
    CHECK(json["counts"]["errors"] == errors);
    const std::string text = run({program(), "check", "--brief", original}).out;
    CHECK(text.find(std::to_string(errors) + " error") != std::string::npos);
    const Json sarif = Json::parse(run({program(), "check", "--sarif", "-", original}).out);
    std::size_t levels = 0;
    for (const Json& result : sarif["runs"][0]["results"])
        levels += result["level"] == "error" ? 1U : 0U;
    CHECK(levels == errors);
    CHECK(sarif["runs"][0]["results"].size() == json["findings"].size());
}

TEST_CASE("findings point at a line that holds the subject") {
    const Json json = json_of({original});
    std::vector<std::string> lines;
    std::istringstream in(file_text(original));
    for (std::string line; std::getline(in, line);)
        lines.push_back(line);
    std::size_t seen = 0;
    for (const Json& finding : json["findings"]) {
        const std::size_t line = finding["line"].get<std::size_t>();
        REQUIRE(line >= 1);
        REQUIRE(line <= lines.size());
        CHECK(finding["column"].get<std::size_t>() >= 1);
        const std::string subject = finding["subjects"][0].get<std::string>();
        const std::string id = subject.substr(0, subject.find('.'));
        if (lines[line - 1].find("\"" + id + "\"") != std::string::npos)
            ++seen;
    }
    CHECK(seen * 2 > json["findings"].size()); // the others stand on a terminal's or a duty's line
}

TEST_CASE("currents into a terminal of the JSON add up") {
    // Kirchhoff's current law at a two-cable stud: what W1 brings to the fuse-link, W2 takes on.
    const Json json = json_of({planned});
    for (const Json& duty : json["duties"]) {
        double w1 = NAN, w2 = NAN;
        for (const Json& cable : duty["cables"]) {
            if (cable["id"] == "W1")
                w1 = cable["current_a"].get<double>();
            if (cable["id"] == "W2")
                w2 = cable["current_a"].get<double>();
        }
        CAPTURE(duty["id"]);
        CHECK(w1 == doctest::Approx(w2).epsilon(1e-6));
    }
}

TEST_CASE("SARIF has what the standard asks for") {
    // OASIS SARIF 2.1.0, section numbers from memory: 3.13.2 version, 3.14.6 tool, 3.18.2 driver, 3.19.8
    // name, 3.49.3 id, 3.27.11 message, 3.27.6 ruleIndex agrees with ruleId, 3.30.5 startLine from 1, 3.20.14
    // executionSuccessful, 3.35.2 kind.
    const Json log =
        Json::parse(run({program(), "check", "--sarif", "-", original, "/no/such.xml", planned}).out);
    CHECK(log["version"] == "2.1.0");
    CHECK(log["$schema"].get<std::string>().find("sarif-schema-2.1.0.json") != std::string::npos);
    REQUIRE(log["runs"].size() == 1);
    const Json& run = log["runs"][0];
    const Json& rules = run["tool"]["driver"]["rules"];
    CHECK(run["tool"]["driver"]["name"] == "stoutloom");
    CHECK(rules.size() >= 13);
    for (const Json& rule : rules) {
        CHECK(!rule["id"].get<std::string>().empty());
        CHECK(!rule["shortDescription"]["text"].get<std::string>().empty());
    }
    CHECK(run["artifacts"].size() == 3);
    CHECK(run["invocations"][0]["executionSuccessful"] == false);
    bool read_refusal = false;
    REQUIRE(run["results"].size() > 3);
    for (const Json& result : run["results"]) {
        const std::string id = result["ruleId"].get<std::string>();
        CHECK(rules.at(result["ruleIndex"].get<std::size_t>())["id"] == id);
        CHECK(!result["message"]["text"].get<std::string>().empty());
        const std::string level = result["level"].get<std::string>();
        CHECK((level == "error" || level == "warning" || level == "note"));
        const Json& place = result["locations"][0]["physicalLocation"];
        CHECK(place["region"]["startLine"].get<int>() >= 1);
        CHECK(place["region"]["startColumn"].get<int>() >= 1);
        const auto index = place["artifactLocation"]["index"].get<std::size_t>();
        CHECK(run["artifacts"].at(index)["location"]["uri"] == place["artifactLocation"]["uri"]);
        for (const Json& suppression : result.value("suppressions", Json::array()))
            CHECK(suppression["kind"] == "inSource");
        read_refusal = read_refusal || id.rfind("read/", 0) == 0;
    }
    CHECK(read_refusal);
}

TEST_CASE("a path in SARIF is a URI") {
    const TemporaryFolder folder;
    const std::string path = folder.file("two words & ü.xml", file_text(planned));
    const Json log = Json::parse(run({program(), "check", "--sarif", "-", path}).out);
    const std::string uri = log["runs"][0]["artifacts"][0]["location"]["uri"];
    CHECK(uri.rfind("file:///", 0) == 0); // RFC 8089
    CHECK(uri.find("two%20words%20%26%20%C3%BC.xml") != std::string::npos);
}

TEST_CASE("JSON goes to a file and the text still to standard output") {
    const TemporaryFolder folder;
    const std::string out = folder.path() + "/result.json";
    const Ran ran = run({program(), "check", planned, "--json", out});
    CHECK(ran.exit_code == 0);
    CHECK(ran.out.find("Cautions") != std::string::npos);
    CHECK(file_text(out) == run({program(), "check", planned, "--json", "-"}).out);
}

TEST_CASE("cable prints text or JSON and its code tells whether it carries") {
    const std::vector<std::string> words = {program(),   "cable",   "--current",    "175 A",
                                            "--length",  "4.2 m",   "--section",    "50 mm2",
                                            "--ambient", "60 degC", "--insulation", "C"};
    const Ran text = run(words);
    CHECK(text.exit_code == 0);
    CHECK(text.out.find("50 mm2") != std::string::npos);
    std::vector<std::string> with_json = words;
    with_json.emplace_back("--json");
    const Ran json = run(with_json);
    CHECK(json.exit_code == text.exit_code);
    const Json card = Json::parse(json.out);
    for (const std::string key :
         {"section_mm2", "resistance_ohm", "drop_v", "temperature_c", "ampacity_a", "usable_a"}) {
        CAPTURE(key);
        CHECK(card[key].is_number());
    }
    CHECK(card["section_mm2"] == 50.0);
    CHECK(card["usable_a"].get<double>() < card["ampacity_a"].get<double>());
    with_json.back() = "--json=-";
    CHECK(run(with_json).out == json.out);
    with_json.back() = "--json";
    with_json.emplace_back("-");
    CHECK(run(with_json).out == json.out);
    const Ran thin =
        run({program(), "cable", "--current", "175 A", "--section", "10 mm2", "--ambient", "-20 degC"});
    CHECK(thin.exit_code == 1);
}

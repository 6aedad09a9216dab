// `stoutloom size` from outside: what it writes differs from the file in the chosen values and in nothing
// else.
#include "testing/testing.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <filesystem>

using namespace stoutloom::testing;

namespace {

// Odd white space, comments and quotes on purpose.
const std::string kit =
    "<?xml version=\"1.0\"?>\r\n<!-- auto auto -->\n"
    "<harness  xmlns='urn:stoutloom:harness:1' title=\"auto &amp; auto\">\n"
    "\t<zone id=\"z\" ambient=\"40 degC\"/><battery id=\"G2\" capacity=\"90 Ah\" cold-cranking=\"700 A\"/>\n"
    "<generator id=\"G1\" return=\"isolated\"><output speed=\"idle\" cold=\"40 A\"/><output speed=\"rated\" "
    "cold=\"90 A\"/>\n<terminal id=\"B+\" stud = 'auto' booted=\"yes\"/><terminal stud=\"auto\" id=\"B-\"/>"
    "</generator>\n"
    "<fuse-link id=\"F1\" rating=\"auto\" breaking-capacity=\"6 kA\"/>\n"
    "<cable id=\"W1\" section=\"auto\" length=\"1.2 m\"> <from at=\"G1.B+\"/> <to lug=\"auto\" at=\"F1.b\"/> "
    "</cable>\n"
    "<cable section='auto' id=\"W2\" length=\"0.15 m\"> <from at=\"F1.a\"/> <to at=\"G2.+\"/> </cable>\n"
    "<cable id=\"W3\" section=\"auto\"   length=\"1 m\"> <from at=\"G2.-\"/> <to at=\"G1.B-\"/> </cable>\n"
    "</harness>\n<!-- end -->\n";

/// Puts each chosen value where the first `auto` in quotes that is left stands.
std::string filled(std::string text, const std::vector<std::string>& values) {
    std::size_t from = 0;
    for (const std::string& value : values) {
        std::size_t at = std::string::npos;
        for (const std::string quoted : {"\"auto\"", "'auto'"})
            at = std::min(at, text.find(quoted, from));
        REQUIRE(at != std::string::npos);
        text.replace(at + 1, 4, value);
        from = at + 1 + value.size();
    }
    return text;
}

} // namespace

TEST_CASE("sizing writes the chosen values and leaves every other byte as it was") {
    const TemporaryFolder folder;
    const std::string path = folder.file("kit.xml", kit), made = folder.path() + "/new.xml";
    const Ran ran = run({program(), "size", "--brief", "--json", "-", "--write", made, path});
    REQUIRE(ran.exit_code == 0);
    const auto json = nlohmann::json::parse(ran.out);
    std::map<std::string, std::string> chosen;
    for (const auto& one : json["chosen"])
        chosen[one["id"]] = one["text"];
    CHECK(chosen.size() == 7);
    CHECK(file_text(path) == kit);
    CHECK(file_text(made) == filled(kit, {chosen["G1.B+"], chosen["G1.B-"], chosen["F1"], chosen["W1"],
                                          chosen["W1 at F1.b"], chosen["W2"], chosen["W3"]}));
    CHECK(run({program(), "check", "--brief", made}).exit_code == 0);
}

TEST_CASE("sizing writes over its own file only when asked to") {
    const TemporaryFolder folder;
    const std::string path = folder.file("kit.xml", kit);
    CHECK(run({program(), "size", "--brief", "--write", path, path}).exit_code == 2);
    CHECK(file_text(path) == kit);
    CHECK(run({program(), "size", "--brief", "--write", path, "--in-place", path}).exit_code == 0);
    CHECK(file_text(path) != kit);
    CHECK(file_text(path).find("\"auto\"") == std::string::npos);
}

TEST_CASE("a failure asked of a part that the file lacks is told") {
    const TemporaryFolder folder;
    const Ran ran = run({program(), "size", "--brief", "--failures", "W1,W9", folder.file("kit.xml", kit)});
    CHECK(ran.exit_code == 2);
    CHECK(ran.err.find("the file has no part W9; did you mean") != std::string::npos);
}

namespace {

/// Two kits of one harness: W1, W2, F1 and the studs stand once for both, W3 is each kit's own.
std::string two_kits(const std::string& second_w3) {
    std::string text = kit;
    text.insert(text.rfind("</harness>"),
                "<variant id=\"near\"/><variant id=\"far\"><cable id=\"W3\" section=\"" + second_w3 +
                    "\" length=\"1.1 m\"><from at=\"G2.-\"/><to at=\"G1.B-\"/></cable></variant>");
    return text;
}

} // namespace

TEST_CASE("writing one kit's choice tells what it sets in other kits and does it only when told to") {
    const TemporaryFolder folder;
    const std::string path = folder.file("two.xml", two_kits("auto")), made = folder.path() + "/new.xml";
    const std::vector<std::string> words = {program(), "size",    "--brief", "--variant",
                                            "near",    "--write", made,      path};
    const Ran refused = run(words);
    CHECK(refused.exit_code == 2);
    CHECK(refused.err.find("values of kit far (W1, W2, F1") != std::string::npos);
    CHECK(refused.out.find("kit far: W1, W2, F1") != std::string::npos);
    CHECK_FALSE(std::filesystem::exists(made));
    std::vector<std::string> told = words;
    told.insert(told.end(), {"--shared", "--json", "-"});
    const Ran written = run(told);
    CHECK(written.exit_code == 0);
    const auto json = nlohmann::json::parse(written.out);
    REQUIRE(json["also_sets"].size() == 1);
    CHECK(json["also_sets"][0]["variant"] == "far");
    CHECK(json["also_sets"][0]["good"] == true);
    // The other kit's own cable is left to choose and can be chosen, as was told.
    const Ran rest = run({program(), "size", "--brief", "--variant", "far", "--json", "-", made});
    CHECK(rest.exit_code == 0);
    CHECK(nlohmann::json::parse(rest.out)["chosen"].size() == 1);
}

TEST_CASE("a kit that the written values spoil is told so") {
    const TemporaryFolder folder;
    const std::string made = folder.path() + "/new.xml";
    const Ran ran = run({program(), "size", "--brief", "--variant", "near", "--shared", "--write", made,
                         folder.file("two.xml", two_kits("1.5 mm2"))});
    CHECK(ran.exit_code == 0);
    CHECK(ran.out.find("not fit to build") != std::string::npos);
    CHECK(run({program(), "check", "--brief", "--variant", "far", made}).exit_code == 1);
}

TEST_CASE("a new file is written only where it finds the stock that it was sized from") {
    const TemporaryFolder folder;
    std::string text = kit;
    text.insert(text.rfind("</harness>"), "<stock file=\"lists/ours.xml\"/>");
    const std::string path = folder.file("kit.xml", text), other = folder.path() + "/other";
    const std::string stock = "<stock xmlns=\"urn:stoutloom:harness:1\"><conductor section=\"16 mm2\"/>"
                              "<conductor section=\"50 mm2\"/></stock>";
    for (const std::string sub : {"/lists", "/other", "/other/lists"})
        std::filesystem::create_directory(folder.path() + sub);
    (void)folder.file("lists/ours.xml", stock);
    const auto write_to = [&](const std::string& where) {
        return run({program(), "size", "--brief", "--write", where, path});
    };
    const std::string beside = folder.path() + "/new.xml", away = other + "/new.xml";
    CHECK(write_to(beside).exit_code == 0);
    CHECK(run({program(), "check", "--brief", beside}).exit_code == 0);
    const auto refused = [&](const std::string& why) {
        const Ran ran = write_to(away);
        CAPTURE(ran.err);
        CHECK(ran.exit_code == 2);
        CHECK(ran.err.find(why) != std::string::npos);
        CHECK(ran.err.find("or put a copy of " + folder.path() + "/lists/ours.xml there first") !=
              std::string::npos);
        CHECK_FALSE(std::filesystem::exists(away));
    };
    refused(other + "/lists/ours.xml, and no such file can be read; write it beside " + path);
    (void)folder.file("other/lists/ours.xml", stock + "<!-- of last year -->");
    refused(other + "/lists/ours.xml, and that is another stock");
    (void)folder.file("other/lists/ours.xml", stock);
    CHECK(write_to(away).exit_code == 0);
    CHECK(file_text(away) == file_text(beside));
    CHECK(run({program(), "check", "--brief", away}).exit_code == 0);
    CHECK(write_to("-").exit_code == 0); // where that goes is not known
}

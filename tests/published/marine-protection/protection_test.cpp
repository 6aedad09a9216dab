// The marine standards' figures for place and breaking capacity, asked of the rules that use them.
#include "check/check.h"
#include "published/tables.h"
#include "read/read.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

namespace stoutloom {
namespace {

check::CheckRecord record_of(const read::ReadHarness& file, check::Facts& facts) {
    facts = check::gather(file.harness, check::Depth::healthy);
    return check::judge_all(facts);
}

read::ReadHarness kit(const std::string& profile, const std::string& body) {
    auto file = read::read_text(
        "bench.xml", fmt::format("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<harness "
                                 "xmlns=\"urn:stoutloom:harness:1\" title=\"Bench\" profile=\"{}\">\n<zone "
                                 "id=\"shop\" ambient=\"20 degC\"/>\n{}</harness>\n",
                                 profile, body));
    REQUIRE(file.has_value());
    return std::move(*file);
}

/// Battery, cables of 35 mm2 to a fuse-link of 100 A, a load behind it.
std::string fused_after(const std::string& condition, double metres) {
    const bool post = condition == "sheathed-from-post";
    const std::string sheath = condition == "bare" ? "" : " sheathed=\"yes\"";
    const auto cable = [&](const std::string& id, const std::string& from, const std::string& to,
                           double length_m) {
        return fmt::format("<cable id=\"{}\" section=\"35 mm2\" length=\"{:.4f} m\" zone=\"shop\"{}><from "
                           "at=\"{}\"/><to at=\"{}\"/></cable>\n",
                           id, length_m, sheath, from, to);
    };
    constexpr double first_m = 0.1;
    std::string body = "<battery id=\"G2\" capacity=\"95 Ah\" cold-cranking=\"600 A\"/>\n"
                       "<fuse-link id=\"F1\" type=\"stud-cube\" rating=\"100 A\"/>\n"
                       "<consumer id=\"E1\" draw=\"10 A\"><terminal id=\"+\" stud=\"M8\"/><terminal id=\"-\" "
                       "stud=\"M8\"/></consumer>\n";
    if (post)
        body += "<post id=\"X1\" stud=\"M8\"/>\n" + cable("W0", "G2.+", "X1", first_m);
    body += cable("W1", post ? "X1" : "G2.+", "F1.a", post ? metres - first_m : metres);
    return body + cable("W2", "F1.b", "E1.+", 1) + cable("W3", "E1.-", "G2.-", 1);
}

bool passes(const check::CheckRecord& record, std::string_view slug, const std::string& subject) {
    bool asked = false;
    bool good = true;
    for (const check::Judgement& one : record.judgements)
        if (one.rule->slug == slug && one.subjects.front() == subject) {
            asked = true;
            good = good && one.verdict == check::Verdict::passes;
        }
    REQUIRE_MESSAGE(asked, slug, " ", subject);
    return good;
}

} // namespace

TEST_CASE("a fuse-link stands as near the source as the marine standards ask") {
    int rows = 0;
    for (const published::Row& row : published::rows_of("marine-protection")) {
        if (row.text("kind") != "location")
            continue;
        ++rows;
        CAPTURE(row.text("condition"));
        const double limit_m = row.number("figure") * (row.text("unit") == "in" ? 0.0254 : 0.001);
        check::Facts facts;
        const auto near = kit(row.text("profile"), fused_after(row.text("condition"), 0.99 * limit_m));
        CHECK(passes(record_of(near, facts), "cable-unprotected", "W1"));
        const auto far = kit(row.text("profile"), fused_after(row.text("condition"), 1.01 * limit_m));
        CHECK_FALSE(passes(record_of(far, facts), "cable-unprotected", "W1"));
    }
    CHECK(rows == 4);
}

TEST_CASE("the table's demand on breaking capacity goes by the bank's cranking amperes") {
    int rows = 0;
    for (const published::Row& row : published::rows_of("marine-protection")) {
        if (row.text("kind") != "interrupt")
            continue;
        ++rows;
        CAPTURE(row.text("condition"));
        const auto file = kit(
            row.text("profile"),
            fmt::format("<battery id=\"G2\" capacity=\"95 Ah\" cold-cranking=\"{} A\"/>\n",
                        row.text("condition")) +
                "<fuse-link id=\"F1\" type=\"stud-cube\" rating=\"100 A\"/>\n"
                "<fuse-link id=\"F2\" type=\"C\" rating=\"15 A\"/>\n"
                "<consumer id=\"E1\" draw=\"5 A\"><terminal id=\"+\" stud=\"M8\"/><terminal id=\"-\" "
                "stud=\"M8\"/></consumer>\n"
                "<cable id=\"W1\" section=\"35 mm2\" length=\"0.1 m\" zone=\"shop\"><from "
                "at=\"G2.+\"/><to at=\"F1.a\"/></cable>\n"
                "<cable id=\"W2\" section=\"35 mm2\" length=\"1 m\" zone=\"shop\"><from at=\"F1.b\"/><to "
                "at=\"F2.a\"/></cable>\n"
                "<cable id=\"W3\" section=\"2.5 mm2\" length=\"1 m\" zone=\"shop\"><from at=\"F2.b\"/><to "
                "at=\"E1.+\"/></cable>\n"
                "<cable id=\"W4\" section=\"2.5 mm2\" length=\"1 m\" zone=\"shop\"><from at=\"E1.-\"/><to "
                "at=\"G2.-\"/></cable>\n");
        check::Facts facts;
        const check::CheckRecord record = record_of(file, facts);
        int answers = 0;
        for (const check::Judgement& one : record.judgements) {
            if (one.rule->slug != "fuse-breaking-capacity")
                continue;
            ++answers;
            CHECK(one.values.at("table_demand_a") ==
                  (one.subjects.front() == "F1" ? row.number("figure") : row.number("branch_a")));
        }
        CHECK(answers == 2);
    }
    CHECK(rows == 4);
}

} // namespace stoutloom

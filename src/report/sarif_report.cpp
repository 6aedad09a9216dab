// The findings for editors and build servers: OASIS SARIF 2.1.0 (Errata 01), one run, one result per finding.
#include "report/report.h"

#include "report/digest.h"
#include "report/json_words.h"
#include "report/words.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <map>
#include <set>

namespace stoutloom::report {
namespace {

using Json = nlohmann::ordered_json;

// RFC 3986: everything but unreserved characters and the path's slashes is escaped.
std::string uri_of(const std::string& path) {
    std::string uri = path.starts_with('/') ? "file://" : "";
    for (const char c : path) {
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                           c == '/' || c == '-' || c == '.' || c == '_' || c == '~';
        if (plain)
            uri += c;
        else
            uri += fmt::format("%{:02X}", static_cast<unsigned char>(c));
    }
    return uri;
}

// SARIF knows four levels; ours are three of them.
std::string level_of(check::Severity severity) {
    switch (severity) {
    case check::Severity::error:
        return "error";
    case check::Severity::warning:
        return "warning";
    case check::Severity::note:
        return "note";
    }
    return "error";
}

Json region(const base::SourceText& source, base::Span span) {
    const base::Position begin = source.position(span.begin),
                         end = source.position(std::max(span.end, span.begin));
    return {{"startLine", begin.line},
            {"startColumn", begin.column},
            {"endLine", end.line},
            {"endColumn", end.column}};
}

Json location(const base::SourceText& source, base::Span span, std::size_t artifact) {
    return {{"physicalLocation",
             {{"artifactLocation", {{"uri", uri_of(source.path())}, {"index", artifact}}},
              {"region", region(source, span)}}}};
}

/// The run's rules in the order of the catalogue, then those that no catalogue has: refusals of the reader.
class Rules {
  public:
    Rules() {
        for (const check::Rule* rule : check::all_rules())
            add(*rule);
        add(duty_unsolved_rule());
    }
    std::size_t index(const std::string& id, const std::string& sentence) {
        if (const auto known = index_.find(id); known != index_.end())
            return known->second;
        list_.push_back({{"id", id},
                         {"shortDescription", {{"text", sentence}}},
                         {"defaultConfiguration", {{"level", "error"}}}});
        index_[id] = list_.size() - 1;
        return list_.size() - 1;
    }
    const Json& list() const { return list_; }

  private:
    void add(const check::Rule& rule) {
        index_[std::string(rule.slug)] = list_.size();
        list_.push_back({{"id", rule.slug},
                         {"shortDescription", {{"text", rule.asks}}},
                         {"fullDescription", {{"text", rule.explanation}}},
                         {"help", {{"text", fmt::format("{} Source: {}.", rule.cure, rule.source)}}},
                         {"defaultConfiguration", {{"level", level_of(rule.usual)}}},
                         {"properties", {{"source", rule.source}}}});
    }
    Json list_ = Json::array();
    std::map<std::string, std::size_t> index_;
};

Json result(const Checked& checked, const check::Judgement& judgement, std::size_t artifact, Rules& rules) {
    const std::string slug(judgement.rule->slug);
    const std::string cure = judgement.cure.empty() ? std::string(judgement.rule->cure) : judgement.cure;
    Json place = location(*checked.source, judgement.span, artifact);
    place["logicalLocations"] = Json::array();
    for (const std::string& subject : judgement.subjects)
        place["logicalLocations"].push_back({{"name", subject}});
    Json one;
    one["ruleId"] = slug;
    one["ruleIndex"] = rules.index(slug, std::string(judgement.rule->asks));
    one["level"] = level_of(judgement.severity);
    one["message"] = {{"text", cure.empty() ? judgement.message : judgement.message + " Cure: " + cure}};
    one["locations"] = Json::array({place});
    // Line numbers move; the rule, its subjects and the duty say which finding it is.
    one["partialFingerprints"] = {
        {"findingSubjects/v1",
         sha256_hex(fmt::format("{}|{}|{}{}", slug, joined(judgement.subjects, ","), judgement.duty,
                                checked.harness->variant.empty() ? "" : "|" + checked.harness->variant))}};
    Json properties = {{"verdict", verdict_word(judgement.verdict)}};
    if (!checked.harness->variant.empty())
        properties["variant"] = checked.harness->variant;
    if (!judgement.duty.empty())
        properties["duty"] = judgement.duty;
    if (judgement.has_figures && std::isfinite(judgement.computed) && std::isfinite(judgement.limit)) {
        properties["computed"] = rounded_for_json(judgement.computed);
        properties["limit"] = rounded_for_json(judgement.limit);
        properties["unit"] = judgement.unit;
        properties["limitSource"] = judgement.limit_source;
    }
    one["properties"] = std::move(properties);
    if (judgement.accepted)
        one["suppressions"] =
            Json::array({{{"kind", "inSource"}, {"justification", judgement.accepted_reason}}});
    return one;
}

Json refusal(const base::SourceText& source, const base::Diagnostic& mistake, std::size_t artifact,
             Rules& rules) {
    const std::string id = "read/" + mistake.slug;
    Json one;
    one["ruleId"] = id;
    one["ruleIndex"] = rules.index(id, "The file must be a harness file that can be read without doubt.");
    one["level"] = "error";
    one["message"] = {
        {"text", mistake.mend.empty() ? mistake.message : mistake.message + "; " + mistake.mend}};
    one["locations"] = Json::array({location(source, mistake.span, artifact)});
    return one;
}

} // namespace

std::string check_sarif(const std::vector<Checked>& checked) {
    Rules rules;
    Json results = Json::array(), artifacts = Json::array();
    bool all_read = true;
    for (const Checked& one : checked) {
        const std::size_t artifact = artifacts.size();
        Json about = {{"location", {{"uri", uri_of(one.source->path())}}}, {"mimeType", "application/xml"}};
        if (!one.source->text().empty())
            about["hashes"] = {{"sha-256", sha256_hex(one.source->text())}};
        artifacts.push_back(std::move(about));
        if (one.mistakes != nullptr) {
            all_read = false;
            for (const base::Diagnostic& mistake : *one.mistakes)
                results.push_back(refusal(*one.source, mistake, artifact, rules));
        }
        for (const check::Judgement& judgement : findings(one))
            results.push_back(result(one, judgement, artifact, rules));
    }
    Json run;
    run["tool"] = {{"driver",
                    {{"name", "stoutloom"},
                     {"version", STOUTLOOM_VERSION},
                     {"semanticVersion", STOUTLOOM_VERSION},
                     {"rules", rules.list()}}}};
    run["invocations"] = Json::array({{{"executionSuccessful", all_read}}});
    run["columnKind"] = "unicodeCodePoints";
    run["artifacts"] = std::move(artifacts);
    run["results"] = std::move(results);
    const Json log = {
        {"$schema",
         "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"},
        {"version", "2.1.0"},
        {"runs", Json::array({run})}};
    return log.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace stoutloom::report

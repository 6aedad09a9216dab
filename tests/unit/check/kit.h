// Small harness files for the tests of this folder: a few lines of XML, read like any file.
#pragma once

#include "check/check.h"
#include "read/read.h"

#include <doctest/doctest.h>

#include <memory>
#include <string>

namespace stoutloom::testing {

inline std::string kit_text(const std::string& body) {
    return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<harness xmlns=\"urn:stoutloom:harness:1\" "
           "title=\"Bench\">\n"
           "<zone id=\"shop\" ambient=\"20 degC\"/>\n" +
           body + "</harness>\n";
}

inline model::Harness kit(const std::string& body) {
    auto file = read::read_text("bench.xml", kit_text(body));
    if (!file)
        for (const base::Diagnostic& mistake : file.error().mistakes)
            MESSAGE(base::shown(mistake, file.error().source));
    REQUIRE(file.has_value());
    return std::move(file->harness);
}

inline std::string cable(const std::string& id, const std::string& section, const std::string& from,
                         const std::string& to, const std::string& length, const std::string& more = {}) {
    return "<cable id=\"" + id + "\" section=\"" + section + "\" length=\"" + length + "\" zone=\"shop\" " +
           more + "><from at=\"" + from + "\"/><to at=\"" + to + "\"/></cable>\n";
}

inline const std::string battery =
    "<battery id=\"G2\" zone=\"shop\" capacity=\"100 Ah\" emf=\"12.5 V\" resistance=\"5 mohm\"/>\n";
inline const std::string unit =
    "<generator id=\"G1\" zone=\"shop\" return=\"isolated\"><output speed=\"rated\" cold=\"90 A\" "
    "hot=\"80 A\"/><terminal id=\"B+\" stud=\"M8\"/><terminal id=\"B-\" stud=\"M10\"/>"
    "<terminal id=\"L\" stud=\"blade 6.3\"/></generator>\n";

/// Judgements of one rule that are findings.
inline std::vector<const check::Judgement*> findings(const check::CheckRecord& record,
                                                     std::string_view slug) {
    std::vector<const check::Judgement*> found;
    for (const check::Judgement* finding : record.findings())
        if (finding->rule->slug == slug)
            found.push_back(finding);
    return found;
}

} // namespace stoutloom::testing

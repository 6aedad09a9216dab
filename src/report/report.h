// Words and pages: text, JSON, SARIF, deck, the diagram's words. Views of one check; nothing is computed
// twice.
#pragma once

#include "base/diagnostic.h"
#include "base/source.h"
#include "check/check.h"
#include "layout/diagram.h"
#include "report/phrases.h"

#include <string>
#include <vector>

namespace stoutloom::report {

/// One checked file: what every view is made from. A file that could not be read has only its
/// source (the path, the text if there was any) and the mistakes.
struct Checked {
    const base::SourceText* source = nullptr;
    const model::Harness* harness = nullptr;
    const check::Facts* facts = nullptr;
    const check::CheckRecord* record = nullptr;
    const std::vector<base::Diagnostic>* mistakes = nullptr;
};

/// What stands against the harness. A duty without an operating point is an error, whatever the rules say.
std::vector<check::Judgement> findings(const Checked& checked);
struct Tally {
    std::size_t errors = 0, warnings = 0, notes = 0; // findings
    std::size_t passes = 0, judgements = 0;
    bool clean() const { return errors == 0 && judgements > 0; } // silence is not a pass
};
Tally tally(const Checked& checked);
/// The safeguard behind the duties without an operating point: a rule that is not in the catalogue.
const check::Rule& duty_unsolved_rule();
/// "2 errors, 1 warning"; "nothing found".
std::string tally_words(const Tally& tally);

/// The report for people: findings (file:line:column, slug, computed against limit and from where, cure),
/// table of cables, balance of the battery by duty, defaults taken, what was not checked, cautions, verdict.
struct TextOptions {
    bool every_judgement = false; // passes too: the record of the check
    bool brief = false;           // findings and verdict only
};
/// Lines of at most 100 characters but for paths and the author's own words. A file that could not be read
/// gives its refusals.
std::string check_text(const Checked& checked, const TextOptions& options);
/// The whole result as JSON after schemas/check.schema.json; one file gives an object, several an array.
std::string check_json(const std::vector<Checked>& checked);
/// OASIS SARIF 2.1.0.
std::string check_sarif(const std::vector<Checked>& checked);

/// The usual cautions, in the order of importance, and what this program does not check. Every paper prints
/// them.
const std::vector<std::string>& cautions();
const std::vector<std::string>& not_checked();

/// Finished words for the harness diagram.
layout::DiagramContent diagram_content(const Checked& checked, layout::Sheet sheet,
                                       Language language = Language::english);

/// `stoutloom explain SLUG`: a rule's question, source, formula with numbers, what to do.
std::string explain_rule(const check::Rule& rule);
std::string explain_all();
/// `stoutloom explain FILE CABLE`: the cable's figures with formula, numbers and sources.
std::string explain_cable(const Checked& checked, model::CableIndex index);

} // namespace stoutloom::report

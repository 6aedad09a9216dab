// One function per command, and what they share: reading and judging a file, and writing where it is safe to
// write.
#pragma once

#include "base/outcome.h"
#include "cli/arguments.h"
#include "read/read.h"
#include "report/report.h"

#include <memory>
#include <string>
#include <vector>

namespace stoutloom::cli {

constexpr int exit_clean = 0, exit_errors = 1, exit_trouble = 2;

struct Command {
    const Grammar* grammar;
    int (*run)(const Arguments& arguments);
};
/// In the order of the help text.
const std::vector<Command>& commands();

extern const Grammar check_grammar, cable_grammar, draw_grammar, deck_grammar, explain_grammar, size_grammar,
    pack_grammar, compare_grammar, protect_grammar;
int run_check(const Arguments& arguments);
int run_cable(const Arguments& arguments);
int run_draw(const Arguments& arguments);
int run_deck(const Arguments& arguments);
int run_explain(const Arguments& arguments);
int run_pack(const Arguments& arguments);
int run_size(const Arguments& arguments);
int run_compare(const Arguments& arguments);
int run_protect(const Arguments& arguments);

/// A file read and, if it could be read, judged. Kept behind a pointer because the views point into it.
struct CheckedFile {
    base::SourceText source;
    std::vector<base::Diagnostic> mistakes;
    model::Harness harness;
    check::Facts facts;
    check::CheckRecord record;
    report::Checked view;
    bool read = false;
};
std::unique_ptr<CheckedFile> checked_file(const std::string& path);
/// Refusals of one file, as they go to standard error.
std::string refusal_text(const base::SourceText& source, const std::vector<base::Diagnostic>& mistakes);

/// Writes to standard output or a file. Refuses a path that is one of the inputs. 0 or exit_trouble.
int deliver(const std::string& path, std::string_view bytes, const std::vector<std::string>& inputs);
/// "stoutloom: error: check: ..." on standard error; returns exit_trouble.
int wrong_usage(const Grammar& grammar, std::string_view message);
int trouble(std::string_view message);
void say(std::string_view text); // to standard error

} // namespace stoutloom::cli

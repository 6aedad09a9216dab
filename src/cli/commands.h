// One function per command, and what they share: reading and judging a file, and writing where it is safe to
// write.
#pragma once

#include "base/outcome.h"
#include "cli/arguments.h"
#include "read/read.h"
#include "report/report.h"

#include <functional>
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

/// One kit of a file, read and, if it could be read, judged. Kept behind a pointer because the views point
/// into it.
struct CheckedFile {
    base::SourceText source;
    std::vector<base::Diagnostic> mistakes;
    model::Harness harness;
    check::Facts facts;
    check::CheckRecord record;
    report::Checked view;
    bool read = false;
};
using Kits = std::vector<std::unique_ptr<CheckedFile>>;
/// Every kit of the file, or the variant asked for, read but not judged; one without `read` when it cannot be
/// had.
Kits kits_of(const std::string& path, const std::string& variant);
/// Does one thing for each of so many, on all cores; what fails first in order is thrown.
void on_all_cores(std::size_t count, const std::function<void(std::size_t)>& one);
/// Solves and judges them, on all cores; the order stays.
void judge(const Kits& kits);
/// The kit of a command that takes one: with several and none named by --variant, usage is wrong. Nothing
/// after saying why.
std::unique_ptr<CheckedFile> one_kit(const Grammar& grammar, const Arguments& arguments,
                                     const std::string& path);
/// "X.pdf" for the only kit, "X-right-hand.pdf" for one of several.
std::string path_for(const std::string& path, const CheckedFile& kit, std::size_t kits);
/// The option that chooses among the kits of a file.
OptionRow variant_option(std::string_view help);
/// Refusals of one file, as they go to standard error.
std::string refusal_text(const base::SourceText& source, const std::vector<base::Diagnostic>& mistakes);

/// Writes to standard output or a file. Refuses a path that is one of the inputs. 0 or exit_trouble.
int deliver(const std::string& path, std::string_view bytes, const std::vector<std::string>& inputs);
/// "stoutloom: error: check: ..." on standard error; returns exit_trouble.
int wrong_usage(const Grammar& grammar, std::string_view message);
int trouble(std::string_view message);
void say(std::string_view text); // to standard error

} // namespace stoutloom::cli

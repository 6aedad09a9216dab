// What several test folders need: the tree's files, a temporary folder, running a program, a repeatable
// random source.
#pragma once

#include <cstdint>
#include <random>
#include <string>
#include <vector>

namespace stoutloom::testing {

/// Absolute path of a file of the tree: tree_path("harnesses/first-kit.xml").
std::string tree_path(const std::string& relative);
/// Whole text of a file; fails the test if it cannot be read.
std::string file_text(const std::string& path);
/// Regular files below a folder whose name ends so, sorted.
std::vector<std::string> files_below(const std::string& folder, const std::string& ending);
/// Lines of a CSV file as cells, comment lines (#) left out; quotes after RFC 4180.
std::vector<std::vector<std::string>> csv_rows(const std::string& path);

/// A folder of its own, removed at the end.
class TemporaryFolder {
  public:
    TemporaryFolder();
    ~TemporaryFolder();
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    const std::string& path() const { return path_; }
    std::string file(const std::string& name, const std::string& text) const;

  private:
    std::string path_;
};

/// Runs a program without a shell. `exit_code` is 128 + n after signal n.
struct Ran {
    int exit_code = -1;
    std::string out, err;
};
Ran run(const std::vector<std::string>& words, const std::string& input = {});
/// The program under test, from STOUTLOOM_PROGRAM.
std::string program();
bool have_program(const std::string& name); // on the PATH

/// Seeded from STOUTLOOM_SEED or --seed=N, otherwise from a fixed number; prints the seed when a case fails.
std::mt19937_64 random_source(const std::string& purpose);
void set_seed(std::uint64_t seed);

} // namespace stoutloom::testing

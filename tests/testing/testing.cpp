#include "testing/testing.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <fcntl.h>
#include <filesystem>
#include <fstream>
#include <poll.h>
#include <signal.h>
#include <sstream>
#include <sys/wait.h>
#include <unistd.h>

namespace stoutloom::testing {
namespace {
std::uint64_t& chosen_seed() {
    static std::uint64_t seed = [] {
        const char* text = std::getenv("STOUTLOOM_SEED");
        return text != nullptr ? std::strtoull(text, nullptr, 10) : std::uint64_t{20261125};
    }();
    return seed;
}
} // namespace

std::string tree_path(const std::string& relative) {
    return std::string(STOUTLOOM_TREE) + "/" + relative;
}

std::string file_text(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    REQUIRE_MESSAGE(in.good(), "cannot read ", path);
    std::ostringstream all;
    all << in.rdbuf();
    return all.str();
}

std::vector<std::string> files_below(const std::string& folder, const std::string& ending) {
    std::vector<std::string> found;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder))
        if (entry.is_regular_file() && entry.path().string().ends_with(ending))
            found.push_back(entry.path().string());
    std::sort(found.begin(), found.end());
    return found;
}

std::vector<std::vector<std::string>> csv_rows(const std::string& path) {
    std::vector<std::vector<std::string>> rows;
    std::istringstream in(file_text(path));
    std::string line;
    while (std::getline(in, line)) {
        if (!line.empty() && line.back() == '\r')
            line.pop_back();
        if (line.empty() || line[0] == '#')
            continue;
        std::vector<std::string> cells(1);
        bool quoted = false;
        for (std::size_t i = 0; i < line.size(); ++i) {
            const char c = line[i];
            if (quoted && c == '"' && i + 1 < line.size() && line[i + 1] == '"') {
                cells.back() += '"';
                ++i;
            } else if (c == '"') {
                quoted = !quoted;
            } else if (c == ',' && !quoted) {
                cells.emplace_back();
            } else {
                cells.back() += c;
            }
        }
        rows.push_back(std::move(cells));
    }
    return rows;
}

TemporaryFolder::TemporaryFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "stoutloom-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    path_ = name;
}

TemporaryFolder::~TemporaryFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
}

std::string TemporaryFolder::file(const std::string& name, const std::string& text) const {
    const std::string path = path_ + "/" + name;
    std::ofstream(path, std::ios::binary) << text;
    return path;
}

Ran run(const std::vector<std::string>& words, const std::string& input) {
    int in[2], out[2], err[2];
    REQUIRE(::pipe2(in, O_CLOEXEC) == 0);
    REQUIRE(::pipe2(out, O_CLOEXEC) == 0);
    REQUIRE(::pipe2(err, O_CLOEXEC) == 0);
    std::vector<char*> argv;
    for (const std::string& word : words)
        argv.push_back(const_cast<char*>(word.c_str()));
    argv.push_back(nullptr);
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        ::dup2(in[0], 0);
        ::dup2(out[1], 1);
        ::dup2(err[1], 2);
        ::execvp(argv[0], argv.data());
        ::_exit(127);
    }
    ::close(in[0]);
    ::close(out[1]);
    ::close(err[1]);
    Ran ran;
    std::size_t fed = 0;
    bool in_open = true, out_open = true, err_open = true;
    char buffer[65536];
    if (input.empty()) {
        ::close(in[1]);
        in_open = false;
    }
    ::signal(SIGPIPE, SIG_IGN);
    while (out_open || err_open) {
        pollfd wait[3] = {{out_open ? out[0] : -1, POLLIN, 0},
                          {err_open ? err[0] : -1, POLLIN, 0},
                          {in_open ? in[1] : -1, POLLOUT, 0}};
        if (::poll(wait, 3, -1) < 0)
            break;
        const auto take = [&](int fd, std::string& into, bool& open) {
            const ssize_t got = ::read(fd, buffer, sizeof buffer);
            if (got > 0)
                into.append(buffer, static_cast<std::size_t>(got));
            else
                open = false;
        };
        if (wait[0].revents != 0)
            take(out[0], ran.out, out_open);
        if (wait[1].revents != 0)
            take(err[0], ran.err, err_open);
        if (in_open && wait[2].revents != 0) {
            const ssize_t gave = ::write(in[1], input.data() + fed, input.size() - fed);
            if (gave > 0)
                fed += static_cast<std::size_t>(gave);
            if (gave <= 0 || fed == input.size()) {
                ::close(in[1]);
                in_open = false;
            }
        }
    }
    if (in_open)
        ::close(in[1]);
    ::close(out[0]);
    ::close(err[0]);
    int status = 0;
    ::waitpid(child, &status, 0);
    ran.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    return ran;
}

std::string program() {
    const char* path = std::getenv("STOUTLOOM_PROGRAM");
    REQUIRE_MESSAGE(path != nullptr, "STOUTLOOM_PROGRAM is not set; run through ctest or tests/run");
    return path;
}

bool have_program(const std::string& name) {
    const char* path = std::getenv("PATH");
    std::istringstream folders(path != nullptr ? path : "");
    std::string folder;
    while (std::getline(folders, folder, ':'))
        if (::access((folder + "/" + name).c_str(), X_OK) == 0)
            return true;
    return false;
}

std::mt19937_64 random_source(const std::string& purpose) {
    std::uint64_t mixed = chosen_seed();
    for (const char c : purpose)
        mixed = mixed * 1099511628211ULL + static_cast<unsigned char>(c);
    MESSAGE("seed ", chosen_seed(), " for ", purpose, " (repeat with --seed=", chosen_seed(), ")");
    return std::mt19937_64(mixed);
}

void set_seed(std::uint64_t seed) {
    chosen_seed() = seed;
}

} // namespace stoutloom::testing

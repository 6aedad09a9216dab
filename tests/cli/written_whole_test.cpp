// What is written is written whole or not at all: a process killed at any moment, a disk that is full, a
// folder that cannot be written to, links.
#include "testing/testing.h"

#include <doctest/doctest.h>

#include <chrono>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <set>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>

using namespace stoutloom::testing;

namespace {

/// A small kit with one cable to choose, made long by a comment, so that writing it takes a while.
std::string open_kit(std::size_t padding) {
    std::string text = file_text(tree_path("harnesses/first-kit.xml"));
    const std::size_t section = text.find("section=\"");
    text.replace(section + 9, text.find('"', section + 9) - section - 9, "auto");
    text.insert(text.rfind("</harness>"), "<!--" + std::string(padding, '.') + "-->\n");
    return text;
}

/// Starts `size --write PATH --in-place PATH` and kills it after a while; true if it was still running.
bool killed_after(const std::string& path, std::chrono::microseconds wait) {
    const pid_t child = ::fork();
    if (child == 0) {
        const std::string name = program();
        (void)!std::freopen("/dev/null", "w", stdout);
        (void)!std::freopen("/dev/null", "w", stderr);
        ::execl(name.c_str(), name.c_str(), "size", "--brief", "--write", path.c_str(), "--in-place",
                path.c_str(), nullptr);
        ::_exit(127);
    }
    std::this_thread::sleep_for(wait);
    ::kill(child, SIGKILL);
    int status = 0;
    ::waitpid(child, &status, 0);
    return WIFSIGNALED(status);
}

} // namespace

TEST_CASE("a sizing killed at any moment leaves the old file or the new one") {
    const TemporaryFolder folder;
    const std::string before = open_kit(300'000);
    const std::string path = folder.file("kit.xml", before);
    const auto start = std::chrono::steady_clock::now();
    REQUIRE(run({program(), "size", "--brief", "--write", path, "--in-place", path}).exit_code == 0);
    const auto whole =
        std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::steady_clock::now() - start);
    const std::string after = file_text(path);
    REQUIRE(after != before);
    constexpr int moments = 12;
    int killed = 0;
    for (int moment = 0; moment < moments; ++moment) { // closer together towards the end, where it writes
        std::ofstream(path, std::ios::binary | std::ios::trunc) << before;
        const double share = 1.05 * (1 - 0.5 * (moments - 1 - moment) * (moments - 1 - moment) / 121.0);
        killed += killed_after(path, std::chrono::microseconds(static_cast<std::int64_t>(
                                         static_cast<double>(whole.count()) * share)))
                      ? 1
                      : 0;
        const std::string now = file_text(path);
        CHECK((now == before || now == after));
    }
    MESSAGE("killed before the end: " << killed << " of " << moments); // how many is the machine's affair
}

TEST_CASE("a disk that takes no more leaves what was there and says so") {
    const TemporaryFolder folder;
    const std::string path = folder.file("kit.xml", open_kit(10)), made = folder.file("new.xml", "old");
    // A limit on the size of files stands for a full disk: write() fails half way.
    const Ran ran =
        run({"sh", "-c", "trap '' XFSZ; ulimit -f 1; exec \"$0\" size --brief --write \"$1\" \"$2\"",
             program(), made, path});
    CHECK(ran.exit_code == 2);
    CHECK(ran.err.find("cannot be written") != std::string::npos);
    CHECK(file_text(made) == "old");
    std::set<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(folder.path()))
        names.insert(entry.path().filename());
    CHECK(names == std::set<std::string>{"kit.xml", "new.xml"}); // nothing half written beside it
}

TEST_CASE("a link is followed and a folder is refused and the input is kept under any name") {
    const TemporaryFolder folder;
    const std::string before = open_kit(10), path = folder.file("kit.xml", before);
    const std::string link = folder.path() + "/link.xml", hard = folder.path() + "/hard.xml",
                      target = folder.file("target.xml", "old");
    std::filesystem::create_symlink("target.xml", folder.path() + "/to-target.xml");
    std::filesystem::create_symlink("kit.xml", link);
    std::filesystem::create_hard_link(path, hard);
    const auto write_to = [&](const std::string& where) {
        return run({program(), "size", "--brief", "--write", where, path});
    };
    CHECK(write_to(folder.path() + "/to-target.xml").exit_code == 0);
    CHECK(std::filesystem::is_symlink(folder.path() + "/to-target.xml"));
    CHECK(file_text(target) != "old");
    for (const std::string& same : {link, hard, path}) {
        const Ran ran = write_to(same);
        CHECK(ran.exit_code == 2);
        CHECK(ran.err.find("is the harness file itself") != std::string::npos);
    }
    const Ran into_folder = write_to(folder.path());
    CHECK(into_folder.exit_code == 2);
    CHECK(into_folder.err.find("is a directory") != std::string::npos);
    CHECK(write_to(folder.path() + "/none/new.xml").exit_code == 2);
    CHECK(file_text(path) == before);
}

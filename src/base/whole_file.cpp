#include "base/whole_file.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace stoutloom::base {
namespace {

/// Closes what it opened, whatever way the function is left.
class Descriptor {
  public:
    explicit Descriptor(int number) : number_(number) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (number_ >= 0)
            ::close(number_);
    }
    int number() const { return number_; }

  private:
    int number_;
};

tl::unexpected<FileRefusal> refused(const std::string& path, std::string_view what, std::string_view mend) {
    return failure(FileRefusal{.message = fmt::format("{}: error: {}; {}", path, what, mend),
                               .wrong = std::string(what),
                               .mend = std::string(mend)});
}

bool write_all(int descriptor, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t written = ::write(descriptor, bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR)
            continue;
        if (written <= 0)
            return false;
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    return true;
}

std::string reason() {
    return std::strerror(errno);
} // NOLINT(concurrency-mt-unsafe)

} // namespace

Outcome<std::string, FileRefusal> read_whole_file(const std::string& path, std::size_t limit_bytes) {
    const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK));
    if (file.number() < 0) {
        if (errno == ENOENT)
            return refused(path, "no such file", "check the name and the folder");
        return refused(path, fmt::format("cannot be opened: {}", reason()), "check its permissions");
    }
    struct stat about {};
    if (::fstat(file.number(), &about) != 0)
        return refused(path, reason(), "check the file system");
    if (S_ISDIR(about.st_mode))
        return refused(path, "is a directory", "name a harness file inside it");
    if (!S_ISREG(about.st_mode))
        return refused(path, "is not a regular file", "name a harness file");
    if (static_cast<std::size_t>(about.st_size) > limit_bytes)
        return refused(path,
                       fmt::format("is {} bytes long, more than the limit of {}", about.st_size, limit_bytes),
                       "split the harness or take out what is not part of it");
    std::string text;
    char buffer[65536];
    for (;;) {
        const ssize_t got = ::read(file.number(), buffer, sizeof buffer);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return refused(path, fmt::format("cannot be read: {}", reason()), "check its permissions");
        if (got == 0)
            break;
        text.append(buffer, static_cast<std::size_t>(got));
        if (text.size() > limit_bytes)
            return refused(path, "grew while it was read", "try again");
    }
    return text;
}

Outcome<void, FileRefusal> write_whole_file(const std::string& path, std::string_view bytes) {
    if (path == "-") {
        if (!write_all(STDOUT_FILENO, bytes))
            return refused("standard output", reason(), "check where it goes");
        return {};
    }
    struct stat about {};
    const bool exists = ::stat(path.c_str(), &about) == 0;
    if (exists && S_ISDIR(about.st_mode))
        return refused(path, "is a directory", "name a file inside it");
    if (exists && !S_ISREG(about.st_mode)) {
        const Descriptor device(::open(path.c_str(), O_WRONLY | O_CLOEXEC));
        if (device.number() < 0 || !write_all(device.number(), bytes))
            return refused(path, fmt::format("cannot be written: {}", reason()), "choose another place");
        return {};
    }
    // A link is followed, so that the file it names is replaced and the link stays.
    std::string target = path;
    char* const real = exists ? ::realpath(path.c_str(), nullptr) : nullptr;
    if (real != nullptr) {
        target = real;
        ::free(real); // NOLINT: realpath's own allocation
    }
    std::string temporary = target + ".XXXXXX";
    const Descriptor file(::mkostemp(temporary.data(), O_CLOEXEC));
    if (file.number() < 0)
        return refused(path, fmt::format("cannot be written: {}", reason()),
                       "check that the folder exists and is yours");
    const mode_t mask = ::umask(0);
    ::umask(mask);
    const mode_t mode = exists ? (about.st_mode & 07777U) : (0666U & ~mask);
    const bool done = write_all(file.number(), bytes) && ::fchmod(file.number(), mode) == 0 &&
                      ::fsync(file.number()) == 0 && ::rename(temporary.c_str(), target.c_str()) == 0;
    if (!done) {
        const std::string why = reason();
        ::unlink(temporary.c_str());
        return refused(path, fmt::format("cannot be written: {}", why),
                       "check the disk's free space and permissions");
    }
    return {};
}

} // namespace stoutloom::base

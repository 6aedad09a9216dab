// The kits of the files named on the command line: read in order, judged on all cores.
#include "cli/commands.h"

#include <fmt/format.h>

#include <atomic>
#include <functional>
#include <thread>

namespace stoutloom::cli {
namespace {

void judge_one(CheckedFile& kit) {
    kit.facts = check::gather(kit.harness);
    kit.record = check::judge_all(kit.facts);
    kit.view.facts = &kit.facts;
    kit.view.record = &kit.record;
}

} // namespace

Kits kits_of(const std::string& path, const std::string& variant) {
    Kits kits;
    auto got = read::read_kits(path, variant);
    if (!got) {
        kits.push_back(std::make_unique<CheckedFile>());
        CheckedFile& file = *kits.back();
        file.source = std::move(got.error().source);
        file.mistakes = std::move(got.error().mistakes);
        file.view = {.source = &file.source, .mistakes = &file.mistakes};
        return kits;
    }
    for (read::ReadHarness& one : *got) {
        kits.push_back(std::make_unique<CheckedFile>());
        CheckedFile& file = *kits.back();
        file.read = true;
        file.source = std::move(one.source);
        file.harness = std::move(one.harness);
        file.view = {.source = &file.source, .harness = &file.harness};
    }
    return kits;
}

void on_all_cores(std::size_t count, const std::function<void(std::size_t)>& one) {
    std::atomic<std::size_t> next = 0;
    std::vector<std::exception_ptr> trouble(count);
    const auto work = [&] {
        for (std::size_t i = next++; i < count; i = next++)
            try {
                one(i);
            } catch (...) {
                trouble[i] = std::current_exception();
            }
    };
    const std::size_t cores = std::max(1U, std::thread::hardware_concurrency());
    std::vector<std::thread> workers;
    for (std::size_t i = 1; i < std::min(cores, count); ++i)
        workers.emplace_back(work);
    work();
    for (std::thread& worker : workers)
        worker.join();
    for (const std::exception_ptr& each : trouble)
        if (each)
            std::rethrow_exception(each);
}

void judge(const Kits& kits) {
    on_all_cores(kits.size(), [&](std::size_t i) {
        if (kits[i]->read)
            judge_one(*kits[i]);
    });
}

std::unique_ptr<CheckedFile> one_kit(const Grammar& grammar, const Arguments& arguments,
                                     const std::string& path) {
    Kits kits = kits_of(path, arguments.value("--variant").value_or(""));
    if (!kits.front()->read) {
        say(refusal_text(kits.front()->source, kits.front()->mistakes));
        return nullptr;
    }
    if (kits.size() > 1) {
        std::string names;
        for (const auto& kit : kits)
            names += (names.empty() ? "" : ", ") + kit->harness.variant;
        wrong_usage(grammar, fmt::format("{} holds the kits {}; choose one with --variant", path, names));
        return nullptr;
    }
    judge(kits);
    return std::move(kits.front());
}

std::string path_for(const std::string& path, const CheckedFile& kit, std::size_t kits) {
    if (kits < 2 || path == "-")
        return path;
    const std::size_t dot = path.rfind('.');
    return path.substr(0, dot) + "-" + kit.harness.variant +
           (dot == std::string::npos ? "" : path.substr(dot));
}

OptionRow variant_option(std::string_view help) {
    return {.name = "--variant", .value = "ID", .help = help};
}

} // namespace stoutloom::cli

#include "rules.hpp"

#include <algorithm>
#include <regex>
#include <sstream>

namespace architecture {
namespace {

const std::set<std::string> kPure{"base", "codes", "records", "judge", "heat"};

/// "judge" of "src/judge/a.cpp" and of "include/holdwarden/judge/a.hpp"; empty for src/main.cpp.
std::string module_of(const std::string& path) {
    static const std::regex kPlace{"^(?:src|include/holdwarden)/([^/]+)/.*"};
    std::smatch found;
    return std::regex_match(path, found, kPlace) ? found[1].str() : std::string{};
}

/// The header an include line names, or empty.
std::string included(const std::string& line) {
    static const std::regex kInclude{R"(^\s*#\s*include\s*[<"]([^>"]+)[>"].*)"};
    std::smatch found;
    return std::regex_match(line, found, kInclude) ? found[1].str() : std::string{};
}

/// What is wrong with including `header` in `path`, or empty.
std::string include_offence(const std::string& path, const std::string& header) {
    const std::string module = module_of(path);
    if (header.find("..") != std::string::npos) {
        return "includes '" + header + "' by a relative path; write <holdwarden/MODULE/...>";
    }
    if (header.starts_with("holdwarden/") && !module.empty()) {
        const std::string other = module_of("include/" + header);
        if (!reach(arrows(), module).contains(other)) {
            return "module " + module + " may not include module " + other;
        }
    }
    if (header.starts_with("sqlite3") && !path.starts_with("src/store/")) {
        return "only src/store may include " + header;
    }
    if (header.starts_with("CLI/") && path != "src/cli/run.cpp") {
        return "only src/cli/run.cpp may include " + header;
    }
    static const std::set<std::string> kStreams{"iostream", "fstream", "cstdio", "stdio.h",
                                                "unistd.h"};
    const bool loader =
        path.starts_with("src/codes/load") || path.starts_with("src/codes/receiving");
    if (kPure.contains(module) && kStreams.contains(header) && !loader) {
        return "module " + module + " does no input or output, so it may not include <" + header +
               ">";
    }
    return {};
}

/// What is wrong with reading the clock in `path`, or empty. Time is an input below cli.
std::string clock_offence(const std::string& path, const std::string& line) {
    static const std::regex kClock{
        R"(system_clock\s*::\s*now|\bgettimeofday\s*\(|\bclock_gettime\s*\(|\btime\s*\(\s*(nullptr|NULL|0)\s*\))"};
    const bool above = path.starts_with("src/cli/") || path == "src/main.cpp";
    return !above && std::regex_search(line, kClock)
               ? "reads the clock; take the instant as an argument"
               : "";
}

} // namespace

const Arrows& arrows() {
    static const Arrows kArrows{
        {"base", {}},
        {"codes", {"base"}},
        {"records", {"base"}},
        {"seal", {"base"}},
        {"judge", {"codes", "records"}},
        {"heat", {"base"}},
        {"intake", {"records"}},
        {"store", {"records", "seal"}},
        {"sheets", {"judge", "heat", "seal"}},
        {"watch", {"judge", "heat", "intake"}},
        {"board", {"watch", "sheets"}},
        {"cli", {"board", "store"}},
    };
    return kArrows;
}

std::set<std::string> reach(const Arrows& all, const std::string& module) {
    if (!all.contains(module)) {
        return {};
    }
    std::set<std::string> reached{module};
    for (const std::string& next : all.at(module)) {
        reached.merge(reach(all, next));
    }
    return reached;
}

std::vector<std::string> offences(const std::string& path, std::string_view text) {
    std::vector<std::string> found;
    std::istringstream lines{std::string{text}};
    std::string line;
    for (int number = 1; std::getline(lines, line); ++number) {
        const std::string code = line.substr(0, line.find("//"));
        for (const std::string& offence :
             {include_offence(path, included(code)), clock_offence(path, code)}) {
            if (!offence.empty()) {
                found.push_back(path + ":" + std::to_string(number) + ": " + offence);
            }
        }
    }
    return found;
}

Arrows linked_modules(std::string_view cmake_text) {
    static const std::regex kModule{R"(^\s*holdwarden_module\(\s*([a-z]+)([^)]*)\))"};
    Arrows linked;
    std::istringstream lines{std::string{cmake_text}};
    for (std::string line; std::getline(lines, line);) {
        std::smatch found;
        if (!std::regex_search(line, found, kModule)) {
            continue;
        }
        std::set<std::string>& uses = linked[found[1].str()];
        std::istringstream words{found[2].str()};
        bool in_uses = false;
        for (std::string word; words >> word;) {
            if (std::all_of(word.begin(), word.end(),
                            [](char c) { return c >= 'A' && c <= 'Z'; })) {
                in_uses = word == "USES";
            } else if (in_uses) {
                uses.insert(word);
            }
        }
    }
    return linked;
}

} // namespace architecture

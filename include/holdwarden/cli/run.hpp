#pragma once

#include <holdwarden/base/instant.hpp>

#include <filesystem>
#include <functional>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// Everything a command may touch of the outside world, so that a test can stand in for it.
struct Context {
    std::istream& in;
    std::ostream& out;
    std::ostream& err;
    std::function<Instant()> now;
    std::function<std::optional<std::string>(const std::string& name)> env;
    std::filesystem::path data; ///< the folder that holds schema/ and reports/
    bool out_is_terminal = false;
    bool in_is_terminal = false;
};

/// Exit statuses: docs/commands.md.
inline constexpr int kDone = 0;
inline constexpr int kFailed = 1;
inline constexpr int kWrongUsage = 2;
inline constexpr int kNotMet = 10;
inline constexpr int kNotShown = 11;
inline constexpr int kOpen = 12;

/// Runs one command line (without the program's name). Never throws.
int run(const std::vector<std::string>& arguments, Context& context);

/// The process's own streams, clock and environment.
int run_process(int argc, char** argv);

} // namespace holdwarden::cli

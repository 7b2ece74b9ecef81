#pragma once

#include <holdwarden/cli/run.hpp>

#include <sstream>
#include <string>
#include <vector>

namespace holdwarden::test {

/// What one command line answers.
struct Said {
    int status = 0;
    std::string out;
    std::string err;
};

/// Runs a command line with `input` on standard input and the source tree's packs.
inline Said said(const std::vector<std::string>& arguments, const std::string& input = "") {
    std::istringstream in{input};
    std::ostringstream out;
    std::ostringstream err;
    cli::Context context{.in = in,
                         .out = out,
                         .err = err,
                         .now = [] { return Instant{}; },
                         .env = [](const std::string&) { return std::nullopt; },
                         .data = HOLDWARDEN_SOURCE_DIR};
    const int status = cli::run(arguments, context);
    return {status, out.str(), err.str()};
}

} // namespace holdwarden::test

#pragma once

#include <holdwarden/cli/run.hpp>

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// Where a command declares what it takes. A thin face over the argument parser, so that one file
/// alone compiles it. Targets must outlive the parse (keep them in the command's own shared options
/// struct).
class Arguments {
public:
    virtual ~Arguments() = default;

    /// A required positional argument.
    virtual void need(const std::string& name, std::string& into, const std::string& help) = 0;
    /// An optional positional argument.
    virtual void may(const std::string& name, std::string& into, const std::string& help) = 0;
    /// Any number of positional arguments.
    virtual void rest(const std::string& name, std::vector<std::string>& into,
                      const std::string& help) = 0;
    /// "--name VALUE".
    virtual void option(const std::string& name, std::string& into, const std::string& help) = 0;
    /// "--name VALUE", repeatable.
    virtual void options(const std::string& name, std::vector<std::string>& into,
                         const std::string& help) = 0;
    /// "--name".
    virtual void flag(const std::string& name, bool& into, const std::string& help) = 0;
    /// An example that runs, shown by --help.
    virtual void example(const std::string& line) = 0;
};

/// One command, or one with a second word ("probe add").
struct Command {
    std::string name; ///< "check", "probe add"
    std::string help; ///< one line, shown in lists
    std::function<void(Arguments&)> declare;
    std::function<int(Context&)> run; ///< returns the exit status; throws Error
    bool hidden = false; ///< for scripts and the build: not listed by --help nor in the manual
};

/// One maker per command file; commands.cpp lists them all: that list is the index of the program.
std::vector<Command> all_commands();

} // namespace holdwarden::cli

#pragma once

#include <holdwarden/cli/command.hpp>

#include <string>
#include <vector>

namespace holdwarden::cli {

/// One argument as its command declares it: what --help, the manual pages and completion all say.
struct DeclaredArgument {
    enum class Form { positional, option, flag };

    Form form = Form::option;
    std::string name; ///< "lot", "--at"
    std::string help;
    bool required = false;
    bool repeats = false;
};

/// One command as it declares itself.
struct DeclaredCommand {
    std::string name; ///< "check", "probe add"
    std::string help;
    bool hidden = false;
    std::vector<DeclaredArgument> arguments; ///< in the order declared
    std::vector<std::string> examples;
};

/// Asks `command` for its declarations without parsing anything.
DeclaredCommand declared(const Command& command);
/// Every command of the program, hidden ones included.
std::vector<DeclaredCommand> all_declared();

/// What an argument takes, told from its name: the same word means the same thing in every command.
enum class Takes {
    text,
    lot,
    any_lot, ///< also one that has ended
    unit,
    probe,
    person,
    stage,
    food,
    oven,
    unit_kind,
    pack,
    scale,
    rule,
    format,
    file,
    folder,
    temperature,
    time,
    date,
    length_of_time,
};

/// text, for a name that has no meaning of its own.
Takes what_it_takes(const std::string& argument);
/// "LOT", "TIME": how the value of "--NAME" is shown; the option's own word where it takes text.
std::string value_name(const std::string& argument);

} // namespace holdwarden::cli

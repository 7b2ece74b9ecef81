#include <holdwarden/cli/command.hpp>

namespace holdwarden::cli {

std::vector<Command> all_commands() {
    return {};
}

} // namespace holdwarden::cli

#include <holdwarden/cli/commands.hpp>

#include <iterator>
#include <utility>

namespace holdwarden::cli {

std::vector<Command> all_commands() {
    std::vector<Command> all;
    for (const auto make : {
             &check_commands,
             &codes_commands,
             &codes_compare_commands,
             &codes_explain_commands,
             &init_commands,
             &probe_commands,
             &unit_commands,
             &lot_commands,
             &stage_commands,
             &place_commands,
             &log_commands,
             &import_commands,
         }) {
        std::vector<Command> made = make();
        all.insert(all.end(), std::make_move_iterator(made.begin()),
                   std::make_move_iterator(made.end()));
    }
    return all;
}

} // namespace holdwarden::cli

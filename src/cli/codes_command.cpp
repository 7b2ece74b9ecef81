#include <holdwarden/base/error.hpp>
#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/day_use.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/codes/load.hpp>

#include <memory>
#include <ostream>

namespace holdwarden::cli {
namespace {

template <class Values>
std::string names(const Values& values) {
    std::string list;
    for (const auto value : values) {
        list += (list.empty() ? "" : ", ") + std::string{to_name(value)};
    }
    return list;
}

int list_all(Context& context) {
    context.out << "Code packs (the first column is what --code takes):\n";
    for (const std::string& id : codes::pack_ids(pack_folder(context))) {
        context.out << pack_line(load_named_pack(context, id));
    }
    context.out << "\nStages:\n"
                << folded(names(all_stages()), 2) << "  then an end: served, discarded\n"
                << "\nFood kinds (" << to_name(FoodKind::other_tcs)
                << " is what counts when nothing is said):\n"
                << folded(names(all_foods()), 2) << "\nRead one with: holdwarden codes show "
                << kDefaultPack << "\n"
                << "What binds you is your local code and your regulator; see SAFETY.md.\n";
    return kDone;
}

Command list_command() {
    return {.name = "codes",
            .help = "List the code packs, the stages and the food kinds",
            .declare = [](Arguments& arguments) { arguments.example("holdwarden codes"); },
            .run = list_all};
}

Command show_command() {
    const auto pack = std::make_shared<std::string>();
    return {.name = "codes show",
            .help = "Print one code pack: limits, clauses, how each figure is known, advice",
            .declare =
                [pack](Arguments& arguments) {
                    arguments.need("pack", *pack, "Id of a pack, or path of a .toml file");
                    arguments.example("holdwarden codes show us-fda-2022");
                },
            .run =
                [pack](Context& context) {
                    context.out << pack_text(load_named_pack(context, *pack))
                                << receiving_text(receiving_of_pack(context, *pack));
                    return kDone;
                }};
}

} // namespace

std::vector<Command> codes_commands() {
    return {list_command(), show_command()};
}

} // namespace holdwarden::cli

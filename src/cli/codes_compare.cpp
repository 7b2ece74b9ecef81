#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/packs.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <ostream>

namespace holdwarden::cli {
namespace {

struct CompareOptions {
    std::vector<std::string> packs;
    std::string food;
};

std::optional<FoodKind> food_asked_for(const CompareOptions& options) {
    if (options.food.empty()) {
        return std::nullopt;
    }
    const auto food = food_named(options.food);
    if (!food) {
        std::vector<std::string> names;
        for (const FoodKind known : all_foods()) {
            names.emplace_back(to_name(known));
        }
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("'{}' is no food kind", for_display(options.food)),
                     .where = "--food",
                     .fix = "use " + listed(names)}};
    }
    return food;
}

std::string cell(const codes::Requirement& requirement, bool name_foods) {
    std::string text;
    if (name_foods && !requirement.foods.empty()) {
        text += foods_in_words(requirement) + ": ";
    }
    if (!requirement.option.empty()) {
        text += "option " + requirement.option + ": ";
    }
    return text + fmt::format("{} [{}]", rule_in_short(requirement), requirement.clause);
}

/// What one pack says about an id, a paragraph for each of its requirements.
std::string beside(const codes::Pack& pack, std::string_view id, std::optional<FoodKind> food,
                   std::size_t indent) {
    std::string text;
    std::string label = "  " + pack.id;
    for (const codes::Requirement& requirement : pack.requirements) {
        if (requirement.id == id && (!food || requirement.covers(*food))) {
            text += hanging(label, indent, cell(requirement, !food));
            label.clear();
        }
    }
    return text.empty() ? hanging(label, indent, "no limit in this pack") : text;
}

int compare(const CompareOptions& options, Context& context) {
    const auto food = food_asked_for(options);
    if (options.packs.size() < 2) {
        throw Error{ErrorKind::usage,
                    {.what = "there is nothing to compare with",
                     .where = "codes compare",
                     .fix = "name two packs or more; see them with: holdwarden "
                            "codes"}};
    }
    std::vector<codes::Pack> packs;
    std::size_t indent = 0;
    for (const std::string& name : options.packs) {
        packs.push_back(load_named_pack(context, name));
        indent = std::max(indent, packs.back().id.size() + 4);
    }
    for (const codes::Pack& pack : packs) {
        context.out << pack_line(pack);
    }
    context.out << (food ? fmt::format("For {}.\n", to_name(*food)) : "");
    for (const std::string_view id : codes::requirement_ids()) {
        const bool anywhere = std::any_of(packs.begin(), packs.end(), [&](const codes::Pack& pack) {
            return std::any_of(pack.requirements.begin(), pack.requirements.end(),
                               [&](const codes::Requirement& r) {
                                   return r.id == id && (!food || r.covers(*food));
                               });
        });
        if (!anywhere) {
            continue;
        }
        context.out << "\n" << id << "\n";
        for (const codes::Pack& pack : packs) {
            context.out << beside(pack, id, food, indent);
        }
    }
    context.out << "\n"
                << folded(
                       "A pack without a limit is not a code without one: see what it leaves out "
                       "with holdwarden codes show PACK. What binds you is your local code and "
                       "your regulator.",
                       0);
    return kDone;
}

} // namespace

std::vector<Command> codes_compare_commands() {
    const auto options = std::make_shared<CompareOptions>();
    return {{.name = "codes compare",
             .help = "Lay the limits of several code packs side by side",
             .declare =
                 [options](Arguments& arguments) {
                     arguments.rest("packs", options->packs,
                                    "Ids of packs, or paths of .toml files; two or more");
                     arguments.option("--food", options->food, "Only what covers this food kind");
                     arguments.example("holdwarden codes compare us-fda-2022 uk-england au-3.2.2");
                     arguments.example(
                         "holdwarden codes compare us-fda-2013 us-fda-2022 --food poultry");
                 },
             .run = [options](Context& context) { return compare(*options, context); }}};
}

} // namespace holdwarden::cli

#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/pan_arguments.hpp>
#include <holdwarden/cli/plan_values.hpp>

#include <fmt/format.h>

namespace holdwarden::cli {
namespace {

template <class List>
std::string names(const List& list) {
    std::string all;
    for (const auto& item : list) {
        all += (all.empty() ? "" : ", ") + std::string{item.name};
    }
    return all;
}

} // namespace

const heat::CoolingMethod& method_argument(const std::string& name) {
    const heat::CoolingMethod* method = heat::method_by_name(name);
    if (method == nullptr) {
        wrong_value(fmt::format("--method '{}' is not covered", for_display(name, 60)),
                    "give one of " + names(heat::cooling_methods()));
    }
    return *method;
}

void PanArguments::declare(Arguments& a) {
    a.option("--food", food, "Food by name, such as chili, beans, rice, stew, beef-stock");
    a.option("--depth", depth, "Depth of the food, such as 5cm or 2in");
    a.option("--pan", pan, "Inside length and width, such as 50x30cm");
    a.option("--pot", pot, "Or a round pot: its inside diameter, such as 30cm");
    a.option("--container", container, "steel-pan, aluminium-pan, plastic-pan or stockpot");
    a.option("--container-depth", container_depth, "Inside depth of the container");
    a.flag("--uncovered", uncovered, "The pan has no cover, so that it steams off heat");
}

heat::CoolQuestion PanArguments::to_question() const {
    const heat::KnownFood& known = known_food(food);
    heat::CoolQuestion q{.food = heat::Material::of(known.composition)};
    q.flows = known.flows;
    q.depth_m = length_m({"--depth", depth, 0.005, 1.0});
    if (pot.empty()) {
        const auto sides = two_lengths_m({"--pan", pan, 0.03, 3.0});
        q.length_m = sides[0];
        q.width_m = sides[1];
    } else {
        q.diameter_m = length_m({"--pot", pot, 0.03, 2.0});
    }
    const heat::ContainerKind* kind = heat::container_by_name(container);
    if (kind == nullptr) {
        wrong_value(fmt::format("--container '{}' is not known", for_display(container, 60)),
                    "give one of " + names(heat::container_kinds()));
    }
    q.container = *kind;
    if (!container_depth.empty()) {
        q.container_depth_m = length_m({"--container-depth", container_depth, 0.005, 1.0});
    }
    q.covered = !uncovered;
    return q;
}

} // namespace holdwarden::cli

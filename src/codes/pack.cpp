#include <holdwarden/codes/pack.hpp>

#include <algorithm>

namespace holdwarden::codes {

std::string_view to_name(Status status) noexcept {
    switch (status) {
    case Status::seen_in_edition:
        return "seen-in-edition";
    case Status::seen_in_adoption:
        return "seen-in-adoption";
    case Status::remembered:
        return "remembered";
    }
    return "";
}

bool Requirement::covers(FoodKind food) const noexcept {
    return foods.empty() || std::find(foods.begin(), foods.end(), food) != foods.end();
}

std::vector<const Requirement*> Pack::find(std::string_view wanted, FoodKind food) const {
    std::vector<const Requirement*> found;
    for (const Requirement& requirement : requirements) {
        if (requirement.id == wanted && requirement.covers(food)) {
            found.push_back(&requirement);
        }
    }
    return found;
}

const Requirement* Pack::find_one(std::string_view wanted, FoodKind food) const {
    const auto found = find(wanted, food);
    return found.empty() ? nullptr : found.front();
}

} // namespace holdwarden::codes

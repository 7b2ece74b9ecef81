#include <holdwarden/codes/pack.hpp>

#include <algorithm>

namespace holdwarden::codes {

std::string_view to_name(Status status) noexcept {
    switch (status) {
    case Status::seen_in_edition:
        return "seen-in-edition";
    case Status::seen_in_adoption:
        return "seen-in-adoption";
    case Status::seen_in_account:
        return "seen-in-account";
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

const Advice* Pack::advice_for(std::string_view requirement, bool for_not_shown,
                               std::optional<Span> worst_case_time,
                               std::optional<Temperature> worst_value) const {
    const auto fits = [&](const Advice& row) {
        return row.requirement == requirement && row.for_not_shown == for_not_shown &&
               (!row.up_to || (worst_case_time && row.up_to->allows(*worst_case_time))) &&
               (!row.while_worst ||
                (worst_value && row.while_worst->side(*worst_value) == Side::right));
    };
    const auto found = std::find_if(advice.begin(), advice.end(), fits);
    return found == advice.end() ? nullptr : &*found;
}

const Requirement* Pack::find_one(std::string_view wanted, FoodKind food) const {
    const auto found = find(wanted, food);
    return found.empty() ? nullptr : found.front();
}

} // namespace holdwarden::codes

#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/codes/pack.hpp>

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace holdwarden::codes {

/// A figure a site holds itself to, beside the code's. It is judged by itself; the code's finding
/// stays as it is.
struct HouseLimit {
    std::string
        requirement{}; ///< id of the code's requirement it sharpens: "hot-holding", "cooling-total"
    std::optional<Temperature> at{}; ///< another temperature; nullopt: the code's
    std::optional<Span> within{};    ///< another time; nullopt: the code's
    Instant since{};                 ///< from when it holds
    std::string who{};
    std::string why{};
    std::string variance{}; ///< reference of the approved plan or variance; must be given to be
                            ///< looser than the code
};

/// The code's requirement with the house's figure in its place, for `food`. In the scale it is
/// given in, the temperature is the house's. In the other it is the stricter of the house's,
/// converted exactly, and the figure the code prints there; a looser figure, which needs a
/// variance, is converted exactly. Throws Error{not_found} when the pack has no such requirement,
/// Error{usage} when it is not of a sort a house limit can sharpen (a hold or a window) or the
/// limit names no figure, and Error{conflict} when it is looser than the code and names no
/// variance.
Requirement house_requirement(const HouseLimit& limit, const Pack& code, FoodKind food);

/// "house limit, 2026-11-01 (RK)", "variance plan 12, 2026-11-01 (RK)"; the date is UTC.
std::string house_clause(const HouseLimit& limit);

/// The limits in force at `at`: of several for one requirement, the latest.
std::vector<HouseLimit> in_force(std::span<const HouseLimit> limits, Instant at);

} // namespace holdwarden::codes

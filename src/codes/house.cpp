#include "messages.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/codes/house.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::codes {
namespace {

/// Blanks are no reference.
bool has_variance(const HouseLimit& limit) {
    return !trimmed(limit.variance).empty();
}

/// The house is looser when it would accept its own figure and the code would not.
bool looser(Temperature house, const TemperatureLimit& code) {
    return code.side(house) == Side::wrong;
}

Error too_loose(const HouseLimit& limit, const std::string& house, const std::string& code) {
    return Error{
        ErrorKind::conflict,
        {.what = fmt::format(msg::house_looser, limit.requirement, house, code),
         .where = "",
         .fix =
             "choose a stricter figure, or give the reference of the approved plan or variance"}};
}

/// `code` with the house's figure in the scale it was given in. In the other scale the code's own
/// figure stays where it is the stricter of the two, so that no reading is judged milder than by
/// the code; else nothing is printed there, and a reading is compared with the house's exactly.
TemperatureLimit with_figure(const TemperatureLimit& code, Temperature house) {
    const bool fahrenheit = house.scale() == Scale::fahrenheit;
    std::optional<Temperature> other =
        code.printed(fahrenheit ? Scale::celsius : Scale::fahrenheit);
    if (other) {
        const auto order = physical_order(*other, house);
        const bool milder = code.wants_hot() ? order < 0 : order > 0;
        if (milder || looser(house, code)) {
            other.reset();
        }
    }
    return fahrenheit ? TemperatureLimit{house, other, code.words()}
                      : TemperatureLimit{other, house, code.words()};
}

/// Throws Error{conflict} when the house's figure is looser and no variance allows it.
TemperatureLimit sharpened(const TemperatureLimit& code, const HouseLimit& limit) {
    if (!has_variance(limit) && looser(*limit.at, code)) {
        const TemperatureLimit as_given = with_figure(code, *limit.at);
        throw too_loose(limit, as_given.to_text(), code.to_text());
    }
    return with_figure(code, *limit.at);
}

void sharpen(HoldRule& rule, const HouseLimit& limit) {
    rule.limit = sharpened(rule.limit, limit);
}

void sharpen(WindowRule& rule, const HouseLimit& limit) {
    if (limit.at) {
        if (!rule.to) {
            throw Error{ErrorKind::usage,
                        {.what = fmt::format(msg::house_no_target, limit.requirement),
                         .where = "",
                         .fix = "give a time only"}};
        }
        rule.to = sharpened(*rule.to, limit);
    }
    if (limit.within) {
        if (!has_variance(limit) && *limit.within > rule.within.span) {
            throw too_loose(limit, to_text(*limit.within), to_text(rule.within.span));
        }
        rule.within.span = *limit.within;
    }
}

} // namespace

std::string house_clause(const HouseLimit& limit) {
    const std::string since = to_utc_text(limit.since).substr(0, 10);
    return has_variance(limit) ? fmt::format(msg::variance_clause, limit.variance, since, limit.who)
                               : fmt::format(msg::house_clause, since, limit.who);
}

Requirement house_requirement(const HouseLimit& limit, const Pack& code, FoodKind food) {
    const Requirement* source = code.find_one(limit.requirement, food);
    if (source == nullptr) {
        throw Error{ErrorKind::not_found,
                    {.what = fmt::format(msg::pack_lacks_requirement, code.id,
                                         for_display(limit.requirement)),
                     .where = "",
                     .fix = fmt::format("see: holdwarden codes show {}", code.id)}};
    }
    Requirement house = *source;
    auto* hold = std::get_if<HoldRule>(&house.rule);
    auto* window = std::get_if<WindowRule>(&house.rule);
    const bool fits = (hold != nullptr && limit.at && !limit.within) ||
                      (window != nullptr && (limit.at || limit.within));
    if (!fits) {
        throw Error{
            ErrorKind::usage,
            {.what = fmt::format(msg::house_cannot_be_made, limit.requirement),
             .where = "",
             .fix = "give a temperature for a hold, a temperature or a time for a cooling window"}};
    }
    if (hold != nullptr) {
        sharpen(*hold, limit);
    } else {
        sharpen(*window, limit);
    }
    house.clause = house_clause(limit);
    house.says = limit.why;
    house.option.clear();
    return house;
}

std::vector<HouseLimit> in_force(std::span<const HouseLimit> limits, Instant at) {
    std::vector<HouseLimit> found;
    for (const HouseLimit& limit : limits) {
        if (limit.since > at) {
            continue;
        }
        const auto same = std::ranges::find(found, limit.requirement, &HouseLimit::requirement);
        if (same == found.end()) {
            found.push_back(limit);
        } else if (limit.since >= same->since) {
            *same = limit;
        }
    }
    return found;
}

} // namespace holdwarden::codes

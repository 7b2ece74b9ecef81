#pragma once

#include <holdwarden/base/temperature.hpp>
#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>
#include <holdwarden/records/measures.hpp>

#include <optional>
#include <string>
#include <vector>

namespace holdwarden::records {

using TemplateId = Id<struct TemplateTag>;

/// A lot as a kitchen usually opens it. The one saved last under a name holds.
struct LotTemplate {
    std::string name{};
    FoodKind food = FoodKind::other_tcs;
    std::string description{};
    std::optional<Mass> mass{};
    std::string container{};
    bool made_from_ambient = false;
    std::optional<Stage> stage{}; ///< entered at once
    std::optional<UnitId> unit{};
    std::optional<Temperature> setting{};
    /// Where it is read, and by which thermometer, if it is one that stays in.
    struct Point {
        std::string name{};
        std::optional<ProbeId> probe{};
    };
    std::vector<Point> points{};
    /// Where it is best to eat; both ends belong to the band, in one scale.
    struct Target {
        Temperature low = Temperature::of_thousandths(0, Scale::celsius);
        Temperature high = Temperature::of_thousandths(0, Scale::celsius);
    };
    std::optional<Target> target{};
    std::string plan{}; ///< in words, shown when it is used
    bool ended = false; ///< no longer used
};

} // namespace holdwarden::records

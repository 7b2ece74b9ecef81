#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/base/vocabulary.hpp>

#include <optional>
#include <string>

namespace holdwarden::records {

/// The reading of the same point before.
struct ReadingBefore {
    Temperature value = Temperature::of_thousandths(0, Scale::celsius);
    Instant at;
};

/// Why a typed value is asked about. It is a question, never a verdict: a person who keeps the
/// value is believed.
struct Doubt {
    std::string why;                         ///< "14 °F is no temperature of food in hot-holding"
    std::optional<Temperature> perhaps = {}; ///< what may have been meant: 140 °F
};

/// Whether a value typed for food looks like a slip: a point or a digit too many or too few, the
/// other scale, another lot. `stage` is what is being done to the food, nullopt: not known;
/// `before` the reading before in that stage. The ranges and the step of a hold are common
/// practice, no source: wider than what kitchens see, narrower than a slip.
std::optional<Doubt> doubt_about(Temperature value, Instant at, std::optional<Stage> stage,
                                 const std::optional<ReadingBefore>& before);

} // namespace holdwarden::records

#pragma once

#include "case.hpp"

#include <holdwarden/base/time_text.hpp>

namespace holdwarden::judge {

/// The day of making: as recorded, or the local day on which the first cook began (without a cook:
/// the first stage that shows the food ready to eat), whichever is earlier; where neither is there,
/// the first day on record. The earliest of the possible days is the safe one. Needs a stage, or
/// the day given.
LocalDate day_one(const Case& c);
/// Whole days in the freezer since the food was made, which do not count; a part of a day does.
/// What was frozen before the cook, or from before day 1 on, was not the made food.
std::int64_t frozen_days(const Case& c);

} // namespace holdwarden::judge

#pragma once

#include "case.hpp"

#include <holdwarden/base/time_text.hpp>

namespace holdwarden::judge {

/// The day of making: as recorded, else the local day on which the first cook began, else the first
/// day on record. The earliest of the possible days is the safe one. Needs a stage, or the day
/// given.
LocalDate day_one(const Case& c);

} // namespace holdwarden::judge

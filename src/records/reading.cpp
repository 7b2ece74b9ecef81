#include <holdwarden/records/reading.hpp>

namespace holdwarden::records {

bool plausible(Temperature value) noexcept {
    return physical_order(value, kLowestCelsius) >= 0 &&
           physical_order(value, kHighestCelsius) <= 0;
}

} // namespace holdwarden::records

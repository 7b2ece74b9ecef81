#pragma once

// PINs set anew, as the history sees them. Internal to the store.

#include "sqlite.hpp"

#include <functional>
#include <string>

namespace holdwarden::store {

/// Checks each reset's signature, and that its key was the site's before.
void check_pin_resets(const Database& database, const std::function<void(std::string)>& problem);

} // namespace holdwarden::store

#pragma once

#include <fmt/core.h>

#include <string>

// The wording in the language the program is built for (HOLDWARDEN_LANGUAGE, a choice of the
// build).
#include HOLDWARDEN_MESSAGES

namespace holdwarden {

/// One of two texts with the same places: one and many, above and below.
template <class... Args>
std::string either(bool first, fmt::format_string<const Args&...> text,
                   fmt::format_string<const Args&...> other, const Args&... args) {
    return fmt::format(first ? text : other, args...);
}

} // namespace holdwarden

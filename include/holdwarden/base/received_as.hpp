#pragma once

#include <array>
#include <optional>
#include <string_view>

namespace holdwarden {

/// How food is to arrive, as the codes' limits for receiving tell it apart.
enum class ReceivedAs {
    cold,
    hot,
    frozen,
    other, ///< shelf-stable or not food: no limit is known for it
};

inline constexpr std::array<ReceivedAs, 4> kReceivedAs{ReceivedAs::cold, ReceivedAs::hot,
                                                       ReceivedAs::frozen, ReceivedAs::other};

constexpr std::string_view to_name(ReceivedAs as) noexcept {
    switch (as) {
    case ReceivedAs::cold:
        return "cold";
    case ReceivedAs::hot:
        return "hot";
    case ReceivedAs::frozen:
        return "frozen";
    case ReceivedAs::other:
        return "other";
    }
    return "";
}

constexpr std::optional<ReceivedAs> received_as_named(std::string_view name) noexcept {
    for (const ReceivedAs as : kReceivedAs) {
        if (to_name(as) == name) {
            return as;
        }
    }
    return std::nullopt;
}

} // namespace holdwarden

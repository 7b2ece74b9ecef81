#pragma once

#include <holdwarden/intake/csv.hpp>

#include <string>
#include <string_view>
#include <variant>

namespace holdwarden::intake {

/// A local time that the clocks showed twice.
struct HeldTime {
    WallTime wall;
    Twice twice;
};
/// Why a time cannot be taken.
struct BadTime {
    std::string reason;
};
using ReadTime = std::variant<Instant, HeldTime, BadTime>;

/// Reads the time column. Most rows differ from the one before in their last characters only, and
/// most local times lie far from a change of the clocks: both are remembered.
class Times {
public:
    Times(std::string format, std::optional<Zone> zone);

    ReadTime read(std::string_view text);

    /// The instant when it can be had without further thought; nullopt: call `read`.
    std::optional<Instant> read_quickly(std::string_view text);

    /// Instants so far that lie past what the zone's rules are known for.
    std::uint64_t beyond_rules() const noexcept { return beyond_rules_; }
    /// Times so far with second 60, taken as the following second.
    std::uint64_t leap_seconds() const noexcept { return leap_seconds_; }

private:
    struct Quick {
        enum class Form { none, wall, utc } form = Form::none;
        std::int64_t ms = 0;
    };
    Quick quick(std::string_view text);
    ReadTime read_slowly(std::string_view text);
    ReadTime read_unix(std::string_view text);
    ReadTime read_pattern(std::string_view text);
    ReadTime resolve(WallTime wall, std::string_view text);
    Instant noted(Instant at);

    enum class How { told_by_form, unix_s, unix_ms, pattern } how_ = How::told_by_form;
    std::string format_;
    std::optional<Zone> zone_;
    std::string minute_;          ///< "2026-11-01 01:30" of the last row
    std::int64_t minute_ms_ = 0;  ///< the same as a wall clock's milliseconds
    std::int64_t block_from_ = 1; ///< wall clock; an empty range at first
    std::int64_t block_to_ = 0;
    std::int64_t block_offset_ms_ = 0;
    std::uint64_t beyond_rules_ = 0;
    std::uint64_t leap_seconds_ = 0;
};

} // namespace holdwarden::intake

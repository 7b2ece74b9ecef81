#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/zone.hpp>

#include <date/tz.h>
#include <fmt/format.h>

#include <cerrno>
#include <chrono>
#include <new>

namespace holdwarden {
namespace {

using std::chrono::milliseconds;
using SysMs = date::sys_time<milliseconds>;
using LocalMs = date::local_time<milliseconds>;

SysMs sys(Instant at) {
    return SysMs{milliseconds{at.unix_ms()}};
}

Instant instant(SysMs at) {
    return Instant::from_unix_ms(at.time_since_epoch().count());
}

/// 2038-01-01T00:00:00Z: the first instant the listed changes of a zone file may not cover.
constexpr Instant kRulesEnd = Instant::from_unix_s(2'145'916'800);

} // namespace

Zone Zone::named(std::string_view name) {
    errno = 0;
    try {
        const date::time_zone* zone = date::locate_zone(std::string{name});
        zone->get_info(sys(kRulesEnd)); // its file is read when it is first asked
        return Zone{zone};
    } catch (const std::bad_alloc&) {
        throw;
    } catch (const std::exception&) {
        if (errno == ENOMEM) { // the file could not be opened for want of memory
            throw std::bad_alloc{};
        }
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("time zone '{}' is not in the system's zone data",
                                         for_display(name)),
                     .where = "",
                     .fix = "give an IANA name such as America/Denver, and see that the package "
                            "tzdata is installed"}};
    }
}

Zone Zone::utc() {
    return named("Etc/UTC");
}

const std::string& Zone::name() const {
    return zone_->name();
}

std::int32_t Zone::offset_s(Instant at) const {
    return static_cast<std::int32_t>(
        std::chrono::duration_cast<std::chrono::seconds>(zone_->get_info(sys(at)).offset).count());
}

std::string Zone::abbreviation(Instant at) const {
    return zone_->get_info(sys(at)).abbrev;
}

WallTime Zone::wall(Instant at) const {
    return WallTime{at.unix_ms() + std::int64_t{offset_s(at)} * 1000};
}

Resolved Zone::resolve(WallTime wall) const {
    const LocalMs local{milliseconds{wall.ms}};
    const date::local_info info = zone_->get_info(local);
    const auto with = [&](const date::sys_info& period) {
        return Instant::from_unix_ms(wall.ms - milliseconds{period.offset}.count());
    };
    switch (info.result) {
    case date::local_info::ambiguous:
        return Twice{with(info.first), with(info.second)};
    case date::local_info::nonexistent: {
        const Instant change = instant(std::chrono::time_point_cast<milliseconds>(info.first.end));
        return Never{change - Span::milliseconds(1), change};
    }
    default:
        return Once{with(info.first)};
    }
}

bool Zone::has_rules(Instant at) const {
    // A zone that changes its clocks does so at least once in any fourteen months.
    const Instant year_before = at - Span::hours(std::int64_t{24} * 400);
    const auto period = zone_->get_info(sys(at));
    return instant(std::chrono::time_point_cast<milliseconds>(period.begin)) > year_before;
}

bool Zone::beyond_rules(Instant at) const {
    return at >= kRulesEnd && has_rules(kRulesEnd - Span::hours(24));
}

} // namespace holdwarden

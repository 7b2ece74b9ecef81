#include "messages.hpp"
#include "parts.hpp"

#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cassert>

namespace holdwarden::sheets {

using judge::Verdict;

Period period_of(const Nights& nights, const Zone& zone) {
    assert(day_number(nights.first) <= day_number(nights.last));
    return {night_of(nights.first, zone).from, night_of(nights.last, zone).to};
}

Sheet begun(const SiteFacts& site, const std::string& title, const Made& made) {
    Sheet sheet;
    sheet.title = title;
    sheet.running = fmt::format(msg::log_running, name_shown(site.name), title);
    sheet.lang = msg::language;
    sheet.made_at = to_utc_text(whole_seconds(made.at));
    sheet.software = shown(made.software);
    return sheet;
}

std::string nights_text(const Nights& nights) {
    const std::string first = to_text(nights.first);
    const std::string last = to_text(nights.last);
    return first == last ? first : fmt::format(msg::nights, first, last);
}

std::string lot_and_food(const records::LotHistory& lot) {
    return fmt::format("{} ({})", name_shown(lot.name), food_title(lot.food));
}

std::string clock_shown(Instant at, const Zone& zone) {
    const std::string clock = clock_text(at, zone);
    return is_repeated(at, zone) ? fmt::format("{} {}", clock, offset_text(at, zone)) : clock;
}

std::string tally_of(std::span<const Verdict> verdicts) {
    std::vector<std::string> parts;
    for (const Verdict verdict :
         {Verdict::not_met, Verdict::not_shown, Verdict::open, Verdict::met, Verdict::ended}) {
        if (const auto n = std::ranges::count(verdicts, verdict); n > 0) {
            parts.push_back(fmt::format("{} {}", n, verdict_title(verdict)));
        }
    }
    return fmt::format("{}", fmt::join(parts, ", "));
}

} // namespace holdwarden::sheets

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
    sheet.running = fmt::format(msg::log_running, shown(site.name), title);
    sheet.lang = msg::language;
    sheet.made_at = to_utc_text(whole_seconds(made.at));
    sheet.software = shown(made.software);
    return sheet;
}

LoggedStage logged_stage(const LotRecord& lot, std::size_t stage, std::string_view requirements) {
    LoggedStage logged{&lot, stage, {}, Verdict::ended};
    for (const judge::Finding& finding : lot.judged.findings) {
        if (finding.counts && finding.requirement.starts_with(requirements) &&
            stage_of(lot.history, finding) == stage) {
            logged.findings.push_back(&finding);
            logged.verdict = judge::worse(logged.verdict, finding.verdict);
        }
    }
    if (logged.findings.empty()) {
        logged.verdict = Verdict::not_shown;
    }
    return logged;
}

Section log_opening(const SiteFacts& site, const LocalTimes& times,
                    std::span<const Verdict> verdicts, const std::string& says) {
    Verdict worst = verdicts.empty() ? Verdict::not_shown : Verdict::ended;
    for (const Verdict verdict : verdicts) {
        worst = judge::worse(worst, verdict);
    }
    Section opening;
    opening.blocks.emplace_back(VerdictLine{worst, verdict_title(worst), says});
    opening.blocks.emplace_back(head_facts(site, times, {}));
    return opening;
}

std::string degrees_text(const SiteFacts& site, Temperature value) {
    std::string text = to_text(value);
    if (value.scale() == site.scale) {
        text.erase(text.rfind(' '));
    }
    return text;
}

std::string limit_and_clause(const judge::Finding& finding) {
    return fmt::format("{}, {}", shown(finding.limit.text), shown(finding.clause));
}

std::string nights_text(const Nights& nights) {
    const std::string first = to_text(nights.first);
    const std::string last = to_text(nights.last);
    return first == last ? first : fmt::format(msg::nights, first, last);
}

std::string lot_and_food(const records::LotHistory& lot) {
    return fmt::format("{} ({})", shown(lot.name), food_title(lot.food));
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

#include "messages.hpp"

#include <holdwarden/base/time_text.hpp>
#include <holdwarden/judge/due.hpp>
#include <holdwarden/judge/keep_until.hpp>
#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::judge {

namespace {

bool wants_readings(Stage stage) noexcept {
    switch (stage) {
    case Stage::preparing:
    case Stage::initial_heating: // is judged by when it began and ended
    case Stage::cooking:         // is shown by the readings that reach its row, however far apart
    case Stage::frozen:
    case Stage::time_control:
        return false;
    default:
        return true;
    }
}

/// The last reading that is to be trusted, up to `until`.
std::optional<Instant> last_reading(const records::LotHistory& lot, Instant until) {
    std::optional<Instant> last;
    for (const records::PointSeries& series : lot.points) {
        for (const records::Reading& r : series.readings) {
            if (r.at <= until && !r.suspect && (!last || r.at > *last)) {
                last = r.at;
            }
        }
    }
    return last;
}

/// When the time of an open finding is over in the worst case; nullopt: its clock has not started.
std::optional<Instant> closes(const Finding& f, Instant now) {
    // The time of a row to be kept closes nothing.
    const bool row = f.requirement == "cooking" || f.requirement == "cooking-roast" ||
                     f.requirement == "reheating";
    if (!f.limit.within || row) {
        return std::nullopt;
    }
    const auto gone = f.worst_so_far ? f.worst_so_far : f.elapsed.earliest;
    return gone ? std::optional{now + (*f.limit.within - *gone)} : std::nullopt;
}

} // namespace

std::string_view to_name(Due::What what) noexcept {
    switch (what) {
    case Due::What::reading:
        return "reading";
    case Due::What::target:
        return "target";
    case Due::What::end:
        return "end";
    case Due::What::use_by:
        return "use-by";
    }
    return "";
}

std::vector<Due> due_of(const records::LotHistory& lot, const LotJudgement& judged,
                        const Settings& settings) {
    std::vector<Due> all;
    const Instant now = settings.as_of;
    const auto running = std::find_if(lot.stages.rbegin(), lot.stages.rend(),
                                      [&](const auto& s) { return s.from <= now; });
    if ((lot.end && lot.end->at <= now) || running == lot.stages.rend()) {
        return all;
    }
    if (wants_readings(running->stage)) {
        const Instant last =
            std::max(last_reading(lot, now).value_or(running->from), running->from);
        all.push_back({.what = Due::What::reading,
                       .by = last + settings.largest_interval,
                       .requirement = "",
                       .point = "",
                       .why = fmt::format(msg::due_interval, to_words(running->stage),
                                          to_text(settings.largest_interval))});
    }
    for (const Finding& f : judged.findings) {
        if (f.verdict != Verdict::open || !f.counts) {
            continue;
        }
        if (const auto by = closes(f, now)) {
            const bool end = f.requirement == "time-control";
            all.push_back({.what = end ? Due::What::end : Due::What::target,
                           .by = *by,
                           .requirement = f.requirement,
                           .point = f.point,
                           .why = (f.through.empty() ? "" : f.through + ": ") + f.limit.text});
        }
    }
    std::ranges::stable_sort(all, {}, &Due::by);
    return all;
}

std::vector<Due> due_by_mark(const records::LotHistory& lot, const LotJudgement& judged,
                             const codes::Pack& pack, const Settings& settings, Span ahead) {
    std::vector<Due> all;
    const bool ended = lot.end && lot.end->at <= settings.as_of;
    if (ended || lot.stages.empty() || lot.stages.back().stage == Stage::frozen) {
        return all;
    }
    const bool told = std::ranges::any_of(judged.findings, [](const Finding& f) {
        return f.requirement == "time-control" && f.verdict == Verdict::open && f.counts;
    });
    if (const auto mark = time_mark(lot, pack, settings); mark && !told) {
        all.push_back(
            {.what = Due::What::end,
             .by = mark->until,
             .requirement = "time-control",
             .point = "",
             .why = fmt::format(msg::due_taken_out, clock_text(mark->taken_out, settings.zone))});
    }
    if (const auto mark = day_mark(lot, pack, settings)) {
        const LocalDate next = date_from_day_number(day_number(mark->last_day) + 1);
        const Instant last_minute = start_of(next, settings.zone) - Span::minutes(1);
        if (last_minute <= settings.as_of + ahead) {
            all.push_back({.what = Due::What::use_by,
                           .by = last_minute,
                           .requirement = "date-mark",
                           .point = "",
                           .why = fmt::format(msg::due_last_day, to_text(mark->made_on),
                                              to_text(mark->last_day), mark->days)});
        }
    }
    return all;
}

} // namespace holdwarden::judge

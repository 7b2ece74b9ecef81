#include "messages.hpp"

#include <holdwarden/judge/due.hpp>
#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::judge {

namespace {

bool wants_readings(Stage stage) noexcept {
    switch (stage) {
    case Stage::preparing:
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
    if (!f.limit.within) {
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

} // namespace holdwarden::judge

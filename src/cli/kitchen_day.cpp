#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/kitchen_day.hpp>
#include <holdwarden/records/answers.hpp>
#include <holdwarden/records/checks.hpp>
#include <holdwarden/records/parts.hpp>

#include <algorithm>
#include <utility>

namespace holdwarden::cli {
namespace {

constexpr Span kMarkAhead = Span::hours(48); ///< the last day of a date mark, and the one before
constexpr Span kAirLogged = Span::hours(24); ///< a unit read within that is one that is being read

void add_lots(const OpenStore& store, LotJudge& judge, std::vector<DueItem>& all) {
    for (const auto& lot : store->lots(records::Store::Which::living)) {
        const sheets::LotRecord record = judge.record(lot.id);
        for (const judge::Due& due :
             judge::due_of(record.history, record.judged, judge.settings_for(record.history))) {
            all.push_back({std::string{to_name(due.what)}, lot.facts.name, due.by, due.requirement,
                           due.point, due.why});
        }
        for (const judge::Due& due :
             judge::due_by_mark(record.history, record.judged, judge.pack_for(record.history),
                                judge.settings_for(record.history), kMarkAhead)) {
            all.push_back({std::string{to_name(due.what)}, lot.facts.name, due.by, due.requirement,
                           due.point, due.why});
        }
        for (const judge::Flag& flag : record.judged.flags) {
            const judge::Finding& f = record.judged.findings[flag.finding];
            const bool gone = f.verdict == judge::Verdict::not_met || f.acts_as_missed;
            if (gone && f.source == "code" && !is_answered(store, lot.id, flag.id)) {
                all.push_back({"action", lot.facts.name, flag.by, f.requirement, f.point,
                               flag.act.empty() ? f.reason : flag.act.front()});
            }
        }
    }
}

void add_units(const OpenStore& store, const LotJudge& judge, std::vector<DueItem>& all) {
    const Instant now = judge.as_of();
    const auto settings = records::settings_at(store->settings(), now);
    const Span interval = settings.largest_interval.value_or(Span::hours(2));
    for (const auto& unit : store->units()) {
        const auto air = store->unit_air(unit.id, now - kAirLogged, now);
        if (!air.readings.empty()) {
            all.push_back({"air", unit.facts.name, air.readings.back().at + interval, "", "",
                           "its air was read last at " + clock_of(store, air.readings.back().at)});
        }
    }
}

void add_probes(const OpenStore& store, const LotJudge& judge, std::vector<DueItem>& all) {
    using Standing = records::CheckState::Standing;
    for (const records::CheckState& state : records::check_states(*store, judge.as_of())) {
        const bool asks = state.standing == Standing::overdue ||
                          state.standing == Standing::due_soon ||
                          state.standing == Standing::failed ||
                          (state.standing == Standing::never_checked && state.due);
        if (asks) {
            all.push_back(
                {"check", state.name, state.due, "", "", std::string{to_words(state.standing)}});
        }
    }
}

/// The last reading of a point, and whether it belongs to the stage the lot is in.
std::optional<records::ReadingBefore> before_it(const records::LotHistory& history,
                                                const std::string& point, Instant at) {
    std::optional<records::ReadingBefore> last;
    for (const records::PointSeries& series : history.points) {
        for (const records::Reading& r : series.readings) {
            if (series.point == point && r.at <= at && (!last || r.at >= last->at)) {
                last = records::ReadingBefore{r.value, r.at};
            }
        }
    }
    return last;
}

} // namespace

bool is_answered(const OpenStore& store, records::LotId lot, const std::string& flag) {
    for (const records::StoredAction& action : store->answers().actions(lot)) {
        if (action.facts.flag == flag) {
            return true;
        }
    }
    const auto origin = store->parts().origin_of(lot);
    if (!origin) {
        return false;
    }
    const std::string of_source = flag.substr(std::min(flag.find('/') + 1, flag.size()));
    return std::ranges::any_of(origin->facts.from, [&](const records::Parting::Share& share) {
        return is_answered(store, share.lot, flag) ||
               (origin->facts.kind == records::Parting::Kind::merge &&
                flag.find('@') > flag.find('/') && is_answered(store, share.lot, of_source));
    });
}

std::string clock_of(const OpenStore& store, Instant at) {
    const Zone& zone = store.zone();
    // Whole minutes, downwards: a time to be there by is never said later than it is.
    const Instant minute = at - Span::milliseconds(at.unix_ms() % 60'000);
    const bool twice = std::holds_alternative<Twice>(zone.resolve(zone.wall(minute)));
    const Span away = minute > store.now() ? minute - store.now() : store.now() - minute;
    return twice || away > Span::hours(18) ? store.shown(minute) : clock_text(minute, zone);
}

std::vector<DueItem> due_in_kitchen(const OpenStore& store, LotJudge& judge) {
    std::vector<DueItem> all;
    add_lots(store, judge, all);
    add_units(store, judge, all);
    add_probes(store, judge, all);
    std::ranges::stable_sort(
        all, {}, [](const DueItem& item) { return item.by ? item.by->unix_ms() : INT64_MIN; });
    return all;
}

std::string next_step(const OpenStore& store, LotJudge& judge, records::LotId lot) {
    const sheets::LotRecord record = judge.record(lot);
    const judge::LotJudgement& judged = record.judged;
    if (judged.findings.empty()) {
        return record.history.stages.empty()
                   ? "Nothing is judged yet: say what is done with it, `stage " +
                         record.history.name + " hot-holding`."
                   : "Nothing is judged yet.";
    }
    std::string text = "So far " + std::string{to_words(judged.overall)};
    for (const judge::Flag& flag : judged.flags) {
        const judge::Finding& f = judged.findings[flag.finding];
        if (f.verdict == judged.overall && !flag.act.empty()) {
            text += " (" + f.requirement + "): " + flag.act.front();
            if (text.back() == '.') {
                text.pop_back();
            }
            break;
        }
    }
    bool target = false;
    for (const judge::Due& due :
         judge::due_of(record.history, judged, judge.settings_for(record.history))) {
        if (due.what == judge::Due::What::target && std::exchange(target, true)) {
            continue; // one line: the window that closes first
        }
        const std::string by = clock_of(store, due.by);
        switch (due.what) {
        case judge::Due::What::reading:
            text += "; next reading by " + by;
            break;
        case judge::Due::What::target:
            text += "; " + due.why + ": by " + by;
            break;
        case judge::Due::What::end:
            text += "; serve or discard by " + by;
            break;
        case judge::Due::What::use_by:
            break; // not of an hour: `due` tells it
        }
    }
    return text + ".";
}

std::optional<records::Doubt> doubt_about(const OpenStore& store,
                                          const records::TypedReading& reading) {
    const auto* spot = std::get_if<records::LotPoint>(&reading.target);
    if (spot == nullptr) {
        return std::nullopt; // the air of a pit and of a freezer have nothing in common
    }
    const records::LotHistory history = store->lot_history(spot->lot, reading.at);
    const std::optional<Stage> stage =
        history.stages.empty() ? std::nullopt : std::optional{history.stages.back().stage};
    auto before = before_it(history, spot->point, reading.at);
    if (before && !history.stages.empty() && before->at < history.stages.back().from) {
        before.reset(); // a step from one stage to the next surprises nobody
    }
    return records::doubt_about(reading.value, reading.at, stage, before);
}

} // namespace holdwarden::cli

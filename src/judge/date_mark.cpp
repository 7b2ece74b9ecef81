// Date marking: ready-to-eat food kept cold over a day; day 1 is the day of making.
#include "internal/day_one.hpp"
#include "internal/rules.hpp"
#include "messages.hpp"

#include <holdwarden/base/time_text.hpp>
#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::judge {

namespace {

constexpr std::int64_t kDayMs = 86'400'000;

bool shows_ready(Stage stage) noexcept {
    return stage == Stage::cooking || stage == Stage::cooling || stage == Stage::reheating ||
           is_hot_hold(stage);
}

/// Ready to eat: the record shows it cooked, held hot, cooled or reheated. What is only kept cold
/// may be raw, and what was heated in part is not ready before its full cook.
bool ready_to_eat(const Case& c) {
    const auto has = [&](Stage stage) {
        return std::ranges::find(c.stages(), stage, &StageSpan::stage) != c.stages().end();
    };
    if (has(Stage::initial_heating) && !has(Stage::cooking)) {
        return false;
    }
    return std::ranges::any_of(c.stages(), [](const StageSpan& s) { return shows_ready(s.stage); });
}

LocalDate day_of(const Case& c, const StageSpan& stage) {
    return date_of(c.settings().zone.wall(stage.from));
}

/// The stage by which the food was made: its first cook, or the first reheat or hot hold before
/// that, for what is heated again or held hot was ready already, but for a first heating; without
/// any of them the first that shows it ready to eat; nullptr: none does.
const StageSpan* made_by(const Case& c) {
    bool in_part = false;
    for (const StageSpan& stage : c.stages()) {
        in_part = in_part || stage.stage == Stage::initial_heating;
        const bool was_ready = stage.stage == Stage::reheating || is_hot_hold(stage.stage);
        if (stage.stage == Stage::cooking || (was_ready && !in_part)) {
            return &stage;
        }
    }
    return ready_to_eat(c)
               ? &*std::ranges::find_if(c.stages(),
                                        [](const StageSpan& s) { return shows_ready(s.stage); })
               : nullptr;
}

/// The cook by which the food was made; nullptr: it came as food that was made already.
const StageSpan* first_cook(const Case& c) {
    const StageSpan* made = made_by(c);
    return made != nullptr && made->stage == Stage::cooking ? made : nullptr;
}

/// The stages of the made food: from its cook on, or all.
std::span<const StageSpan> stages_from(const Case& c, const StageSpan* cook) {
    const std::span<const StageSpan> all{c.stages()};
    return cook == nullptr ? all : all.subspan(static_cast<std::size_t>(cook - all.data()));
}

/// The day of making as it is on record, else as the stages tell it.
LocalDate recorded_day(const Case& c) {
    if (c.lot().made_on) {
        return *c.lot().made_on;
    }
    const StageSpan* cook = first_cook(c);
    return day_of(c, cook != nullptr ? *cook : c.stages().front());
}

/// How long the food was kept cold in a stage: the whole of cold holding and thawing, and what is
/// left of a cooling once a reading shows it cold.
Span kept_cold(const Case& c, const StageSpan& stage, const codes::TemperatureLimit& kept_at) {
    if (stage.stage == Stage::cold_holding || stage.stage == Stage::thawing) {
        return stage.to - stage.from;
    }
    Span longest;
    if (stage.stage == Stage::cooling) {
        for (const Case::Series& series : c.series()) {
            const Readings inside = between(series.readings, stage.from, stage.to);
            const auto cold = std::ranges::find_if(inside, [&](const records::Reading& r) {
                return kept_at.side(r.value) == codes::Side::right;
            });
            longest = std::max(longest, cold == inside.end() ? Span{} : stage.to - cold->at);
        }
    }
    return longest;
}

} // namespace

LocalDate day_one(const Case& c) {
    const StageSpan* made = made_by(c);
    const LocalDate recorded = recorded_day(c);
    return made == nullptr ? recorded : std::min(recorded, day_of(c, *made));
}

std::int64_t frozen_days(const Case& c) {
    // Where the recorded day is later than the cook, the record contradicts itself: what was frozen
    // in between is not taken off.
    const LocalDate recorded = recorded_day(c);
    Span frozen;
    for (const StageSpan& s : stages_from(c, first_cook(c))) {
        if (s.stage == Stage::frozen && date_of(c.settings().zone.wall(s.from)) >= recorded) {
            frozen += s.to - s.from;
        }
    }
    return frozen.ms() / kDayMs;
}

void judge_date_mark(const Case& c, std::vector<Finding>& findings) {
    const codes::Requirement* requirement = c.pack().find_one("date-mark", c.lot().food);
    const auto* rule =
        requirement == nullptr ? nullptr : std::get_if<codes::DateMarkRule>(&requirement->rule);
    if (rule == nullptr || c.stages().empty() || !ready_to_eat(c)) {
        return;
    }
    Span cold;
    const StageSpan* first_cold = nullptr;
    const StageSpan* cook = c.lot().made_on ? nullptr : first_cook(c);
    for (const StageSpan& s : stages_from(c, cook)) { // before it: kept cold raw
        if (const Span kept = kept_cold(c, s, rule->kept_at); kept > Span{}) {
            cold += kept;
            first_cold = first_cold == nullptr ? &s : first_cold;
        }
    }
    if (first_cold == nullptr || cold <= rule->applies_over) {
        return;
    }
    const LocalDate made_on = day_one(c);
    const std::int64_t frozen = frozen_days(c);
    const LocalDate last_day = date_from_day_number(day_number(made_on) + rule->days - 1 + frozen);
    const LocalDate today = date_of(c.settings().zone.wall(c.now()));
    const std::int64_t day = day_number(today) - day_number(made_on) + 1 - frozen;
    Finding f = start_finding(*requirement, *first_cold, "");
    f.limit = figure_of(rule->kept_at);
    f.limit.text = fmt::format(msg::limit_days, rule->days, rule->kept_at.to_text());
    const std::string last = to_text(last_day);
    const std::string made_text = to_text(made_on);
    if (day > rule->days) {
        f.verdict = Verdict::not_met;
        f.reason = fmt::format(msg::days_over, made_text, last,
                               c.end() ? to_words(c.end()->outcome) : msg::still_kept,
                               to_text(today), day);
    } else if (!c.end()) {
        f.verdict = Verdict::open;
        f.reason = fmt::format(msg::days_open, made_text, day, last);
        f.settle = fmt::format(msg::end_will_settle, last);
    } else {
        f.verdict = Verdict::met;
        f.reason = fmt::format(msg::days_met, made_text, to_words(c.end()->outcome), to_text(today),
                               day, last);
    }
    if (const LocalDate recorded = recorded_day(c); made_on < recorded) {
        f.notes.push_back(fmt::format(msg::made_before_recorded, to_text(recorded),
                                      to_words(made_by(c)->stage), made_text));
    }
    if (frozen > 0) {
        f.notes.push_back(fmt::format(msg::frozen_days, frozen));
    }
    findings.push_back(std::move(f));
}

} // namespace holdwarden::judge

// Examples of rules that count hours out of temperature control, or days.
#include <holdwarden/cli/example_parts.hpp>

#include <utility>

namespace holdwarden::cli {

using namespace codes;

namespace {

/// 2026-04-12T00:00:00Z: day 1 of the examples that count days.
constexpr Instant kDayOne = Instant::from_unix_s(1'775'952'000);

constexpr Span on_day(int day, int hour) noexcept {
    return kDayOne + Span::hours(24 * (day - 1) + hour) - kExampleStart;
}

/// When food leaves temperature control: 18:30.
constexpr Span kOut = Span::minutes(30);

/// Food that leaves the cold or the heat, as `start` says, at 18:30.
ExampleBuilder out_of_control(std::string story, const Requirement& r,
                              const TemperatureLimit& start, bool six_hours) {
    ExampleBuilder b{std::move(story), food_of(r)};
    b.stage(start.wants_hot() ? Stage::hot_holding : Stage::cold_holding, Span{})
        .read(Span{}, inside(start, 2))
        .read(kOut, inside(start, 1))
        .stage(Stage::time_control, kOut)
        .mark(kOut, start.wants_hot() ? "out of the heat" : "out of the cold")
        .limit(start);
    if (six_hours) {
        b.six_hours();
    }
    return b;
}

/// Put back into the cold, and taken out of it for good an hour later.
CodeExample put_back(std::string story, const Requirement& r, const TimeControlRule& rule,
                     Span back) {
    ExampleBuilder b = out_of_control(std::move(story), r, rule.cold_start, rule.six_hour_form);
    if (rule.return_within) {
        b.mark(kOut + rule.return_within->span, "too late to go back");
    }
    return b.stage(Stage::cold_holding, back)
        .mark(back, "back in the cold")
        .read(back + Span::hours(1), inside(rule.cold_start, 1))
        .served(back + Span::hours(1))
        .done();
}

/// Two spells with a cook in between: food that goes back to holding is a miss of its own.
CodeExample second_spell(const Requirement& r, const TimeControlRule& rule) {
    ExampleBuilder b =
        out_of_control("Cooked after it stood out, and out a second time, an hour and 20 "
                       "minutes in all: once is allowed:",
                       r, rule.cold_start, rule.six_hour_form);
    b.stage(Stage::cooking, kOut + Span::minutes(40)).mark(kOut + Span::minutes(40), "cooked");
    if (rule.hot_start) {
        b.read(kOut + Span::minutes(60), inside(*rule.hot_start, 10));
    }
    return b.stage(Stage::time_control, kOut + Span::minutes(70))
        .mark(kOut + Span::minutes(70), "out again")
        .served(kOut + Span::minutes(110))
        .done();
}

} // namespace

std::vector<CodeExample> time_control_examples(const Requirement& r, const TimeControlRule& rule) {
    const auto until = [&](std::string story, const TemperatureLimit& start, Span d, Span later) {
        ExampleBuilder b = out_of_control(std::move(story), r, start, rule.six_hour_form);
        b.mark(kOut + d, "the time is over");
        if (rule.six_hour_form) {
            b.read(kOut + d + later - Span::minutes(10), inside(rule.cold_start, -10));
        }
        return b.served(kOut + d + later).done();
    };
    const Span before = Span{} - Span::minutes(10);
    const Span late = Span::minutes(10);
    std::vector<CodeExample> told{
        until("Out of the cold and eaten in time:", rule.cold_start, rule.within.span, before),
        until("Eaten 10 minutes after the time was over:", rule.cold_start, rule.within.span,
              late)};
    if (rule.hot_start) {
        const Span d = rule.hot_within ? rule.hot_within->span : rule.within.span;
        told.push_back(until("Out of the heat and eaten in time:", *rule.hot_start, d, before));
        told.push_back(until("Out of the heat, and eaten 10 minutes after the time was over:",
                             *rule.hot_start, d, late));
    }
    if (rule.return_within) {
        told.push_back(put_back("Back in the cold in time:", r, rule,
                                kOut + rule.return_within->span - Span::minutes(10)));
        told.push_back(put_back("Back in the cold 10 minutes too late:", r, rule,
                                kOut + rule.return_within->span + Span::minutes(10)));
    } else {
        told.push_back(put_back("Put back into the cold, which this rule does not allow:", r, rule,
                                kOut + Span::minutes(60)));
    }
    if (rule.one_spell) {
        told.push_back(second_spell(r, rule));
    }
    return told;
}

/// Cooked on 12 April; eaten on the last day, a day later, and a day later after a day in the
/// freezer.
std::vector<CodeExample> date_mark_examples(const Requirement& r, const DateMarkRule& rule) {
    const auto life = [&](std::string story, int eaten_on, bool frozen) {
        ExampleBuilder b{std::move(story), food_of(r)};
        b.stage(Stage::cooking, on_day(1, 10))
            .mark(on_day(1, 10), "made")
            .stage(Stage::cold_holding, on_day(1, 16));
        int last = rule.days;
        if (frozen) {
            b.stage(Stage::frozen, on_day(2, 9)).stage(Stage::cold_holding, on_day(3, 9));
            b.mark(on_day(2, 9), "into the freezer").mark(on_day(3, 9), "out of the freezer");
            ++last;
        }
        b.mark(on_day(last, 0), "is the last");
        return b.served(on_day(eaten_on, 12)).done();
    };
    return {life("Cooked on 12 April, kept cold and eaten on the last day:", rule.days, false),
            life("Eaten a day later:", rule.days + 1, false),
            life("Eaten a day later as well, but frozen for a whole day in between, which does not "
                 "count:",
                 rule.days + 1, true)};
}

std::vector<CodeExample> ceiling_examples(const Pack& pack, const Requirement& r,
                                          const CeilingRule& rule) {
    for (const Requirement& other : pack.requirements) {
        const auto* form = std::get_if<TimeControlRule>(&other.rule);
        if (form != nullptr && form->six_hour_form == rule.six_hour_form) {
            ExampleBuilder b = out_of_control("One reading past the ceiling is a miss:", r,
                                              form->cold_start, rule.six_hour_form);
            b.read(Span::minutes(120), inside(rule.limit, 4))
                .read(Span::minutes(210), inside(rule.limit, -1))
                .limit(rule.limit)
                .served(Span::minutes(240));
            return {b.done()};
        }
    }
    return {};
}

} // namespace holdwarden::cli

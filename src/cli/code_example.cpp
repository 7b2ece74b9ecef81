#include <holdwarden/cli/code_example.hpp>
#include <holdwarden/judge/judge.hpp>
#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace holdwarden::cli {
namespace {

using namespace codes;

/// 2026-10-31T18:00:00Z: the examples' clock begins at 18:00 UTC.
constexpr Instant kStart = Instant::from_unix_s(1'793'469'600);

/// 2026-04-12T00:00:00Z: day 1 of the examples that count days.
constexpr Instant kDayOne = Instant::from_unix_s(1'775'952'000);

constexpr Span on_day(int day, int hour) noexcept {
    return kDayOne + Span::hours(24 * (day - 1) + hour) - kStart;
}

/// When food leaves temperature control: 18:30.
constexpr Span kOut = Span::minutes(30);

constexpr Instant after(Span span) noexcept {
    return kStart + span;
}

Temperature figure_of(const TemperatureLimit& limit) {
    const auto fahrenheit = limit.printed(Scale::fahrenheit);
    return fahrenheit ? *fahrenheit : *limit.printed(Scale::celsius);
}

/// The figure moved by `degrees` to its right side (negative: to the wrong one).
Temperature inside(const TemperatureLimit& limit, int degrees) {
    const Temperature at = figure_of(limit);
    const int way = limit.wants_hot() ? 1 : -1;
    return shifted(at, TemperatureDelta::of_thousandths(way * degrees * 1000, at.scale()));
}

class Builder {
public:
    Builder(std::string story, FoodKind food) {
        example_.story = std::move(story);
        example_.lot.name = "example";
        example_.lot.food = food;
        example_.lot.points = {{"core", {}}};
        example_.lot.probes = {{"p1", std::nullopt, std::nullopt}};
        example_.as_of = kStart;
    }

    Builder& stage(Stage stage, Span at) {
        records::StageEntry entry;
        entry.stage = stage;
        entry.from = after(at);
        example_.lot.stages.push_back(entry);
        return *this;
    }
    Builder& read(Span at, Temperature value) {
        records::Reading reading;
        reading.at = after(at);
        reading.value = value;
        example_.lot.points.front().readings.push_back(reading);
        example_.as_of = std::max(example_.as_of, reading.at);
        return *this;
    }
    /// A reading of a hand probe that was watched.
    Builder& watched(Span at, Temperature value, Span kept) {
        read(at, value);
        records::Reading& reading = example_.lot.points.front().readings.back();
        reading.origin = records::Origin::typed;
        reading.watched_s = static_cast<std::uint16_t>(kept.ms() / 1000);
        return *this;
    }
    Builder& served(Span at) {
        example_.lot.end = records::LotEnd{Outcome::served, after(at), ""};
        mark(at, "served");
        example_.as_of = std::max(example_.as_of, after(at));
        return *this;
    }
    /// The last stage is over with its last reading.
    Builder& closed() {
        example_.lot.closes = example_.as_of;
        return *this;
    }
    Builder& mark(Span at, std::string label) {
        example_.marks.emplace_back(after(at), std::move(label));
        return *this;
    }
    /// The last stage begun alone is drawn.
    Builder& drawn_from_here() {
        example_.drawn_from = example_.lot.stages.back().from;
        return *this;
    }
    Builder& limit(const TemperatureLimit& limit) {
        example_.limits.emplace_back(figure_of(limit), limit.to_text());
        return *this;
    }
    records::LotHistory& lot() { return example_.lot; }
    CodeExample done() {
        std::stable_sort(example_.marks.begin(), example_.marks.end(),
                         [](const auto& a, const auto& b) { return a.first < b.first; });
        return example_;
    }

private:
    CodeExample example_;
};

FoodKind food_of(const Requirement& requirement) {
    return requirement.covers(FoodKind::other_tcs) ? FoodKind::other_tcs
                                                   : requirement.foods.front();
}

std::vector<CodeExample> hold_examples(const Requirement& r, const HoldRule& rule) {
    const Stage stage = rule.limit.wants_hot() ? Stage::hot_holding : Stage::cold_holding;
    Builder miss{"One reading on the wrong side is a miss. How long it was is bracketed by its "
                 "neighbours:",
                 food_of(r)};
    miss.stage(stage, Span{})
        .read(Span{}, inside(rule.limit, 5))
        .read(Span::minutes(60), inside(rule.limit, 2))
        .read(Span::minutes(90), inside(rule.limit, -1))
        .read(Span::minutes(120), inside(rule.limit, 1))
        .limit(rule.limit);
    Builder silent{"Two good readings too far apart leave the stretch between them unproven:",
                   food_of(r)};
    silent.stage(stage, Span{})
        .read(Span{}, inside(rule.limit, 5))
        .read(Span::minutes(180), inside(rule.limit, 4))
        .limit(rule.limit);
    return {miss.done(), silent.done()};
}

/// Readings around the end of a window: the last above its target and the first at or below it.
void reach_target(Builder& b, const WindowRule& rule, Span last_wrong, Span first_right) {
    b.read(last_wrong, inside(*rule.to, -1)).read(first_right, inside(*rule.to, 1)).limit(*rule.to);
}

const TableRule* table_of(const Pack& pack, std::string_view id, FoodKind food) {
    for (const Requirement* r : pack.find(id, food)) {
        const auto* table = std::get_if<TableRule>(&r->rule);
        if (table != nullptr && !table->needs_roast_cook) {
            return table;
        }
    }
    return nullptr;
}

/// How hot food is when its cook ends: done by the code's table, else hot enough to be held.
std::optional<Temperature> as_cooked(const Pack& pack, FoodKind food) {
    if (const TableRule* cook = table_of(pack, "cooking", food); cook != nullptr) {
        return inside(cook->rows.back().at, 1);
    }
    for (const Requirement* r : pack.find("hot-holding", food)) {
        if (const auto* hold = std::get_if<HoldRule>(&r->rule); hold != nullptr) {
            return inside(hold->limit, 1);
        }
    }
    return std::nullopt;
}

/// A cooling window, its end read at `last_wrong` and `first_right` after the clock's earliest
/// start. `before` is the window that comes first, for a second window.
CodeExample cooling_example(std::string story, const Pack& pack, const Requirement& r,
                            const WindowRule& rule, const WindowRule* before, Span last_wrong,
                            Span first_right) {
    Builder b{std::move(story), food_of(r)};
    Span start;
    if (rule.start == WindowStart::end_of_cooking) {
        b.stage(Stage::cooking, Span{} - Span::hours(1));
    }
    b.stage(Stage::cooling, Span{});
    b.lot().made_from_ambient = r.id == "cooling-from-ambient";
    const WindowRule& first = before != nullptr ? *before : rule;
    if (first.start == WindowStart::falls_below) {
        b.read(Span{}, inside(*first.from, 5)).read(Span::minutes(10), inside(*first.from, -1));
        b.limit(*first.from);
    } else if (rule.start == WindowStart::end_of_cooking) {
        b.read(Span{}, as_cooked(pack, food_of(r)).value_or(inside(*rule.to, -70)))
            .mark(Span{}, "the cook ended");
    } else {
        b.read(Span{}, inside(*rule.to, -30)).mark(Span{}, "into the cooling");
    }
    if (before != nullptr) {
        start = before->within.span - Span::minutes(20);
        reach_target(b, *before, start, before->within.span - Span::minutes(5));
    }
    reach_target(b, rule, start + last_wrong, start + first_right);
    return b.closed().done();
}

std::vector<CodeExample> cooling_examples(const Pack& pack, const Requirement& r,
                                          const WindowRule& rule) {
    const WindowRule* before = nullptr;
    for (const Requirement& other : pack.requirements) {
        if (!rule.after.empty() && other.id == rule.after && other.option == r.option) {
            before = std::get_if<WindowRule>(&other.rule);
        }
    }
    const Span d = rule.within.span;
    return {cooling_example("Even the longest time the readings leave open is within the limit:",
                            pack, r, rule, before, d - Span::minutes(20), d - Span::minutes(5)),
            cooling_example("The shortest time is within the limit, the longest is not: nothing is "
                            "proven:",
                            pack, r, rule, before, d - Span::minutes(20), d + Span::minutes(10)),
            cooling_example("Even the shortest time is too long:", pack, r, rule, before,
                            d + Span::minutes(15), d + Span::minutes(30))};
}

/// The row that is easiest to draw: the shortest time.
const TableRow& quick_row(const TableRule& rule) {
    return rule.rows.back();
}

std::vector<CodeExample> reheating_time_examples(const Pack& pack, const Requirement& r,
                                                 const WindowRule& rule) {
    const TableRule* table = table_of(pack, "reheating", food_of(r));
    if (table == nullptr) {
        return {};
    }
    const TableRow& row = quick_row(*table);
    const Span d = rule.within.span;
    const auto story = [&](std::string text, Span hot) {
        Builder b{std::move(text), food_of(r)};
        b.stage(Stage::reheating, Span{})
            .read(Span{}, inside(*rule.from, 1))
            .read(Span::minutes(10), inside(*rule.from, -5))
            .read(hot - Span::minutes(10), inside(row.at, -10))
            .watched(hot, inside(row.at, 1), row.keep)
            .limit(*rule.from)
            .limit(row.at);
        return b.closed().done();
    };
    return {
        story("Hot in time, even counted from the last cold reading:", d - Span::minutes(5)),
        story("Counted from the last cold reading it is too long, from the first warm one it is "
              "not: nothing is proven:",
              d + Span::minutes(5))};
}

std::vector<CodeExample> come_up_examples(const Requirement& r, const WindowRule& rule) {
    const Span d = rule.within.span;
    const auto story = [&](std::string text, Span hot) {
        Builder b{std::move(text), food_of(r)};
        b.stage(Stage::cooking, Span{})
            .read(Span{}, inside(*rule.from, 1))
            .read(Span::minutes(10), inside(*rule.from, -5))
            .read(hot - Span::minutes(20), inside(*rule.to, -10))
            .read(hot, inside(*rule.to, 1))
            .limit(*rule.from)
            .limit(*rule.to);
        return b.closed().done();
    };
    return {
        story("There in time, even counted from the last cold reading:", d - Span::minutes(5)),
        story("Counted from the last cold reading it is too long, from the first warm one it is "
              "not: nothing is proven:",
              d + Span::minutes(5))};
}

/// A stage that must begin in time after the cook or the first heating began or ended: entries
/// alone decide. The readings are those of any cook.
std::vector<CodeExample> stage_begin_examples(const Requirement& r, const WindowRule& rule) {
    const bool from_start = rule.start == WindowStart::stage_start;
    const auto story = [&](std::string text, Span took) {
        const Span clock_starts = from_start ? Span{} : Span::minutes(60);
        Builder b{std::move(text), food_of(r)};
        b.stage(from_start ? Stage::initial_heating : Stage::cooking, Span{})
            .read(Span{}, Temperature::of_degrees(60, Scale::fahrenheit))
            .read(Span::minutes(50), Temperature::of_degrees(150, Scale::fahrenheit))
            .mark(clock_starts, from_start ? "the heating began" : "the cook ended")
            .mark(clock_starts + rule.within.span, "the time is over")
            .mark(clock_starts + took, "put to cool");
        if (!from_start) {
            b.stage(Stage::preparing, clock_starts);
        }
        b.stage(Stage::cooling, clock_starts + took)
            .read(clock_starts + took, Temperature::of_degrees(120, Scale::fahrenheit));
        return b.closed().done();
    };
    const auto begun = [&](Span took) {
        return story(fmt::format("Put to cool {} after the {}:", to_text(took),
                                 from_start ? "heating began" : "cook ended"),
                     took);
    };
    return {begun(rule.within.span), begun(rule.within.span + Span::minutes(10))};
}

std::vector<CodeExample> window_examples(const Pack& pack, const Requirement& r,
                                         const WindowRule& rule) {
    if (rule.to_stage) {
        return stage_begin_examples(r, rule);
    }
    if (r.id == "come-up") {
        return come_up_examples(r, rule);
    }
    return rule.start == WindowStart::rises_above ? reheating_time_examples(pack, r, rule)
                                                  : cooling_examples(pack, r, rule);
}

/// The last stage begun heats as `oven` asks, by what it is set to.
void heat_in(Builder& b, const OvenRow& oven) {
    b.lot().stages.back().oven = oven.oven;
    b.lot().stages.back().setting = figure_of(oven.air);
    b.lot().raw_mass_g = oven.from_g.value_or(4536); // 10 lb
}

/// A roast in one piece, cooked by the table and its oven, then held by the lower limit.
std::vector<CodeExample> roast_hold_examples(const Pack& pack, const Requirement& r,
                                             const HoldRule& rule) {
    const TableRule* cook = table_of(pack, "cooking-roast", FoodKind::intact_roast);
    if (cook == nullptr || cook->ovens.empty()) {
        return {};
    }
    const TableRow& row = quick_row(*cook);
    const auto story = [&](std::string text, int then) {
        Builder b{std::move(text), food_of(r)};
        b.stage(Stage::cooking, Span{});
        heat_in(b, cook->ovens.back());
        b.read(Span{}, inside(row.at, -20))
            .watched(Span::minutes(30), inside(row.at, 1), row.keep)
            .stage(Stage::hot_holding, Span::minutes(40))
            .read(Span::minutes(50), inside(rule.limit, 4))
            .read(Span::minutes(120), inside(rule.limit, then))
            .limit(rule.limit);
        return b.closed().done();
    };
    return {story("The cook reached a row of the roast table, with its oven on record: the hold "
                  "may go by this limit:",
                  1),
            story("One reading on the wrong side is a miss of this limit too:", -1)};
}

/// Readings that keep a row: one `below` it, then an unbroken run.
void keep_row(Builder& b, const TableRow& row, Span from, int below) {
    // No gap longer than 10 minutes, or the run breaks.
    const Span step = row.keep > Span::minutes(30) ? Span::minutes(10) : Span::minutes(2);
    b.limit(row.at).read(from, inside(row.at, -below));
    for (Span at = step; at <= row.keep + step + step; at += step) {
        b.read(from + at, inside(row.at, 1));
    }
}

/// Keeping one of several rows, in the oven that goes with them.
CodeExample another_row(const Requirement& r, const TableRule& rule, Stage stage) {
    const TableRow& row = rule.rows.back();
    Builder b{row.keep == Span{}
                  ? "Another row will do as well; where the temperature is only to be reached, one "
                    "reading shows it:"
                  : "Another row will do as well:",
              food_of(r)};
    b.stage(stage, Span{});
    if (!rule.ovens.empty()) {
        heat_in(b, rule.ovens.back());
    }
    // So short and so far from below that no cooler row is kept as well.
    const Span hot = Span::minutes(4);
    b.limit(row.at).read(Span{}, inside(row.at, -15)).read(hot, inside(row.at, 1));
    if (row.keep > Span{}) {
        b.read(hot + row.keep, inside(row.at, 1));
    }
    return b.closed().done();
}

/// The uncut rest of a roast that was cooked by the roast table, reheated by that table too.
std::vector<CodeExample> roast_reheat_examples(const Pack& pack, const Requirement& r,
                                               const TableRule& rule) {
    const TableRule* cook = table_of(pack, "cooking-roast", FoodKind::intact_roast);
    if (cook == nullptr || cook->ovens.empty() || rule.ovens.empty()) {
        return {};
    }
    // A row of a few minutes: short enough to draw, and not hot enough for any other food.
    const auto row = std::find_if(rule.rows.begin(), rule.rows.end(), [](const TableRow& each) {
        return each.keep <= Span::minutes(10);
    });
    if (row == rule.rows.end()) {
        return {};
    }
    const auto story = [&](std::string text, bool with_oven) {
        const TableRow& cooked = quick_row(*cook);
        Builder b{std::move(text), food_of(r)};
        b.stage(Stage::cooking, Span{} - Span::hours(24));
        heat_in(b, cook->ovens.back());
        b.read(Span::minutes(30) - Span::hours(24), inside(cooked.at, -20))
            .watched(Span::minutes(60) - Span::hours(24), inside(cooked.at, 1), cooked.keep)
            .stage(Stage::cooling, Span::minutes(70) - Span::hours(24))
            .read(Span::minutes(180) - Span::hours(24),
                  Temperature::of_degrees(68, Scale::fahrenheit))
            .read(Span::minutes(360) - Span::hours(24),
                  Temperature::of_degrees(40, Scale::fahrenheit))
            .stage(Stage::cold_holding, Span::minutes(370) - Span::hours(24))
            .stage(Stage::reheating, Span{})
            .drawn_from_here();
        if (with_oven) {
            heat_in(b, rule.ovens.back());
        }
        keep_row(b, *row, Span::minutes(90), 10);
        return b.closed().done();
    };
    const OvenRow& oven = rule.ovens.back();
    return {story(fmt::format("A roast that was cooked by the roast table, its oven on record, was "
                              "cooled and kept whole. The next day it is reheated by a row of that "
                              "table, too cool for any other food. The oven on record: {}, set to "
                              "{}:",
                              judge::to_words(oven.oven), to_text(figure_of(oven.air))),
                  true),
            story("The same roast and readings, and nothing on record of the oven it was reheated "
                  "in:",
                  false)};
}

std::vector<CodeExample> table_examples(const Pack& pack, const Requirement& r,
                                        const TableRule& rule) {
    if (rule.needs_roast_cook) {
        return roast_reheat_examples(pack, r, rule);
    }
    const Stage stage = r.id == "reheating" ? Stage::reheating : Stage::cooking;
    const TableRow& row = rule.rows.front();
    Builder kept{row.keep == Span{}
                     ? "Reaching the temperature is enough, and one reading shows it:"
                     : "Kept from the first to the last of an unbroken run of readings, at least:",
                 food_of(r)};
    kept.stage(stage, Span{});
    keep_row(kept, row, Span{}, 2);
    std::vector<CodeExample> told;
    if (!rule.ovens.empty()) {
        CodeExample bare = kept.closed().done();
        bare.story = "The same readings, and nothing on record of the oven:";
        const OvenRow& oven = rule.ovens.back();
        heat_in(kept, oven);
        CodeExample with_oven = kept.done();
        with_oven.story = fmt::format("Kept from the first to the last of an unbroken run of "
                                      "readings, at least, in an oven of the table ({}, set to "
                                      "{}):",
                                      judge::to_words(oven.oven), to_text(figure_of(oven.air)));
        told = {with_oven, bare};
    } else if (row.keep == Span{} || row.keep > Span::minutes(18)) {
        told = {kept.closed().done()}; // the next story spans 18 minutes
    } else {
        Builder one{"One logged reading stands for an instant: it does not prove that the "
                    "temperature was kept:",
                    food_of(r)};
        one.stage(stage, Span{})
            .limit(row.at)
            .read(Span{}, inside(row.at, -2))
            .read(Span::minutes(9), inside(row.at, 1))
            .read(Span::minutes(18), inside(row.at, -1));
        told = {kept.closed().done(), one.closed().done()};
    }
    if (rule.rows.size() > 1) {
        told.push_back(another_row(r, rule, stage));
    }
    return told;
}

/// Food that leaves the cold or the heat at 18:30, well before that shown at `start`.
Builder out_of_control(std::string story, const Requirement& r, const TemperatureLimit& start,
                       bool six_hours) {
    Builder b{std::move(story), food_of(r)};
    b.stage(start.wants_hot() ? Stage::hot_holding : Stage::cold_holding, Span{})
        .read(Span{}, inside(start, 2))
        .read(kOut, inside(start, 1))
        .stage(Stage::time_control, kOut)
        .mark(kOut, start.wants_hot() ? "out of the heat" : "out of the cold")
        .limit(start);
    b.lot().stages.back().form =
        six_hours ? records::TimeControlForm::six_hours : records::TimeControlForm::four_hours;
    return b;
}

/// Put back into the cold, and taken out of it for good an hour later.
CodeExample put_back(std::string story, const Requirement& r, const TimeControlRule& rule,
                     Span back) {
    Builder b = out_of_control(std::move(story), r, rule.cold_start, rule.six_hour_form);
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
    Builder b = out_of_control("Cooked after it stood out, and out a second time, an hour and 20 "
                               "minutes in all: once is allowed:",
                               r, rule.cold_start, rule.six_hour_form);
    const Temperature cooked =
        rule.hot_start ? inside(*rule.hot_start, 10) : Temperature::of_degrees(80, Scale::celsius);
    return b.stage(Stage::cooking, kOut + Span::minutes(40))
        .mark(kOut + Span::minutes(40), "cooked")
        .read(kOut + Span::minutes(60), cooked)
        .stage(Stage::time_control, kOut + Span::minutes(70))
        .mark(kOut + Span::minutes(70), "out again")
        .served(kOut + Span::minutes(110))
        .done();
}

std::vector<CodeExample> time_control_examples(const Requirement& r, const TimeControlRule& rule) {
    const auto until = [&](std::string story, const TemperatureLimit& start, Span d, Span later) {
        Builder b = out_of_control(std::move(story), r, start, rule.six_hour_form);
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
        Builder b{std::move(story), food_of(r)};
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
            Builder b = out_of_control("One reading past the ceiling is a miss:", r,
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

} // namespace

std::vector<CodeExample> examples_of(const Pack& pack, const Requirement& r) {
    if (const auto* hold = std::get_if<HoldRule>(&r.rule)) {
        return r.id == "hot-holding-roast" ? roast_hold_examples(pack, r, *hold)
                                           : hold_examples(r, *hold);
    }
    if (const auto* window = std::get_if<WindowRule>(&r.rule)) {
        return window_examples(pack, r, *window);
    }
    if (const auto* table = std::get_if<TableRule>(&r.rule)) {
        return table_examples(pack, r, *table);
    }
    if (const auto* time = std::get_if<TimeControlRule>(&r.rule)) {
        return time_control_examples(r, *time);
    }
    if (const auto* ceiling = std::get_if<CeilingRule>(&r.rule)) {
        return ceiling_examples(pack, r, *ceiling);
    }
    if (const auto* date = std::get_if<DateMarkRule>(&r.rule)) {
        return date_mark_examples(r, *date);
    }
    return {};
}

std::optional<judge::Finding> finding_in(const CodeExample& example, const Pack& pack,
                                         const Requirement& r) {
    judge::Settings settings;
    settings.as_of = example.as_of;
    std::optional<judge::Finding> worst;
    for (judge::Finding& finding : judge::judge_lot(example.lot, pack, settings).findings) {
        if (finding.requirement == r.id && finding.clause == r.clause &&
            (!worst || judge::worse(worst->verdict, finding.verdict) != worst->verdict)) {
            worst = std::move(finding);
        }
    }
    return worst;
}

} // namespace holdwarden::cli

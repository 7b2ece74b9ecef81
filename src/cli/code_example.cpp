#include <holdwarden/cli/code_example.hpp>
#include <holdwarden/cli/example_parts.hpp>
#include <holdwarden/judge/judge.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace holdwarden::cli {
namespace {

using namespace codes;

std::vector<CodeExample> hold_examples(const Requirement& r, const HoldRule& rule) {
    const Stage stage = rule.limit.wants_hot() ? Stage::hot_holding : Stage::cold_holding;
    ExampleBuilder miss{
        "One reading on the wrong side is a miss. How long it was is bracketed by its "
        "neighbours:",
        food_of(r)};
    miss.stage(stage, Span{})
        .read(Span{}, inside(rule.limit, 5))
        .read(Span::minutes(60), inside(rule.limit, 2))
        .read(Span::minutes(90), inside(rule.limit, -1))
        .read(Span::minutes(120), inside(rule.limit, 1))
        .limit(rule.limit);
    ExampleBuilder silent{
        "Two good readings too far apart leave the stretch between them unproven:", food_of(r)};
    silent.stage(stage, Span{})
        .read(Span{}, inside(rule.limit, 5))
        .read(Span::minutes(180), inside(rule.limit, 4))
        .limit(rule.limit);
    return {miss.done(), silent.done()};
}

/// Readings around the end of a window: the last above its target and the first at or below it.
void reach_target(ExampleBuilder& b, const WindowRule& rule, Span last_wrong, Span first_right) {
    b.read(last_wrong, inside(*rule.to, -1)).read(first_right, inside(*rule.to, 1)).limit(*rule.to);
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
    ExampleBuilder b{std::move(story), food_of(r)};
    Span start;
    if (rule.start == WindowStart::end_of_cooking) {
        b.stage(Stage::cooking, Span{} - Span::hours(1));
    }
    b.stage(Stage::cooling, Span{});
    if (r.id == "cooling-from-ambient") {
        b.made_from_ambient();
    }
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

std::vector<CodeExample> reheating_time_examples(const Pack& pack, const Requirement& r,
                                                 const WindowRule& rule) {
    const TableRule* table = table_of(pack, "reheating", food_of(r));
    if (table == nullptr) {
        return {};
    }
    const TableRow& row = quick_row(*table);
    const Span d = rule.within.span;
    const auto story = [&](std::string text, Span hot) {
        ExampleBuilder b{std::move(text), food_of(r)};
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
        ExampleBuilder b{std::move(text), food_of(r)};
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
        ExampleBuilder b{std::move(text), food_of(r)};
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

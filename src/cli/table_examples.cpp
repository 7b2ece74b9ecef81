// Examples of rules that ask for a temperature and a time: cooking, roasts, reheating.
#include <holdwarden/cli/example_parts.hpp>
#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::cli {

using namespace codes;

namespace {

/// Readings that keep a row: one that is `below` degrees short of it, then an unbroken run.
void keep_row(ExampleBuilder& b, const TableRow& row, Span from, int below) {
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
    ExampleBuilder b{
        row.keep == Span{}
            ? "Another row will do as well; where the temperature is only to be reached, one "
              "reading shows it:"
            : "Another row will do as well:",
        food_of(r)};
    b.stage(stage, Span{});
    if (!rule.ovens.empty()) {
        b.heated_in(rule.ovens.back());
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
        ExampleBuilder b{std::move(text), food_of(r)};
        b.stage(Stage::cooking, Span{} - Span::hours(24));
        b.heated_in(cook->ovens.back());
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
            b.heated_in(rule.ovens.back());
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

} // namespace

/// A roast in one piece, cooked by the table and its oven, then held by the lower limit.
std::vector<CodeExample> roast_hold_examples(const Pack& pack, const Requirement& r,
                                             const HoldRule& rule) {
    const TableRule* cook = table_of(pack, "cooking-roast", FoodKind::intact_roast);
    if (cook == nullptr || cook->ovens.empty()) {
        return {};
    }
    const TableRow& row = quick_row(*cook);
    const auto story = [&](std::string text, int then) {
        ExampleBuilder b{std::move(text), food_of(r)};
        b.stage(Stage::cooking, Span{});
        b.heated_in(cook->ovens.back());
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

std::vector<CodeExample> table_examples(const Pack& pack, const Requirement& r,
                                        const TableRule& rule) {
    if (rule.needs_roast_cook) {
        return roast_reheat_examples(pack, r, rule);
    }
    const Stage stage = r.id == "reheating" ? Stage::reheating : Stage::cooking;
    const TableRow& row = rule.rows.front();
    ExampleBuilder kept{
        row.keep == Span{}
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
        kept.heated_in(oven);
        CodeExample with_oven = kept.done();
        with_oven.story = fmt::format("Kept from the first to the last of an unbroken run of "
                                      "readings, at least, in an oven of the table ({}, set to "
                                      "{}):",
                                      judge::to_words(oven.oven), to_text(figure_of(oven.air)));
        told = {with_oven, bare};
    } else if (row.keep == Span{} || row.keep > Span::minutes(18)) {
        told = {kept.closed().done()}; // the next story spans 18 minutes
    } else {
        ExampleBuilder one{"One logged reading stands for an instant: it does not prove that the "
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

} // namespace holdwarden::cli

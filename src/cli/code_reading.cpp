#include <holdwarden/cli/code_reading.hpp>
#include <holdwarden/cli/code_text.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <string_view>

namespace holdwarden::cli {
namespace {

using namespace codes;

std::vector<std::string> hold_reading(const Requirement& r) {
    std::vector<std::string> text{
        "Each reading in the food is compared with the figure printed for its own scale; one "
        "on the wrong side is a miss. Air readings prove nothing about food.",
        "A miss lasts at the least from its first wrong reading to its last, at the most "
        "from the right reading before to the right one after.",
        "Two good readings further apart than the largest interval (2 h unless you say "
        "otherwise) leave the time between them not shown."};
    if (r.id == "hot-holding-roast") {
        text.emplace_back("It takes the place of hot-holding from the end of a cook on record that "
                          "met the roast table with its oven, for as long as the roast is not cut. "
                          "Otherwise hot-holding stands, and the finding says what is missing.");
    }
    return text;
}

std::string start_reading(WindowStart start) {
    switch (start) {
    case WindowStart::falls_below:
        return "The clock starts no earlier than the last reading at or above the start, and no "
               "later than the first below it.";
    case WindowStart::rises_above:
        return "The clock starts no earlier than the last reading at or below the start, and no "
               "later than the first above it.";
    case WindowStart::end_of_window:
        return "The clock starts where the window before it ended, with the same doubt about when "
               "that was.";
    case WindowStart::end_of_cooking:
        return "The clock starts at the end of the cooking stage on record.";
    case WindowStart::stage_start:
        return "The clock starts with the stage.";
    }
    return "";
}

std::vector<std::string> window_reading(const WindowRule& rule) {
    if (rule.to_stage && rule.start == WindowStart::stage_start) {
        return {"The clock runs from the start of the stage to the start of the stage that must "
                "follow it at once. Stages with no full cook between them add up."};
    }
    if (rule.to_stage) {
        return {"The clock runs from the end of the cooking stage on record to the start of the "
                "stage that must have begun."};
    }
    return {start_reading(rule.start),
            "The goal is reached no earlier than the last reading that had not reached it, and no "
            "later than the reading that first did for good.",
            fmt::format("If the longest time this leaves open is {}, it is met; if even the "
                        "shortest is not, it is not met; else it is not shown, or open while time "
                        "is left.",
                        time_limit_text(rule.within))};
}

std::vector<std::string> table_reading(const TableRule& rule) {
    std::vector<std::string> text{
        "For each row, the time at or above is at least from the first to the last reading "
        "of an unbroken run, at most from the reading before to the reading after. A gap of "
        "more than 10 minutes breaks a run.",
        "A logged reading stands for an instant; a typed one for up to 17 s, or for the time "
        "it says it was watched. A peak between readings is not assumed."};
    if (std::any_of(rule.rows.begin(), rule.rows.end(),
                    [](const TableRow& row) { return row.keep == Span{}; })) {
        text.emplace_back("Where the temperature is only to be reached, one reading at or above it "
                          "is enough.");
    }
    if (rule.rows.size() > 1) {
        text.emplace_back("Any one row will do.");
    }
    if (!rule.ovens.empty()) {
        text.emplace_back("The oven goes with the rows: its kind, and its air readings or what "
                          "it was set to. A row kept with no such record is not shown.");
    }
    if (rule.needs_roast_cook) {
        text.emplace_back("It is open only to a roast that a cook on record brought through the "
                          "roast table with its oven, and that was not cut since.");
    }
    return text;
}

/// What the clock of a hot start allows, where it may start hot.
std::string hot_start_reading(const TimeControlRule& rule) {
    if (!rule.hot_start) {
        return fmt::format("The food must come from {}; from the heat this rule allows no time.",
                           rule.cold_start.to_text());
    }
    const std::string from_heat = rule.hot_start->to_text();
    if (rule.hot_within) {
        return fmt::format("From {} it is eaten or discarded {}, from {} {}: the reading before "
                           "the start says which.",
                           rule.cold_start.to_text(), time_limit_text(rule.within), from_heat,
                           time_limit_text(*rule.hot_within));
    }
    return fmt::format("It may start from {} or from {}, and has the same time: {}.",
                       rule.cold_start.to_text(), from_heat, time_limit_text(rule.within));
}

std::vector<std::string> time_control_reading(const TimeControlRule& rule) {
    std::vector<std::string> text{
        "It needs a good reading shortly before the food leaves control; then its clock runs "
        "until the food is recorded as eaten or discarded.",
        hot_start_reading(rule),
        "Without a recorded end it is not shown, and a later reading in the food is a miss."};
    if (rule.return_within) {
        text.push_back(fmt::format("It may go back to holding {} after it left control; each "
                                   "return is held against the time out up to then.",
                                   time_limit_text(*rule.return_within)));
    } else {
        text.emplace_back("It may not go back: holding, cooling or reheating after it is a miss.");
    }
    if (rule.one_spell) {
        text.emplace_back("Once only: a second spell without temperature control is a miss, "
                          "however short. Entries that follow each other without a break are one.");
    } else if (!rule.adds_up_below) {
        text.emplace_back("Spells add up.");
    }
    if (rule.six_hour_form) {
        text.emplace_back("Every spell of the food must be of this form, and none may pass its "
                          "ceiling (time-control-ceiling).");
    }
    if (rule.adds_up_below) {
        text.emplace_back(
            "Times between the two limits in storage, rests, reheats and preparation add up as "
            "well: at least what lies between readings there, at most what no reading vouches "
            "for. A cook that comes hot, and the cooling of hot food, do not count.");
    }
    return text;
}

std::vector<std::string> date_mark_reading(const DateMarkRule& rule) {
    return {"Days are counted by the site's calendar; the day of making or opening is day 1, and "
            "whole days in the freezer since then do not count.",
            fmt::format(
                "It applies to food that the record shows cooked, hot, cooled or reheated, "
                "and then kept cold{}.",
                rule.applies_over == Span{} ? "" : " for more than " + to_text(rule.applies_over)),
            "It is met when the food is recorded as eaten or discarded by the last day, open until "
            "then, and a miss from the day after."};
}

std::vector<std::string> reading_of(const Requirement& r) {
    if (std::holds_alternative<HoldRule>(r.rule)) {
        return hold_reading(r);
    }
    if (const auto* window = std::get_if<WindowRule>(&r.rule)) {
        return window_reading(*window);
    }
    if (const auto* table = std::get_if<TableRule>(&r.rule)) {
        return table_reading(*table);
    }
    if (const auto* time = std::get_if<TimeControlRule>(&r.rule)) {
        return time_control_reading(*time);
    }
    if (const auto* date = std::get_if<DateMarkRule>(&r.rule)) {
        return date_mark_reading(*date);
    }
    return {"One reading on the wrong side is a miss; readings too far apart leave the time "
            "between them not shown."};
}

/// "cooling" of "cooling-total": options are alternatives among the requirements of one stage.
std::string_view family_of(std::string_view id) {
    return id.substr(0, id.find('-'));
}

/// The alternatives an asked requirement belongs to, each with all its parts.
std::vector<std::string> options_reading(const Pack& pack, std::string_view id) {
    std::vector<std::pair<std::string, std::vector<std::string>>> options;
    for (const Requirement& r : pack.requirements) {
        if (r.option.empty() || family_of(r.id) != family_of(id)) {
            continue;
        }
        auto option = std::find_if(options.begin(), options.end(),
                                   [&](const auto& other) { return other.first == r.option; });
        if (option == options.end()) {
            option = options.insert(options.end(), {r.option, {}});
        }
        option->second.push_back(fmt::format("{} ({})", r.id, rule_in_short(r)));
    }
    std::vector<std::string> text{"Options are alternatives: the one whose worst finding is best "
                                  "counts, the others stand as notes."};
    for (const auto& [name, parts] : options) {
        text.push_back(fmt::format("Option {} asks for {}.", name, fmt::join(parts, "; ")));
    }
    return text;
}

} // namespace

std::vector<std::string> readings_of(const Pack& pack,
                                     std::span<const Requirement* const> requirements) {
    struct Sentence {
        std::string text;
        std::vector<std::string> clauses;
    };
    std::vector<Sentence> sentences;
    for (const Requirement* r : requirements) {
        for (std::string& text : reading_of(*r)) {
            const auto same = [&](const Sentence& other) { return other.text == text; };
            auto sentence = std::find_if(sentences.begin(), sentences.end(), same);
            if (sentence == sentences.end()) {
                sentence = sentences.insert(sentences.end(), {std::move(text), {}});
            }
            sentence->clauses.push_back(r->clause);
        }
    }
    std::vector<std::string> all;
    for (const Sentence& sentence : sentences) {
        all.push_back(
            sentence.clauses.size() == requirements.size()
                ? sentence.text
                : fmt::format("{}: {}", fmt::join(sentence.clauses, ", "), sentence.text));
    }
    if (std::any_of(requirements.begin(), requirements.end(),
                    [](const Requirement* r) { return !r->option.empty(); })) {
        for (std::string& text : options_reading(pack, requirements.front()->id)) {
            all.push_back(std::move(text));
        }
    }
    return all;
}

} // namespace holdwarden::cli

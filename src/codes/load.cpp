#include "check.hpp"
#include "receiving_table.hpp"
#include "toml_table.hpp"

#include <holdwarden/base/folder.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/codes/load.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <fstream>
#include <iterator>
#include <system_error>

namespace holdwarden::codes {
namespace {

WindowRule read_window(const TomlTable& in) {
    in.only({"start", "from", "after", "to", "to-stage", "within"}, "a window");
    constexpr std::array kStarts{WindowStart::falls_below, WindowStart::rises_above,
                                 WindowStart::end_of_window, WindowStart::end_of_cooking,
                                 WindowStart::stage_start};
    WindowRule rule{.start = kStarts[in.choice("start",
                                               {"falls-below", "rises-above", "end-of-window",
                                                "end-of-cooking", "stage-start"},
                                               "start of a window")],
                    .from = std::nullopt,
                    .after = in.text_or("after", ""),
                    .to = std::nullopt,
                    .within = in.time_limit("within"),
                    .to_stage = std::nullopt};
    if (in.has("from")) {
        rule.from = in.limit("from");
    }
    if (in.has("to")) {
        rule.to = in.limit("to");
    }
    if (in.has("to-stage")) {
        std::vector<std::string> names;
        for (const Stage stage : all_stages()) {
            names.emplace_back(to_name(stage));
        }
        rule.to_stage = all_stages()[in.choice("to-stage", names, "stage")];
    }
    return rule;
}

OvenRow read_oven(const TomlTable& in, Status status) {
    in.only({"oven", "from", "below", "air", "status"}, "an oven condition");
    std::vector<std::string> names;
    for (const OvenKind oven : all_ovens()) {
        names.emplace_back(to_name(oven));
    }
    OvenRow row{.oven = all_ovens()[in.choice("oven", names, "kind of oven")],
                .from_g = std::nullopt,
                .below_g = std::nullopt,
                .air = in.limit("air"),
                .status = in.status_or("status", status)};
    if (in.has("from")) {
        row.from_g = in.mass_g("from");
    }
    if (in.has("below")) {
        row.below_g = in.mass_g("below");
    }
    return row;
}

TableRule read_table(const TomlTable& in, Status status) {
    in.only({"rows", "ovens", "needs-roast-cook", "most-times", "rest-counts"}, "a table");
    TableRule rule{.rows = {},
                   .ovens = {},
                   .needs_roast_cook = in.flag_or("needs-roast-cook", false),
                   .most_times = std::nullopt,
                   .rest_counts = in.flag_or("rest-counts", false)};
    for (const TomlTable& row : in.tables("rows")) {
        row.only({"at", "keep", "status"}, "a row");
        rule.rows.push_back({.at = row.limit("at"),
                             .keep = row.span("keep"),
                             .status = row.status_or("status", status)});
    }
    if (in.has("ovens")) {
        for (const TomlTable& oven : in.tables("ovens")) {
            rule.ovens.push_back(read_oven(oven, status));
        }
    }
    if (in.has("most-times")) {
        rule.most_times = in.whole_number("most-times", 0, 10);
    }
    return rule;
}

TimeControlRule read_time_control(const TomlTable& in) {
    in.only({"cold-start", "hot-start", "within", "hot-within", "return-within", "one-spell",
             "six-hour-form", "adds-up-below"},
            "time control");
    TimeControlRule rule{.cold_start = in.limit("cold-start"),
                         .hot_start = std::nullopt,
                         .within = in.time_limit("within"),
                         .six_hour_form = in.flag_or("six-hour-form", false),
                         .hot_within = std::nullopt,
                         .return_within = std::nullopt,
                         .one_spell = in.flag_or("one-spell", false)};
    if (in.has("hot-start")) {
        rule.hot_start = in.limit("hot-start");
    }
    if (in.has("hot-within")) {
        if (!rule.hot_start) {
            throw in.error("hot-within", "'hot-within' has no 'hot-start' to go with",
                           "add 'hot-start', or take it out");
        }
        rule.hot_within = in.time_limit("hot-within");
    }
    if (in.has("return-within")) {
        rule.return_within = in.time_limit("return-within");
    }
    if (in.has("adds-up-below")) {
        rule.adds_up_below = in.limit("adds-up-below");
    }
    return rule;
}

CeilingRule read_ceiling(const TomlTable& in) {
    in.only({"limit", "six-hour-form"}, "a ceiling");
    return {.limit = in.limit("limit"), .six_hour_form = in.flag_or("six-hour-form", true)};
}

DateMarkRule read_date_mark(const TomlTable& in) {
    in.only({"days", "applies-over", "kept-at"}, "a date mark");
    return {.days = in.whole_number("days", 1, 365),
            .applies_over = in.span("applies-over"),
            .kept_at = in.limit("kept-at")};
}

Rule read_rule(const TomlTable& in, Status status) {
    const std::vector<std::string> sorts{"hold",         "window",  "table",
                                         "time-control", "ceiling", "date-mark"};
    const auto given = std::count_if(sorts.begin(), sorts.end(),
                                     [&](const std::string& sort) { return in.has(sort); });
    if (given != 1) {
        throw in.error_here(fmt::format("a requirement has one rule, this one has {}", given),
                            "give it one of " + listed(sorts));
    }
    if (in.has("hold")) {
        return HoldRule{.limit = in.limit("hold")};
    }
    if (in.has("window")) {
        return read_window(in.table("window"));
    }
    if (in.has("table")) {
        return read_table(in.table("table"), status);
    }
    if (in.has("time-control")) {
        return read_time_control(in.table("time-control"));
    }
    if (in.has("ceiling")) {
        return read_ceiling(in.table("ceiling"));
    }
    return read_date_mark(in.table("date-mark"));
}

Requirement read_requirement(const TomlTable& in) {
    in.only({"id", "clause", "status", "says", "foods", "option", "hold", "window", "table",
             "time-control", "ceiling", "date-mark"},
            "a requirement");
    const Status status = in.status_or("status", std::nullopt);
    Requirement found{.id = in.text("id"),
                      .clause = in.text("clause"),
                      .status = status,
                      .says = in.text("says"),
                      .foods = in.foods_or_all("foods"),
                      .rule = read_rule(in, status),
                      .option = in.text_or("option", "")};
    check_sort(found, in);
    return found;
}

Advice read_advice(const TomlTable& in) {
    in.only({"requirement", "for", "up-to", "while-worst", "act", "source", "planned"}, "advice");
    Advice found{.requirement = in.text("requirement"),
                 .for_not_shown =
                     in.choice("for", {"not-met", "not-shown"}, "verdict to advise on") == 1,
                 .up_to = std::nullopt,
                 .act = in.texts("act"),
                 .source = in.text("source"),
                 .while_worst = std::nullopt,
                 .planned = in.flag_or("planned", true)};
    if (in.has("up-to")) {
        found.up_to = in.time_limit("up-to");
    }
    if (in.has("while-worst")) {
        found.while_worst = in.limit("while-worst");
    }
    return found;
}

ThermometerAccuracy read_thermometer(const TomlTable& in) {
    in.only({"celsius", "fahrenheit", "clause", "status"}, "the thermometer");
    const TemperatureDelta celsius = in.delta("celsius", Scale::celsius);
    return {.celsius = celsius,
            .fahrenheit = in.has("fahrenheit") ? in.delta("fahrenheit", Scale::fahrenheit)
                                               : celsius.in(Scale::fahrenheit),
            .clause = in.text("clause"),
            .status = in.status_or("status", std::nullopt)};
}

Pack read_pack(const TomlTable& in) {
    in.only({"id", "title", "edition", "caution", "thermometer", "receiving", "requirement",
             "advice", "left-out"},
            "a pack");
    read_receiving(in); // refused here if it is wrong; codes/receiving.hpp hands it out
    Pack pack{.id = in.text("id"),
              .title = in.text("title"),
              .edition = in.text("edition"),
              .caution = in.text("caution"),
              .requirements = {},
              .advice = {},
              .left_out = {},
              .thermometer = std::nullopt};
    if (in.has("thermometer")) {
        pack.thermometer = read_thermometer(in.table("thermometer"));
    }
    const auto requirements = in.tables("requirement");
    for (const TomlTable& table : requirements) {
        pack.requirements.push_back(read_requirement(table));
    }
    check_together(pack.requirements, requirements);
    if (in.has("advice")) {
        const auto advice = in.tables("advice");
        for (const TomlTable& table : advice) {
            pack.advice.push_back(read_advice(table));
        }
        check_advice(pack, advice);
    }
    if (in.has("left-out")) {
        for (const TomlTable& table : in.tables("left-out")) {
            table.only({"what", "why"}, "what is left out");
            pack.left_out.push_back({.what = table.text("what"), .why = table.text("why")});
        }
    }
    return pack;
}

} // namespace

Pack parse_pack(std::string_view text, const std::string& name) {
    const toml::table parsed = parse_toml(text, name);
    return read_pack(TomlTable{parsed, name});
}

Pack load_pack(const std::filesystem::path& path) {
    std::error_code code;
    if (!std::filesystem::is_regular_file(path, code)) {
        throw Error{ErrorKind::not_found,
                    {.what = fmt::format("there is no code pack '{}'", for_display(path.string())),
                     .where = "",
                     .fix = "see the packs with: holdwarden codes"}};
    }
    std::ifstream in{path, std::ios::binary};
    const std::string text{std::istreambuf_iterator<char>{in}, {}};
    if (!in) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the code pack cannot be read",
                     .where = path.string(),
                     .fix = "check that you may read it"}};
    }
    return parse_pack(text, path.string());
}

std::vector<std::string> pack_ids(const std::filesystem::path& folder) {
    std::vector<std::string> ids;
    std::error_code code;
    for (const std::filesystem::path name : names_in(folder, code)) {
        if (name.extension() == ".toml" && is_regular_file(folder / name, code)) {
            ids.push_back(name.stem().string());
        }
    }
    return ids;
}

} // namespace holdwarden::codes

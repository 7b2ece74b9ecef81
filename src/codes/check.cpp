#include "check.hpp"

#include <holdwarden/base/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <type_traits>

namespace holdwarden::codes {
namespace {

/// The sort of rule an id stands for, in the order of codes::Rule.
enum class Sort { hold, window, table, time_control, ceiling, date_mark };
static_assert(std::is_same_v<std::variant_alternative_t<0, Rule>, HoldRule>);
static_assert(std::is_same_v<std::variant_alternative_t<1, Rule>, WindowRule>);
static_assert(std::is_same_v<std::variant_alternative_t<2, Rule>, TableRule>);
static_assert(std::is_same_v<std::variant_alternative_t<3, Rule>, TimeControlRule>);
static_assert(std::is_same_v<std::variant_alternative_t<4, Rule>, CeilingRule>);
static_assert(std::is_same_v<std::variant_alternative_t<5, Rule>, DateMarkRule>);

constexpr std::array<std::string_view, 6> kSortKeys{"hold",         "window",  "table",
                                                    "time-control", "ceiling", "date-mark"};

struct KnownId {
    std::string_view id;
    Sort sort;
};
constexpr std::array<KnownId, 17> kIds{{{"cooking", Sort::table},
                                        {"cooking-roast", Sort::table},
                                        {"come-up", Sort::window},
                                        {"initial-heating", Sort::window},
                                        {"hot-holding", Sort::hold},
                                        {"hot-holding-roast", Sort::hold},
                                        {"cooling-start", Sort::window},
                                        {"cooling-first-window", Sort::window},
                                        {"cooling-second-window", Sort::window},
                                        {"cooling-total", Sort::window},
                                        {"cooling-from-ambient", Sort::window},
                                        {"cold-holding", Sort::hold},
                                        {"reheating", Sort::table},
                                        {"reheating-time", Sort::window},
                                        {"time-control", Sort::time_control},
                                        {"time-control-ceiling", Sort::ceiling},
                                        {"date-mark", Sort::date_mark}}};

void want(bool hot, const TemperatureLimit& limit, const TomlTable& at, std::string_view key) {
    if (limit.wants_hot() != hot) {
        throw at.error(key, fmt::format("'{}' points the wrong way here", limit.to_text()),
                       hot ? "use \"… or above\" or \"above …\""
                           : "use \"… or below\" or \"below …\"");
    }
}

void check_window(const Requirement& requirement, const WindowRule& rule, const TomlTable& at) {
    const bool falls = rule.start == WindowStart::falls_below;
    const bool rises = rule.start == WindowStart::rises_above;
    const bool after = rule.start == WindowStart::end_of_window;
    if (rule.from.has_value() != (falls || rises)) {
        throw at.error("from", "'from' goes with the starts falls-below and rises-above",
                       rule.from ? "take it out, or change 'start'" : "add 'from'");
    }
    if (rule.after.empty() == after) {
        throw at.error("after", "'after' goes with the start end-of-window",
                       after ? "add 'after', the id of the window that comes before"
                             : "take it out, or change 'start'");
    }
    if (rule.from) {
        want(falls, *rule.from, at, "from");
    }
    const bool heats = requirement.id == "reheating-time" || requirement.id == "come-up";
    if (rule.to) {
        want(heats, *rule.to, at, "to");
    }
    const bool may_lack_to = requirement.id == "reheating-time" || rule.to_stage;
    if ((!rule.to && !may_lack_to) || (rule.to && rule.to_stage)) {
        throw at.error("to", "a window ends at a temperature or with a stage",
                       "give one of 'to' and 'to-stage'");
    }
}

bool share_food(const Requirement& a, const Requirement& b) {
    return a.foods.empty() || b.foods.empty() ||
           std::any_of(a.foods.begin(), a.foods.end(), [&](FoodKind f) { return b.covers(f); });
}

/// Whether two requirements of one id say something about the same thing twice.
bool same_matter(const Requirement& a, const Requirement& b) {
    if (a.id != b.id || a.option != b.option || !share_food(a, b) ||
        a.rule.index() != b.rule.index()) {
        return false;
    }
    if (const auto* form = std::get_if<TimeControlRule>(&a.rule)) {
        return form->six_hour_form == std::get<TimeControlRule>(b.rule).six_hour_form;
    }
    if (const auto* form = std::get_if<CeilingRule>(&a.rule)) {
        return form->six_hour_form == std::get<CeilingRule>(b.rule).six_hour_form;
    }
    if (const auto* table = std::get_if<TableRule>(&a.rule)) {
        return table->needs_roast_cook == std::get<TableRule>(b.rule).needs_roast_cook;
    }
    return true;
}

} // namespace

std::vector<std::string_view> requirement_ids() {
    std::vector<std::string_view> ids;
    for (const KnownId& known : kIds) {
        ids.push_back(known.id);
    }
    return ids;
}

void check_monotone(const std::vector<TableRow>& rows, const std::vector<TomlTable>& at) {
    const auto figure = [](const TemperatureLimit& limit) {
        const auto fahrenheit = limit.printed(Scale::fahrenheit);
        return fahrenheit ? *fahrenheit : *limit.printed(Scale::celsius);
    };
    const auto falls = [](const TableRow& a, const TableRow& b, Scale scale) {
        const auto first = a.at.printed(scale);
        const auto second = b.at.printed(scale);
        return first && second && second->thousandths() < first->thousandths();
    };
    for (std::size_t i = 1; i < rows.size(); ++i) {
        const TableRow& before = rows[i - 1];
        const TableRow& row = rows[i];
        if (physical_order(figure(row.at), figure(before.at)) <= 0 ||
            falls(before, row, Scale::celsius)) {
            throw at[i].error("at",
                              fmt::format("the table is not in order: {} comes after {}",
                                          row.at.to_text(), before.at.to_text()),
                              "list the rows with rising temperatures");
        }
        if (row.keep > before.keep) {
            throw at[i].error("keep",
                              fmt::format("the table is not in order: {} at a higher temperature "
                                          "is longer than {}",
                                          to_text(row.keep), to_text(before.keep)),
                              "copy the times again: they fall or stay as the temperature rises");
        }
    }
}

void check_sort(const Requirement& requirement, const TomlTable& at) {
    const auto known = std::find_if(kIds.begin(), kIds.end(),
                                    [&](const KnownId& k) { return k.id == requirement.id; });
    if (known == kIds.end()) {
        const auto ids = requirement_ids();
        throw at.error("id", fmt::format("'{}' is no requirement", for_display(requirement.id)),
                       "use " + listed({ids.begin(), ids.end()}));
    }
    const auto wanted = static_cast<std::size_t>(known->sort);
    const std::string_view given = kSortKeys[requirement.rule.index()];
    if (requirement.rule.index() != wanted) {
        throw at.error(given, fmt::format("'{}' is not a '{}' rule", requirement.id, given),
                       fmt::format("give it '{}'", kSortKeys[wanted]));
    }
    if (const auto* hold = std::get_if<HoldRule>(&requirement.rule)) {
        want(requirement.id != "cold-holding", hold->limit, at, given);
    } else if (const auto* window = std::get_if<WindowRule>(&requirement.rule)) {
        check_window(requirement, *window, at.table(given));
    } else if (const auto* table = std::get_if<TableRule>(&requirement.rule)) {
        const auto rows = at.table(given).tables("rows");
        for (std::size_t i = 0; i < rows.size(); ++i) {
            want(true, table->rows[i].at, rows[i], "at");
        }
        check_monotone(table->rows, rows);
    } else if (const auto* time = std::get_if<TimeControlRule>(&requirement.rule)) {
        want(false, time->cold_start, at.table(given), "cold-start");
        if (time->hot_start) {
            want(true, *time->hot_start, at.table(given), "hot-start");
        }
        if (time->adds_up_below) {
            want(true, *time->adds_up_below, at.table(given), "adds-up-below");
        }
    } else if (const auto* ceiling = std::get_if<CeilingRule>(&requirement.rule)) {
        want(false, ceiling->limit, at.table(given), "limit");
    } else if (const auto* date = std::get_if<DateMarkRule>(&requirement.rule)) {
        want(false, date->kept_at, at.table(given), "kept-at");
    }
}

void check_together(const std::vector<Requirement>& requirements,
                    const std::vector<TomlTable>& at) {
    for (std::size_t i = 0; i < requirements.size(); ++i) {
        const Requirement& here = requirements[i];
        for (std::size_t j = 0; j < i; ++j) {
            if (same_matter(requirements[j], here)) {
                throw at[i].error("id",
                                  fmt::format("'{}' is given twice for one food kind ({} and {})",
                                              here.id, requirements[j].clause, here.clause),
                                  "take one out, or tell their 'foods' apart");
            }
        }
        const auto* window = std::get_if<WindowRule>(&here.rule);
        if (window == nullptr || window->after.empty()) {
            continue;
        }
        const bool found =
            std::any_of(requirements.begin(), requirements.end(), [&](const Requirement& other) {
                return &other != &here && other.id == window->after &&
                       other.option == here.option && share_food(other, here) &&
                       std::holds_alternative<WindowRule>(other.rule);
            });
        if (!found) {
            throw at[i].table("window").error(
                "after", fmt::format("no window '{}' comes before", for_display(window->after)),
                "name another window of this pack that covers the same food");
        }
    }
}

namespace {

/// Whether an earlier row's `up-to` fits at every time that the later row's does.
bool hides(const std::optional<TimeLimit>& earlier, const std::optional<TimeLimit>& later) {
    if (!earlier) {
        return true;
    }
    if (!later) {
        return false;
    }
    return later->span < earlier->span ||
           (later->span == earlier->span && (earlier->figure_included || !later->figure_included));
}

} // namespace

void check_advice(const Pack& pack, const std::vector<TomlTable>& at) {
    for (std::size_t i = 0; i < pack.advice.size(); ++i) {
        const Advice& row = pack.advice[i];
        const bool known =
            std::any_of(pack.requirements.begin(), pack.requirements.end(),
                        [&](const Requirement& r) { return r.id == row.requirement; });
        if (!known) {
            throw at[i].error(
                "requirement",
                fmt::format("this pack has no requirement '{}'", for_display(row.requirement)),
                "name one it has, or take the advice out");
        }
        for (std::size_t j = 0; j < i; ++j) {
            const Advice& earlier = pack.advice[j];
            if (earlier.requirement == row.requirement &&
                earlier.for_not_shown == row.for_not_shown && !earlier.while_worst &&
                hides(earlier.up_to, row.up_to)) {
                throw at[i].error_here(
                    "this advice is never given: an earlier row for the same requirement applies "
                    "whenever it does",
                    "put the narrower row first, or take one out");
            }
        }
    }
}

} // namespace holdwarden::codes

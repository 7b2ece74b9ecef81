#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/codes/limit.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace holdwarden::codes {

/// How a figure is known.
enum class Status {
    seen_in_edition,  ///< read in a published copy of that edition
    seen_in_adoption, ///< read in a code that adopted it, or in the identical clause of a sister
                      ///< code
    seen_in_account,  ///< read in an account of it (the issuer's summary, guidance, a digest)
    remembered,       ///< from memory: check before relying on it
};
std::string_view to_name(Status status) noexcept;

/// A length of time a code allows or asks for.
struct TimeLimit {
    Span span;
    bool figure_included = true; ///< "within 2 hours" true; "less than 2 hours" false

    bool allows(Span elapsed) const noexcept {
        return figure_included ? elapsed <= span : elapsed < span;
    }
};

/// Every reading must be on one side of a temperature: hot holding, cold holding.
struct HoldRule {
    TemperatureLimit limit;
};

/// What starts a window's clock.
enum class WindowStart {
    falls_below,    ///< the food falls below `from`
    rises_above,    ///< the food leaves `from` upwards (reheating)
    end_of_window,  ///< the window named by `after` has ended
    end_of_cooking, ///< the cooking stage has ended
    stage_start,    ///< the stage begins
};

/// From a start, a temperature must be reached within a time.
struct WindowRule {
    WindowStart start = WindowStart::falls_below;
    std::optional<TemperatureLimit>
        from;          ///< for falls_below: at_or_above; for rises_above: at_or_below
    std::string after; ///< requirement id, for end_of_window
    std::optional<TemperatureLimit>
        to; ///< nullopt for reheating-time, whose target is the reheating row met
    TimeLimit within;
    std::optional<Stage>
        to_stage; ///< instead of `to`: this stage must have begun (chilling after the cook)
};

/// One row of a "reach and keep" table: at or above a temperature for a time.
struct TableRow {
    TemperatureLimit at;
    Span keep; ///< zero: reaching it is enough
    Status status = Status::remembered;
};

/// An oven condition that goes with a roast table.
struct OvenRow {
    OvenKind oven = OvenKind::still_dry;
    std::optional<std::int64_t> from_g;  ///< raw mass at or above
    std::optional<std::int64_t> below_g; ///< raw mass under
    TemperatureLimit air;
    Status status = Status::remembered;
};

/// Reach a temperature and keep it: cooking, reheating. Any one row will do.
struct TableRule {
    std::vector<TableRow> rows;
    std::vector<OvenRow> ovens; ///< empty: no oven condition
    bool needs_roast_cook =
        false; ///< only for the uncut remainder of a roast cooked by the roast table
    std::optional<int> most_times; ///< reheating: how often a lot may be reheated; nullopt: no cap
    bool rest_counts = false;      ///< the time kept may go on in the rest right after the oven
};

/// Time as a public health control, one form.
struct TimeControlRule {
    TemperatureLimit cold_start;
    std::optional<TemperatureLimit> hot_start; ///< nullopt: may not start hot
    TimeLimit within;
    bool six_hour_form = false;
    std::optional<TimeLimit> hot_within; ///< after a hot start instead of `within`
    std::optional<TimeLimit>
        return_within;      ///< may go back to cold or hot holding while the added-up
                            ///< time is within this; nullopt: may not go back
    bool one_spell = false; ///< a second spell is a miss however short
    std::optional<TemperatureLimit>
        adds_up_below{}; ///< all times between `cold_start` and this add up, in storage and while
                         ///< it is prepared as well; nullopt: only those under time control do
};

/// A temperature the food may not pass during a form of time control.
struct CeilingRule {
    TemperatureLimit limit;
    bool six_hour_form = true;
};

/// Days a ready-to-eat food may be kept, the day of making being day 1.
struct DateMarkRule {
    int days = 7;
    Span applies_over = Span::hours(24);
    TemperatureLimit kept_at;
};

using Rule =
    std::variant<HoldRule, WindowRule, TableRule, TimeControlRule, CeilingRule, DateMarkRule>;

/// One limit of a pack as the engine applies it. Several requirements may share an id and differ in
/// food kinds.
struct Requirement {
    std::string id;     ///< "hot-holding", as design lists them
    std::string clause; ///< "3-501.16(A)(1)"
    Status status = Status::remembered;
    std::string says;            ///< the rule in our own words, one sentence
    std::vector<FoodKind> foods; ///< empty: all
    Rule rule;
    std::string
        option; ///< "": always applies. Else the requirements of a stage that carry an option
                ///< are alternatives: one option, met in all its requirements, will do

    bool covers(FoodKind food) const noexcept;
};

/// The ids a requirement may have, in the order of the food's life.
std::vector<std::string_view> requirement_ids();

/// What people are told to do about a finding.
struct Advice {
    std::string requirement;        ///< id it belongs to
    bool for_not_shown = false;     ///< for a record that cannot prove it, rather than a miss
    std::optional<TimeLimit> up_to; ///< applies while it allows the worst-case time; nullopt: any
    std::vector<std::string> act;   ///< sentences in the imperative
    std::string source;             ///< document and clause, or "common practice"
    std::optional<TemperatureLimit>
        while_worst;     ///< applies while the worst value is on its right side; nullopt: any
    bool planned = true; ///< false: the source plans nothing for such a miss, and answering it
                         ///< needs more than the action
};

struct LeftOut {
    std::string what;
    std::string why;
};

/// Thermometer accuracy a code asks of food thermometers. Where it prints Celsius only, the
/// Fahrenheit figure is the same size converted.
struct ThermometerAccuracy {
    TemperatureDelta celsius;
    TemperatureDelta fahrenheit;
    std::string clause;
    Status status = Status::remembered;
};

/// One jurisdiction's edition of limits. Immutable once loaded.
struct Pack {
    std::string id;      ///< "us-fda-2022"
    std::string title;   ///< "FDA Food Code"
    std::string edition; ///< "2022"
    std::string caution; ///< what a reader must know about this pack
    std::vector<Requirement> requirements;
    std::vector<Advice> advice;
    std::vector<LeftOut> left_out;
    std::optional<ThermometerAccuracy> thermometer;

    /// The requirements with this id that cover `food`, in file order. For other_tcs of `cooking`
    /// the strictest row is the one whose foods list names other_tcs.
    std::vector<const Requirement*> find(std::string_view id, FoodKind food) const;
    /// The first row of advice that fits. A row with `up_to` never fits an unknown worst-case time,
    /// nor a row with `while_worst` an unknown worst value. nullptr: the pack has none.
    const Advice* advice_for(std::string_view requirement, bool for_not_shown,
                             std::optional<Span> worst_case_time,
                             std::optional<Temperature> worst_value) const;
    /// The only one, or nullptr.
    const Requirement* find_one(std::string_view id, FoodKind food) const;
};

} // namespace holdwarden::codes

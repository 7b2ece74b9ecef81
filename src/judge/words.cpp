#include "messages.hpp"

#include <holdwarden/base/time_text.hpp>
#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace holdwarden::judge {
namespace {

/// How many times over a row's time was kept.
double share(const RowKept& row) noexcept {
    return row.asked > Span{} ? row.longest.in_seconds() / row.asked.in_seconds() : 0.0;
}

} // namespace

std::string_view requirement_words(std::string_view id) noexcept {
    static constexpr std::array<std::pair<std::string_view, std::string_view>, 17> kWords = {{
        {"initial-heating", msg::req_initial_heating},
        {"cooking", msg::req_cooking},
        {"cooking-roast", msg::req_cooking_roast},
        {"hot-holding", msg::req_hot_holding},
        {"hot-holding-roast", msg::req_hot_holding_roast},
        {"cooling-first-window", msg::req_cooling_first},
        {"cooling-second-window", msg::req_cooling_second},
        {"cooling-total", msg::req_cooling_total},
        {"cooling-from-ambient", msg::req_cooling_ambient},
        {"cold-holding", msg::req_cold_holding},
        {"reheating", msg::req_reheating},
        {"reheating-time", msg::req_reheating_time},
        {"time-control", msg::req_time_control},
        {"time-control-ceiling", msg::req_time_control_ceiling},
        {"date-mark", msg::req_date_mark},
        {"come-up", msg::req_come_up},
        {"largest-interval", msg::req_largest_interval},
    }};
    const auto* const known =
        std::ranges::find(kWords, id, [](const auto& pair) { return pair.first; });
    return known == kWords.end() ? std::string_view{} : known->second;
}

std::string_view to_words(Stage stage) noexcept {
    switch (stage) {
    case Stage::preparing:
        return msg::stage_preparing;
    case Stage::initial_heating:
        return msg::stage_initial_heating;
    case Stage::cooking:
        return msg::stage_cooking;
    case Stage::resting:
        return msg::stage_resting;
    case Stage::hot_holding:
        return msg::stage_hot_holding;
    case Stage::cooling:
        return msg::stage_cooling;
    case Stage::cold_holding:
        return msg::stage_cold_holding;
    case Stage::frozen:
        return msg::stage_frozen;
    case Stage::thawing:
        return msg::stage_thawing;
    case Stage::reheating:
        return msg::stage_reheating;
    case Stage::time_control:
        return msg::stage_time_control;
    }
    return "";
}

std::string_view to_words(Outcome outcome) noexcept {
    switch (outcome) {
    case Outcome::served:
        return msg::outcome_served;
    case Outcome::discarded:
        return msg::outcome_discarded;
    case Outcome::split:
        return msg::outcome_split;
    case Outcome::merged:
        return msg::outcome_merged;
    case Outcome::handed_on:
        return msg::outcome_handed_on;
    }
    return "";
}

std::string_view to_words(OvenKind oven) noexcept {
    switch (oven) {
    case OvenKind::still_dry:
        return msg::oven_still_dry;
    case OvenKind::convection:
        return msg::oven_convection;
    case OvenKind::high_humidity:
        return msg::oven_high_humidity;
    }
    return "";
}

std::string conformity_text(const Conformity& c) {
    // Neither certainty is ever claimed.
    const std::string chance = c.probability > 0.999   ? msg::more_than_0_999
                               : c.probability < 0.001 ? msg::less_than_0_001
                                                       : fmt::format("{:.3f}", c.probability);
    const double expanded = 2.0 * c.standard_uncertainty.thousandths() / 1000.0;
    return fmt::format(msg::chance_of_right_side, chance, expanded,
                       sign(c.standard_uncertainty.scale()), to_words(c.zone));
}

std::string cook_text(const CookNote& note) {
    std::string rows = msg::no_roast_row_kept;
    if (!note.rows.empty()) {
        const RowKept& best = *std::ranges::max_element(note.rows, {}, share);
        rows = fmt::format(msg::longest_by_roast_row, to_text(best.longest), best.at,
                           to_text(best.asked));
    }
    return fmt::format(msg::cook_claims, rows, note.lethality.log_reductions,
                       note.lethality.equivalent_minutes_at_140f);
}

} // namespace holdwarden::judge

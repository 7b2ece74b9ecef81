#include "messages.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/judge/words.hpp>
#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <array>
#include <cstdlib>
#include <optional>
#include <string_view>
#include <utility>

namespace holdwarden::sheets {
namespace {

constexpr std::size_t kLongestTextBytes = 4000;

/// Whether the bytes hold a letter of a right-to-left script: the leads of U+0590 to U+08FF, U+FB1D
/// to U+FDFF with U+FE70 to U+FEFF, and U+10800 to U+10FFF with U+1E800 to U+1EFFF (The Unicode
/// Standard, blocks; some neighbours come along, which does no harm).
bool has_right_to_left(std::string_view text) noexcept {
    for (std::size_t i = 0; i + 1 < text.size(); ++i) {
        const auto lead = static_cast<unsigned char>(text[i]);
        const auto next = static_cast<unsigned char>(text[i + 1]);
        if ((lead >= 0xD6 && lead <= 0xDF) || (lead == 0xE0 && next <= 0xA3) ||
            (lead == 0xEF && next >= 0xAC) || (lead == 0xF0 && (next == 0x90 || next == 0x9E))) {
            return true;
        }
    }
    return false;
}

/// To the minute from ten minutes on: an estimate is no finer than that.
Span rounded(Span estimate) noexcept {
    if (estimate < Span::minutes(10)) {
        return estimate;
    }
    return Span::minutes((estimate.ms() + 30'000) / 60'000);
}

/// What stands between such a beginning and such an end; nullopt: the text is not like that.
std::optional<std::string_view> between(std::string_view text, std::string_view begin,
                                        std::string_view end) {
    if (text.size() <= begin.size() + end.size() || !text.starts_with(begin) ||
        !text.ends_with(end)) {
        return std::nullopt;
    }
    return text.substr(begin.size(), text.size() - begin.size() - end.size());
}

} // namespace

std::string shown(std::string_view text) {
    std::string safe = for_display(trimmed(text), kLongestTextBytes);
    return has_right_to_left(safe) ? "\u2068" + safe + "\u2069" : safe;
}

std::string requirement_title(std::string_view id) {
    const std::string_view words = judge::requirement_words(id);
    return words.empty() ? shown(id) : std::string{words};
}

std::string stage_title(Stage stage) {
    return std::string{judge::to_words(stage)};
}

std::string subject_title(std::string_view subject) {
    if (const auto stage = stage_named(subject)) {
        return stage_title(*stage);
    }
    if (const auto outcome = outcome_named(subject)) {
        return outcome_title(*outcome);
    }
    // As the store writes them into records, handed-on ones included.
    if (subject == "lot") {
        return msg::subject_lot;
    }
    if (const auto probe = between(subject, "probe ", " placed")) {
        return fmt::format(msg::subject_probe_placed, shown(*probe));
    }
    if (const auto point = between(subject, "", " reading")) {
        return fmt::format(msg::subject_reading, shown(*point));
    }
    return shown(subject);
}

std::string food_title(FoodKind food) {
    switch (food) {
    case FoodKind::intact_roast:
        return msg::food_intact_roast;
    case FoodKind::whole_cut:
        return msg::food_whole_cut;
    case FoodKind::ground:
        return msg::food_ground;
    case FoodKind::injected:
        return msg::food_injected;
    case FoodKind::poultry:
        return msg::food_poultry;
    case FoodKind::stuffed:
        return msg::food_stuffed;
    case FoodKind::fish:
        return msg::food_fish;
    case FoodKind::eggs:
        return msg::food_eggs;
    case FoodKind::game:
        return msg::food_game;
    case FoodKind::plant:
        return msg::food_plant;
    case FoodKind::packaged_ready_to_eat:
        return msg::food_packaged;
    case FoodKind::other_tcs:
        return msg::food_other;
    }
    return "";
}

std::string rule_words(judge::DecisionRule rule) {
    return rule == judge::DecisionRule::as_read ? msg::rule_as_read : msg::rule_guarded;
}

std::string reading_text(const records::Reading& reading) {
    return to_text(reading.value);
}

std::string verdict_title(judge::Verdict verdict) {
    return std::string{judge::to_words(verdict)};
}

std::string outcome_title(Outcome outcome) {
    return std::string{judge::to_words(outcome)};
}

std::string oven_title(OvenKind oven) {
    return std::string{judge::to_words(oven)};
}

std::string bracket_text(const judge::SpanBracket& bracket) {
    std::string text;
    if (bracket.earliest && bracket.latest) {
        text =
            *bracket.earliest == *bracket.latest
                ? to_text(*bracket.earliest)
                : fmt::format(msg::from_to, to_text(*bracket.earliest), to_text(*bracket.latest));
    } else if (bracket.earliest) {
        text = fmt::format(msg::at_most_unknown, to_text(*bracket.earliest));
    } else if (bracket.latest) {
        text = fmt::format(msg::at_least_unknown, to_text(*bracket.latest));
    }
    if (bracket.estimate && bracket.earliest != bracket.latest) {
        text += text.empty() ? "" : " ";
        text += fmt::format(msg::estimate, to_text(rounded(*bracket.estimate)));
    }
    return text;
}

std::string margin_text(const judge::Margin& margin) {
    std::string text;
    if (margin.temperature) {
        const TemperatureDelta d = *margin.temperature;
        const auto size = TemperatureDelta::of_thousandths(std::abs(d.thousandths()), d.scale());
        std::string degrees = to_text(size);
        degrees.erase(0, degrees.front() == '+' ? 1 : 0);
        text = d.thousandths() == 0  ? msg::on_the_limit
               : d.thousandths() > 0 ? fmt::format(msg::inside_the_limit, degrees)
                                     : fmt::format(msg::outside_the_limit, degrees);
    }
    if (margin.time) {
        const std::string size = to_text(Span::milliseconds(std::abs(margin.time->ms())));
        text += text.empty() ? "" : "; ";
        text += margin.time->ms() == 0  ? msg::exactly_the_time
                : margin.time->ms() > 0 ? fmt::format(msg::inside_the_time, size)
                                        : fmt::format(msg::outside_the_time, size);
    }
    return text;
}

std::string counted(std::size_t n, std::string_view one, std::string_view many) {
    return fmt::format("{} {}", n, n == 1 ? one : many);
}

std::string capitalised(std::string text) {
    if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') {
        text.front() = static_cast<char>(text.front() - 'a' + 'A');
    }
    return text;
}

} // namespace holdwarden::sheets

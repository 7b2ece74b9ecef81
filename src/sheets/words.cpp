#include <holdwarden/base/text.hpp>
#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <array>
#include <cstdlib>
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

} // namespace

std::string shown(std::string_view text) {
    return for_display(trimmed(text), kLongestTextBytes);
}

std::string name_shown(std::string_view name) {
    std::string text = shown(name);
    return has_right_to_left(text) ? "\u2068" + text + "\u2069" : text;
}

std::string requirement_title(std::string_view id) {
    static constexpr std::array<std::pair<std::string_view, std::string_view>, 14> kTitles = {{
        {"cooking", "Cooking"},
        {"cooking-roast", "Cooking, roast table"},
        {"hot-holding", "Hot holding"},
        {"hot-holding-roast", "Hot holding, roast"},
        {"cooling-first-window", "Cooling, first window"},
        {"cooling-second-window", "Cooling, second window"},
        {"cooling-total", "Cooling, total time"},
        {"cooling-from-ambient", "Cooling from room temperature"},
        {"cold-holding", "Cold holding"},
        {"reheating", "Reheating"},
        {"reheating-time", "Reheating time"},
        {"time-control", "Time as a public health control"},
        {"time-control-ceiling", "Time control, highest temperature"},
        {"date-mark", "Date marking"},
    }};
    for (const auto& [known, title] : kTitles) {
        if (id == known) {
            return std::string{title};
        }
    }
    return shown(id);
}

std::string stage_title(Stage stage) {
    switch (stage) {
    case Stage::preparing:
        return "preparing";
    case Stage::cooking:
        return "cooking";
    case Stage::resting:
        return "resting";
    case Stage::hot_holding:
        return "hot holding";
    case Stage::cooling:
        return "cooling";
    case Stage::cold_holding:
        return "cold holding";
    case Stage::frozen:
        return "frozen";
    case Stage::thawing:
        return "thawing";
    case Stage::reheating:
        return "reheating";
    case Stage::time_control:
        return "time control";
    }
    return "";
}

std::string food_title(FoodKind food) {
    switch (food) {
    case FoodKind::intact_roast:
        return "intact roast";
    case FoodKind::whole_cut:
        return "whole cut";
    case FoodKind::ground:
        return "ground meat";
    case FoodKind::injected:
        return "injected or mechanically tenderized meat";
    case FoodKind::poultry:
        return "poultry";
    case FoodKind::stuffed:
        return "stuffed food";
    case FoodKind::fish:
        return "fish";
    case FoodKind::eggs:
        return "eggs";
    case FoodKind::game:
        return "game";
    case FoodKind::plant:
        return "plant food";
    case FoodKind::packaged_ready_to_eat:
        return "packaged ready-to-eat food";
    case FoodKind::other_tcs:
        return "other food that needs time and temperature control";
    }
    return "";
}

std::string rule_words(judge::DecisionRule rule) {
    return rule == judge::DecisionRule::as_read
               ? "as read: each reading itself is compared with the limit"
               : "guarded: the thermometer's stated accuracy is kept away from the limit";
}

std::string reading_text(const records::Reading& reading) {
    return to_text(reading.value);
}

std::string bracket_text(const judge::SpanBracket& bracket) {
    std::string text;
    if (bracket.earliest && bracket.latest) {
        text = *bracket.earliest == *bracket.latest
                   ? to_text(*bracket.earliest)
                   : fmt::format("{} to {}", to_text(*bracket.earliest), to_text(*bracket.latest));
    } else if (bracket.earliest) {
        text = fmt::format("at least {}, at most unknown", to_text(*bracket.earliest));
    } else if (bracket.latest) {
        text = fmt::format("at most {}, at least unknown", to_text(*bracket.latest));
    }
    if (bracket.estimate && bracket.earliest != bracket.latest) {
        text += fmt::format("{}(estimate {})", text.empty() ? "" : " ",
                            to_text(rounded(*bracket.estimate)));
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
        text = d.thousandths() == 0  ? "on the limit"
               : d.thousandths() > 0 ? degrees + " inside the limit"
                                     : degrees + " outside the limit";
    }
    if (margin.time) {
        const Span size = Span::milliseconds(std::abs(margin.time->ms()));
        text += text.empty() ? "" : "; ";
        text += margin.time->ms() == 0  ? "exactly the time allowed"
                : margin.time->ms() > 0 ? to_text(size) + " inside the time"
                                        : to_text(size) + " outside the time";
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

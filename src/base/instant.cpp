#include <holdwarden/base/error.hpp>
#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/text.hpp>

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cstdlib>
#include <utility>

namespace holdwarden {
namespace {

constexpr std::int64_t kLongestHours = std::int64_t{24} * 366 * 100;

std::int64_t unit_ms(std::string_view unit) noexcept {
    using Unit = std::pair<std::string_view, std::int64_t>;
    constexpr std::array kUnits{
        Unit{"d", 86'400'000},   Unit{"day", 86'400'000}, Unit{"days", 86'400'000},
        Unit{"h", 3'600'000},    Unit{"hour", 3'600'000}, Unit{"hours", 3'600'000},
        Unit{"m", 60'000},       Unit{"min", 60'000},     Unit{"minute", 60'000},
        Unit{"minutes", 60'000}, Unit{"s", 1000},         Unit{"second", 1000},
        Unit{"seconds", 1000},   Unit{"ms", 1},
    };
    for (const auto& [name, ms] : kUnits) {
        if (name == unit) {
            return ms;
        }
    }
    return 0;
}

} // namespace

std::string to_text(Span span) {
    const std::int64_t total = std::llabs(span.ms()) / 1000;
    const std::int64_t d = total / 86'400;
    const std::int64_t h = total / 3600 % 24;
    const std::int64_t m = total / 60 % 60;
    const std::int64_t s = total % 60;
    std::string text;
    const auto add = [&](std::int64_t n, std::string_view unit) {
        if (n != 0) {
            text += fmt::format("{}{} {}", text.empty() ? "" : " ", n, unit);
        }
    };
    add(d, "d");
    add(h, "h");
    add(m, "min");
    add(s, "s");
    if (text.empty()) {
        const std::int64_t rest = std::llabs(span.ms());
        text = rest == 0 ? "0 min" : fmt::format("{} ms", rest);
    }
    return span.ms() < 0 ? "-" + text : text;
}

Span parse_span(std::string_view text) {
    const auto fail = [&] {
        return Error{ErrorKind::bad_input,
                     {.what = fmt::format("length of time '{}' cannot be read", for_display(text)),
                      .where = "",
                      .fix = "write it like 2h, 30min, 1h30m or 90s"}};
    };
    std::string_view rest = trimmed(text);
    if (rest.empty()) {
        throw fail();
    }
    Span total;
    while (!rest.empty()) {
        std::int64_t n = 0;
        const auto [end, code] = std::from_chars(rest.data(), rest.data() + rest.size(), n);
        if (code != std::errc{} || rest.front() == '-') {
            throw fail();
        }
        rest = trimmed(rest.substr(static_cast<std::size_t>(end - rest.data())));
        auto letters = rest.find_first_not_of("abcdefghijklmnopqrstuvwxyz");
        letters = letters == std::string_view::npos ? rest.size() : letters;
        const std::int64_t ms = unit_ms(rest.substr(0, letters));
        if (ms == 0 || n > kLongestHours * 3'600'000 / ms) {
            throw fail();
        }
        total += Span::milliseconds(n * ms);
        rest = trimmed(rest.substr(letters));
    }
    return total;
}

} // namespace holdwarden

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/dated_rules.hpp>

#include <fmt/format.h>

#include <charconv>

namespace holdwarden::cli {

std::string shown(const records::HouseLimit& limit) {
    std::string text = for_display(limit.requirement, 60);
    if (limit.at) {
        text += " " + to_text(*limit.at);
    }
    if (limit.within) {
        text += (limit.at ? ", " : " ") + to_text(*limit.within);
    }
    return text;
}

std::string time_held(const OpenStore& store, Instant since,
                      const std::optional<records::Withdrawal>& withdrawn) {
    return store.shown(since) + (withdrawn ? " until " + store.shown(withdrawn->from) : "");
}

std::int64_t number_argument(const std::string& text, const char* list_command) {
    std::int64_t number = 0;
    const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (code != std::errc{} || end != text.data() + text.size() || number <= 0) {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("'{}' is not a number of the list", for_display(text, 60)),
                     .where = "",
                     .fix = fmt::format("see: holdwarden {}", list_command)}};
    }
    return number;
}

} // namespace holdwarden::cli

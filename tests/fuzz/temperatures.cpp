#include "target.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/temperature.hpp>

using namespace holdwarden;
using fuzz::require;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text = fuzz::text_of(data, size);
    for (const bool comma : {false, true}) {
        if (const auto t = parse_thousandths(text, comma)) {
            require(*t >= -2'000'000'000 && *t <= 2'000'000'000, "within +-2,000,000 degrees");
            const auto number = number_text(Temperature::of_thousandths(*t, Scale::celsius));
            require(parse_thousandths(number) == *t, "a printed number reads back as itself");
        }
    }
    for (const auto bare : {std::optional<Scale>{}, std::optional{Scale::fahrenheit}}) {
        try {
            const Temperature t = parse_temperature(text, bare);
            require(parse_temperature(to_text(t)) == t,
                    "a printed temperature reads back as itself");
        } catch (const Error&) { // refused
        }
        try {
            require(parse_delta(text, bare).thousandths() >= 0, "a size is not below zero");
        } catch (const Error&) { // refused
        }
    }
    return 0;
}

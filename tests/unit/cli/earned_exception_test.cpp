// The roast exception from store records: FDA Food Code 2022, 3-401.11(B) (the roast table and its
// oven conditions: a roast of 10 lb or more in a still dry or convection oven at 250 °F or above,
// in high humidity at 250 °F or less) and 3-501.16(A)(1) (held at 130 °F or above if so cooked).
#include "kitchen.hpp"

#include <nlohmann/json.hpp>

using namespace kitchen;
using Catch::Matchers::Contains;
using Json = nlohmann::json;

namespace {

struct Pit {
    const char* oven;    ///< how it heats
    int air_f;           ///< what its air reads through the cook
    const char* mass;    ///< of the roast
    const char* setting; ///< nullptr: its air is read, else what it is set to
};

/// A 12-hour cook to 140 °F for 12 minutes (the table's row), then a hold at 132 °F.
Json night_in(const Pit& pit) {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"unit", "add", "pit-1", "--kind", "smoker", "--oven", pit.oven});
    kitchen.good({"lot", "open", "round-1", "--food", "intact-roast", "--mass", pit.mass, "--at",
                  "2026-10-31 06:00"});
    std::vector<std::string> cook{"stage", "round-1", "cooking",         "--unit",
                                  "pit-1", "--at",    "2026-10-31 06:00"};
    if (pit.setting != nullptr) {
        cook.insert(cook.end(), {"--setting", pit.setting});
    }
    kitchen.good(cook);
    kitchen.good({"place", "p1", "round-1", "--at", "2026-10-31 06:00"});
    kitchen.good({"place", "p2", "pit-1", "--air", "--at", "2026-10-31 06:00"});
    kitchen.good({"stage", "round-1", "hot-holding", "--at", "2026-10-31 18:00"});
    std::string csv = "time,p1_f,p2_f\n";
    const Instant start = *parse_rfc3339("2026-10-31T06:00:00-06:00");
    for (int minute = 0; minute <= 16 * 60; minute += 5) {
        const int food = minute <= 700 ? 40 + minute / 7 : minute <= 720 ? 141 : 132;
        csv += to_utc_text(start + Span::minutes(minute)) + "," + std::to_string(food) + "," +
               (pit.setting == nullptr ? std::to_string(pit.air_f) : "") + "\n";
    }
    kitchen.says({"import", kitchen.write("pit.csv", csv)});
    return Json::parse(
        kitchen.says({"check", "round-1", "--format", "json", "--as-of", "2026-10-31 22:00"}).out);
}

/// The verdict of the hold, under the requirement that judged it.
std::pair<std::string, std::string> hold_of(const Json& answer) {
    for (const Json& f : answer["lots"][0]["findings"]) {
        if (f["stage"] == "hot-holding") {
            return {f["requirement"], f["verdict"]};
        }
    }
    return {};
}

std::string reason_of(const Json& answer, const std::string& requirement) {
    for (const Json& f : answer["lots"][0]["findings"]) {
        if (f["requirement"] == requirement) {
            return f["reason"];
        }
    }
    return {};
}

const std::pair<std::string, std::string> kEarned{"hot-holding-roast", "met"};
const std::pair<std::string, std::string> kNotEarned{"hot-holding", "not-met"};

} // namespace

TEST_CASE(
    "a dry pit at 225 °F does not earn the roast exception, and the finding says exactly why") {
    const Json answer =
        night_in({.oven = "still-dry", .air_f = 225, .mass = "12lb", .setting = nullptr});
    CHECK(hold_of(answer) == kNotEarned);
    CHECK_THAT(reason_of(answer, "cooking-roast"),
               Contains("reached, but not with its oven condition") && Contains("225 °F") &&
                   Contains("250 °F (121 °C) or above is asked for"));
    for (const Json& f : answer["lots"][0]["findings"]) {
        if (f["requirement"] == "hot-holding") {
            CHECK_THAT(f["notes"].dump(),
                       Contains("lower limit for roasts is not earned") && Contains("225 °F"));
        }
    }
}

TEST_CASE("the same pit earns it in high humidity, and a dry one at 250 °F does") {
    CHECK(hold_of(night_in({"high-humidity", 225, "12lb", nullptr})) == kEarned);
    CHECK(hold_of(night_in({"still-dry", 250, "12lb", nullptr})) == kEarned);
    CHECK(hold_of(night_in({"still-dry", 249, "12lb", nullptr})) == kNotEarned);
    CHECK(hold_of(night_in({"high-humidity", 251, "12lb", nullptr})) == kNotEarned);
}

TEST_CASE("a roast under 10 lb needs the hotter dry oven") {
    CHECK(hold_of(night_in({"still-dry", 300, "9lb", nullptr})) == kNotEarned);
    CHECK(hold_of(night_in({"still-dry", 350, "9lb", nullptr})) == kEarned);
    CHECK(hold_of(night_in({"convection", 325, "9lb", nullptr})) == kEarned);
}

TEST_CASE("where no air is read, what the unit was set to is taken, and said") {
    CHECK(hold_of(night_in({"still-dry", 0, "12lb", "250F"})) == kEarned);
    const Json answer = night_in({"still-dry", 0, "12lb", "225F"});
    CHECK(hold_of(answer) == kNotEarned);
    CHECK_THAT(reason_of(answer, "cooking-roast"), Contains("the oven was set to 225 °F"));
}

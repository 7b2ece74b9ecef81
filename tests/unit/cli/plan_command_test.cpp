#include "kitchen.hpp"
#include "said.hpp"

#include <nlohmann/json.hpp>

#include <filesystem>

using namespace holdwarden;
using Catch::Matchers::Contains;
using test::said;
using test::Said;
using Json = nlohmann::json;

namespace {

Json json_of(std::vector<std::string> arguments) {
    arguments.insert(arguments.end(), {"--format", "json"});
    const Said answer = said(arguments);
    INFO(answer.err);
    REQUIRE(answer.status == cli::kDone);
    return Json::parse(answer.out);
}

double hours_to(const Json& answer, const std::string& point, double limit_c) {
    for (const Json& one : answer["crossings"]) {
        if (one["point"] == point && std::abs(one["limit_c"].get<double>() - limit_c) < 0.001) {
            return one["at_s"].get<double>() / 3600.0;
        }
    }
    FAIL("no crossing");
    return 0.0;
}

const std::vector<std::string> kBrick{
    "plan",      "case", "--length",        "30cm", "--width",        "20cm", "--thickness", "8cm",
    "--density", "1050", "--heat-capacity", "3150", "--conductivity", "0.44", "--start",     "90C"};

std::vector<std::string> with(std::vector<std::string> base, const std::vector<std::string>& more) {
    base.insert(base.end(), more.begin(), more.end());
    return base;
}

} // namespace

TEST_CASE("textbook cases run from the command line") {
    SECTION("a brick on a counter") {
        // Exact product of three wall series (Incropera & DeWitt, ch. 5), 40 digits.
        const Json a = json_of(with(kBrick, {"--air", "22C", "--h", "8", "--at", "2h", "--at", "4h",
                                             "--limit", "60C", "--limit", "40C"}));
        CHECK(a["rows"][0]["centre_c"].get<double>() == Approx(74.0436).margin(0.01));
        CHECK(a["rows"][1]["mean_c"].get<double>() == Approx(44.6874).margin(0.01));
        CHECK(hours_to(a, "centre", 60) == Approx(3.52762).margin(0.001));
        CHECK(hours_to(a, "centre", 40) == Approx(6.73826).margin(0.001));
        CHECK(a["heat_imbalance"].get<double>() < 1e-6);
        CHECK(a["estimate"] == true);
    }
    SECTION("the brick with a food's own properties") {
        // Worked by a separate finite-volume program; it states agreement to 0.001 h.
        const Json a =
            json_of({"plan", "case",   "--length",     "30cm",    "--width", "20cm",  "--thickness",
                     "8cm",  "--food", "beef-brisket", "--start", "90C",     "--air", "22C",
                     "--h",  "8",      "--limit",      "60C",     "--until", "5h"});
        CHECK(hours_to(a, "centre", 60) == Approx(3.4597).margin(0.001));
    }
    SECTION("a brick in a warmed chest") {
        // Worked by a separate finite-volume program on two grids.
        const Json a = json_of(
            with(kBrick, {"--air", "22C", "--h", "7", "--chest", "50x32x30cm", "--chest-start",
                          "60C", "--until", "10h", "--at", "4h", "--limit", "60C"}));
        CHECK(a["rows"][0]["centre_c"].get<double>() == Approx(76.925).margin(0.01));
        CHECK(a["rows"][0]["surface_c"].get<double>() == Approx(72.173).margin(0.01));
        CHECK(a["rows"][0]["air_c"].get<double>() == Approx(57.334).margin(0.01));
        CHECK(hours_to(a, "surface", 60) == Approx(8.115).margin(0.001));
    }
    SECTION("a pan with another coefficient on top") {
        // Exact: two symmetric walls times an asymmetric slab (Carslaw & Jaeger, 3.11).
        const Json a = json_of({"plan",
                                "case",
                                "--length",
                                "50cm",
                                "--width",
                                "30cm",
                                "--thickness",
                                "5cm",
                                "--density",
                                "1050",
                                "--heat-capacity",
                                "3610",
                                "--conductivity",
                                "0.55",
                                "--start",
                                "60C",
                                "--air",
                                "3C",
                                "--h",
                                "15",
                                "--face",
                                "top:h=20",
                                "--step",
                                "1min",
                                "--at",
                                "1h",
                                "--limit",
                                "70F"});
        CHECK(a["rows"][0]["centre_c"].get<double>() == Approx(40.38136).margin(0.01));
        CHECK(hours_to(a, "centre", 21.1111) == Approx(2.399764).margin(0.001));
        CHECK(hours_to(a, "warmest", 21.1111) == Approx(2.4047).margin(0.001));
    }
    SECTION("a brick in a cabinet") {
        const Json a = json_of(with(kBrick, {"--air", "65C", "--h", "12", "--limit", "75C"}));
        CHECK(hours_to(a, "centre", 75) == Approx(3.9498).margin(0.001)); // exact series
    }
}

TEST_CASE("a chest's walls and what they hold are told on the command line") {
    // No heat leaves the food (h 0), so inside and wall are two capacities in a row of
    // conductances. Closed form of x' = A x for two unknowns, over the 22 °C outside: eigenvalues
    // from trace and determinant (any text on linear differential equations).
    const double ua = 0.6;
    const double leak = 0.1;
    const double inside_j = 5000;
    const double wall_j = 8000;
    const double a = -(2 * ua + leak) / inside_j;
    const double b = 2 * ua / inside_j;
    const double c = 2 * ua / wall_j;
    const double d = -4 * ua / wall_j;
    const double root = std::sqrt((a - d) * (a - d) / 4 + b * c);
    const double slow = (a + d) / 2 + root;
    const double fast = (a + d) / 2 - root;
    const double inside_0 = 60 - 22;
    const double wall_0 = inside_0 / 2; // the wall starts half way between inside and outside
    const double rate_0 = a * inside_0 + b * wall_0;
    const double of_slow = (rate_0 - fast * inside_0) / (slow - fast);
    const auto inside_at = [&](double s) {
        return 22 + of_slow * std::exp(slow * s) + (inside_0 - of_slow) * std::exp(fast * s);
    };
    const Json answer = json_of(with(kBrick, {"--air",
                                              "22C",
                                              "--h",
                                              "0",
                                              "--chest-ua",
                                              "0.6",
                                              "--leak",
                                              "0.1",
                                              "--chest-capacity",
                                              "5000",
                                              "--wall-capacity",
                                              "8000",
                                              "--chest-start",
                                              "60C",
                                              "--until",
                                              "4h",
                                              "--at",
                                              "1h",
                                              "--at",
                                              "2h",
                                              "--at",
                                              "4h"}));
    CHECK(answer["rows"][0]["air_c"].get<double>() == Approx(inside_at(3600)).margin(0.001));
    CHECK(answer["rows"][1]["air_c"].get<double>() == Approx(inside_at(7200)).margin(0.001));
    CHECK(answer["rows"][2]["air_c"].get<double>() == Approx(inside_at(14400)).margin(0.001));
}

TEST_CASE("a rest in a chest follows its walls, lid and what they hold") {
    const auto core_at_end = [](const std::vector<std::string>& more) {
        const Json a = json_of(with({"plan", "rest", "--place", "chest", "--samples", "10",
                                     "--until", "8h", "--chest-start", "60C"},
                                    more));
        return a["points"][0]["course"].back()["middle_c"].get<double>();
    };
    // Heat goes as the conductances say: less of them, or more held in the chest, ends warmer.
    CHECK(core_at_end({"--wall", "60mm"}) > core_at_end({"--wall", "40mm"}));
    CHECK(core_at_end({"--foam", "0.022"}) > core_at_end({"--foam", "0.040"}));
    CHECK(core_at_end({"--chest-ua", "0.4..0.5"}) > core_at_end({"--chest-ua", "0.8..1"}));
    CHECK(core_at_end({"--leak", "0"}) > core_at_end({"--leak", "0.3"}));
    CHECK(core_at_end({"--chest-capacity", "9000"}) > core_at_end({"--chest-capacity", "3000"}));
    CHECK(core_at_end({"--wall-capacity", "9000"}) > core_at_end({"--wall-capacity", "0"}));
}

TEST_CASE("bad input to a plan names the option, its range and its unit") {
    const auto refused = [](const std::vector<std::string>& arguments, const char* what,
                            const char* fix) {
        const Said answer = said(arguments);
        INFO(answer.err);
        CHECK(answer.status == cli::kWrongUsage);
        CHECK(answer.out.empty());
        CHECK_THAT(answer.err, Contains(what));
        CHECK_THAT(answer.err, Contains(fix));
    };
    refused({"plan", "rest", "--mass", "0kg"}, "--mass '0kg'", "0.1 to 100 kg");
    refused({"plan", "rest", "--start", "nan"}, "--start 'nan'", "0 to 120 °C");
    refused({"plan", "rest", "--start", "-5C"}, "--start", "0 to 120 °C");
    refused({"plan", "rest", "--place", "oven"}, "--place 'oven'", "counter, chest or cabinet");
    const std::vector<std::string> rest{"plan", "rest", "--place", "chest"};
    refused(with(rest, {"--wall", "1mm"}), "--wall '1mm'", "0.003 to 0.3 m");
    refused(with(rest, {"--foam", "9"}), "--foam '9'", "0.01 to 0.2 W/(m K)");
    refused(with(rest, {"--chest-ua", "0"}), "--chest-ua '0'", "0.01 to 100 W/K");
    refused(with(rest, {"--chest-capacity", "5"}), "--chest-capacity '5'", "100 to 1e+06 J/K");
    refused(with(rest, {"--wall-capacity", "-1"}), "--wall-capacity '-1'", "0 to 1e+06 J/K");
    refused(with(rest, {"--leak", "nan"}), "--leak 'nan'", "0 to 100 W/K");
    refused({"plan", "rest", "--leak", "0.1"}, "are of a chest", "--place chest");
    refused(with(kBrick, {"--air", "22C", "--h", "8", "--chest-ua", "1", "--wall-capacity", "-1"}),
            "--wall-capacity '-1'", "0 to 1e+08 J/K");
    refused(with(kBrick, {"--air", "22C", "--h", "8", "--chest-ua", "1", "--chest", "50x32x30cm"}),
            "told twice", "--chest or --chest-ua");
    refused({"plan", "cool", "--food", "chili", "--depth", "5"}, "--depth '5'", "mm, cm, m, in");
    refused({"plan", "cool", "--food", "lava", "--depth", "5cm"}, "--food 'lava'", "chili");
    refused({"plan", "cool", "--food", "chili", "--depth", "5cm", "--start", "100F"}, "--start",
            "to 120 °C");
    refused({"plan", "cool", "--food", "chili", "--depth", "5cm", "--method", "kettle"},
            "not covered", "ice-bath");
    refused({"plan", "night", "--serve", "2026-11-28 11:00", "--zone", "America/Denver", "--cook",
             "14h..10h"},
            "--cook", "0.1 to 72 h");
    refused(with(kBrick, {"--air", "22C", "--h", "-1"}), "--h '-1'", "W/(m2 K)");
    refused(with(kBrick, {"--air", "22C", "--h", "8", "--step", "0s"}), "--step", "more than");
    refused(with(kBrick, {"--air", "22C", "--h", "8", "--face", "lid:h=3"}), "names no face",
            "top");
    const Said deep =
        said({"plan", "cool", "--food", "chili", "--depth", "15cm", "--container-depth", "10cm"});
    CHECK(deep.status == cli::kFailed);
    CHECK_THAT(deep.err, Contains("beyond the container's"));
}

TEST_CASE("plans repeat by their seed, show their caution and never speak of a verdict") {
    const std::vector<std::string> rest{"plan", "rest", "--place", "cabinet", "--samples", "20"};
    const Said once = said(rest);
    CHECK(once.status == cli::kDone);
    CHECK(once.out == said(rest).out);
    CHECK(once.out != said(with(rest, {"--seed", "2"})).out);
    CHECK_THAT(once.out, Contains("An estimate. It never changes a verdict"));
    const Said cool = said({"plan", "cool", "--food", "stew", "--depth", "3cm", "--samples", "10"});
    CHECK(cool.status == cli::kDone);
    CHECK_THAT(cool.out, Contains("An estimate. It never changes a verdict"));
    CHECK_THAT(cool.out, Contains("greatest depth"));
    for (const std::string& text : {once.out, cool.out}) {
        CHECK(text.find(" met") == std::string::npos);
    }
}

TEST_CASE("a plan draws its chart into a file that stands alone") {
    const std::filesystem::path file =
        std::filesystem::temp_directory_path() / "holdwarden-plan-test.svg";
    CHECK(said({"plan", "rest", "--samples", "10", "--svg", file.string()}).status == cli::kDone);
    std::ifstream in{file};
    const std::string svg{std::istreambuf_iterator<char>{in}, {}};
    CHECK(svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\""));
    CHECK_THAT(svg, Contains("An estimate"));
    CHECK_THAT(svg, Contains("</svg>"));
    std::filesystem::remove(file);
    const Said nowhere =
        said({"plan", "rest", "--samples", "10", "--svg", "/no/such/folder/a.svg"});
    CHECK(nowhere.status == cli::kFailed);
    CHECK(nowhere.out.empty());
}

TEST_CASE("a night's calendar keeps to RFC 5545") {
    const std::filesystem::path file =
        std::filesystem::temp_directory_path() / "holdwarden-night-test.ics";
    const Said answer =
        said({"plan", "night", "--serve", "2026-11-28 11:00", "--zone", "America/Denver", "--cook",
              "12h", "--rest", "1h", "--wrap", "0.5", "--calendar", file.string()});
    INFO(answer.err);
    REQUIRE(answer.status == cli::kDone);
    CHECK_THAT(answer.out, Contains("put on   2026-11-27 21:00 -07:00")); // 11:00 less 14 h
    std::ifstream in{file, std::ios::binary};
    const std::string text{std::istreambuf_iterator<char>{in}, {}};
    std::filesystem::remove(file);
    // RFC 5545: 3.1 lines end in CRLF and hold at most 75 octets; 3.6 BEGIN and END match; 3.6.1
    // UID and DTSTAMP are required, DTSTART once.
    CHECK(text.starts_with("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:"));
    CHECK(text.ends_with("END:VCALENDAR\r\n"));
    std::size_t events = 0;
    std::size_t uids = 0;
    std::size_t at = 0;
    while (at < text.size()) {
        const auto end = text.find("\r\n", at);
        REQUIRE(end != std::string::npos);
        const std::string line = text.substr(at, end - at);
        CHECK(line.size() <= 75);
        CHECK(line.find('\n') == std::string::npos);
        events += line == "BEGIN:VEVENT" ? 1U : 0U;
        uids += line.starts_with("UID:") ? 1U : 0U;
        at = end + 2;
    }
    CHECK(events == 6);
    CHECK(uids == 6);
    CHECK_THAT(text, Contains("DTSTART:20261128T040000Z")); // put on at 21:00 -07:00
}

TEST_CASE("a forecast of one file names its band, the window and what acting now would do") {
    std::string csv = "time,core_f,air_f\n";
    for (int i = 0; i <= 12; ++i) { // Newton, 60 °C into 3 °C, time constant 2.2 h
        const double c = 3.0 + 57.0 * std::exp(-i / 12.0 / 2.2);
        char line[80];
        std::snprintf(line, sizeof line, "2026-11-28T%02d:%02d:00-07:00,%.1f,37.4\n",
                      20 + (i * 5) / 60, i * 5 % 60, c * 1.8 + 32);
        csv += line;
    }
    const std::vector<std::string> ask{"forecast", "--csv", "-",      "--stage",       "cooling",
                                       "--air",    "air",   "--zone", "America/Denver"};
    const Said text = said(ask, csv);
    INFO(text.err << text.out);
    REQUIRE(text.status == cli::kDone);
    CHECK_THAT(text.out, Contains("at this rate 70 °F at "));
    CHECK_THAT(text.out, Contains("the window closes "));
    CHECK_THAT(text.out, Contains("An estimate. It never changes a verdict"));
    const Said json =
        said(with(ask, {"--format", "json", "--food", "chili", "--depth", "3in"}), csv);
    REQUIRE(json.status == cli::kDone);
    const Json point = Json::parse(json.out)["lots"][0]["points"][0];
    CHECK(point["limits"][0]["kind"] == "crossing");
    // The closed form: 21.111 °C after 2.2 ln(57 / 18.111) = 2.5225 h, at 22:31:21.
    CHECK(point["limits"][0]["earliest"] < "2026-11-29T05:31:21Z");
    CHECK(point["limits"][0]["latest"] > "2026-11-29T05:31:21Z");
    CHECK(point["act_now"] == true); // the window counts from 135 °F at about 20:05
    CHECK(point["actions"].size() >= 4);
    // A check of the same file shows it below its verdict, which stays what it was.
    std::vector<std::string> check = ask;
    check.front() = "check";
    const Said checked = said(check, csv);
    CHECK(checked.status == cli::kOpen);
    CHECK_THAT(checked.out, Contains("Forecast. An estimate. It never changes a verdict"));
    CHECK_THAT(checked.out, Contains("at this rate 70 °F at "));
    // Too little to go on: no time is shown.
    const Said few = said(ask, csv.substr(0, 150));
    CHECK_THAT(few.out, Contains("too early"));
}

TEST_CASE("a stored lot is forecast by its placements, its unit's air and the site's code") {
    kitchen::Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.set_clock("2026-11-01T08:00:00-07:00");
    kitchen.good(
        {"stage", "beans-1", "cooling", "--unit", "walk-in-1", "--at", "2026-11-01 06:00"});
    kitchen.good({"place", "p1", "beans-1", "--at", "2026-11-01 06:00"});
    std::string csv = "time,p1_f\n";
    for (int i = 0; i <= 22; ++i) {
        const double f = 37.4 + 102.6 * std::exp(-i / 12.0 / 2.2);
        csv += to_utc_text(*parse_rfc3339("2026-11-01T13:00:00Z") + Span::minutes(5 * i)) + "," +
               std::to_string(std::lround(f * 10)).insert(f * 10 >= 1000 ? 3 : 2, ".") + "\n";
    }
    kitchen.good({"import", kitchen.write("beans.csv", csv)});
    const std::string text = kitchen.good({"forecast", "beans-1"});
    CHECK_THAT(text, Contains("beans-1 (cooling)"));
    CHECK_THAT(text, Contains("at this rate 70 °F at "));
    CHECK_THAT(text, Contains("assumed for the stage"));
}

TEST_CASE("a night is planned by the store's own lots") {
    kitchen::Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"stage", "brisket-1", "cooking", "--at", "2026-10-31 06:00"});
    kitchen.good({"stage", "brisket-1", "resting", "--at", "2026-10-31 18:00"});
    const std::vector<std::string> ask{"plan",   "night",          "--serve",    "2026-11-28 11:00",
                                       "--zone", "America/Denver", "--past-food"};
    CHECK_THAT(kitchen.good(with(ask, {"intact-roast"})), Contains("1 past lot, median 12.0 h"));
    CHECK(kitchen.says(with(ask, {"poultry"})).status == cli::kWrongUsage);
}

TEST_CASE("a night without a zone is planned in the zone of the store's site") {
    kitchen::Kitchen kitchen;
    kitchen.open_for_business();
    const std::vector<std::string> ask{"plan", "night",  "--serve", "2026-11-28 11:00", "--cook",
                                       "12h",  "--rest", "1h",      "--wrap",           "0.5"};
    const std::string text = kitchen.good(ask);
    CHECK_THAT(text, Contains("America/Denver, the site's zone"));
    CHECK_THAT(text, Contains("put on   2026-11-27 21:00 -07:00")); // 11:00 less 14 h
    CHECK(Json::parse(kitchen.good(with(ask, {"--format", "json"})))["zone_from"] == "site");
    // A named zone goes before the site's.
    const std::string elsewhere = kitchen.good(with(ask, {"--zone", "America/New_York"}));
    CHECK_THAT(elsewhere, Contains("(America/New_York)"));
    CHECK_THAT(elsewhere, Contains("put on   2026-11-27 21:00 -05:00"));
    // Named but not there, and nothing at all.
    CHECK(kitchen.says(with(ask, {"--store", "/no/such/store.db"})).status == cli::kFailed);
    const Said nothing = said(ask);
    CHECK(nothing.status == cli::kWrongUsage);
    CHECK_THAT(nothing.err, Contains("give --zone"));
}

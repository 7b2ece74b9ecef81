// A file too long to be kept whole is judged as if it had been: from standard input, which cannot
// be read twice, everything is kept.
#include "said.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <random>

using namespace holdwarden::test;
using Json = nlohmann::json;

namespace {

struct Trouble {
    int from_s;
    int to_s;
    int tenths; ///< what it shows then; 0: nothing
};

/// A reading each five seconds from 1 November 2026.
std::string held(int readings, int usual, const std::vector<Trouble>& troubles) {
    std::minstd_rand draw{5};
    std::string text = "time,probe,temp_f\n";
    for (int i = 0; i < readings; ++i) {
        const int s = i * 5;
        int tenths = usual + static_cast<int>(draw() % 5);
        for (const Trouble& trouble : troubles) {
            tenths = s >= trouble.from_s && s < trouble.to_s ? trouble.tenths : tenths;
        }
        if (tenths != 0) {
            text += fmt::format("2026-11-{:02}T{:02}:{:02}:{:02}Z,core,{}.{}\n", 1 + s / 86'400,
                                s / 3600 % 24, s / 60 % 60, s % 60, tenths / 10, tenths % 10);
        }
    }
    return text;
}

/// The same by both ways; the name of the file apart.
Json both_ways(const std::string& text, std::vector<std::string> more) {
    const auto path = std::filesystem::temp_directory_path() /
                      fmt::format("holdwarden-long-{}.csv", static_cast<int>(getpid()));
    std::ofstream{path} << text;
    const auto answer = [&](const std::string& file, const std::string& input) {
        std::vector<std::string> words{"check", "--csv", file, "--lot", "lot", "--format", "json"};
        words.insert(words.end(), more.begin(), more.end());
        const Said got = said(words, input);
        INFO(got.err);
        REQUIRE_FALSE(got.out.empty());
        Json json = Json::parse(got.out);
        json.at("intake").erase("file");
        return json;
    };
    const Json kept = answer(path, "");
    const Json whole = answer("-", text);
    std::filesystem::remove(path);
    CHECK(kept == whole);
    return whole;
}

std::string verdict(const Json& answer) {
    return answer.at("lots").at(0).at("overall");
}

} // namespace

TEST_CASE("a long hold is judged as if all of it were kept", "[check]") {
    const Json met = both_ways(held(150'000, 1480, {}), {"--stage", "hot-holding"});
    CHECK(verdict(met) == "met");
    // FDA Food Code 2022, 3-501.16(A)(1): 135 °F; five minutes at 130.
    const Json dip =
        both_ways(held(150'000, 1480, {{40'000, 40'300, 1300}}), {"--stage", "hot-holding"});
    CHECK(verdict(dip) == "not-met");
    const Json silence =
        both_ways(held(150'000, 1480, {{40'000, 50'000, 0}}), {"--stage", "hot-holding"});
    CHECK(verdict(silence) == "not-shown");
    const Json often = both_ways(held(150'000, 1480, {{40'000, 41'000, 0}}),
                                 {"--stage", "hot-holding", "--max-gap", "10min"});
    CHECK(verdict(often) == "not-shown");
}

TEST_CASE("a long cold hold is judged as if all of it were kept", "[check]") {
    // 3-501.16(A)(2): 41 °F or less.
    CHECK(verdict(both_ways(held(100'000, 370, {}), {"--stage", "cold-holding"})) == "met");
    CHECK(verdict(both_ways(held(100'000, 370, {{9'000, 9'020, 420}}),
                            {"--stage", "cold-holding"})) == "not-met");
    // A probe that shows one value for five hours is pointed out.
    const Json stuck =
        both_ways(held(100'000, 370, {{20'000, 38'000, 372}}), {"--stage", "cold-holding"});
    CHECK(stuck.dump().find("see whether the probe is stuck") != std::string::npos);
}

TEST_CASE("a long cook is kept whole", "[check]") {
    both_ways(held(100'000, 1480, {}), {"--stage", "cooking"});
}

// A forecast looks at the readings themselves, so that none may be missing where one is printed.
TEST_CASE("the forecast of a long hold is made of all its readings", "[check]") {
    std::string text = "time,probe,temp_f\n";
    constexpr int kReadings = 100'000;
    constexpr int kFalls = 97'000; // from 160 °F to 138 in four hours
    for (int i = 0; i < kReadings; ++i) {
        const int s = i * 5;
        const int tenths = 1600 - (i < kFalls ? 0 : (i - kFalls) * 220 / (kReadings - kFalls));
        text += fmt::format("2026-11-{:02}T{:02}:{:02}:{:02}Z,core,{}.{}\n", 1 + s / 86'400,
                            s / 3600 % 24, s / 60 % 60, s % 60, tenths / 10, tenths % 10);
    }
    const auto path = std::filesystem::temp_directory_path() /
                      fmt::format("holdwarden-long-{}.csv", static_cast<int>(getpid()));
    std::ofstream{path} << text;
    const auto forecast_of = [&](const std::string& file, const std::string& input) {
        const Said got =
            said({"check", "--csv", file, "--lot", "lot", "--stage", "hot-holding"}, input);
        const auto at = got.out.find("Forecast.");
        return at == std::string::npos ? std::string{} : got.out.substr(at);
    };
    const std::string of_file = forecast_of(path, "");
    std::filesystem::remove(path);
    CHECK(of_file.find("135 °F at") != std::string::npos);
    CHECK(of_file == forecast_of("-", text)); // standard input is always kept whole
}

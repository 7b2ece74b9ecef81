#include <holdwarden/cli/code_example.hpp>
#include <holdwarden/cli/drawing.hpp>
#include <holdwarden/cli/run.hpp>
#include <holdwarden/codes/load.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <sstream>

using namespace holdwarden;
using namespace holdwarden::cli;
using judge::Verdict;

namespace {

const std::string kPacks = HOLDWARDEN_SOURCE_DIR "/schema/codes";

struct Answer {
    int status = 0;
    std::string out;
    std::string err;
};

Answer holdwarden_says(const std::vector<std::string>& arguments) {
    std::istringstream in;
    std::ostringstream out;
    std::ostringstream err;
    Context context{.in = in,
                    .out = out,
                    .err = err,
                    .now = [] { return Instant{}; },
                    .env = [](const std::string&) { return std::nullopt; },
                    .data = HOLDWARDEN_SOURCE_DIR};
    const int status = run(arguments, context);
    return {status, out.str(), err.str()};
}

/// The verdicts the stories of a rule tell, by the bracketing of docs/how-limits-are-read.md.
std::vector<Verdict> stories_of(const codes::Requirement& r) {
    if (std::holds_alternative<codes::HoldRule>(r.rule)) {
        return r.id == "hot-holding-roast" ? std::vector{Verdict::met, Verdict::not_met}
                                           : std::vector{Verdict::not_met, Verdict::not_shown};
    }
    if (const auto* window = std::get_if<codes::WindowRule>(&r.rule)) {
        if (window->to_stage) {
            return {Verdict::met, Verdict::not_met};
        }
        return window->start == codes::WindowStart::rises_above
                   ? std::vector{Verdict::met, Verdict::not_shown}
                   : std::vector{Verdict::met, Verdict::not_shown, Verdict::not_met};
    }
    if (std::holds_alternative<codes::TableRule>(r.rule)) {
        return {Verdict::met, Verdict::not_shown};
    }
    if (std::holds_alternative<codes::TimeControlRule>(r.rule)) {
        return {Verdict::met, Verdict::not_met};
    }
    return {Verdict::not_met};
}

} // namespace

TEST_CASE("the judge finds in every drawn example what its story says") {
    int examples = 0;
    for (const std::string& id : codes::pack_ids(kPacks)) {
        const codes::Pack pack = codes::load_pack(kPacks + "/" + id + ".toml");
        for (const codes::Requirement& requirement : pack.requirements) {
            const auto told = examples_of(pack, requirement);
            const auto expected = stories_of(requirement);
            INFO(id << " " << requirement.id << " " << requirement.clause);
            REQUIRE(told.size() <= expected.size());
            // Days are drawn apart, and the reheat of a roast by its table asks for a whole life.
            const auto* table = std::get_if<codes::TableRule>(&requirement.rule);
            const bool drawn_apart =
                std::holds_alternative<codes::DateMarkRule>(requirement.rule) ||
                (table != nullptr && table->needs_roast_cook);
            CHECK(told.empty() == drawn_apart);
            for (std::size_t i = 0; i < told.size(); ++i) {
                INFO(id << " " << requirement.id << " " << requirement.clause << ": "
                        << told[i].story);
                const auto finding = finding_in(told[i], pack, requirement);
                REQUIRE(finding);
                INFO(finding->reason);
                CHECK(judge::to_words(finding->verdict) == judge::to_words(expected[i]));
                ++examples;
            }
        }
    }
    CHECK(examples > 100);
}

TEST_CASE("codes explain gives rule, clause, reading, example and caution") {
    const Answer answer = holdwarden_says({"codes", "explain", "cooling-first-window"});
    CHECK(answer.status == kDone);
    CHECK(answer.err.empty());
    // FDA Food Code 2022, 3-501.14(A)(1): 135 °F (57 °C) to 70 °F (21 °C) within 2 hours.
    for (const char* part :
         {"3-501.14(A)(1)", "within 2 h: 70 °F (21 °C) or below", "How a record is read",
          "135 °F (57 °C) or above", "met. ", "not shown. ", "not met. ", "Caution: "}) {
        CHECK_THAT(answer.out, Catch::Contains(part));
    }
}

TEST_CASE("every requirement of every pack can be explained within 100 columns") {
    for (const std::string& id : codes::pack_ids(kPacks)) {
        for (const codes::Requirement& requirement :
             codes::load_pack(kPacks + "/" + id + ".toml").requirements) {
            const Answer answer =
                holdwarden_says({"codes", "explain", requirement.id, "--code", id});
            CHECK(answer.status == kDone);
            CHECK_THAT(answer.out, Catch::Contains(requirement.clause));
            std::istringstream lines{answer.out};
            std::string line;
            while (std::getline(lines, line)) {
                const auto columns = std::count_if(line.begin(), line.end(), [](char c) {
                    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; // UTF-8 (RFC 3629)
                });
                if (columns > 100) {
                    FAIL_CHECK(id << " " << requirement.id << ": " << line);
                }
            }
        }
    }
}

TEST_CASE("codes explain refuses what a pack does not have") {
    const Answer answer =
        holdwarden_says({"codes", "explain", "cooling-total", "--code", "uk-england"});
    CHECK(answer.status == kFailed);
    CHECK(answer.out.empty());
    CHECK_THAT(answer.err, Catch::Contains("uk-england has no requirement 'cooling-total'"));
    CHECK_THAT(answer.err, Catch::Contains("cold-holding"));
    CHECK(holdwarden_says({"codes", "explain"}).status == kWrongUsage);
}

TEST_CASE("codes compare lays the limits of packs side by side") {
    const Answer answer = holdwarden_says({"codes", "compare", "us-fda-2022", "uk-scotland"});
    CHECK(answer.status == kDone);
    // FDA Food Code 2022, 3-501.16(A)(1); SSI 2006/3 Sch. 4 para. 2.
    CHECK_THAT(answer.out, Catch::Contains("hot-holding\n"
                                           "  us-fda-2022  135 °F (57 °C) or above "
                                           "[3-501.16(A)(1)]\n"
                                           "  uk-scotland  above 63 °C [SSI 2006/3 Sch. 4 para. "
                                           "2]\n"));
    CHECK_THAT(answer.out, Catch::Contains("cold-holding\n"
                                           "  us-fda-2022  41 °F (5 °C) or below "
                                           "[3-501.16(A)(2)]\n"
                                           "  uk-scotland  no limit in this pack\n"));
    CHECK_THAT(answer.out, !Catch::Contains("come-up"));
}

TEST_CASE("codes compare can keep to one food") {
    // FDA Food Code 3-401.11(A)(3): 165 °F for 15 s in 2013, at once from 2017.
    const Answer answer =
        holdwarden_says({"codes", "compare", "us-fda-2013", "us-fda-2022", "--food", "poultry"});
    CHECK_THAT(answer.out, Catch::Contains("cooking\n"
                                           "  us-fda-2013  165 °F (74 °C) or above for 15 s "
                                           "[3-401.11(A)(3)]\n"
                                           "  us-fda-2022  165 °F (74 °C) or above reached "
                                           "[3-401.11(A)(3)]\n"));
    CHECK_THAT(answer.out, !Catch::Contains("cooking-roast"));
}

TEST_CASE("codes compare asks for two packs and a food kind that exists") {
    const Answer one = holdwarden_says({"codes", "compare", "hk"});
    CHECK(one.status == kWrongUsage);
    CHECK_THAT(one.err, Catch::Contains("name two packs"));
    const Answer food = holdwarden_says({"codes", "compare", "hk", "nz-fcp", "--food", "tofu"});
    CHECK(food.status == kWrongUsage);
    CHECK_THAT(food.err, Catch::Contains("'tofu'"));
    CHECK(holdwarden_says({"codes", "compare", "hk", "atlantis"}).status == kFailed);
}

TEST_CASE("a drawing puts readings, limits and clock times in their places") {
    const auto at = [](int minutes) { return Instant::from_unix_s(0) + Span::minutes(minutes); };
    const auto f = [](int degrees) { return Temperature::of_degrees(degrees, Scale::fahrenheit); };
    const std::array readings{DrawnReading{at(0), f(140)}, DrawnReading{at(30), f(134)},
                              DrawnReading{at(60), f(135)}};
    const std::array limits{DrawnLimit{f(135), "limit"}};
    // Laid out by hand: 61 columns for an hour, the middle one is the 31st.
    CHECK(drawn(readings, limits, Zone::utc(), 1) ==
          "    140 |*\n"
          "    135 |------------------------------------------------------------* limit\n"
          "    134 |                              *\n"
          "     °F  00:00                         00:30                         01:00\n");
    // One reading alone stands at the left edge.
    CHECK(drawn(std::span{readings}.first(1), {}, Zone::utc(), 0) == "   140 |*\n    °F  00:00\n");
}

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

/// A text as one line, with one blank between words.
std::string unfolded(const std::string& text) {
    std::istringstream in{text};
    std::string line;
    for (std::string word; in >> word;) {
        line += (line.empty() ? "" : " ") + word;
    }
    return line;
}

/// The verdicts the stories of a rule tell, by the bracketing of docs/how-limits-are-read.md: where
/// the rule's fields say that more may happen, its stories are more.
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
    if (const auto* table = std::get_if<codes::TableRule>(&r.rule)) {
        std::vector<Verdict> told{Verdict::met};
        if (!table->ovens.empty() || table->rows.front().keep > Span{}) {
            told.push_back(Verdict::not_shown); // its oven, or its one reading, proves nothing
        }
        if (table->rows.size() > 1 && !table->needs_roast_cook) {
            told.push_back(Verdict::met); // by another row
        }
        return told;
    }
    if (const auto* time = std::get_if<codes::TimeControlRule>(&r.rule)) {
        std::vector<Verdict> told{Verdict::met, Verdict::not_met};
        if (time->hot_start) {
            told.insert(told.end(), {Verdict::met, Verdict::not_met});
        }
        if (time->return_within) {
            told.push_back(Verdict::met); // back in time
        }
        told.push_back(Verdict::not_met); // back too late, or back at all
        if (time->one_spell) {
            told.push_back(Verdict::not_met);
        }
        return told;
    }
    if (std::holds_alternative<codes::DateMarkRule>(r.rule)) {
        return {Verdict::met, Verdict::not_met, Verdict::met}; // the last is frozen for a day
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
            REQUIRE(told.size() == expected.size());
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

TEST_CASE("what comes too late is drawn otherwise than what comes in time") {
    int compared = 0;
    for (const std::string& id : codes::pack_ids(kPacks)) {
        const codes::Pack pack = codes::load_pack(kPacks + "/" + id + ".toml");
        for (const codes::Requirement& requirement : pack.requirements) {
            const bool by_marks =
                std::holds_alternative<codes::TimeControlRule>(requirement.rule) ||
                std::holds_alternative<codes::DateMarkRule>(requirement.rule);
            if (!by_marks) {
                continue; // readings tell those apart
            }
            const auto told = examples_of(pack, requirement);
            for (std::size_t i = 0; i < told.size(); ++i) {
                INFO(id << " " << requirement.id << ": " << told[i].story);
                CHECK(told[i].marks.size() >= 3); // the start, the end, and when the time is over
                for (std::size_t j = 0; j < i; ++j) {
                    CHECK(told[i].marks != told[j].marks);
                    ++compared;
                }
            }
        }
    }
    CHECK(compared > 20);
}

TEST_CASE("a cooling from the end of the cook begins as hot as food is held") {
    int seen = 0;
    for (const std::string& id : codes::pack_ids(kPacks)) {
        const codes::Pack pack = codes::load_pack(kPacks + "/" + id + ".toml");
        for (const codes::Requirement& requirement : pack.requirements) {
            const auto* window = std::get_if<codes::WindowRule>(&requirement.rule);
            if (window == nullptr || window->start != codes::WindowStart::end_of_cooking ||
                window->to_stage) {
                continue;
            }
            const auto* hot = pack.find_one("hot-holding", FoodKind::other_tcs);
            REQUIRE(hot != nullptr);
            for (const CodeExample& example : examples_of(pack, requirement)) {
                INFO(id << ": " << example.story);
                const Temperature first = example.lot.points.front().readings.front().value;
                CHECK(std::get<codes::HoldRule>(hot->rule).limit.side(first) == codes::Side::right);
                ++seen;
            }
        }
    }
    CHECK(seen > 0); // Ireland's cook-chill guidance
}

TEST_CASE("codes explain says how each rule of an id is read") {
    const auto explained = [](const std::string& requirement, const std::string& pack) {
        return unfolded(holdwarden_says({"codes", "explain", requirement, "--code", pack}).out);
    };
    // FSIS Appendix B (1999): option 1, 130 to 80 °F in 1.5 hours; option 2, 120 to 80 °F in 1
    // hour.
    const std::string cooling = explained("cooling-first-window", "us-fsis");
    CHECK_THAT(cooling, Catch::Contains("option 1: If the longest time this leaves open is within "
                                        "1 h 30 min, it is met"));
    CHECK_THAT(cooling, Catch::Contains("the stricter reading: If the longest time this leaves "
                                        "open is within 1 h, it is met"));
    CHECK_THAT(explained("cooling-total", "us-fsis"),
               Catch::Contains("Option stabilization-1 asks for cooling-first-window (within 1 h "
                               "30 min: 80 °F or below"));
    // FDA Food Code 2022, 3-403.11(E): the roast table and its ovens, for the rest of a roast.
    const std::string reheating = explained("reheating", "us-fda-2022");
    CHECK_THAT(reheating, Catch::Contains("- 3-403.11(E): The oven goes with the rows"));
    CHECK_THAT(reheating, Catch::Contains("3-403.11(E) A roast that was cooked by the roast "
                                          "table"));
    CHECK_THAT(reheating, Catch::Contains("- For each row"));
    // SI 2013/2996, Schedule 4: hot for less than 2 hours, and once only.
    const std::string out = explained("time-control", "uk-england");
    CHECK_THAT(out, Catch::Contains("in less than 4 h, from 63 °C or above in less than 2 h"));
    CHECK_THAT(out, Catch::Contains("Once only"));
    CHECK_THAT(explained("time-control", "hk"), !Catch::Contains("Once only"));
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

TEST_CASE("marks stand under a drawing where they happened") {
    const auto at = [](int minutes) { return Instant::from_unix_s(0) + Span::minutes(minutes); };
    const auto f = [](int degrees) { return Temperature::of_degrees(degrees, Scale::fahrenheit); };
    const std::array readings{DrawnReading{at(0), f(140)}, DrawnReading{at(30), f(134)}};
    const std::array marks{DrawnMark{at(15), "out"}, DrawnMark{at(60), "served"}};
    // Laid out by hand: the marks make it an hour, which is 61 columns: a column a minute.
    CHECK(drawn(readings, {}, Zone::utc(), 1, marks) ==
          "    140 |*\n"
          "    134 |                              *\n"
          "     °F  00:00                         00:30\n" +
              std::string(9 + 15, ' ') + "^ 00:15 out\n" + std::string(9 + 60, ' ') +
              "^ 01:00 served\n");
}

TEST_CASE("a drawing of days numbers them from the first mark") {
    const auto on = [](int days) { return Instant::from_unix_s(0) + Span::hours(24 * days + 12); };
    const std::array marks{DrawnMark{on(29), "made"}, DrawnMark{on(31), "served"}};
    CHECK(drawn_days(marks, Zone::utc(), 0) == "  day      1   2   3\n"
                                               "  date    30  31   1\n" // January has 31 days
                                               "           ^ day 1 made\n"
                                               "                   ^ day 3 served\n");
    // A long life does not fit a line.
    const std::array years{DrawnMark{on(0), "made"}, DrawnMark{on(400), "served"}};
    CHECK(drawn_days(years, Zone::utc(), 0) == "           ^ day 1 made\n"
                                               "           ^ day 401 served\n");
}

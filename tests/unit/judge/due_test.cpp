// What a lot waits for. The limits are those of the FDA Food Code 2022: 3-501.14(A) and
// 3-501.19(B).
#include "lots.hpp"

#include <holdwarden/judge/due.hpp>
#include <holdwarden/judge/keep_until.hpp>

using namespace holdwarden;
using namespace holdwarden::test;
using judge::Due;

namespace {

std::vector<Due> due(Lot& lot, double now) {
    judge::Settings settings;
    settings.as_of = at(now);
    return judge::due_of(lot.history(), judge::judge_lot(lot.history(), fda(), settings), settings);
}

const Due* find(const std::vector<Due>& all, Due::What what, const std::string& requirement = "") {
    const auto found = std::ranges::find_if(all, [&](const Due& d) {
        return d.what == what && (requirement.empty() || d.requirement == requirement);
    });
    return found == all.end() ? nullptr : &*found;
}

} // namespace

TEST_CASE("a hold wants its next reading within the largest interval of the last") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{5, 140}, {50, 141}});
    const auto all = due(lot, 60);
    REQUIRE(all.size() == 1);
    CHECK(all[0].by == at(170));
    // A reading then still closes the gap, a moment later it no longer does.
    lot.readings({{170, 140}});
    CHECK(only(lot.judged(fda(), 170), "hot-holding").verdict == Verdict::met);
    Lot late;
    late.stage(Stage::hot_holding, 0).readings({{5, 140}, {50, 141}, {170.1, 140}});
    CHECK(only(late.judged(fda(), 170.1), "hot-holding").verdict == Verdict::not_shown);
}

TEST_CASE("without a reading the stage's beginning counts, and a suspect reading is none") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0);
    CHECK(due(lot, 10)[0].by == at(120));
    lot.readings({{60, 140}});
    lot.history().points[0].readings[0].suspect = true;
    CHECK(due(lot, 61)[0].by == at(120));
}

TEST_CASE("a window closes when its time is over from its earliest start") {
    Lot lot;
    lot.stage(Stage::cooling, 0).readings({{0, 140}, {10, 136}, {30, 130}});
    const auto all = due(lot, 60);
    const Due* first = find(all, Due::What::target, "cooling-first-window");
    REQUIRE(first != nullptr);
    CHECK(first->by ==
          at(10 + 120)); // the clock may have started right after the last at 135 or above
    // A reading at 70 °F then is met; a minute later it no longer is.
    lot.readings({{130, 70}});
    CHECK(only(lot.judged(fda(), 130), "cooling-first-window").verdict == Verdict::met);
    Lot late;
    late.stage(Stage::cooling, 0).readings({{0, 140}, {10, 136}, {30, 130}, {131, 70}});
    CHECK(only(late.judged(fda(), 131), "cooling-first-window").verdict != Verdict::met);
}

TEST_CASE("food held by time waits for its end, not for readings") {
    Lot lot;
    lot.stage(Stage::hot_holding, -60).readings({{-60, 140}, {0, 140}});
    lot.stage(Stage::time_control, 0);
    const auto all = due(lot, 60);
    CHECK(find(all, Due::What::reading) == nullptr);
    REQUIRE(find(all, Due::What::end) != nullptr);
    CHECK(find(all, Due::What::end)->by == at(240));
}

TEST_CASE("a lot that ended, or has done nothing yet, waits for nothing") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{5, 140}}).served(60);
    CHECK(due(lot, 61).empty());
    CHECK_FALSE(due(lot, 59).empty()); // as things stood then
    Lot nothing;
    CHECK(due(nothing, 61).empty());
}

TEST_CASE("what waits is told soonest first") {
    Lot lot;
    lot.stage(Stage::cooling, 0).readings({{0, 140}, {10, 136}, {30, 130}});
    const auto all = due(lot, 60);
    REQUIRE(all.size() >= 2);
    CHECK(std::ranges::is_sorted(all, {}, &Due::by));
}

namespace {

std::vector<Due> marks(Lot& lot, double now) {
    judge::Settings settings;
    settings.as_of = at(now);
    const codes::Pack& pack = fda();
    return judge::due_by_mark(lot.history(), judge::judge_lot(lot.history(), pack, settings), pack,
                              settings, Span::hours(48));
}

} // namespace

TEST_CASE("the last day of a date mark is due from the day before") {
    // FDA Food Code 2022, 3-501.17(A): at most 7 days, the day of making being day 1. Zone: UTC.
    constexpr double kDay = 24.0 * 60;
    Lot lot;
    lot.stage(Stage::cold_holding, 0);
    const Instant end =
        start_of(date_from_day_number(day_number(date_of(Zone::utc().wall(at(0)))) + 7),
                 Zone::utc()) -
        Span::minutes(1);
    const double last = static_cast<double>((end - at(0)).ms()) / 60'000.0;
    CHECK(find(marks(lot, last - 2 * kDay - 1), Due::What::use_by) == nullptr);
    const auto due_then = marks(lot, last - 2 * kDay);
    const Due* mark = find(due_then, Due::What::use_by, "date-mark");
    REQUIRE(mark != nullptr);
    CHECK(mark->by == end);
    CHECK(find(marks(lot, last + kDay), Due::What::use_by) != nullptr); // over: still due
    lot.stage(Stage::frozen, last - kDay);
    CHECK(find(marks(lot, last - 1), Due::What::use_by) == nullptr); // the count stands still
}

TEST_CASE("a time mark is due even where nothing shows how the food started") {
    // 3-501.19(B): 4 h. No reading before: the finding is not open, the hour still counts.
    Lot lot;
    lot.stage(Stage::time_control, 0);
    const bool told = find(due(lot, 60), Due::What::end, "time-control") != nullptr;
    const auto all = marks(lot, 60);
    const Due* mark = find(all, Due::What::end, "time-control");
    CHECK((mark != nullptr) != told); // once, by one of the two
    if (mark != nullptr) {
        CHECK(mark->by == at(240));
    }
}

TEST_CASE("a time mark that was entered again tells when the spell began, and counts all of it") {
    Lot lot;
    lot.stage(Stage::time_control, 0).stage(Stage::time_control, 100);
    judge::Settings settings;
    settings.as_of = at(110);
    const auto mark = judge::time_mark(lot.history(), fda(), settings);
    REQUIRE(mark.has_value());
    CHECK(mark->taken_out == at(0));
    CHECK(mark->until == at(240)); // 3-501.19(B)(1): 4 h from when it was taken out
}

TEST_CASE("the rows of a cook or a reheat are no target, and the end of a lot ends what is due") {
    for (const FoodKind food : {FoodKind::other_tcs, FoodKind::intact_roast}) {
        Lot lot{food};
        lot.stage(Stage::cooking, 0).readings({{0, 40}, {30, 60}});
        CHECK(find(due(lot, 40), Due::What::target) == nullptr);
    }
    Lot reheated;
    reheated.stage(Stage::cold_holding, -60).stage(Stage::reheating, 0);
    reheated.readings({{-60, 40}, {0, 40}, {20, 80}});
    CHECK(find(due(reheated, 30), Due::What::target, "reheating") == nullptr);
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 140}}).served(60);
    CHECK(due(lot, 0).size() == 1); // at the very instant the stage begins
    CHECK(due(lot, 60).empty());    // at the very end
}

TEST_CASE("readings before a hold do not put off its first one") {
    Lot lot;
    lot.stage(Stage::cooking, 0).stage(Stage::hot_holding, 100);
    lot.readings({{0, 40}, {50, 170}, {60, 170}});
    CHECK(find(due(lot, 110), Due::What::reading)->by == at(100 + 120));
}

TEST_CASE("an end that is told as an open finding is not told a second time by its mark") {
    Lot lot;
    lot.stage(Stage::hot_holding, -60).stage(Stage::time_control, 0);
    lot.readings({{-60, 140}, {0, 140}});
    REQUIRE(find(due(lot, 60), Due::What::end, "time-control") != nullptr);
    CHECK(find(marks(lot, 60), Due::What::end, "time-control") == nullptr);
    lot.served(60);
    CHECK(marks(lot, 60).empty());
    CHECK(marks(lot, 300).empty());
}

TEST_CASE("a reading at this very instant puts off the next one, and one still to come does not") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{5, 140}, {50, 140}});
    CHECK(due(lot, 50)[0].by == at(170));
    CHECK(due(lot, 49)[0].by == at(125));
}

TEST_CASE("a food whose end is told at this very instant has no last day to come") {
    Lot lot;
    lot.stage(Stage::cold_holding, 0);
    constexpr double kSixDays = 6 * 24 * 60.0;
    REQUIRE(find(marks(lot, kSixDays), Due::What::use_by) != nullptr);
    lot.served(kSixDays);
    CHECK(marks(lot, kSixDays).empty());
}

TEST_CASE("what waits says its limit, and of a merged lot whose it is") {
    // 3-501.14(A)(1). The words guard that the limit and the lot it began in are told.
    Lot lot;
    lot.history().name = "early";
    lot.stage(Stage::cooling, 0).readings({{0, 140}, {10, 136}, {30, 130}});
    const auto plain = due(lot, 60);
    const Due* one = find(plain, Due::What::target, "cooling-first-window");
    REQUIRE(one != nullptr);
    CHECK(one->why.starts_with("135 °F to 70 °F"));
    Lot pan;
    pan.history().name = "pan";
    pan.history().sources = {lot.history()};
    pan.stage(Stage::cooling, 50).readings({{55, 110}});
    const auto merged = due(pan, 60);
    const Due* two = find(merged, Due::What::target, "cooling-first-window");
    REQUIRE(two != nullptr);
    CHECK(two->why == "early: " + one->why);
}

TEST_CASE("a date mark is put off by the whole days that the made food was frozen") {
    // 3-501.17(A): day 1 is 31 October, day 7 is 6 November. Zone: UTC; minute 0 is 18:00.
    judge::Settings settings;
    settings.as_of = at(10 * 1440);
    const auto mark = [&](Lot& lot) {
        const auto found = judge::day_mark(lot.history(), fda(), settings);
        REQUIRE(found.has_value());
        return *found;
    };
    Lot lot;
    lot.stage(Stage::cold_holding, 0).stage(Stage::frozen, 1440).stage(Stage::thawing, 3 * 1440);
    CHECK(mark(lot).frozen_days == 2);
    CHECK(mark(lot).last_day == LocalDate{2026, 11, 8});
    Lot same_day; // frozen on the day it was made, for exactly a day
    same_day.stage(Stage::cold_holding, 0).stage(Stage::frozen, 60).stage(Stage::thawing, 1500);
    CHECK(mark(same_day).frozen_days == 1);
    CHECK(mark(same_day).last_day == LocalDate{2026, 11, 7});
    Lot before; // its ingredients were frozen, two days of three before it was made
    before.stage(Stage::frozen, 0).stage(Stage::thawing, 3 * 1440);
    before.history().made_on = LocalDate{2026, 11, 2};
    CHECK(mark(before).frozen_days == 0);
    CHECK(mark(before).last_day == LocalDate{2026, 11, 8});
    Lot raw; // frozen before its cook
    raw.stage(Stage::frozen, 60).stage(Stage::cooking, 3000);
    raw.history().made_on = LocalDate{2026, 10, 31};
    CHECK(mark(raw).frozen_days == 0);
    CHECK(mark(raw).last_day == LocalDate{2026, 11, 6});
}

TEST_CASE("where hot food gets less time than cold, the mark gives the less") {
    // England: SI 2013/2996, schedule 4: two hours for what starts hot, four for what starts cold.
    const codes::Pack england =
        codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/uk-england.toml");
    Lot lot;
    lot.stage(Stage::time_control, 0);
    judge::Settings settings;
    settings.as_of = at(10);
    const auto mark = judge::time_mark(lot.history(), england, settings);
    REQUIRE(mark.has_value());
    CHECK(mark->until == at(120));
}

TEST_CASE("a merged lot keeps the earliest mark of what went in, whichever is named first") {
    // 3-501.17(A): seven days from the earlier day; 3-501.19(B)(1): four hours from the earlier
    // start.
    const auto source = [](const char* name, Stage stage, double minute) {
        Lot lot;
        lot.history().name = name;
        lot.stage(stage, minute);
        return lot.history();
    };
    judge::Settings settings;
    settings.as_of = at(4 * 1440);
    for (const bool early_first : {true, false}) {
        const auto merged = [&](Stage stage, double late, double when) {
            Lot lot;
            lot.history().name = "pan";
            lot.history().sources = {source("one", stage, early_first ? 0 : late),
                                     source("two", stage, early_first ? late : 0)};
            lot.stage(stage, when);
            return lot;
        };
        Lot days = merged(Stage::cold_holding, 2 * 1440, 3 * 1440);
        const auto day = judge::day_mark(days.history(), fda(), settings);
        REQUIRE(day.has_value());
        CHECK(day->last_day == LocalDate{2026, 11, 6});
        Lot hours = merged(Stage::time_control, 60, 90);
        const auto time = judge::time_mark(hours.history(), fda(), settings);
        REQUIRE(time.has_value());
        CHECK(time->until == at(240));
    }
}

TEST_CASE("what is due has the names of its schema, holdwarden-due-1") {
    CHECK(to_name(Due::What::reading) == "reading");
    CHECK(to_name(Due::What::target) == "target");
    CHECK(to_name(Due::What::end) == "end");
    CHECK(to_name(Due::What::use_by) == "use-by");
}

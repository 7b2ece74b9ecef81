#include <holdwarden/base/error.hpp>
#include <holdwarden/heat/plan_night.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::heat;

TEST_CASE("a night is planned back so that nine cooks in ten are ready in time") {
    // Worked by hand: cook exactly 12 h, rest exactly 1 h, 1 h in hand, service at 12:00 UTC: put
    // on at 22:00 the evening before.
    NightQuestion q;
    q.serve = Instant::from_unix_s(12 * 3600);
    q.cooking_h = Range::exactly(12);
    q.resting_h = Range::exactly(1);
    q.wrap_share = Range::exactly(0.5);
    const NightPlan plan = plan_night(q);
    CHECK(plan.put_on == Instant::from_unix_s(-2 * 3600));
    CHECK(plan.share_in_time == 1.0);
    CHECK(plan.hold.middle == Span::hours(1));
    REQUIRE(plan.steps.size() == 6);
    CHECK(plan.steps[2].middle == Instant::from_unix_s(4 * 3600));  // wrap
    CHECK(plan.steps[3].middle == Instant::from_unix_s(10 * 3600)); // finish
    q.cooking_h = {10, 14};
    const NightPlan spread = plan_night(q);
    // 90 % of a time that is equally likely between 10 and 14 h: 13.6 h; to the quarter before.
    CHECK(spread.put_on == Instant::from_unix_s(-4 * 3600 + 15 * 60));
    CHECK(spread.share_in_time >= 0.9);
    CHECK(spread.share_in_time < 0.97);
    for (std::size_t i = 1; i < spread.steps.size(); ++i) {
        CHECK(spread.steps[i - 1].earliest <= spread.steps[i].earliest);
        CHECK(spread.steps[i].earliest <= spread.steps[i].latest);
    }
    for (std::size_t i = 1; i < spread.attended.size(); ++i) {
        CHECK(spread.attended[i - 1].to < spread.attended[i].from);
    }
}

TEST_CASE("past lots replace the estimate, and few of them are widened") {
    NightQuestion q;
    q.serve = Instant::from_unix_s(0);
    q.resting_h = Range::exactly(1);
    q.past_cooking_h = {11, 11, 11, 11, 11};
    const NightPlan five = plan_night(q);
    q.past_cooking_h = {11};
    const NightPlan one = plan_night(q);
    CHECK(one.put_on < five.put_on);
    CHECK(five.hold.low == five.hold.high);
}

TEST_CASE("an impossible night is refused") {
    NightQuestion q;
    q.cooking_h = {14, 10};
    CHECK_THROWS_AS(plan_night(q), Error);
    q.cooking_h = {0, 10};
    CHECK_THROWS_AS(plan_night(q), Error);
}

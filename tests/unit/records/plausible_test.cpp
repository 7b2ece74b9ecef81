// When a typed value is asked about. The ranges are common practice, no source; the cases are the
// slips that the kitchen's own rules name: a digit or a point wrong, the other scale, a jump.
#include <holdwarden/records/plausible.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using records::doubt_about;
using records::ReadingBefore;

namespace {

constexpr Instant kNow = Instant::from_unix_s(1'793'512'800);

Temperature f(double degrees) {
    return Temperature::of_thousandths(static_cast<std::int32_t>(degrees * 1000),
                                       Scale::fahrenheit);
}
Temperature c(double degrees) {
    return Temperature::of_thousandths(static_cast<std::int32_t>(degrees * 1000), Scale::celsius);
}
std::optional<ReadingBefore> before(Temperature value, Span since) {
    return ReadingBefore{value, kNow - since};
}

} // namespace

TEST_CASE("a point or a digit wrong is asked about, with what may have been meant") {
    const auto hour_ago = before(f(141), Span::hours(1));
    const auto slip = doubt_about(f(14.0), kNow, Stage::hot_holding, hour_ago);
    REQUIRE(slip);
    CHECK(slip->perhaps == f(140));
    CHECK(slip->why == "14 °F would be unusual for food in hot-holding (141 °F, 1 h before)");
    const auto cold = doubt_about(f(410), kNow, Stage::cold_holding, before(f(40), Span::hours(1)));
    REQUIRE(cold);
    CHECK(cold->perhaps == f(41));
    REQUIRE(doubt_about(f(1400), kNow, Stage::hot_holding, std::nullopt));
    CHECK(doubt_about(f(1400), kNow, Stage::hot_holding, std::nullopt)->perhaps == f(140));
}

TEST_CASE("the other scale is asked about") {
    const auto typed_60 =
        doubt_about(f(60), kNow, Stage::hot_holding, before(f(141), Span::hours(1)));
    REQUIRE(typed_60);
    CHECK(typed_60->perhaps == c(60));
    const auto typed_41 =
        doubt_about(c(41), kNow, Stage::cold_holding, before(c(5), Span::hours(1)));
    REQUIRE(typed_41);
    CHECK(typed_41->perhaps == f(41)); // nearer to 5 °C than 4.1 °C is
}

TEST_CASE("a jump in a hold is asked about, a fall in cooling is not") {
    CHECK(doubt_about(f(95), kNow, Stage::hot_holding, before(f(141), Span::minutes(30))));
    CHECK_FALSE(doubt_about(f(120), kNow, Stage::hot_holding, before(f(141), Span::minutes(30))));
    CHECK_FALSE(doubt_about(f(95), kNow, Stage::hot_holding, before(f(141), Span::hours(5))));
    CHECK_FALSE(doubt_about(f(95), kNow, Stage::cooling, before(f(141), Span::minutes(30))));
    CHECK(doubt_about(f(95), kNow, Stage::cooling, before(f(141), Span::minutes(2))));
}

TEST_CASE("what kitchens see passes unasked") {
    // From the pit into the cabinet: it falls far, and stays hot.
    CHECK_FALSE(doubt_about(f(152), kNow, Stage::hot_holding, before(f(203), Span::minutes(95))));
    CHECK_FALSE(doubt_about(f(203), kNow, Stage::cooking, before(f(160), Span::hours(3))));
    CHECK_FALSE(doubt_about(f(134.9), kNow, Stage::hot_holding, before(f(140), Span::hours(1))));
    CHECK_FALSE(doubt_about(f(41), kNow, Stage::cold_holding, std::nullopt));
    CHECK_FALSE(doubt_about(f(0), kNow, Stage::frozen, std::nullopt));
    CHECK_FALSE(doubt_about(f(70), kNow, Stage::cooling, before(f(135), Span::hours(2))));
    CHECK_FALSE(doubt_about(f(38), kNow, std::nullopt, std::nullopt));
}

TEST_CASE("a range ends where it says, in either scale") {
    CHECK_FALSE(doubt_about(c(25), kNow, Stage::hot_holding, std::nullopt));
    CHECK(doubt_about(c(24.9), kNow, Stage::hot_holding, std::nullopt));
    CHECK_FALSE(doubt_about(f(77), kNow, Stage::hot_holding, std::nullopt)); // 25 °C exactly
    CHECK_FALSE(doubt_about(c(110), kNow, Stage::cooking, std::nullopt));
    CHECK(doubt_about(c(110.1), kNow, Stage::cooking, std::nullopt));
}

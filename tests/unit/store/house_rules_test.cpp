// The book of house limits and target bands: dated, withdrawn by a row of its own, never changed.
#include "fixture.hpp"

#include <holdwarden/records/house_rules.hpp>

#include <catch2/catch.hpp>

using namespace fixture;
using namespace holdwarden::records;

TEST_CASE("what a house limit and a band say is read back as it was set, after a reopening too") {
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    {
        const auto store = make(file);
        const auto lot = store->open_lot({.name = "brisket-1", .opened_at = kNight}, by("RK"));
        HouseRules& house = store->house_rules();
        house.add(HouseLimit{.requirement = "cooling-total",
                             .at = f(40),
                             .within = Span::hours(4),
                             .since = kNight,
                             .why = "a margin",
                             .variance = "LY-7"},
                  by("RK"));
        const auto id = house.add(
            TargetBand{.of = lot, .low = f(140), .high = f(150), .since = kNight, .why = "slices"},
            by("RK"));
        house.withdraw(id, {.from = kNight + Span::hours(1), .why = "dry", .by = {}}, by("MB"));
    }
    const auto store = reopen(file);
    const auto limits = store->house_rules().limits();
    REQUIRE(limits.size() == 1);
    const HouseLimit& limit = limits.front().set.facts;
    CHECK(limit.requirement == "cooling-total");
    CHECK(limit.at == f(40));
    CHECK(limit.within == Span::hours(4));
    CHECK(limit.since == kNight);
    CHECK(limit.why == "a margin");
    CHECK(limit.variance == "LY-7");
    CHECK(limits.front().set.stamp.by == "RK");
    CHECK_FALSE(limits.front().withdrawn.has_value());
    const auto bands = store->house_rules().bands();
    REQUIRE(bands.size() == 1);
    const auto& band = bands.front();
    CHECK(std::get<LotId>(band.set.facts.of) == store->lots().front().id);
    CHECK(band.set.facts.high == f(150));
    REQUIRE(band.withdrawn.has_value());
    CHECK(band.withdrawn->by == "MB");
    // [since, withdrawn)
    CHECK_FALSE(band.holds_at(kNight - Span::milliseconds(1)));
    CHECK(band.holds_at(kNight));
    CHECK_FALSE(band.holds_at(kNight + Span::hours(1)));
}

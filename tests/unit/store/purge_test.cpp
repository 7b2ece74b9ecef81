#include "fixture.hpp"

#include <holdwarden/records/parts.hpp>
#include <holdwarden/store/history.hpp>
#include <holdwarden/store/purge.hpp>

#include <catch2/catch.hpp>

using namespace fixture;

TEST_CASE("a part that lives on keeps its whole from being purged, and when all ended, all go") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const Instant then = kNight - Span::hours(24 * 1200);
    const Instant later = then + Span::hours(24);
    const Instant cut = kNight - Span::hours(24 * 1100);
    const auto key = seal::SigningKey::from_seed({});
    const auto whole = store->open_lot(
        {.name = "brisket-1", .mass = records::Mass{5000}, .opened_at = then}, by("RK"));
    store->enter_stage({.lot = whole, .stage = Stage::hot_holding, .from = then}, by("RK"));
    const auto parts = store->parts().split(
        {.lot = whole,
         .at = then + Span::hours(1),
         .parts = {{.name = "flat-1", .amount = records::Mass{3000}}, {.name = "point-1"}}},
        by("RK"));
    REQUIRE(parts.size() == 2);
    store->end_lot(parts[1], Outcome::discarded, later, by("RK"));
    CHECK(store::plan_purge(*store, cut).leaves == 0);
    ErrorKind kind{};
    refusal([&] { store::purge(*store, cut, "fda-117, 24 months", key, by("RK")); }, kind);
    CHECK(kind == ErrorKind::not_found);
    CHECK(store->lots().size() == 3);

    store->end_lot(parts[0], Outcome::discarded, later, by("RK"));
    CHECK(store::plan_purge(*store, cut).lots == 3);
    const auto made = store::purge(*store, cut, "fda-117, 24 months", key, by("RK"));
    CHECK(made.leaves > 3);
    CHECK(store->lots().empty());
    const auto report = store::verify(*store);
    CHECK(report.problems.empty());
    CHECK(report.purged == made.leaves);
}

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
    const auto parts = store->parts().split({.lot = whole,
                                             .at = then + Span::hours(1),
                                             .parts = {{.name = "flat-1"}, {.name = "point-1"}}},
                                            by("RK"));
    REQUIRE(parts.size() == 2);
    CHECK(store::plan_purge(*store, cut).leaves == 0);
    ErrorKind kind{};
    refusal([&] { store::purge(*store, cut, "fda-117, 24 months", key, by("RK")); }, kind);
    CHECK(kind == ErrorKind::not_found);
    CHECK(store->lots().size() == 3);

    store->end_lot(parts[0], Outcome::discarded, later, by("RK"));
    CHECK(store::plan_purge(*store, cut).leaves == 0);
    store->end_lot(parts[1], Outcome::discarded, later, by("RK"));
    CHECK(store::plan_purge(*store, cut).lots.size() == 3);
    const auto made = store::purge(*store, cut, "fda-117, 24 months", key, by("RK"));
    CHECK(made.leaves > 3);
    CHECK(store->lots().empty());
    const auto report = store::verify(*store);
    CHECK(report.problems.empty());
    CHECK(report.purged == made.leaves);
}

TEST_CASE("logged readings of a lot that is kept are kept, however long before the cut they are") {
    // Else the one bad reading of a hold goes, and what is left of the record looks right.
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const Instant then = kNight - Span::hours(24 * 1200);
    const Instant cut = then + Span::hours(24);
    const auto probe = store->add_probe({.name = "p1"}, by("RK"));
    const auto lot = store->open_lot(
        {.name = "brisket-1", .mass = records::Mass{5000}, .opened_at = then}, by("RK"));
    store->enter_stage({.lot = lot, .stage = Stage::hot_holding, .from = then}, by("RK"));
    store->place({.probe = probe, .target = records::LotPoint{lot, "core"}, .from = then},
                 by("RK"));
    const auto import = [&](const char* name, std::uint8_t digest, Instant at, int degrees) {
        const auto importing = store->begin_import(
            {.name = name, .sha256 = {digest}, .bytes = 1, .mapping = "as named"}, by("RK"));
        importing->add({.probe = probe, .at = at, .value = f(degrees)});
        importing->finish(1, 0);
    };
    import("early.csv", 1, then + Span::hours(1), 130);
    import("late.csv", 2, then + Span::hours(30), 140);
    import("later.csv", 3, kNight, 140);
    CHECK(store::plan_purge(*store, cut).readings == 0);
    store->end_lot(lot, Outcome::served, then + Span::hours(31), by("RK"));
    CHECK(store::plan_purge(*store, cut).readings == 0);
    // When the lot is over too, both go.
    CHECK(store::plan_purge(*store, then + Span::hours(24 * 40)).readings == 2);
}

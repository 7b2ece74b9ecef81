#include "fixture.hpp"

#include <holdwarden/records/entry_rules.hpp>

#include <catch2/catch.hpp>

using namespace fixture;
using namespace holdwarden::records;
using Catch::Matchers::Contains;

namespace {

constexpr Instant at(int minutes) {
    return kNight + Span::minutes(minutes);
}
/// Entered the next day, so that nothing here lies in the future.
const Stamp kLater = by("RK", kNight + Span::hours(24));

std::vector<std::int64_t> minutes_of(const std::vector<Reading>& readings) {
    std::vector<std::int64_t> all;
    for (const Reading& reading : readings) {
        all.push_back((reading.at - kNight).ms() / 60'000);
    }
    return all;
}

/// Whole degrees F at the given minutes, logged by `probe`.
void import_readings(Store& store, ProbeId probe, const std::vector<std::pair<int, int>>& values,
                     std::uint8_t file) {
    ImportSource from = source();
    from.sha256[0] = file;
    const auto import = store.begin_import(from, kLater);
    for (const auto& [minute, degrees] : values) {
        import->add({.probe = probe, .at = at(minute), .value = f(degrees)});
    }
    import->finish(values.size(), 0);
}

} // namespace

TEST_CASE("what is entered comes back as it was entered") {
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    {
        const auto store = make(file);
        const auto unit = store->add_unit(
            {.name = "chest-1", .kind = UnitKind::insulated_chest, .note = "grey, two latches"},
            kLater);
        store->add_probe({.name = "P1",
                          .accuracy = parse_delta("1F"),
                          .display_step = parse_delta("0.1F"),
                          .note = "spare"},
                         kLater);
        const auto lot = store->open_lot({.name = "brisket-1",
                                          .food = FoodKind::intact_roast,
                                          .description = "packer, trimmed",
                                          .mass = parse_mass("5.2kg"),
                                          .thickness = parse_length("2.5in"),
                                          .container = "paper",
                                          .made_from_ambient = true,
                                          .made_on = LocalDate{2026, 10, 31},
                                          .opened_at = at(0)},
                                         kLater);
        store->enter_stage({.lot = lot,
                            .stage = Stage::time_control,
                            .from = at(10),
                            .unit = unit,
                            .setting = parse_temperature("140.5F"),
                            .oven = OvenKind::high_humidity,
                            .form = TimeControlForm::six_hours},
                           kLater);
        store->end_lot(lot, Outcome::discarded, at(20), kLater);
    }
    const auto store = reopen(file, store::Access::read);
    const auto unit = unit_named(*store, "chest-1");
    CHECK(unit.facts.kind == UnitKind::insulated_chest);
    CHECK(unit.facts.note == "grey, two latches");
    const auto probe = probe_named(*store, "P1");
    CHECK(probe.facts.accuracy == parse_delta("1F"));
    CHECK(probe.facts.display_step == parse_delta("0.1F"));
    const auto lot = lot_named(*store, "bris");
    CHECK(lot.facts.food == FoodKind::intact_roast);
    CHECK(lot.facts.description == "packer, trimmed");
    CHECK(lot.facts.mass == Mass{5200});
    CHECK(lot.facts.thickness == Length{63'500});
    CHECK(lot.facts.container == "paper");
    CHECK(lot.facts.made_from_ambient);
    CHECK(lot.facts.made_on == LocalDate{2026, 10, 31});
    const auto stages = store->stages(lot.id);
    REQUIRE(stages.size() == 1);
    CHECK(stages[0].stage == Stage::time_control);
    CHECK(stages[0].unit == "chest-1");
    CHECK(stages[0].setting == parse_temperature("140.5F"));
    CHECK(stages[0].oven == OvenKind::high_humidity);
    CHECK(stages[0].form == TimeControlForm::six_hours);
    CHECK(store->end(lot.id)->outcome == Outcome::discarded);
    CHECK(store->end(lot.id)->at == at(20));
    CHECK(store->lots(Store::Which::living).empty());
}

TEST_CASE("a refused entry leaves the store as it was") {
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    const auto store = make(file);
    const auto p1 = store->add_probe({.name = "P1"}, kLater);
    const auto lot = store->open_lot({.name = "brisket-1", .opened_at = at(0)}, kLater);
    const auto other = store->open_lot({.name = "pork-1", .opened_at = at(0)}, kLater);
    store->enter_stage({.lot = lot, .stage = Stage::cooking, .from = at(60)}, kLater);
    store->end_lot(other, Outcome::served, at(90), kLater);
    store->place({.probe = p1, .target = LotPoint{lot}, .from = at(60), .to = {}}, kLater);
    const auto tomorrow = kLater.entered_at + Span::hours(24);

    const std::vector<std::pair<std::function<void()>, const char*>> refused{
        {[&] { store->add_probe({.name = "P1"}, kLater); }, "already"},
        {[&] { store->add_probe({.name = "P/1"}, kLater); }, "cannot be used"},
        {[&] { store->add_unit({.name = ""}, kLater); }, "empty"},
        {[&] { store->open_lot({.name = "brisket-1", .opened_at = at(0)}, kLater); }, "already"},
        {[&] { store->open_lot({.name = "beans", .opened_at = tomorrow}, kLater); }, "future"},
        {[&] { store->add_probe({.name = "P2"}, by("R\nK")); }, "control"},
        {[&] { store->enter_stage({.lot = lot, .stage = Stage::resting, .from = at(59)}, kLater); },
         "backwards"},
        {[&] { store->enter_stage({.lot = lot, .stage = Stage::resting, .from = at(60)}, kLater); },
         "backwards"},
        {[&] {
             store->enter_stage({.lot = other, .stage = Stage::resting, .from = at(99)}, kLater);
         },
         "served"},
        {[&] {
             store->enter_stage({.lot = lot, .stage = Stage::resting, .from = tomorrow}, kLater);
         },
         "future"},
        {[&] { store->end_lot(lot, Outcome::served, at(50), kLater); }, "backwards"},
        {[&] { store->end_lot(other, Outcome::served, at(99), kLater); }, "already"},
        {[&] {
             store->place({.probe = p1, .target = LotPoint{lot, "flat"}, .from = at(70), .to = {}},
                          kLater);
         },
         "brisket-1"},
        {[&] {
             store->log({.target = LotPoint{lot}, .at = tomorrow, .value = f(140), .probe = {}},
                        kLater);
         },
         "future"},
        {[&] {
             store->log({.target = LotPoint{lot}, .at = at(61), .value = f(1400), .probe = {}},
                        kLater);
         },
         "outside"},
        {[&] {
             store->atomically([&] {
                 store->add_probe({.name = "P9"}, by("NEW"));
                 store->end_lot(lot, Outcome::served, at(50), kLater);
             });
         },
         "backwards"},
    };
    const std::string before = dump(file);
    for (const auto& [entry, saying] : refused) {
        CHECK_THROWS_WITH(entry(), Contains(saying));
        CHECK(dump(file) == before);
    }
}

TEST_CASE("readings reach a lot through placements, each instant on one side only") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto p1 = store->add_probe({.name = "P1", .accuracy = parse_delta("1F")}, kLater);
    const auto one = store->open_lot({.name = "brisket-1", .opened_at = at(0)}, kLater);
    const auto two = store->open_lot({.name = "brisket-2", .opened_at = at(0)}, kLater);
    store->enter_stage({.lot = one, .stage = Stage::hot_holding, .from = at(0)}, kLater);
    // The file comes first, the placements after: a probe's readings are its own.
    import_readings(*store, p1, {{0, 150}, {10, 149}, {20, 148}, {30, 147}, {40, 146}}, 1);
    const auto placed =
        store->place({.probe = p1, .target = LotPoint{one}, .from = at(10), .to = {}}, kLater);
    store->lift(placed, at(30), kLater);
    store->place({.probe = p1, .target = LotPoint{two, "flat"}, .from = at(30), .to = {}}, kLater);

    const LotHistory first = store->lot_history(one, at(60));
    REQUIRE(first.points.size() == 1);
    CHECK(first.points[0].point == "core");
    CHECK(minutes_of(first.points[0].readings) == std::vector<std::int64_t>{10, 20});
    CHECK(first.points[0].readings[0].value == f(149));
    CHECK(first.points[0].readings[0].origin == Origin::logged);
    REQUIRE(first.probes.size() == 1);
    CHECK(first.probes[0].name == "P1");
    CHECK(first.probes[0].accuracy == parse_delta("1F"));

    const LotHistory second = store->lot_history(two, at(60));
    REQUIRE(second.points.size() == 1);
    CHECK(second.points[0].point == "flat");
    CHECK(minutes_of(second.points[0].readings) == std::vector<std::int64_t>{30, 40});

    const LotHistory earlier = store->lot_history(two, at(30));
    CHECK(minutes_of(earlier.points[0].readings) == std::vector<std::int64_t>{30});
}

TEST_CASE("typed and logged readings of one point are one series, and both probes are named") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto p1 = store->add_probe({.name = "P1"}, kLater);
    const auto hand = store->add_probe({.name = "hand-1"}, kLater);
    const auto lot = store->open_lot({.name = "beans", .opened_at = at(0)}, kLater);
    store->place({.probe = p1, .target = LotPoint{lot}, .from = at(0), .to = {}}, kLater);
    import_readings(*store, p1, {{0, 150}, {20, 148}}, 1);
    TypedReading typed{.target = LotPoint{lot},
                       .at = at(10),
                       .value = Temperature::of_thousandths(139'500, Scale::fahrenheit),
                       .probe = hand,
                       .watched_s = 30};
    CHECK(store->log(typed, kLater) == Added::yes);
    CHECK(store->log(typed, kLater) == Added::already_there);
    typed.value = f(141);
    typed.probe = std::nullopt;
    CHECK(store->log(typed, kLater) == Added::conflict);
    store->log({.target = LotPoint{lot, "corner"}, .at = at(5), .value = c(60), .probe = {}},
               kLater);

    const LotHistory history = store->lot_history(lot, at(60));
    REQUIRE(history.points.size() == 2);
    CHECK(history.points[0].point == "core");
    CHECK(history.points[1].point == "corner");
    const auto& core = history.points[0].readings;
    CHECK(minutes_of(core) == std::vector<std::int64_t>{0, 10, 10, 20});
    CHECK(core[1].value == Temperature::of_thousandths(139'500, Scale::fahrenheit));
    CHECK(core[1].watched_s == 30);
    CHECK(core[1].origin == Origin::typed);
    CHECK(history.probes.at(core[0].probe).name == "P1");
    CHECK(history.probes.at(core[1].probe).name == "hand-1");
    CHECK(history.probes.at(core[2].probe).name == kUnnamedProbe);
    CHECK(history.points[1].readings[0].value == c(60)); // in the scale it was read in
}

TEST_CASE("a unit's air is a lot's for the stages spent there, both ends included") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto air = store->add_probe({.name = "air-1"}, kLater);
    const auto cabinet = store->add_unit({.name = "cabinet-1"}, kLater);
    const auto lot = store->open_lot({.name = "beans", .opened_at = at(0)}, kLater);
    store->place({.probe = air, .target = UnitAir{cabinet}, .from = at(0), .to = {}}, kLater);
    import_readings(*store, air, {{0, 150}, {10, 150}, {20, 151}, {30, 150}, {40, 149}}, 1);
    store->log({.target = UnitAir{cabinet}, .at = at(25), .value = f(150), .probe = {}}, kLater);
    store->enter_stage({.lot = lot, .stage = Stage::resting, .from = at(10), .unit = cabinet},
                       kLater);
    store->enter_stage({.lot = lot, .stage = Stage::hot_holding, .from = at(20), .unit = cabinet},
                       kLater);
    store->enter_stage({.lot = lot, .stage = Stage::cooling, .from = at(30)}, kLater);

    const LotHistory history = store->lot_history(lot, at(60));
    CHECK(history.points.empty()); // air is not food
    REQUIRE(history.air.size() == 1);
    CHECK(history.air[0].unit == "cabinet-1");
    CHECK(minutes_of(history.air[0].readings) == std::vector<std::int64_t>{10, 20, 25, 30});

    const Store::Air all = store->unit_air(cabinet, at(0), at(30));
    CHECK(minutes_of(all.readings) == std::vector<std::int64_t>{0, 10, 20, 25, 30});
    CHECK(all.probes.size() == 2);
}

TEST_CASE("a lot's end lifts its probes and is left out before it happened") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto p1 = store->add_probe({.name = "P1"}, kLater);
    const auto lot = store->open_lot({.name = "beans", .opened_at = at(0)}, kLater);
    store->enter_stage({.lot = lot, .stage = Stage::cooling, .from = at(0)}, kLater);
    store->place({.probe = p1, .target = LotPoint{lot}, .from = at(0), .to = {}}, kLater);
    import_readings(*store, p1, {{0, 150}, {60, 70}, {90, 200}}, 1);
    store->end_lot(lot, Outcome::served, at(80), kLater);
    CHECK_FALSE(store->open_placement(p1));
    const LotHistory history = store->lot_history(lot, at(120));
    CHECK(history.end->outcome == Outcome::served);
    CHECK(minutes_of(history.points[0].readings) == std::vector<std::int64_t>{0, 60});
    CHECK_FALSE(store->lot_history(lot, at(79)).end);
}

TEST_CASE("settings hold from their own date, not from the day they were entered") {
    const Folder folder;
    const auto store =
        store::create(options(folder / "kitchen.db"), kSite,
                      {.from = at(0), .code = "first", .largest_interval = Span::hours(2)}, kLater)
            .store;
    store->set({.from = at(60), .code = {}, .largest_interval = Span::minutes(30)}, kLater);
    store->set({.from = at(30), .code = "second", .largest_interval = {}}, kLater);
    const auto all = store->settings();
    const auto code = [&](int minute) { return *settings_at(all, at(minute)).code; };
    const auto interval = [&](int minute) {
        return *settings_at(all, at(minute)).largest_interval;
    };
    CHECK(code(0) == "first");
    CHECK(code(29) == "first");
    CHECK(code(30) == "second");
    CHECK(code(90) == "second");
    CHECK(interval(59) == Span::hours(2));
    CHECK(interval(60) == Span::minutes(30));
    CHECK(code(-600) == "first"); // food recorded before the site said anything
    CHECK_FALSE(settings_at({}, at(0)).code);
}

TEST_CASE("what a store was made with holds from the beginning, and an adoption dated before its "
          "making holds from its date on") {
    // docs/decisions/0023-each-stage-by-what-was-in-force.md
    const std::vector<SiteSetting> all{{.from = at(600), .code = "made-with"},
                                       {.from = at(60), .code = "adopted"}};
    const auto code = [&](int minute) { return *settings_at(all, at(minute)).code; };
    CHECK(code(-600) == "made-with");
    CHECK(code(59) == "made-with");
    CHECK(code(60) == "adopted");
    CHECK(code(599) == "adopted");
    CHECK(code(600) == "adopted");
    CHECK(code(9000) == "adopted");
}

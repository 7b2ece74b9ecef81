// A lot's history read through keepers is the one read without.
#include "fixture.hpp"

#include <holdwarden/records/corrections.hpp>

#include <catch2/catch.hpp>

#include <memory>
#include <vector>

using namespace fixture;
using namespace holdwarden::records;

namespace {

constexpr Instant at(int minutes) {
    return kNight + Span::minutes(minutes);
}
const Stamp kLater = by("RK", kNight + Span::hours(24));

/// Keeps everything, and what it was told of the stages before each reading.
class Everything final : public Keeper {
public:
    explicit Everything(std::vector<std::pair<Stage, std::size_t>>& begun) : begun_{begun} {}
    void begin(Stage stage) override { begun_.emplace_back(stage, all_.size()); }
    void add(const Reading& reading) override { all_.push_back(reading); }
    std::vector<Reading>& kept() override { return all_; }

private:
    std::vector<std::pair<Stage, std::size_t>>& begun_;
    std::vector<Reading> all_;
};

/// Keeps the first reading and the last, and of those in between that some were left out.
class Ends final : public Keeper {
public:
    void begin(Stage /*stage*/) override {}
    void add(const Reading& reading) override {
        if (ends_.size() == 2) {
            ends_.pop_back();
        }
        ends_.push_back(reading);
        ends_.back().left_out = ++seen_ > 2 ? 1 : 0;
    }
    std::vector<Reading>& kept() override { return ends_; }

private:
    std::vector<Reading> ends_;
    std::size_t seen_ = 0;
};

} // namespace

TEST_CASE("what a probe logged and what was typed come through a keeper in order") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto p1 = store->add_probe({.name = "P1"}, kLater);
    const auto p2 = store->add_probe({.name = "P2"}, kLater);
    const auto lot = store->open_lot({.name = "brisket-1", .opened_at = at(0)}, kLater);
    store->enter_stage({.lot = lot, .stage = Stage::resting, .from = at(0)}, kLater);
    store->enter_stage({.lot = lot, .stage = Stage::hot_holding, .from = at(20)}, kLater);
    // First one probe, then another, at one point; a third series beside it.
    store->place({.probe = p2, .target = LotPoint{lot}, .from = at(0), .to = at(15)}, kLater);
    store->place({.probe = p1, .target = LotPoint{lot}, .from = at(15), .to = at(60)}, kLater);
    store->place({.probe = p2, .target = LotPoint{lot, "edge"}, .from = at(30), .to = at(50)},
                 kLater);
    const auto import = store->begin_import(source(), kLater);
    for (int m = 0; m < 60; ++m) {
        import->add({.probe = p1, .at = at(m), .value = f(140 + m % 5)});
        import->add({.probe = p2, .at = at(m), .value = f(150 + m % 3)});
        if (m % 9 == 0) { // the same instant, another value
            import->add({.probe = p1, .at = at(m), .value = f(120)});
        }
    }
    import->finish(120, 0);
    for (const int m : {5, 20, 33}) {
        store->log({.target = LotPoint{lot}, .at = at(m), .value = f(144), .probe = p2}, kLater);
    }

    std::vector<std::pair<Stage, std::size_t>> begun;
    const auto keeper = [&] { return std::make_unique<Everything>(begun); };
    for (const int until : {0, 19, 20, 40, 90}) {
        const LotHistory whole = store->lot_history(lot, at(until));
        begun.clear();
        const LotHistory kept = store->lot_history(lot, at(until), keeper);
        REQUIRE(kept.points.size() == whole.points.size());
        for (std::size_t i = 0; i < whole.points.size(); ++i) {
            CHECK(kept.points[i].point == whole.points[i].point);
            CHECK(kept.points[i].readings == whole.points[i].readings);
        }
        REQUIRE(kept.probes.size() == whole.probes.size());
        for (std::size_t i = 0; i < whole.probes.size(); ++i) {
            CHECK(kept.probes[i].name == whole.probes[i].name);
        }
    }
    // The hold is told before its first reading (minute 20 has two, and they come after it).
    CHECK(std::ranges::find(begun, std::pair{Stage::resting, std::size_t{0}}) != begun.end());
    const auto held =
        std::ranges::find(begun, Stage::hot_holding, &std::pair<Stage, std::size_t>::first);
    REQUIRE(held != begun.end());
    const LotHistory whole = store->lot_history(lot, at(90));
    const auto core = std::ranges::find(whole.points, "core", &PointSeries::point);
    CHECK((core->readings[held->second].at >= at(20) &&
           core->readings[held->second - 1].at < at(20)));
}

TEST_CASE("a mark on readings that a keeper left out is told all the same") {
    // The project's own: by a mark that is told the record is read whole.
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto p1 = store->add_probe({.name = "P1"}, kLater);
    const auto lot = store->open_lot({.name = "brisket-1", .opened_at = at(0)}, kLater);
    store->enter_stage({.lot = lot, .stage = Stage::hot_holding, .from = at(0)}, kLater);
    store->place({.probe = p1, .target = LotPoint{lot}, .from = at(0), .to = at(60)}, kLater);
    const auto import_minute = [&](int m, const char* file) {
        const auto import = store->begin_import(source(file), kLater);
        import->add({.probe = p1, .at = at(m), .value = f(140)});
        import->finish(1, 0);
    };
    const auto marks = [&] {
        const auto ends = [] { return std::make_unique<Ends>(); };
        return store->lot_history(lot, at(90), ends).marks.size();
    };
    for (int m = 0; m <= 30; m += 10) {
        import_minute(m, "early.csv");
    }
    const auto aside = [&](int from, int to) {
        store->corrections().mark(MarkKind::set_aside,
                                  LoggedSpan{.probe = p1, .from = at(from), .to = at(to)}, "seen",
                                  kLater);
    };
    aside(10, 20);
    CHECK(marks() == 1);
    aside(20, 30); // on a reading that is kept, till later ones come in
    import_minute(25, "late.csv");
    import_minute(40, "late.csv");
    CHECK(marks() == 2);
}

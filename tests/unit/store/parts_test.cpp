// Splitting and merging lots in the store: what their histories tell, and what is refused.
#include "fixture.hpp"

#include <holdwarden/records/parts.hpp>

#include <catch2/catch.hpp>

using namespace fixture;
using records::LotHistory;
using records::LotId;
using records::Mass;
using records::PartForm;

namespace {

Instant minute(int m) {
    return kNight + Span::minutes(m);
}

/// A brisket that was cooked, rested, held, and read along the way.
struct Kitchen {
    Folder folder;
    std::unique_ptr<records::Store> store = make(folder / "kitchen.db");
    records::Stamp stamp = by("RK", minute(600));
    records::UnitId cabinet = store->add_unit({.name = "cabinet-1"}, stamp);
    records::ProbeId p1 = store->add_probe({.name = "p1"}, stamp);
    LotId brisket = lot("brisket-1");

    LotId lot(const char* name, FoodKind food = FoodKind::intact_roast) {
        const LotId id = store->open_lot({.name = name,
                                          .food = food,
                                          .mass = Mass{5000},
                                          .made_on = LocalDate{2026, 10, 31},
                                          .opened_at = kNight},
                                         stamp);
        store->enter_stage({.lot = id, .stage = Stage::cooking, .from = minute(0)}, stamp);
        store->enter_stage(
            {.lot = id, .stage = Stage::hot_holding, .from = minute(60), .unit = cabinet}, stamp);
        read(id, 61, 150);
        return id;
    }
    void read(LotId id, int m, int degrees, const char* point = "core") {
        store->log({.target = records::LotPoint{id, point}, .at = minute(m), .value = f(degrees)},
                   stamp);
    }
    std::vector<LotId> split(records::NewSplit what) {
        what.lot = brisket;
        return store->parts().split(what, stamp);
    }
    LotHistory history(LotId id, int m = 600) { return store->lot_history(id, minute(m)); }
};

std::vector<int> degrees_of(const LotHistory& h, const std::string& point = "core") {
    std::vector<int> all;
    for (const auto& series : h.points) {
        for (const auto& r : series.readings) {
            if (series.point == point) {
                all.push_back(r.value.thousandths() / 1000);
            }
        }
    }
    return all;
}

} // namespace

TEST_CASE("a split lot hands its whole history to its parts") {
    Kitchen k;
    k.read(k.brisket, 120, 149);
    k.read(k.brisket, 120, 152, "flat");
    const LotHistory before = k.history(k.brisket, 180);
    const auto parts = k.split(
        {.lot = k.brisket, .at = minute(180), .form = PartForm::sliced, .parts = {{"a"}, {"b"}}});
    REQUIRE(parts.size() == 2);
    k.read(parts[0], 200, 140);
    k.store->enter_stage({.lot = parts[1], .stage = Stage::cooling, .from = minute(180)}, k.stamp);

    const LotHistory a = k.history(parts[0]);
    CHECK(a.name == "a");
    CHECK(a.food == FoodKind::intact_roast);
    CHECK(a.made_on->day == 31);
    REQUIRE(a.stages.size() == 2);
    CHECK(a.stages[1].stage == Stage::hot_holding);
    CHECK(a.stages[1].unit == "cabinet-1");
    CHECK(degrees_of(a) == std::vector{150, 149, 140});
    CHECK(degrees_of(a, "flat") == std::vector{152});
    CHECK(a.cut == minute(180));
    CHECK_FALSE(a.end);
    CHECK(k.store->stages(parts[1]).size() == 3);
    CHECK(k.history(parts[1]).stages.back().stage == Stage::cooling);

    const LotHistory whole = k.history(k.brisket);
    CHECK(whole.end->outcome == Outcome::split);
    CHECK(whole.end->at == minute(180));

    // As things stood before the split, a part's past is the lot's.
    const LotHistory past = k.history(parts[0], 179);
    CHECK(past.stages.size() == before.stages.size());
    CHECK(degrees_of(past) == degrees_of(before));
    CHECK_FALSE(past.cut);
}

TEST_CASE("a part that goes at once into another stage never was in the one of that instant") {
    Kitchen k;
    k.store->enter_stage({.lot = k.brisket, .stage = Stage::resting, .from = minute(180)}, k.stamp);
    const auto parts = k.split(
        {.lot = k.brisket, .at = minute(180), .form = PartForm::whole, .parts = {{"a"}, {"b"}}});
    k.store->enter_stage({.lot = parts[0], .stage = Stage::cooling, .from = minute(180)}, k.stamp);
    const auto a = k.history(parts[0]).stages;
    REQUIRE(a.size() == 3);
    CHECK(a.back().stage == Stage::cooling);
    CHECK(a[1].stage == Stage::hot_holding);
    CHECK(k.store->stages(parts[0]).size() == 3);
    CHECK(k.store->stages(parts[1]).back().stage == Stage::resting);
    CHECK_FALSE(k.history(parts[0]).cut);
}

TEST_CASE("a merged lot has the histories of its sources") {
    Kitchen k;
    const LotId other = k.lot("brisket-2");
    const LotId pan = k.store->parts().merge({.lots = {k.brisket, other},
                                              .at = minute(180),
                                              .into = {.name = "pan"},
                                              .form = PartForm::pulled,
                                              .stage = Stage::hot_holding,
                                              .unit = k.cabinet},
                                             k.stamp);
    k.read(pan, 190, 145);
    k.read(other, 170, 148); // came late, and belongs to what it was read from
    const LotHistory h = k.history(pan);
    REQUIRE(h.sources.size() == 2);
    CHECK(h.food == FoodKind::intact_roast);
    CHECK(h.cut == minute(180));
    CHECK(degrees_of(h) == std::vector{145});
    CHECK(degrees_of(h.sources[1]) == std::vector{150, 148});
    CHECK(h.sources[0].stages.size() == 2);
    CHECK(h.sources[0].name == "brisket-1");
    CHECK(k.history(k.brisket).end->outcome == Outcome::merged);

    // A part of what was merged has the same sources.
    const auto parts = k.store->parts().split(
        {.lot = pan, .at = minute(300), .form = PartForm::portioned, .parts = {{"x"}, {"y"}}},
        k.stamp);
    CHECK(k.history(parts[1]).sources.size() == 2);
    CHECK(degrees_of(k.history(parts[1])) == std::vector{145});
    CHECK(k.history(parts[1]).cut == minute(180));
    CHECK(k.store->parts().origin_of(parts[1])->facts.from.front().lot == pan);
    CHECK(k.store->parts().fate_of(pan)->facts.into.size() == 2);
    CHECK_FALSE(k.store->parts().origin_of(other));
}

TEST_CASE("lots of several food kinds become the one that takes the strictest row") {
    Kitchen k;
    const LotId beans = k.lot("beans", FoodKind::plant);
    const auto merge = [&](std::optional<FoodKind> food) {
        return k.store->parts().merge({.lots = {k.brisket, beans},
                                       .at = minute(180),
                                       .into = {.name = "stew"},
                                       .food = food,
                                       .stage = Stage::hot_holding},
                                      k.stamp);
    };
    CHECK_THROWS_AS(merge(FoodKind::intact_roast), Error);
    CHECK(k.store->lots(records::Store::Which::living).size() == 2);
    CHECK(k.history(merge(std::nullopt)).food == FoodKind::other_tcs);
}

TEST_CASE("amounts add up, or what is missing has a name") {
    Kitchen k;
    ErrorKind kind{};
    const auto split = [&](std::optional<Mass> of, std::vector<records::NewPart> parts,
                           std::vector<records::Loss> losses) {
        return refusal(
            [&] {
                k.split({.lot = k.brisket,
                         .at = minute(180),
                         .of = of,
                         .form = PartForm::sliced,
                         .parts = std::move(parts),
                         .losses = std::move(losses)});
            },
            kind);
    };
    const std::string before = dump(k.folder / "kitchen.db");
    ErrorText text = split(Mass{3000}, {{"a", Mass{1000}}, {"b", Mass{1900}}}, {});
    CHECK(text.what == "100 g of 3 kg is not accounted for");
    CHECK(text.fix.find("--loss trim=100 g") != std::string::npos);
    text = split(Mass{3000}, {{"a", Mass{1000}}, {"b", Mass{2100}}}, {});
    CHECK(text.what.find("more than the 3 kg") != std::string::npos);
    text = split(Mass{3000}, {{"a", Mass{3000}}, {"b"}}, {});
    CHECK(text.what.find("nothing is left") != std::string::npos);
    text = split(std::nullopt, {{"a", Mass{1000}}, {"b", Mass{1900}}}, {}); // of the raw 5 kg
    CHECK(text.what == "2.1 kg of 5 kg is not accounted for");
    text = split(std::nullopt, {{"a"}}, {});
    CHECK(text.what.find("two parts") != std::string::npos);
    CHECK(dump(k.folder / "kitchen.db") == before);

    CHECK(split(Mass{3000}, {{"a", Mass{1000}}, {"b", Mass{1900}}}, {{"trim", Mass{100}}})
              .what.empty());
    const auto fate = k.store->parts().fate_of(k.brisket)->facts;
    CHECK(fate.from.front().amount == Mass{3000});
    CHECK(fate.into[1].amount == Mass{1900});
    REQUIRE(fate.losses.size() == 1);
    CHECK(fate.losses[0].name == "trim");
    CHECK(k.store->lots(records::Store::Which::all)[2].facts.mass == Mass{1900});
}

TEST_CASE("the part nobody weighed takes what is left, unless that would be of a raw weight") {
    for (const bool weighed : {true, false}) {
        Kitchen k;
        k.split({.lot = k.brisket,
                 .at = minute(180),
                 .of = weighed ? std::optional{Mass{3000}} : std::nullopt,
                 .form = PartForm::sliced,
                 .parts = {{"a", Mass{1000}}, {"b"}}});
        const auto b = k.store->lots(records::Store::Which::all)[2].facts;
        CHECK(b.mass == (weighed ? std::optional{Mass{2000}} : std::nullopt));
    }
}

TEST_CASE("a gram for each thing weighed is rounding") {
    const std::vector<std::optional<Mass>> parts{Mass{1000}, Mass{1997}};
    CHECK(records::left_over(Mass{3000}, parts, {})->grams == 0); // 3 things, 3 g
    CHECK(records::left_over(Mass{3001}, parts, {})->grams == 4);
    CHECK(records::left_over(Mass{2994}, parts, {})->grams == 0);
    CHECK_THROWS_AS(records::left_over(Mass{2993}, parts, {}), Error);
    CHECK_FALSE(records::left_over(std::nullopt, parts, {}));
}

TEST_CASE("what became of a lot takes its readings from then on") {
    Kitchen k;
    ErrorKind kind{};
    k.read(k.brisket, 170, 150);
    const auto split = [&](int m) {
        k.split(
            {.lot = k.brisket, .at = minute(m), .form = PartForm::sliced, .parts = {{"a"}, {"b"}}});
    };
    const std::string before = dump(k.folder / "kitchen.db");
    CHECK(refusal([&] { split(169); }, kind).what.find("is later than that") != std::string::npos);
    CHECK(dump(k.folder / "kitchen.db") == before);
    split(170);
    CHECK_NOTHROW(k.read(k.brisket, 170, 151, "flat")); // till then it was itself
    const ErrorText text = refusal([&] { k.read(k.brisket, 171, 150); }, kind);
    CHECK(text.what.find("the lot was split at") != std::string::npos);
    CHECK(text.fix == "name what it became: 'a' and 'b'");
    CHECK_THROWS_AS(split(200), Error); // once
    CHECK_THROWS_AS(k.store->end_lot(k.brisket, Outcome::served, minute(200), k.stamp), Error);
}

TEST_CASE("a part enters no stage before it came into being") {
    Kitchen k;
    const auto parts = k.split(
        {.lot = k.brisket, .at = minute(180), .form = PartForm::sliced, .parts = {{"a"}, {"b"}}});
    ErrorKind kind{};
    const ErrorText text = refusal(
        [&] {
            k.store->enter_stage({.lot = parts[0], .stage = Stage::resting, .from = minute(170)},
                                 k.stamp);
        },
        kind);
    CHECK(text.what.find("came into being") != std::string::npos);
}

TEST_CASE("a name that is taken leaves the lot whole") {
    Kitchen k;
    const std::string before = dump(k.folder / "kitchen.db");
    CHECK_THROWS_AS(k.split({.lot = k.brisket,
                             .at = minute(180),
                             .form = PartForm::sliced,
                             .parts = {{"a"}, {"brisket-1"}}}),
                    Error);
    CHECK(dump(k.folder / "kitchen.db") == before);
}

TEST_CASE("a usual lot comes back as it was saved, and a later one of its name beside it") {
    Kitchen k;
    k.store->parts().save({.name = "brisket",
                           .food = FoodKind::intact_roast,
                           .description = "packer",
                           .mass = Mass{5443},
                           .container = "paper",
                           .stage = Stage::cooking,
                           .unit = k.cabinet,
                           .setting = f(250),
                           .plan = "rest, then hold"},
                          k.stamp);
    k.store->parts().save({.name = "brisket", .ended = true}, k.stamp);
    const auto all = k.store->parts().templates();
    REQUIRE(all.size() == 2);
    const records::LotTemplate& t = all[0].facts;
    CHECK(t.food == FoodKind::intact_roast);
    CHECK(t.mass == Mass{5443});
    CHECK(t.stage == Stage::cooking);
    CHECK(t.unit == k.cabinet);
    CHECK(t.setting == f(250));
    CHECK(t.plan == "rest, then hold");
    CHECK_FALSE(t.ended);
    CHECK(all[1].facts.ended);
    CHECK_FALSE(all[1].facts.stage);
    CHECK_THROWS_AS(k.store->parts().save({.name = "a/b"}, k.stamp), Error);
}

TEST_CASE("the thermometer used last by hand is the one named last, not before a time") {
    Kitchen k;
    CHECK_FALSE(k.store->parts().last_hand_probe(minute(0)));
    k.store->log(
        {.target = records::LotPoint{k.brisket}, .at = minute(100), .value = f(145), .probe = k.p1},
        k.stamp);
    k.read(k.brisket, 110, 145); // names none
    CHECK(k.store->parts().last_hand_probe(minute(100)) == k.p1);
    CHECK_FALSE(k.store->parts().last_hand_probe(minute(101)));
}

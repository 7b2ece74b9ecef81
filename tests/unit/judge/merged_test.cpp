// Lots that were split or merged. The rule is the project's own
// (docs/decisions/0070-parts-and-merged-lots.md); the limits are those of the FDA Food Code 2022:
// 3-501.14(A) for cooling, 3-501.16(A)(1) for hot holding and its roast figure, 3-501.17 for date
// marking, 3-403.11 for reheating.
#include "random_lots.hpp"

#include <holdwarden/records/lives.hpp>

using namespace holdwarden;
using namespace holdwarden::test;
using records::LotHistory;

namespace {

/// A lot that came of `sources` at `minute`, in `stage`.
Lot merged(std::vector<LotHistory> sources, double minute, Stage stage,
           FoodKind food = FoodKind::other_tcs) {
    Lot lot{food};
    lot.stage(stage, minute);
    lot.history().name = "merged";
    lot.history().sources = std::move(sources);
    return lot;
}

Lot named(const char* name, FoodKind food = FoodKind::other_tcs) {
    Lot lot{food};
    lot.history().name = name;
    return lot;
}

const Finding* find(const LotJudgement& j, const std::string& requirement,
                    const std::string& through) {
    const auto found = std::ranges::find_if(j.findings, [&](const Finding& f) {
        return f.requirement == requirement && f.through == through;
    });
    return found == j.findings.end() ? nullptr : &*found;
}

/// A cooled roast as its cook earns the exception: 145 °F held for 4 min in a humid oven,
/// FDA Food Code 2022, 3-401.11(B).
Lot earned_roast() {
    Lot lot{FoodKind::intact_roast};
    lot.stage(Stage::cooking, 0);
    lot.history().stages.back().oven = OvenKind::high_humidity;
    lot.history().stages.back().setting = Temperature::of_degrees(250, Scale::fahrenheit);
    lot.history().raw_mass_g = 5000;
    lot.steady(0, 20, 1, 146);
    lot.stage(Stage::hot_holding, 20);
    return lot;
}

int harshness(Verdict v) {
    return v == Verdict::ended ? static_cast<int>(Verdict::met) : static_cast<int>(v);
}

} // namespace

TEST_CASE("a merged lot takes the worst clock of its sources") {
    // 3-501.14(A)(1): from 135 to 70 °F within 2 h. One source falls below 135 °F at 0, the other
    // at 60 min; both are in one pan from 90 min, which reaches 70 °F at 150.
    Lot early = named("early");
    early.stage(Stage::cooling, 0).readings({{0, 135}, {1, 134}, {89, 100}});
    Lot late = named("late");
    late.stage(Stage::cooling, 60).readings({{60, 135}, {61, 134}, {89, 110}});
    Lot pan = merged({early.history(), late.history()}, 90, Stage::cooling);
    pan.readings({{91, 104}, {149, 71}, {150, 70}});
    const LotJudgement j = pan.judged(fda(), 150);
    const Finding* first = find(j, "cooling-first-window", "early");
    REQUIRE(first != nullptr);
    CHECK(first->verdict == Verdict::not_met);
    CHECK(minutes(first->elapsed.latest) == 150);
    REQUIRE(find(j, "cooling-first-window", "late") != nullptr);
    CHECK(find(j, "cooling-first-window", "late")->verdict == Verdict::met);
    CHECK(j.overall == Verdict::not_met);

    // Alone, the late one would have kept its time.
    Lot alone = merged({late.history()}, 90, Stage::cooling);
    alone.readings({{91, 104}, {149, 71}, {150, 70}});
    CHECK(only(alone.judged(fda(), 150), "cooling-first-window").verdict == Verdict::met);
}

TEST_CASE("of two clocks that still run in a merged lot the older is shown") {
    // 3-501.14(A)(1). Last at 135 °F an hour, and ten minutes, before both went into one pan.
    const auto source = [](const char* name, double last_hot) {
        Lot lot = named(name);
        lot.stage(Stage::hot_holding, -120).readings({{-120, 150}, {last_hot, 140}, {-1, 134}});
        return lot.history();
    };
    const LotHistory older = source("older", -60);
    const LotHistory younger = source("younger", -10);
    for (const auto& sources : {std::vector{older, younger}, std::vector{younger, older}}) {
        Lot pan = merged(sources, 0, Stage::cooling);
        pan.readings({{10, 120}});
        const LotJudgement running = pan.judged(fda(), 30);
        const Finding* f = find(running, "cooling-first-window", "");
        REQUIRE(f != nullptr);
        CHECK(f->verdict == Verdict::open);
        CHECK(f->worst_so_far == Span::minutes(90));
        // Over, and nothing shows how long it took: the longer worst case still.
        const LotJudgement later = pan.judged(fda(), 200);
        f = find(later, "cooling-first-window", "");
        REQUIRE(f != nullptr);
        CHECK(f->verdict == Verdict::not_shown);
        CHECK(f->worst_so_far == Span::minutes(260));
    }
}

TEST_CASE("what one source did not prove, the merged lot does not prove") {
    Lot good = named("good");
    good.stage(Stage::hot_holding, 0).steady(0, 240, 60, 140);
    Lot silent = named("silent");
    silent.stage(Stage::hot_holding, 0).readings({{0, 140}});
    Lot pan = merged({good.history(), silent.history()}, 240, Stage::hot_holding);
    pan.steady(240, 300, 30, 140);
    const LotJudgement j = pan.judged(fda(), 300);
    CHECK(j.overall == Verdict::not_shown);
    REQUIRE(find(j, "hot-holding", "silent") != nullptr);
    CHECK(find(j, "hot-holding", "silent")->verdict == Verdict::not_shown);
    REQUIRE(find(j, "hot-holding", "good") != nullptr);
    CHECK(find(j, "hot-holding", "good")->verdict == Verdict::met);
    REQUIRE(find(j, "hot-holding", "") != nullptr);
    // The flag of a source's past stays apart from the same question about another's.
    REQUIRE(j.flags.size() >= 1);
    CHECK(j.flags.front().id.starts_with("silent/hot-holding@"));
    CHECK(&j.findings[j.flags.front().finding] == find(j, "hot-holding", "silent"));
}

TEST_CASE("a merged lot takes the earliest day 1 of its sources") {
    // 3-501.17(A): 7 days at 41 °F, the day of making counted as day 1.
    constexpr double kDay = 24 * 60;
    const auto kept = [](const char* name, LocalDate made) {
        Lot lot = named(name);
        lot.history().made_on = made;
        lot.stage(Stage::cooling, 0).readings({{0, 41}}).stage(Stage::cold_holding, 1);
        return lot;
    };
    const LocalDate older{2026, 10, 27};
    const LocalDate newer{2026, 10, 31};
    for (const bool both : {true, false}) {
        std::vector<LotHistory> sources{kept("new", newer).history()};
        if (both) {
            sources.push_back(kept("old", older).history());
        }
        Lot pan = merged(sources, 60, Stage::cold_holding);
        const LotJudgement on_last_day = pan.judged(fda(), 2 * kDay);
        const LotJudgement after_it = pan.judged(fda(), 3 * kDay);
        const auto worst = [](const LotJudgement& j) {
            Verdict verdict = Verdict::ended;
            for (const Finding& f : j.findings) {
                verdict = f.requirement == "date-mark" ? judge::worse(verdict, f.verdict) : verdict;
            }
            return verdict;
        };
        CHECK(worst(on_last_day) == Verdict::open);
        CHECK(worst(after_it) == (both ? Verdict::not_met : Verdict::open));
    }
}

TEST_CASE("a merged lot takes the most reheats of its sources") {
    // A pack that allows one reheat: the Food Standards Agency in Scotland's reading is in
    // uk-scotland.
    codes::Pack once = fda();
    for (codes::Requirement& r : once.requirements) {
        if (auto* rule = std::get_if<codes::TableRule>(&r.rule); r.id == "reheating") {
            rule->most_times = 1;
        }
    }
    Lot fresh = named("fresh");
    fresh.stage(Stage::cold_holding, 0).steady(0, 60, 30, 38);
    Lot reheated = named("reheated");
    reheated.stage(Stage::cold_holding, -300)
        .steady(-300, -200, 50, 38)
        .stage(Stage::reheating, -200)
        .readings({{-190, 100}, {-180, 170}, {-179, 170}})
        .stage(Stage::cooling, -170)
        .readings({{-170, 136}, {-100, 69}, {0, 40}})
        .stage(Stage::cold_holding, 0)
        .steady(0, 60, 30, 38);
    const auto pan = [&](std::vector<LotHistory> sources) {
        Lot lot = merged(std::move(sources), 60, Stage::cold_holding);
        lot.readings({{60, 38}})
            .stage(Stage::reheating, 70)
            .readings({{80, 100}, {90, 170}, {91, 170}});
        return lot.judged(once, 91);
    };
    const LotJudgement first = pan({fresh.history()});
    const LotJudgement second = pan({fresh.history(), reheated.history()});
    const auto of_pan = [](const LotJudgement& j) {
        const Finding* f = find(j, "reheating", "");
        REQUIRE(f != nullptr);
        return f->verdict;
    };
    CHECK(of_pan(first) == Verdict::met);
    CHECK(of_pan(second) == Verdict::not_met);
}

TEST_CASE("slicing ends the roast exception from that instant") {
    // 3-501.16(A)(1): roasts cooked by 3-401.11(B) at 130 °F, else 135 °F.
    Lot lot = earned_roast();
    lot.readings({{80, 132}, {140, 132}, {200, 132}});
    REQUIRE(only(lot.judged(fda(), 200), "hot-holding-roast").verdict == Verdict::met);

    lot.history().cut = at(140);
    const LotJudgement before = lot.judged(fda(), 139.9);
    CHECK(only(before, "hot-holding-roast").verdict == Verdict::met);
    CHECK_FALSE(has(before, "hot-holding"));
    const LotJudgement after = lot.judged(fda(), 200);
    CHECK(only(after, "hot-holding-roast").verdict == Verdict::met); // what was before stands
    const Finding& sliced = only(after, "hot-holding");
    CHECK(sliced.verdict == Verdict::not_met);
    CHECK(sliced.stage_from == at(140));
    CHECK(sliced.notes.front().find("sliced") != std::string::npos);
    CHECK(minutes(after.below_hot_limit.earliest) == 60);

    lot.history().cut = at(140.001); // a moment after the reading: the next one counts
    CHECK(minutes(lot.judged(fda(), 200).below_hot_limit.earliest) == 0);
    CHECK(only(lot.judged(fda(), 200), "hot-holding").verdict == Verdict::not_met);
}

TEST_CASE("a cut parts a hold in two only where both have a length") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 140}, {90, 140}, {120, 140}});
    for (const double cut : {0.0, 120.0}) {
        lot.history().cut = at(cut);
        CHECK(only(lot.judged(fda(), 120), "hot-holding").verdict == Verdict::met);
    }
    lot.history().cut = at(60);
    const LotJudgement j = lot.judged(fda(), 120);
    REQUIRE(j.findings.size() == 2);
    // The hold before the cut is over: its one reading does not show it, and nothing later can.
    CHECK(j.findings[0].stage_from == at(0));
    CHECK(j.findings[0].verdict == Verdict::not_shown);
    CHECK(j.findings[1].stage_from == at(60));
    CHECK(j.findings[1].verdict == Verdict::met);
}

TEST_CASE("a roast that is cut when its cook ends was cooked in one piece") {
    Lot lot = earned_roast();
    lot.steady(20, 80, 20, 132);
    lot.history().cut = at(20);
    const LotJudgement j = lot.judged(fda(), 80);
    CHECK(only(j, "cooking-roast").verdict == Verdict::met);
    CHECK(only(j, "hot-holding").verdict == Verdict::not_met); // 132 °F, and it is sliced
}

TEST_CASE("a roast that was cut before its cook ended earns no exception") {
    for (const double cut : {0.0, 19.9}) {
        Lot lot = earned_roast();
        lot.steady(20, 80, 20, 132);
        lot.history().cut = at(cut);
        const LotJudgement j = lot.judged(fda(), 80);
        CHECK_FALSE(has(j, "cooking-roast"));
        CHECK(only(j, "hot-holding").verdict == Verdict::not_met);
    }
}

TEST_CASE("a cut roast is reheated as other food is: 165 °F") {
    // 3-403.11(E): only unsliced portions may be reheated by the roast's own rows.
    for (const bool cut : {false, true}) {
        Lot lot = earned_roast();
        lot.readings({{40, 136}})
            .stage(Stage::cooling, 40)
            .readings({{41, 134}, {100, 69}, {200, 41}})
            .stage(Stage::reheating, 210)
            .steady(210, 250, 5, 146)
            .stage(Stage::hot_holding, 250)
            .steady(250, 310, 30, 140);
        lot.history().stages[3].oven = OvenKind::high_humidity;
        lot.history().stages[3].setting = Temperature::of_degrees(250, Scale::fahrenheit);
        if (cut) {
            lot.history().cut = at(205);
        }
        const LotJudgement j = lot.judged(fda(), 310);
        CHECK(only(j, "reheating").verdict == (cut ? Verdict::not_met : Verdict::met));
    }
}

TEST_CASE("food that was split is judged on in its parts, not where it came from") {
    Lot lot = named("whole");
    lot.stage(Stage::time_control, 0).readings({{0, 140}});
    lot.history().end = records::LotEnd{Outcome::split, at(60), ""};
    const LotJudgement j = lot.judged(fda(), 600);
    CHECK(only(j, "time-control").verdict == Verdict::ended); // not met: the food was not gone
    CHECK(j.overall == Verdict::ended);
    lot.history().end->outcome = Outcome::served;
    CHECK(only(lot.judged(fda(), 600), "time-control").verdict == Verdict::met);

    // A part that is still there when the four hours of 3-501.19(B) are over.
    Lot part = named("part");
    part.stage(Stage::time_control, 0).readings({{0, 140}});
    CHECK(only(part.judged(fda(), 239), "time-control").verdict == Verdict::open);
    CHECK(only(part.judged(fda(), 241), "time-control").verdict == Verdict::not_shown);
}

TEST_CASE("other food than it began as is judged as both from the merging on") {
    Lot roast = earned_roast();
    roast.history().name = "roast";
    roast.readings({{60, 132}});
    Lot beans = named("beans");
    beans.stage(Stage::hot_holding, 0).steady(0, 60, 30, 140);
    Lot pan = merged({roast.history(), beans.history()}, 60, Stage::hot_holding);
    pan.readings({{61, 133}, {120, 133}});
    const LotJudgement j = pan.judged(fda(), 120);
    REQUIRE(find(j, "hot-holding-roast", "roast") != nullptr);
    CHECK(find(j, "hot-holding-roast", "roast")->verdict == Verdict::met);
    CHECK(find(j, "hot-holding-roast", "") == nullptr);
    REQUIRE(find(j, "hot-holding", "") != nullptr);
    CHECK(find(j, "hot-holding", "")->verdict == Verdict::not_met);
}

TEST_CASE("lives that tell the same are judged once") {
    Lot one = named("one");
    one.stage(Stage::hot_holding, 0).steady(0, 60, 30, 140);
    Lot again = named("again");
    again.stage(Stage::hot_holding, 0).steady(0, 60, 30, 140);
    Lot pan = merged({one.history(), again.history()}, 60, Stage::hot_holding);
    CHECK(records::lives_of(pan.history()).size() == 1);
    again.readings({{45, 141}});
    pan.history().sources[1] = again.history();
    CHECK(records::lives_of(pan.history()).size() == 2);
    CHECK(records::first_stage(pan.history()) == at(0));
}

TEST_CASE("a merge of merges comes down to the food that was never merged") {
    const auto held = [](const char* name, double degrees) {
        Lot lot = named(name);
        lot.stage(Stage::hot_holding, 0).steady(0, 45, 15, degrees);
        return lot.history();
    };
    Lot inner = merged({held("a", 140), held("b", 134)}, 60, Stage::hot_holding);
    inner.history().name = "inner";
    inner.steady(60, 120, 30, 141);
    Lot outer = merged({inner.history(), held("c", 150)}, 120, Stage::hot_holding);
    outer.steady(120, 180, 30, 142);
    const LotJudgement j = outer.judged(fda(), 180);
    CHECK(find(j, "hot-holding", "a")->verdict == Verdict::met);
    CHECK(find(j, "hot-holding", "b")->verdict == Verdict::not_met);
    CHECK(find(j, "hot-holding", "inner")->verdict == Verdict::met);
    CHECK(find(j, "hot-holding", "c") != nullptr);
    CHECK(j.overall == Verdict::not_met);
    CHECK(minutes(j.below_hot_limit.earliest) >= 30);
}

TEST_CASE("a merged lot is never milder than its worst source") {
    rc::prop("whatever the sources lived", [] {
        LotHistory a = any_lot();
        LotHistory b = any_lot();
        a.name = "a";
        b.name = "b";
        a.end.reset();
        b.end.reset();
        b.probes.clear();
        const Instant then = std::max(last_of(a), last_of(b));
        const Instant now = then + Span::minutes(whole(1, 300));
        Lot lot{whole(0, 2) == 0 ? FoodKind::other_tcs : a.food};
        lot.history().name = "merged";
        records::StageEntry entry;
        entry.stage = *rc::gen::element(Stage::hot_holding, Stage::cooling, Stage::cold_holding);
        entry.from = then;
        lot.history().stages.push_back(entry);
        lot.history().sources = {a, b};
        const LotJudgement all = judge::judge_lot(lot.history(), fda(), as_of(now));
        for (LotHistory source : {a, b}) {
            // Alone, it would have gone on as the same kind of food in the same way.
            const LotHistory was = source;
            source.stages.push_back(entry);
            if (was.food != lot.history().food) {
                source.cut = then;
            }
            const LotJudgement alone = judge::judge_lot(source, fda(), as_of(now));
            RC_LOG() << "source: " << described(source);
            RC_ASSERT(harshness(all.overall) >= harshness(alone.overall));
            RC_ASSERT((!alone.below_hot_limit.latest ||
                       *all.below_hot_limit.latest >= *alone.below_hot_limit.latest));
            RC_ASSERT((!alone.between_limits.latest ||
                       *all.between_limits.latest >= *alone.between_limits.latest));
        }
    });
}

TEST_CASE("cutting a roast never makes anything milder") {
    rc::prop("whenever it is cut", [] {
        LotHistory lot = any_lot();
        lot.food = FoodKind::intact_roast;
        const Instant now = last_of(lot);
        const LotJudgement whole_one = judge::judge_lot(lot, fda(), as_of(now));
        lot.cut = lot.stages.front().from + Span::minutes(whole(0, 600));
        const LotJudgement cut = judge::judge_lot(lot, fda(), as_of(now));
        RC_LOG() << described(lot);
        RC_ASSERT(harshness(cut.overall) >= harshness(whole_one.overall));
    });
}

TEST_CASE("merging roasts makes none of them heavier than it was when it was cooked") {
    // FDA Food Code 2022, 3-401.11(B)(1): under 10 lb (4.5 kg) a still dry oven is at 350 °F or
    // above, from there on at 250 °F. Two of 3 kg in an oven at 250 °F are not two of 6 kg.
    const auto cooked = [](const std::string& name, std::int64_t grams) {
        Lot lot = earned_roast();
        lot.history().name = name;
        lot.history().stages.front().oven = OvenKind::still_dry;
        lot.history().raw_mass_g = grams;
        lot.readings({{21, 146}});
        return lot;
    };
    const auto hold_of = [&](std::int64_t each) {
        Lot both = merged({cooked("one", each).history(), cooked("two", each).history()}, 22,
                          Stage::hot_holding);
        both.history().food = FoodKind::intact_roast;
        both.history().raw_mass_g = 2 * each;
        both.readings({{23, 132}, {60, 132}});
        return both.judged(fda(), 60).overall;
    };
    CHECK(hold_of(6000) == Verdict::met);
    CHECK(hold_of(3000) == Verdict::not_met);
}

TEST_CASE("a merged lot says which source is the worst, where they differ") {
    // 3-501.16(A)(1), the largest interval of 2 h: common practice, no source. One source was not
    // looked at from 0 to 250, the others were.
    Lot good = named("good");
    good.stage(Stage::hot_holding, 0).steady(0, 240, 60, 140);
    Lot fine = named("fine");
    fine.stage(Stage::hot_holding, 0).steady(0, 240, 60, 141);
    Lot silent = named("silent");
    silent.stage(Stage::hot_holding, 0).readings({{0, 140}});
    const auto notes = [](const Lot& first, const Lot& second) {
        Lot a = first;
        Lot b = second;
        Lot pan = merged({a.history(), b.history()}, 240, Stage::hot_holding);
        pan.steady(250, 310, 30, 140);
        const LotJudgement j = pan.judged(fda(), 310);
        const Finding* own = find(j, "hot-holding", "");
        REQUIRE(own != nullptr);
        return std::ranges::count(own->notes, "The worst of its sources: silent.");
    };
    CHECK(notes(good, silent) == 1);
    CHECK(notes(silent, good) == 1);
    CHECK(notes(good, fine) == 0);
    Lot a = good;
    Lot b = fine;
    Lot pan = merged({a.history(), b.history()}, 240, Stage::hot_holding);
    pan.steady(250, 310, 30, 140);
    for (const Finding& f : pan.judged(fda(), 310).findings) {
        for (const std::string& note : f.notes) {
            CHECK(note.find("worst of its sources") == std::string::npos);
        }
    }
}

TEST_CASE("food merged into another kind is held to the other kind's rules from then on alone") {
    // 3-401.11(A)(1): fish 145 °F for 15 s; (A)(3), as for any other: 165 °F.
    Lot fish = named("fish", FoodKind::fish);
    fish.stage(Stage::cooking, 0).stage(Stage::hot_holding, 60);
    fish.readings({{0, 40}, {50, 146}, {51, 146}, {60, 140}, {120, 140}});
    Lot pan = merged({fish.history()}, 150, Stage::cooking);
    pan.readings({{150, 140}, {160, 150}, {161, 150}}).closes(170);
    const LotJudgement j = pan.judged(fda(), 170);
    REQUIRE(find(j, "cooking", "fish") != nullptr);
    CHECK(find(j, "cooking", "fish")->verdict == Verdict::met);
    REQUIRE(find(j, "cooking", "") != nullptr);
    CHECK(find(j, "cooking", "")->verdict == Verdict::not_met);
}

// Packs and house limits that change while food is kept: each stage is judged by what was in force
// when it began. 9 CFR 117.305-style versioning of limits (21 CFR 117.305(e): records are judged as
// of their time); the figures are those of FDA Food Code 2022, 3-501.16(A)(1): 57 °C (135 °F), and
// of the Food Safety and Hygiene (England) Regulations 2013, schedule 4: 63 °C.
#include "lots.hpp"

#include <holdwarden/judge/adopted.hpp>
#include <holdwarden/records/house_rules.hpp>

using namespace holdwarden;
using namespace holdwarden::test;
using judge::Adopted;

namespace {

constexpr auto C = Scale::celsius;
constexpr auto F = Scale::fahrenheit;

const codes::Pack& england() {
    static const codes::Pack pack =
        codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/uk-england.toml");
    return pack;
}

/// FDA until minute `change`, England from then on.
std::vector<Adopted> change_at(double change) {
    Adopted fda_first;
    fda_first.from = at(-100000);
    fda_first.pack = &fda();
    Adopted then;
    then.from = at(change);
    then.pack = &england();
    return {fda_first, then};
}

LotJudgement judged(Lot lot, const std::vector<Adopted>& adopted) {
    judge::Settings settings;
    settings.as_of = lot.last_reading();
    settings.zone = Zone::named("America/Denver");
    return judge::judge_adopted(lot.history(), adopted, settings);
}

std::vector<Adopted> house(codes::HouseLimit limit) {
    Adopted one;
    one.pack = &fda();
    limit.since = at(-1000);
    limit.who = "RK";
    one.house = {std::move(limit)};
    return {one};
}

codes::HouseLimit interval(Span span) {
    codes::HouseLimit limit;
    limit.requirement = records::kLargestInterval;
    limit.within = span;
    return limit;
}

const Finding& of_house(const LotJudgement& j, const std::string& requirement) {
    const auto found = std::ranges::find_if(j.findings, [&](const Finding& f) {
        return f.source == "house" && f.requirement == requirement;
    });
    REQUIRE(found != j.findings.end());
    return *found;
}

} // namespace

TEST_CASE("REC-22: a night before the change of pack is judged by the old one, one after by the "
          "new") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 60}, {60, 60}, {120, 60}}, C);
    SECTION("the change comes the next day: 60 °C meets 57 °C") {
        const auto j = judged(lot, change_at(1000));
        CHECK(j.overall == Verdict::met);
        REQUIRE(j.judged_by.size() == 1);
        CHECK(j.judged_by.front().id == "us-fda-2022");
        CHECK_FALSE(j.judged_by.front().from.has_value());
    }
    SECTION("the change came with the stage: 60 °C misses 63 °C") {
        const auto j = judged(lot, change_at(0));
        CHECK(j.overall == Verdict::not_met);
        CHECK(j.judged_by.front().id == "uk-england");
    }
    SECTION("the change came while the food was held: the stage stays with what it began under") {
        CHECK(judged(lot, change_at(1)).overall == Verdict::met);
    }
}

TEST_CASE("a lot that runs across a change has each stage judged by the pack it began under") {
    Lot lot;
    lot.stage(Stage::resting, 0).stage(Stage::hot_holding, 60);
    lot.readings({{0, 60}, {60, 60}, {120, 60}}, C);
    const auto j = judged(lot, change_at(30));
    REQUIRE(j.findings.size() == 2);
    CHECK(j.findings[0].stage == Stage::resting);
    CHECK(j.findings[0].code == "us-fda-2022");
    CHECK(j.findings[0].verdict == Verdict::met);
    CHECK(j.findings[1].stage == Stage::hot_holding);
    CHECK(j.findings[1].code == "uk-england");
    CHECK(j.findings[1].verdict == Verdict::not_met);
    CHECK(j.overall == Verdict::not_met);
    REQUIRE(j.judged_by.size() == 2);
    CHECK(j.judged_by[1].from == at(60));
    REQUIRE(j.flags.size() == 1);
    CHECK(j.flags.front().finding == 1); // counted over both packs' findings
}

TEST_CASE("under one pack the parts together say what one judging says") {
    Lot lot;
    lot.stage(Stage::cooking, 0).stage(Stage::resting, 60).stage(Stage::cooling, 120);
    lot.readings({{0, 40}, {60, 170}, {90, 150}, {120, 140}, {130, 130}, {220, 70}, {400, 41}});
    Adopted first;
    first.from = at(-10);
    first.pack = &fda();
    Adopted second = first;
    second.from = at(100);
    const auto parts = judged(lot, {first, second});
    const auto whole = judged(lot, {first});
    CHECK(parts.overall == whole.overall);
    REQUIRE(parts.findings.size() == whole.findings.size());
    for (std::size_t i = 0; i < whole.findings.size(); ++i) {
        CHECK(parts.findings[i].requirement == whole.findings[i].requirement);
        CHECK(parts.findings[i].verdict == whole.findings[i].verdict);
    }
    CHECK(parts.flags.size() == whole.flags.size());
    CHECK(parts.notes == whole.notes);
}

TEST_CASE("two hours may lie between the readings of a hold where nothing else is adopted") {
    // Common practice, no source.
    const auto held = [](double next) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).readings({{0, 140}, {next, 140}});
        Adopted plain;
        plain.pack = &fda();
        CHECK(judged(lot, {plain}).overall == lot.judged(fda()).overall);
        return lot.judged(fda()).overall;
    };
    CHECK(held(120) == Verdict::met);
    CHECK(held(121) == Verdict::not_shown);
}

TEST_CASE("REC-24: a house interval of 15 minutes lists every gap that is longer") {
    // 37/2005/EC and EN 12830 hold a recorder's interval against its real gaps.
    Lot lot;
    lot.stage(Stage::hot_holding, 0);
    SECTION("exactly 15 minutes apart: met") {
        lot.readings({{0, 140}, {15, 140}, {30, 140}});
        const auto j = judged(lot, house(interval(Span::minutes(15))));
        CHECK(of_house(j, "largest-interval").verdict == Verdict::met);
        CHECK(j.house_overall == Verdict::met);
    }
    SECTION("a second more: not met by the house, met by the code") {
        lot.readings({{0, 140}, {15 + 1.0 / 60, 140}, {60, 140}});
        const auto j = judged(lot, house(interval(Span::minutes(15))));
        const Finding& f = of_house(j, "largest-interval");
        CHECK(f.verdict == Verdict::not_met);
        CHECK(f.gaps.size() == 2);
        CHECK(j.overall == Verdict::met);
        CHECK(j.house_overall == Verdict::not_met);
    }
    SECTION("a suspect reading in between: nobody knows, so it is not shown") {
        lot.readings({{0, 140}, {15, 140}, {30, 140}});
        lot.history().points.front().readings[1].suspect = true;
        const auto j = judged(lot, house(interval(Span::minutes(15))));
        CHECK(of_house(j, "largest-interval").verdict == Verdict::not_shown);
    }
    SECTION("no reading at all proves nothing") {
        judge::Settings settings;
        settings.as_of = at(10);
        const auto adopted = house(interval(Span::minutes(15)));
        const auto j = judge::judge_adopted(lot.history(), adopted, settings);
        CHECK(of_house(j, "largest-interval").verdict == Verdict::not_shown);
    }
}

TEST_CASE("a house limit that the pack in force cannot take is not judged, and a note says so") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 145}, {60, 145}});
    codes::HouseLimit limit;
    limit.requirement = "hot-holding";
    limit.at = Temperature::of_degrees(60, C);
    auto adopted = house(limit); // stricter than 57 °C, looser than England's 63 °C
    CHECK(judged(lot, adopted).house_overall == Verdict::met);
    adopted.front().pack = &england();
    const auto j = judged(lot, adopted);
    CHECK_FALSE(j.house_overall.has_value());
    CHECK(std::ranges::any_of(j.notes, [](const std::string& note) {
        return note.find("Hot holding: the house limit is not judged") != std::string::npos;
    }));
}

TEST_CASE("leaving a target band is a note and changes no verdict") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 145}, {30, 151}, {60, 155}, {90, 139}});
    lot.history().stages.front().unit = "cabinet-1";
    judge::Settings settings;
    settings.as_of = at(90);
    judge::Band band{.low = Temperature::of_degrees(140, F),
                     .high = Temperature::of_degrees(150, F),
                     .unit = "cabinet-1",
                     .from = at(-10),
                     .to = {}};
    const auto noted = [&](const judge::Band& b) {
        LotJudgement j = judge::judge_lot(lot.history(), fda(), settings);
        const Verdict before = j.overall;
        judge::add_band_notes(j, lot.history(), {&b, 1}, settings);
        CHECK(j.overall == before);
        CHECK(j.overall == Verdict::met);
        std::vector<std::string> notes;
        std::ranges::copy_if(j.notes, std::back_inserter(notes), [](const std::string& note) {
            return note.find("target band") != std::string::npos;
        });
        return notes;
    };
    const auto both = noted(band);
    REQUIRE(both.size() == 2);
    CHECK(both[0].find("upwards") != std::string::npos);
    CHECK(both[0].find("highest 155 °F") != std::string::npos);
    CHECK(both[1].find("lowest 139 °F") != std::string::npos);
    band.to = at(20); // withdrawn before the food left it
    CHECK(noted(band).empty());
    band.to.reset();
    band.unit = "cabinet-2";
    CHECK(noted(band).empty());
    band.unit.clear();
    band.high = Temperature::of_degrees(155, F); // both ends belong to the band
    band.low = Temperature::of_degrees(139, F);
    CHECK(noted(band).empty());
}

// The house's interval: 37/2005/EC and EN 12830 hold a recorder's interval against its real gaps.
// That each hold is asked once, and nothing else, is this project's rule.
TEST_CASE("the house's interval asks each hold once, whatever the points, and nothing else") {
    Lot lot;
    lot.stage(Stage::cooking, 0).stage(Stage::hot_holding, 60).stage(Stage::cooling, 120);
    lot.stage(Stage::cold_holding, 300);
    for (const char* point : {"core", "top"}) {
        lot.readings({{0, 40}, {50, 170}, {60, 150}, {75, 150}, {90, 150}, {105, 150}, {120, 150}},
                     F, point);
        lot.readings({{130, 134}, {220, 69}, {290, 40}, {300, 40}, {360, 40}}, F, point);
    }
    const auto j = judged(lot, house(interval(Span::minutes(15))));
    std::vector<const Finding*> asked;
    for (const Finding& f : j.findings) {
        if (f.source == "house") {
            asked.push_back(&f);
        }
    }
    REQUIRE(asked.size() == 2);
    CHECK(asked[0]->stage == Stage::hot_holding);
    CHECK(asked[0]->verdict == Verdict::met);
    CHECK(asked[1]->stage == Stage::cold_holding);
    CHECK(asked[1]->verdict == Verdict::not_met);
    CHECK(asked[1]->gaps.size() == 1); // both points are silent from 300 to 360
    CHECK(asked[1]->margin.time == Span::minutes(15 - 60));
}

TEST_CASE("two holds of one kind are two for the house's interval") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::hot_holding, 30);
    lot.readings({{0, 150}, {15, 150}, {30, 150}, {60, 150}});
    const auto j = judged(lot, house(interval(Span::minutes(15))));
    std::vector<Verdict> verdicts;
    for (const Finding& f : j.findings) {
        if (f.source == "house") {
            verdicts.push_back(f.verdict);
        }
    }
    CHECK(verdicts == std::vector{Verdict::met, Verdict::not_met});
}

TEST_CASE("the house's interval is missed before a first reading too, and the longest silence is "
          "told") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0);
    SECTION("the first reading comes late") {
        lot.readings({{16, 140}, {30, 140}});
        const auto j = judged(lot, house(interval(Span::minutes(15))));
        const Finding& f = of_house(j, "largest-interval");
        CHECK(f.verdict == Verdict::not_met);
        CHECK(f.margin.time == Span::minutes(15 - 16));
    }
    SECTION("of two silences the longer gives the margin") {
        lot.readings({{0, 140}, {20, 140}, {60, 140}, {90, 140}});
        const auto j = judged(lot, house(interval(Span::minutes(15))));
        const Finding& f = of_house(j, "largest-interval");
        CHECK(f.gaps.size() == 3);
        CHECK(f.margin.time == Span::minutes(15 - 40));
        CHECK(f.reason.find("No reading from") != std::string::npos);
    }
    SECTION("a silence that a suspect reading breaks is one of readings to be trusted") {
        lot.readings({{0, 140}, {15, 140}, {30, 140}});
        lot.history().points.front().readings[1].suspect = true;
        const auto j = judged(lot, house(interval(Span::minutes(15))));
        const Finding& f = of_house(j, "largest-interval");
        CHECK(f.margin.time == Span::minutes(15 - 30));
        CHECK(f.reason.find("No reading to be trusted from") != std::string::npos);
    }
}

TEST_CASE("a silence in what a lot was merged of is looked for where the food was then") {
    Lot source;
    source.stage(Stage::hot_holding, 0).readings({{0, 140}, {15, 140}, {30, 140}});
    source.history().name = "beans-1";
    Lot other;
    other.stage(Stage::hot_holding, 0).readings({{0, 140}, {10, 140}, {20, 140}, {30, 140}});
    other.history().name = "beans-2";
    const auto of_merged = [&](Lot first) {
        Lot pan;
        pan.stage(Stage::hot_holding, 30).readings({{30, 140}, {40, 140}});
        pan.history().name = "pan";
        pan.history().sources = {first.history(), other.history()};
        Lot merged_again;
        merged_again.stage(Stage::hot_holding, 40).readings({{40, 140}, {50, 140}});
        merged_again.history().name = "tray";
        merged_again.history().sources = {pan.history()};
        const auto limit = house(interval(Span::minutes(15)));
        const Verdict once = of_house(judged(pan, limit), "largest-interval").verdict;
        CHECK(of_house(judged(merged_again, limit), "largest-interval").verdict == once);
        return once;
    };
    CHECK(of_merged(source) == Verdict::met);
    // A reading that is not trusted came in between: nobody knows, but nobody was silent.
    Lot doubted = source;
    doubted.history().points.front().readings[1].suspect = true;
    CHECK(of_merged(doubted) == Verdict::not_shown);
    // The other pan's readings are none of this food.
    Lot silent;
    silent.stage(Stage::hot_holding, 0).readings({{0, 140}, {30, 140}});
    silent.history().name = "beans-1";
    CHECK(of_merged(silent) == Verdict::not_met);
}

TEST_CASE("what a house limit misses or does not show is flagged, what it meets is not") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0);
    SECTION("met") {
        lot.readings({{0, 140}, {15, 140}});
        CHECK(judged(lot, house(interval(Span::minutes(15)))).flags.empty());
    }
    SECTION("missed: read as often as the house wants") {
        lot.readings({{0, 140}, {16, 140}});
        const auto j = judged(lot, house(interval(Span::minutes(15))));
        REQUIRE(j.flags.size() == 1); // the code's hold is met
        CHECK(j.findings[j.flags[0].finding].requirement == "largest-interval");
        CHECK(j.flags[0].id.starts_with("house/largest-interval@"));
        CHECK(j.flags[0].act.front().find("as often as") != std::string::npos);
        CHECK(j.flags[0].planned);
    }
    SECTION("not shown") {
        lot.readings({{0, 140}, {15, 140}, {30, 140}});
        lot.history().points.front().readings[1].suspect = true;
        const auto j = judged(lot, house(interval(Span::minutes(15))));
        CHECK(std::ranges::count_if(j.flags, [&](const judge::Flag& flag) {
                  return j.findings[flag.finding].source == "house";
              }) == 1); // and one that the code asks: a suspect reading is confirmed or not
    }
    SECTION("another limit: the unit is to be corrected") {
        lot.readings({{0, 139}, {15, 139}}); // FDA's 135 °F met, the house's 140 °F missed
        codes::HouseLimit limit;
        limit.requirement = "hot-holding";
        limit.at = Temperature::of_degrees(140, F);
        const auto j = judged(lot, house(limit));
        CHECK(j.overall == Verdict::met);
        REQUIRE(j.flags.size() == 1);
        CHECK(j.findings[j.flags[0].finding].source == "house");
        CHECK(j.flags[0].act.front().find("house limit is missed") != std::string::npos);
    }
}

TEST_CASE("a stage that begins at the very instant asked about is judged by the pack of its own") {
    Lot lot;
    lot.stage(Stage::resting, 0).stage(Stage::hot_holding, 60);
    lot.readings({{0, 60}, {60, 60}}, C); // the last reading, and so the as-of instant, is at 60
    const auto j = judged(lot, change_at(30));
    REQUIRE(j.findings.size() == 2);
    CHECK(j.findings[1].code == "uk-england");
    CHECK(j.findings[1].verdict == Verdict::not_met); // 60 °C under 63 °C
    // One that begins as the pack changes is the new one's alone.
    const auto k = judged(lot, change_at(60));
    REQUIRE(k.findings.size() == 2);
    CHECK(k.findings[0].code == "us-fda-2022");
    CHECK(k.findings[1].code == "uk-england");
    REQUIRE(k.judged_by.size() == 2);
    CHECK(k.judged_by[0].from == at(0));
    CHECK(k.judged_by[1].from == at(60));
}

TEST_CASE("the first thing followed holds before its date too, when another follows it") {
    Lot lot;
    lot.stage(Stage::resting, 0).stage(Stage::hot_holding, 60);
    lot.readings({{0, 60}, {60, 60}, {120, 60}}, C);
    auto adopted = change_at(40);
    adopted[0].from = at(30); // after the rest began
    const auto j = judged(lot, adopted);
    REQUIRE(j.findings.size() == 2);
    CHECK(j.findings[0].stage == Stage::resting);
    CHECK(j.findings[0].code == "us-fda-2022");
    CHECK(j.overall == Verdict::not_met);
}

TEST_CASE("of two packs' times below the hot limit the longer is told") {
    // 60 °C is above FDA's 57 °C and below England's 63 °C the whole two hours.
    Lot lot;
    lot.stage(Stage::resting, 0).stage(Stage::hot_holding, 60);
    lot.readings({{0, 60}, {60, 60}, {120, 60}}, C);
    auto adopted = change_at(30);
    CHECK(minutes(judged(lot, adopted).below_hot_limit.latest) == 120);
    std::swap(adopted[0].pack, adopted[1].pack);
    CHECK(minutes(judged(lot, adopted).below_hot_limit.latest) == 120);
}

TEST_CASE("that nothing was judged of a merged lot is said once, whatever number of packs") {
    codes::Pack silent;
    silent.id = "silent";
    Lot source;
    source.stage(Stage::preparing, 0);
    Lot lot;
    lot.stage(Stage::preparing, 60).readings({{70, 40}});
    lot.history().name = "merged";
    source.history().name = "source";
    lot.history().sources = {source.history()};
    Adopted one;
    one.pack = &silent;
    one.from = at(-10);
    Adopted other = one;
    other.from = at(30);
    const auto times_said = [&](const std::vector<Adopted>& adopted) {
        const auto j = judged(lot, adopted);
        CHECK(j.overall == Verdict::not_shown);
        return std::ranges::count_if(j.notes, [](const std::string& note) {
            return note.find("Nothing") != std::string::npos;
        });
    };
    CHECK(times_said({one}) == 1);
    CHECK(times_said({one, other}) == 1);
    // One of two alone judges: the second, then the first.
    other.from = at(-5);
    CHECK(times_said({one, other}) == 1);
    other.from = at(1000);
    CHECK(times_said({one, other}) == 1);
}

TEST_CASE("a target band is asked of what was read while it held and the food was held") {
    Lot lot;
    lot.stage(Stage::reheating, 0).stage(Stage::hot_holding, 40);
    lot.readings({{0, 60}, {30, 170}, {40, 145}, {50, 155}, {60, 155}, {90, 145}});
    judge::Settings settings;
    settings.as_of = at(90);
    judge::Band band{.low = Temperature::of_degrees(140, F),
                     .high = Temperature::of_degrees(150, F),
                     .unit = "",
                     .from = at(-10),
                     .to = {}};
    const auto notes = [&] {
        LotJudgement j;
        judge::add_band_notes(j, lot.history(), {&band, 1}, settings);
        return j.notes;
    };
    REQUIRE(notes().size() == 1);
    // 170 °F was before the hold. 18:00 and 50 minutes in UTC, the settings' zone; it was first as
    // high as that then.
    CHECK(notes()[0].find("highest 155 °F at 2026-10-31 18:50") != std::string::npos);
    band.from = at(70);
    CHECK(notes().empty());
}

TEST_CASE("a stand-in's own flags stay beside the demand for the pack, one for each finding") {
    Adopted one;
    one.pack = &fda();
    one.stands_in = "The pack larkspur-2 is not here.";
    Lot lot;
    lot.stage(Stage::resting, 0).stage(Stage::hot_holding, 30);
    lot.readings({{0, 150}, {30, 150}, {60, 130}});
    const LotJudgement j = judged(lot, {one});
    REQUIRE(j.findings.size() == 2); // the rest would be met, the hold is missed
    REQUIRE(j.flags.size() == 2);
    CHECK(j.flags[0].finding == 0);
    CHECK_FALSE(j.flags[0].planned);
    CHECK(j.flags[1].finding == 1);
    CHECK(j.flags[1].planned); // FDA's own advice for a hold
}

// No source says what a missing code asks; that nothing may be called met by another is this
// project's rule.
TEST_CASE("a pack that stands in for the one followed shows nothing, and each finding asks for "
          "that one") {
    Adopted one;
    one.pack = &fda();
    Lot lot;
    lot.stage(Stage::hot_holding, 0).steady(0, 60, 10, 150);
    const LotJudgement by_itself = judged(lot, {one});
    REQUIRE(by_itself.overall == Verdict::met);
    REQUIRE(by_itself.flags.empty());

    one.stands_in = "The pack larkspur-2 is not here.";
    const LotJudgement j = judged(lot, {one});
    CHECK(j.overall == Verdict::not_shown);
    REQUIRE_FALSE(j.findings.empty());
    REQUIRE(j.flags.size() == j.findings.size());
    for (std::size_t i = 0; i < j.flags.size(); ++i) {
        CHECK(j.findings[i].verdict == Verdict::not_shown);
        CHECK(j.flags[i].finding == i);
        CHECK_FALSE(j.flags[i].id.empty());
        CHECK_FALSE(j.flags[i].act.empty());
        CHECK_FALSE(j.flags[i].planned);
    }
}

// What food held by time says beside its verdict, and the words of claims about cooks. FDA Food
// Code 2022, 3-501.19 (from memory; read in adoptions of the 2013 edition). The sentences guard
// which branch speaks; minute 0 is 12:00 in Denver.
#include "lots.hpp"

#include <holdwarden/judge/words.hpp>

#include <set>

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

Lot out(std::vector<Row> rows) {
    Lot lot;
    lot.stage(Stage::time_control, 0).readings(std::move(rows));
    return lot;
}

Finding found(const Lot& lot, std::optional<double> as_of = std::nullopt) {
    return only(lot.judged(fda(), as_of), "time-control");
}

} // namespace

TEST_CASE("of food held by time a second time the deadline counts what was spent before") {
    // Out from 0 to 150 and from 180 on, and cooked in between, which counts as well, (B)(3): an
    // hour of the four is left then.
    Lot lot = out({{0, 41}, {160, 165}, {179, 160}});
    lot.stage(Stage::cooking, 150).stage(Stage::time_control, 180);
    const Finding running = found(lot, 200);
    CHECK(running.verdict == Verdict::open);
    CHECK(running.margin.time == Span::minutes(40));
    CHECK(running.reason == "Serve or discard by 2026-10-31 16:00, in 40 min.");
    CHECK(running.settle.find("2026-10-31 16:00") != std::string::npos);
    const Finding over = found(lot, 271);
    CHECK(over.verdict == Verdict::not_shown);
    CHECK(over.reason.starts_with("The time ran out at 2026-10-31 16:00, and no record"));
    lot.readings({{272, 90}});
    CHECK(found(lot, 272).reason ==
          "The time ran out at 2026-10-31 16:00, and the food was still there at 16:32 (90 °F).");
}

TEST_CASE("what was held by time says how long it was out and what became of it") {
    Lot served = out({{0, 150}});
    served.served(200);
    CHECK(found(served).margin.time == Span::minutes(40));
    CHECK(found(served).reason.starts_with("Out for 3 h 20 min, "));
    CHECK(found(served).reason.ends_with(" at 2026-10-31 15:20."));
    Lot late = out({{0, 150}});
    late.served(250);
    CHECK(found(late).reason == "It was out for 4 h 10 min; the code allows 4 h.");
    Lot wrong = out({{0, 100}});
    wrong.served(60);
    CHECK(found(wrong).reason.ends_with(": 100 °F at 12:00."));
    Lot back = out({{0, 150}, {60, 140}});
    back.stage(Stage::hot_holding, 60);
    CHECK(found(back, 100).reason.starts_with("At 2026-10-31 13:00 it went back to "));
    Lot unread = out({{1, 150}});
    unread.served(60);
    CHECK(found(unread).reason.starts_with("No good reading within 2 h before the start "));
    CHECK(found(unread).limit.text ==
          "within 4 h, started 41 °F (5 °C) or below or 135 °F (57 °C) or above");
}

TEST_CASE("food that was held hot between two spells went back, and the first trouble is named") {
    Lot lot = out({{0, 150}, {60, 140}, {100, 140}});
    lot.stage(Stage::hot_holding, 60).stage(Stage::time_control, 100).served(150);
    CHECK(found(lot).verdict == Verdict::not_met);
    CHECK(found(lot).reason.starts_with("At 2026-10-31 13:00 it went back to "));
    // 3-501.16(A): cold food read at 44 °F, then held hot below 135. Of two misses the first is
    // named: which of them is the judge's own choice.
    Lot two;
    two.stage(Stage::cold_holding, 0).stage(Stage::hot_holding, 60);
    two.stage(Stage::time_control, 200).served(220);
    two.readings({{0, 40}, {30, 44}, {60, 41}, {90, 80}, {150, 136}, {200, 140}});
    CHECK(found(two).reason ==
          "The cold-holding before it was not met and not answered by a reheat.");
}

TEST_CASE(
    "food held by time is met once its end is on record, or its return where that is allowed") {
    Lot closed = out({{0, 150}});
    closed.closes(60);
    CHECK(found(closed, 100).verdict == Verdict::not_shown);
    CHECK(found(closed, 100).reason == "No record says that it was served or discarded.");
    // Australia, 3.2.2 cl. 25, the 2 h / 4 h guide (seen in an account): back within less than two
    // hours.
    const codes::Pack australia =
        codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/au-3.2.2.toml");
    const auto back = [&](double minute) {
        Lot lot;
        lot.stage(Stage::time_control, 0).stage(Stage::cold_holding, minute);
        lot.readings({{0, 4}, {minute, 5}}, Scale::celsius);
        return only(lot.judged(australia, 130), "time-control");
    };
    CHECK(back(119).verdict == Verdict::met);
    CHECK(back(119).reason == "Out for 1 h 59 min, then back at 2026-10-31 13:59.");
    CHECK(back(120).verdict == Verdict::not_met);
}

TEST_CASE("a stage of no length at the very start of time control is not before it") {
    // A hold of no length asks for no answer, and a reheat of no length gives none: the project's
    // own reading.
    Lot hold;
    hold.stage(Stage::hot_holding, 0).stage(Stage::time_control, 0).readings({{0, 150}});
    CHECK(found(hold.served(100)).verdict == Verdict::met);
    Lot reheat;
    reheat.stage(Stage::hot_holding, 0).stage(Stage::reheating, 60);
    reheat.stage(Stage::time_control, 60);
    reheat.readings({{0, 150}, {30, 130}, {50, 140}, {60, 165}}).served(100);
    reheat.history().points[0].readings[3].origin = records::Origin::typed;
    reheat.history().points[0].readings[3].watched_s = 15;
    CHECK(only(reheat.judged(fda()), "reheating").verdict == Verdict::not_met);
    CHECK(found(reheat).verdict == Verdict::not_met);
}

TEST_CASE("the ceiling says whether nobody read it or a stretch is unproven") {
    const auto ceiling = [](std::vector<Row> rows, double end) {
        Lot lot;
        lot.stage(Stage::cold_holding, -60).stage(Stage::time_control, 0);
        lot.history().stages.back().form = records::TimeControlForm::six_hours;
        lot.readings({{-60, 40}, {-5, 40}}).readings(std::move(rows)).served(end);
        return only(lot.judged(fda()), "time-control-ceiling");
    };
    CHECK(ceiling({}, 100).reason == "No reading was taken while the food was out.");
    CHECK(ceiling({{10, 45}}, 200).reason ==
          "The readings while the food was out leave a stretch unproven.");
    CHECK(ceiling({{10, 45}, {60, 60}, {90, 60}}, 100).reason ==
          "The warmest reading was 60 °F at 13:00."); // of two as warm the first
    CHECK(ceiling({{10, 45}, {60, 60}}, 100).margin.temperature ==
          TemperatureDelta::of_thousandths(10'000, Scale::fahrenheit));
    CHECK(ceiling({{10, 45}, {60, 71}}, 100).reason ==
          "The food read 71 °F at 13:00, above 70 °F.");
}

TEST_CASE("a cook's claim names the row that was kept for the greatest share of its time") {
    // 3-401.11(B): 140 °F 12 min, 145 °F 4 min, 158 °F at once, which has no share.
    judge::CookNote note{at(0), "core", {}, {}};
    CHECK(judge::cook_text(note).starts_with("No row of the roast table was reached and kept."));
    note.rows = {{"140 °F", Span::minutes(12), Span::minutes(18)},
                 {"145 °F", Span::minutes(4), Span::minutes(8)},
                 {"158 °F", Span{}, Span::minutes(1)}};
    CHECK(judge::cook_text(note).starts_with(
        "The longest unbroken time by the roast table: 8 min at 145 °F (4 min asked)."));
    note.rows[1].longest = Span::minutes(5);
    CHECK(judge::cook_text(note).starts_with(
        "The longest unbroken time by the roast table: 18 min at 140 °F (12 min asked)."));
    note.rows[0].longest = Span::minutes(6);
    note.rows[1].longest = Span::minutes(1);
    CHECK(judge::cook_text(note).starts_with(
        "The longest unbroken time by the roast table: 6 min at 140 °F (12 min asked)."));
}

TEST_CASE("each requirement has words of its own, and what is none has none") {
    std::set<std::string_view> words;
    for (const char* id :
         {"initial-heating", "cooking", "cooking-roast", "hot-holding", "hot-holding-roast",
          "cooling-first-window", "cooling-second-window", "cooling-total", "cooling-from-ambient",
          "cold-holding", "reheating", "reheating-time", "time-control", "time-control-ceiling",
          "date-mark", "come-up", "largest-interval"}) {
        INFO(id);
        CHECK_FALSE(judge::requirement_words(id).empty());
        words.insert(judge::requirement_words(id));
    }
    CHECK(words.size() == 17);
    CHECK(judge::requirement_words("no-such-rule").empty());
}

TEST_CASE("a chance of just 0.999 or 0.001 is given as it is") {
    const auto u = TemperatureDelta::of_thousandths(500, Scale::fahrenheit);
    const auto text = [&](double chance) {
        return judge::conformity_text({chance, u, judge::Zone4::conditional_pass});
    };
    CHECK(text(0.999).starts_with("0.999 that"));
    CHECK(text(0.9991).starts_with("more than 0.999 that"));
    CHECK(text(0.001).starts_with("0.001 that"));
    CHECK(text(0.0009).starts_with("less than 0.001 that"));
}

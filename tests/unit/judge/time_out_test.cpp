// How long food held by time was out, and in which form: FDA Food Code 2022, 3-501.19 (from memory;
// read in adoptions of the 2013 edition); Food Standards Australia New Zealand's 2 hour / 4 hour
// guide (seen in an account); England, SI 2013/2996, schedule 4 (read in an adoption). Where a
// spell begins and ends on record is the project's own reading.
#include "lots.hpp"

#include <holdwarden/judge/keep_until.hpp>

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

constexpr auto kSix = records::TimeControlForm::six_hours;

codes::Pack pack(const char* name) {
    return codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/" + name + ".toml");
}

Lot& six_hours(Lot& lot) {
    lot.history().stages.back().form = kSix;
    return lot;
}

Finding by_time(const LotJudgement& j) {
    return only(j, "time-control");
}

/// The ceiling's verdicts, in the order of their spells.
std::vector<Verdict> ceilings(const LotJudgement& j) {
    std::vector<Verdict> verdicts;
    for (const Finding& f : j.findings) {
        if (f.requirement == "time-control-ceiling") {
            verdicts.push_back(f.verdict);
        }
    }
    return verdicts;
}

/// Out from 0, entered again at 120, served at `end`.
Lot entered_again(bool first_six, bool second_six, double end, double warmest = 65) {
    Lot lot;
    lot.stage(Stage::time_control, 0);
    lot.history().stages.back().form = first_six ? kSix : records::TimeControlForm::four_hours;
    lot.stage(Stage::time_control, 120);
    lot.history().stages.back().form = second_six ? kSix : records::TimeControlForm::four_hours;
    lot.readings({{0, 40}, {60, 60}, {100, 65}, {180, warmest}, {240, 65}}).served(end);
    return lot;
}

} // namespace

TEST_CASE("six hours only where every spell is of the six-hour form") {
    // 3-501.19(C): up to 6 hours if the food stays at 70 °F or less; else (B): 4 hours.
    CHECK(by_time(entered_again(true, true, 340).judged(fda())).verdict == Verdict::met);
    for (const auto& [first, second] : {std::pair{true, false}, {false, true}, {false, false}}) {
        const LotJudgement j = entered_again(first, second, 340).judged(fda());
        CHECK(by_time(j).verdict == Verdict::not_met);
        CHECK(by_time(j).limit.within == Span::hours(4));
        const bool told = std::ranges::any_of(by_time(j).notes, [](const std::string& note) {
            return note.starts_with("Not every spell is of the six-hour form");
        });
        CHECK(told == (first != second));
        CHECK(by_time(entered_again(first, second, 240).judged(fda())).verdict == Verdict::met);
    }
}

TEST_CASE("every spell of the six-hour form is under its ceiling") {
    // 3-501.19(C): past 70 °F the food is discarded.
    using Verdicts = std::vector<Verdict>;
    CHECK(ceilings(entered_again(true, true, 340).judged(fda())) ==
          Verdicts{Verdict::met, Verdict::met});
    CHECK(ceilings(entered_again(true, true, 340, 88).judged(fda())) ==
          Verdicts{Verdict::met, Verdict::not_met});
    CHECK(ceilings(entered_again(false, true, 240, 88).judged(fda())) ==
          Verdicts{Verdict::not_met});
    CHECK(ceilings(entered_again(true, false, 240, 88).judged(fda())) == Verdicts{Verdict::met});
    CHECK(ceilings(entered_again(false, false, 240, 88).judged(fda())).empty());
}

TEST_CASE("a merged lot has the six-hour form only by what went in as well") {
    const auto tray = [](const char* name, bool six) {
        Lot lot;
        lot.history().name = name;
        lot.stage(Stage::time_control, 0).readings({{0, 40}, {60, 60}, {100, 65}});
        lot.history().stages.back().form = six ? kSix : records::TimeControlForm::four_hours;
        return lot.history();
    };
    const auto merged = [&](bool one, bool two, bool both) {
        Lot lot;
        lot.history().name = "pan";
        lot.history().sources = {tray("one", one), tray("two", two)};
        lot.stage(Stage::time_control, 120).readings({{180, 65}, {240, 65}}).served(340);
        lot.history().stages.back().form = both ? kSix : records::TimeControlForm::four_hours;
        return lot.judged(fda()).overall;
    };
    CHECK(merged(true, true, true) == Verdict::met);
    CHECK(merged(true, true, false) == Verdict::not_met);
    CHECK(merged(true, false, true) == Verdict::not_met);
    CHECK(merged(false, true, true) == Verdict::not_met);
}

TEST_CASE("an entry in the middle of a spell hides no silence from the ceiling") {
    // At most the largest interval, 2 h (common practice, no source), between readings.
    const auto ceiling = [](double entered, double read) {
        Lot lot;
        lot.stage(Stage::time_control, 0);
        six_hours(lot).stage(Stage::time_control, entered);
        six_hours(lot).readings({{0, 40}, {read, 65}}).served(read + 10);
        return ceilings(lot.judged(fda())).back();
    };
    CHECK(ceiling(60, 120) == Verdict::met);
    CHECK(ceiling(60, 130) == Verdict::not_shown);
    CHECK(ceiling(110, 215) == Verdict::not_shown);
}

TEST_CASE("food that is prepared while it is out by the six-hour form is under its ceiling too") {
    const auto worst = [](double warmest) {
        Lot lot;
        lot.stage(Stage::time_control, 0);
        six_hours(lot).stage(Stage::preparing, 60).stage(Stage::time_control, 120);
        six_hours(lot).readings({{0, 40}, {59, 50}, {90, warmest}, {121, 60}, {200, 60}});
        return lot.served(220).judged(fda()).overall;
    };
    CHECK(worst(65) == Verdict::met);
    CHECK(worst(71) == Verdict::not_met);
}

TEST_CASE("food held by time is cooked and served within the time") {
    // 3-501.19(B)(3): cooked and served, served, or discarded within 4 hours from when it left
    // temperature control.
    const auto cooked = [](double cook, double end) {
        Lot lot;
        lot.stage(Stage::time_control, 0).stage(Stage::cooking, cook);
        lot.readings({{0, 40}, {cook + 20, 160}, {cook + 21, 170}}).served(end);
        return by_time(lot.judged(fda()));
    };
    CHECK(cooked(200, 240).verdict == Verdict::met);
    CHECK(cooked(200, 240).reason.starts_with("Out for 4 h, "));
    CHECK(cooked(200, 240).reason.ends_with(" at 2026-10-31 16:00."));
    CHECK(cooked(200, 241).verdict == Verdict::not_met);
    CHECK(cooked(230, 262).verdict == Verdict::not_met);
}

TEST_CASE("a hold after the cook of food held by time is a return, a rest on its way is not") {
    const auto then = [](Stage next, double end) {
        Lot lot;
        lot.stage(Stage::time_control, 0).stage(Stage::cooking, 100).stage(next, 140);
        lot.readings({{0, 40}, {130, 160}, {131, 170}}).steady(140, end, 10, 155).served(end);
        return by_time(lot.judged(fda()));
    };
    for (const Stage hold : {Stage::hot_holding, Stage::cold_holding, Stage::cooling}) {
        CHECK(then(hold, 200).verdict == Verdict::not_met);
        CHECK(then(hold, 200).reason.starts_with("At 2026-10-31 14:20 it went back to "));
    }
    CHECK(then(Stage::resting, 240).verdict == Verdict::met);
    CHECK(then(Stage::resting, 241).verdict == Verdict::not_met);
    // Hours after a cook that came in time.
    Lot late;
    late.stage(Stage::time_control, 0).stage(Stage::cooking, 230).stage(Stage::hot_holding, 262);
    late.readings({{0, 40}, {250, 160}, {251, 170}}).steady(262, 600, 60, 155).served(600);
    CHECK(by_time(late.judged(fda())).verdict == Verdict::not_met);
}

TEST_CASE("while food held by time is cooked its time runs on") {
    Lot lot;
    lot.stage(Stage::time_control, 0).stage(Stage::cooking, 200).readings({{0, 40}});
    CHECK(by_time(lot.judged(fda(), 230)).verdict == Verdict::open);
    CHECK(by_time(lot.judged(fda(), 230)).reason ==
          "Serve or discard by 2026-10-31 16:00, in 10 min.");
    CHECK(by_time(lot.judged(fda(), 241)).verdict == Verdict::not_shown);
    // What becomes of it elsewhere carries the time on.
    lot.history().end = records::LotEnd{Outcome::split, at(210), ""};
    CHECK(by_time(lot.judged(fda(), 230)).verdict == Verdict::ended);
}

TEST_CASE("preparing is no return, and is time out like any other") {
    const auto served = [](double end) {
        Lot lot;
        lot.stage(Stage::time_control, 0).stage(Stage::preparing, 60).readings({{0, 40}});
        return by_time(lot.served(end).judged(fda()));
    };
    CHECK(served(240).verdict == Verdict::met);
    CHECK(served(240).reason.starts_with("Out for 4 h, "));
    CHECK(served(241).verdict == Verdict::not_met);
    // By way of it food goes back all the same.
    Lot back;
    back.stage(Stage::time_control, 0).stage(Stage::preparing, 60);
    back.stage(Stage::cold_holding, 80).readings({{0, 40}, {80, 40}});
    CHECK(by_time(back.judged(fda(), 100))
              .reason.starts_with("At 2026-10-31 13:20 it went back to "));
    // The label and what is due count it as well.
    Lot running;
    running.stage(Stage::time_control, 0).stage(Stage::preparing, 60);
    running.stage(Stage::time_control, 120).readings({{0, 40}});
    judge::Settings settings;
    settings.as_of = at(130);
    const auto mark = judge::time_mark(running.history(), fda(), settings);
    REQUIRE(mark.has_value());
    CHECK(mark->until == at(240));
    CHECK(by_time(running.judged(fda(), 130)).reason ==
          "Serve or discard by 2026-10-31 16:00, in 1 h 50 min.");
}

TEST_CASE("a label gives six hours only where every spell is of the six-hour form") {
    // 3-501.19(B) and (C).
    const auto until = [](bool first_six, bool second_six) {
        records::LotHistory running = entered_again(first_six, second_six, 340).history();
        running.end.reset();
        judge::Settings settings;
        settings.as_of = at(130);
        return judge::time_mark(running, fda(), settings)->until;
    };
    CHECK(until(true, true) == at(360));
    CHECK(until(false, true) == at(240));
    CHECK(until(true, false) == at(240));
}

TEST_CASE(
    "food that is prepared after time control keeps its label, food that is cooked does not") {
    // 3-501.19(B)(2): marked with the time by which it is cooked, served or discarded.
    const auto mark = [](Stage then) {
        Lot lot;
        lot.stage(Stage::time_control, 0).stage(then, 60).readings({{0, 40}});
        judge::Settings settings;
        settings.as_of = at(100);
        return judge::time_mark(lot.history(), fda(), settings);
    };
    REQUIRE(mark(Stage::preparing).has_value());
    CHECK(mark(Stage::preparing)->until == at(240));
    CHECK_FALSE(mark(Stage::cooking).has_value());
}

TEST_CASE("each return is tested against the time out up to it") {
    // The guide: under 2 hours refrigerate or use; from 2 to 4 hours use; from 4 hours discard.
    const codes::Pack australia = pack("au-3.2.2");
    const auto out_again = [&](double first, double second, bool back_again) {
        Lot lot;
        lot.stage(Stage::time_control, 0).stage(Stage::cold_holding, first);
        lot.stage(Stage::time_control, 200)
            .readings({{0, 4}, {first, 5}, {200, 4}}, Scale::celsius);
        if (back_again) {
            lot.stage(Stage::cold_holding, 200 + second);
            lot.readings({{200 + second, 5}}, Scale::celsius);
            return by_time(lot.judged(australia, 200 + second + 10));
        }
        return by_time(lot.served(200 + second).judged(australia));
    };
    CHECK(out_again(90, 60, false).verdict == Verdict::met); // 2 h 30: use
    CHECK(out_again(90, 60, false).reason.starts_with("Out for 2 h 30 min, "));
    CHECK(out_again(90, 150, false).verdict == Verdict::not_met); // 4 h
    CHECK(out_again(90, 29, true).verdict == Verdict::met);       // 1 h 59: back
    CHECK(out_again(90, 30, true).verdict == Verdict::not_met);   // 2 h
    CHECK(out_again(120, 10, false).verdict == Verdict::not_met);
}

TEST_CASE("each spell under the six-hour form is watched from where it began") {
    // 3-501.19(C): the warmest part may not pass 70 °F; readings at least every 120 minutes.
    const auto six = [](double second, std::vector<Row> rows, bool kept_cold) {
        Lot lot;
        six_hours(lot.stage(Stage::time_control, 0));
        if (kept_cold) {
            lot.stage(Stage::cold_holding, 60);
        }
        six_hours(lot.stage(Stage::time_control, second));
        return ceilings(lot.readings(std::move(rows)).served(330).judged(fda()));
    };
    // A return to the cold ends a spell: its readings are none of the next.
    CHECK(six(200, {{0, 40}, {60, 40}, {150, 40}, {300, 60}}, true) ==
          std::vector{Verdict::met, Verdict::met});
    // A silence that ends where the next entry begins is the first one's.
    CHECK(six(130, {{0, 40}, {130, 60}, {230, 60}}, false) ==
          std::vector{Verdict::not_shown, Verdict::met});
}

TEST_CASE("a code with one form and one spell says nothing of six hours, and allows no second") {
    // SI 2013/2996, schedule 4: on one occasion only.
    const codes::Pack england = pack("uk-england");
    Lot mixed;
    six_hours(mixed.stage(Stage::time_control, 0)).stage(Stage::time_control, 60);
    mixed.readings({{0, 8}}, Scale::celsius).served(200);
    for (const std::string& note : by_time(mixed.judged(england)).notes) {
        CHECK(note.find("six-hour") == std::string::npos);
    }
    Lot twice;
    twice.stage(Stage::time_control, 0).stage(Stage::cold_holding, 60);
    twice.stage(Stage::time_control, 120).readings({{0, 8}, {60, 8}, {120, 8}}, Scale::celsius);
    CHECK(by_time(twice.served(150).judged(england)).verdict == Verdict::not_met);
    // Also under a code, invented, that lets it go back once.
    codes::Pack back_once = england;
    for (codes::Requirement& r : back_once.requirements) {
        if (auto* rule = std::get_if<codes::TimeControlRule>(&r.rule)) {
            rule->return_within = codes::TimeLimit{Span::hours(2)};
        }
    }
    CHECK(by_time(twice.judged(back_once)).reason.starts_with("It was held by time a second"));
}

TEST_CASE("a time that must be less than its figure ends before it") {
    // SI 2013/2996, schedule 4: less than four hours.
    Lot lot;
    lot.stage(Stage::time_control, 0).readings({{0, 8}}, Scale::celsius);
    const Finding f = by_time(lot.judged(pack("uk-england"), 60));
    CHECK(f.reason == "Serve or discard before 2026-10-31 16:00, in 3 h.");
    CHECK(f.settle == "A record of its end before 2026-10-31 16:00 will settle it.");
    CHECK(by_time(lot.judged(pack("uk-england"), 240)).settle ==
          "A record of its end before 2026-10-31 16:00 would have settled it.");
}

TEST_CASE("one spell that was entered twice is one") {
    // SI 2013/2996, schedule 4: on one occasion only.
    const codes::Pack england = pack("uk-england");
    Lot lot;
    lot.stage(Stage::time_control, 0).stage(Stage::time_control, 60);
    lot.readings({{0, 8}}, Scale::celsius).served(200);
    CHECK(by_time(lot.judged(england)).verdict == Verdict::met);
    Lot twice;
    twice.stage(Stage::time_control, 0).stage(Stage::cooking, 60).stage(Stage::time_control, 90);
    twice.readings({{0, 8}, {80, 80}}, Scale::celsius).served(100);
    CHECK(by_time(twice.judged(england)).verdict == Verdict::not_met);
    CHECK(by_time(twice.judged(england)).reason.starts_with("It was held by time a second time"));
}

TEST_CASE("where food may go back, every start has to be shown") {
    // Centre for Food Safety, Hong Kong (press notices, seen in accounts): refrigerated within two
    // hours, discarded after more than four. That a start after a return is held to the same 4 °C
    // is the project's own reading.
    const codes::Pack hong_kong = pack("hk");
    const auto again = [&](Stage back, std::vector<Row> rows) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::time_control, 60);
        lot.stage(back, 90).stage(Stage::time_control, 150);
        lot.readings({{0, 4}, {60, 4}}, Scale::celsius);
        return by_time(lot.readings(std::move(rows), Scale::celsius).served(240).judged(hong_kong));
    };
    CHECK(again(Stage::cold_holding, {{90, 4}, {150, 4}}).verdict == Verdict::met);
    CHECK(again(Stage::cold_holding, {}).verdict == Verdict::not_shown); // read before it was out
    CHECK(again(Stage::cold_holding, {{80, 4}}).verdict == Verdict::not_shown);
    CHECK(again(Stage::frozen, {{90, 4}}).verdict == Verdict::met); // as it went back
    CHECK(again(Stage::frozen, {{89, 4}}).verdict == Verdict::not_shown);
    CHECK(again(Stage::cold_holding, {{90, 4}, {150, 8}}).verdict == Verdict::not_met);
    CHECK(again(Stage::hot_holding, {{90, 70}, {150, 70}}).verdict == Verdict::not_shown);
    CHECK(again(Stage::hot_holding, {{90, 70}, {150, 70}}).acts_as_missed);
    CHECK(again(Stage::time_control, {}).verdict == Verdict::met); // one spell, entered again
    CHECK(again(Stage::preparing, {}).verdict == Verdict::met);
    // What went wrong before a later start is before it as well.
    CHECK(again(Stage::cold_holding, {{90, 4}, {120, 8}, {149, 4}, {150, 4}}).verdict ==
          Verdict::not_met);
}

TEST_CASE("of several wrong starts the first is told") {
    // Centre for Food Safety, Hong Kong: 4 °C or below. Which one is told is the project's own.
    Lot lot;
    lot.stage(Stage::time_control, 0).stage(Stage::cold_holding, 60);
    lot.stage(Stage::time_control, 120).readings({{0, 7}, {60, 4}, {120, 9}}, Scale::celsius);
    const Finding f = by_time(lot.served(150).judged(pack("hk")));
    CHECK(f.verdict == Verdict::not_met);
    CHECK(f.reason.find("7 °C") != std::string::npos);
    CHECK(f.evidence.size() == 2);
}

TEST_CASE("what went wrong before any start counts, and the worst of it is told") {
    // The limits of the Food Code, in a code, invented, under which food may go back within two
    // hours. That a reheat answers only what came before it is the project's own.
    codes::Pack back_in_time = fda();
    for (codes::Requirement& r : back_in_time.requirements) {
        if (auto* rule = std::get_if<codes::TimeControlRule>(&r.rule)) {
            rule->return_within = codes::TimeLimit{Span::hours(2)};
        }
    }
    // Cold from 0 to 300, out, reheated at 310, hot from 350 to 650, out again.
    const auto twice = [&](std::vector<Row> cold, std::vector<Row> hot) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::time_control, 300);
        lot.stage(Stage::reheating, 310).stage(Stage::hot_holding, 350);
        lot.stage(Stage::time_control, 650);
        lot.readings({{0, 40}, {300, 40}, {310, 45}, {340, 166}, {341, 166}});
        lot.readings({{350, 150}, {650, 150}}).readings(std::move(cold));
        return by_time(lot.readings(std::move(hot)).served(660).judged(back_in_time));
    };
    const std::vector<Row> cold{{100, 40}, {200, 40}};
    const std::vector<Row> warmed{{100, 40}, {150, 50}, {200, 40}};
    const std::vector<Row> hot{{450, 150}, {550, 150}};
    const std::vector<Row> cooled{{450, 150}, {500, 130}, {550, 150}};
    const std::vector<Row> unread{};
    const auto names = [](const Finding& f, const char* requirement) {
        return f.reason.find(requirement) != std::string::npos;
    };
    CHECK(twice(cold, hot).verdict == Verdict::met);
    CHECK(twice(unread, hot).verdict == Verdict::not_shown);
    CHECK(twice(cold, unread).verdict == Verdict::not_shown);
    CHECK(twice(unread, cooled).verdict == Verdict::not_met);
    CHECK(names(twice(unread, cooled), "hot-holding"));
    CHECK(twice(warmed, unread).verdict == Verdict::not_met);
    CHECK(names(twice(warmed, unread), "cold-holding"));
    CHECK(names(twice(warmed, cooled), "cold-holding")); // of two misses the first
    // A reheat that begins at the instant of the start comes after it.
    Lot at_once;
    at_once.stage(Stage::cold_holding, 0).stage(Stage::time_control, 60);
    at_once.stage(Stage::reheating, 60).stage(Stage::hot_holding, 100);
    at_once.readings({{0, 40}, {30, 50}, {59, 40}, {60, 40}, {90, 166}, {91, 166}});
    at_once.readings({{100, 150}, {150, 150}}).served(160);
    CHECK(by_time(at_once.judged(back_in_time)).verdict == Verdict::not_met);
}

TEST_CASE("a hot start is not shown under a code that gives no figure for it") {
    // Both packs list the hot start among what they leave out.
    const auto started = [](const char* code, std::vector<Row> rows) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).stage(Stage::time_control, 60);
        lot.readings(std::move(rows), Scale::celsius);
        return by_time(lot.served(120).judged(pack(code))).verdict;
    };
    for (const char* code : {"hk", "au-3.2.2"}) {
        CHECK(started(code, {{0, 70}, {60, 70}}) == Verdict::not_shown);
        CHECK(started(code, {{0, 70}, {60, 50}}) == Verdict::not_met);
        Lot both; // hot, and cold at another point
        both.stage(Stage::cooking, 0).stage(Stage::time_control, 60);
        both.readings({{0, 70}, {60, 70}}, Scale::celsius).served(120);
        both.readings({{60, 4}}, Scale::celsius, "edge");
        CHECK(by_time(both.judged(pack(code))).verdict == Verdict::not_shown);
    }
}

TEST_CASE(
    "a rest goes on from a cook on its way to the plate, and is a return from anything else") {
    // 3-501.19(B)(3): cooked and served within the four hours; food does not go back to a hold.
    const auto verdict = [](std::vector<Stage> then) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::time_control, 60);
        double minute = 60;
        for (const Stage stage : then) {
            lot.stage(stage, minute += 20);
        }
        lot.readings({{0, 40}, {60, 40}, {110, 170}, {111, 170}}).served(minute + 20);
        return by_time(lot.judged(fda())).verdict;
    };
    CHECK(verdict({Stage::cooking, Stage::resting}) == Verdict::met);
    CHECK(verdict({Stage::cooking, Stage::preparing, Stage::resting}) == Verdict::met);
    CHECK(verdict({Stage::resting}) == Verdict::not_met);
    CHECK(verdict({Stage::preparing, Stage::resting}) == Verdict::not_met);
    CHECK(verdict({Stage::cooking, Stage::time_control, Stage::resting}) == Verdict::not_met);
}

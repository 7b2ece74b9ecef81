// Readings that people confirmed or set aside, and amended records. The rule is the project's own,
// written in docs/how-limits-are-read.md; the limits are FDA Food Code 2022, 3-501.16(A)(1): 135 °F
// or above in a hot hold. The largest interval of 2 h is common practice, no source.
#include "lots.hpp"

using namespace holdwarden;
using namespace holdwarden::test;
using records::MarkKind;
using records::ReadingMark;

namespace {

ReadingMark mark(MarkKind kind, double from, double to, const char* verified_by = "") {
    return {.kind = kind,
            .id = 1,
            .origin = records::Origin::logged,
            .probe = 0,
            .from = at(from),
            .to = at(to),
            .made_at = at(to),
            .by = "RK",
            .why = "the probe was pulled to move the pan",
            .verified_by = verified_by};
}

/// Held for four hours at 140 °F with a reading each half hour, one of them wrong.
Lot with_a_lapse() {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).steady(0, 240, 30, 140);
    lot.history().points[0].readings[3].value = Temperature::of_degrees(120, Scale::fahrenheit);
    return lot.served(240);
}

bool noted(const std::vector<std::string>& notes, const std::string& words) {
    return std::ranges::any_of(
        notes, [&](const std::string& note) { return note.find(words) != std::string::npos; });
}

} // namespace

TEST_CASE("a reading set aside changes no verdict until a second person verifies, and both show") {
    Lot lot = with_a_lapse();
    CHECK(lot.judged(fda()).overall == Verdict::not_met);

    lot.history().marks = {mark(MarkKind::set_aside, 90, 90)};
    const LotJudgement waiting = lot.judged(fda());
    CHECK(waiting.overall == Verdict::not_met);
    REQUIRE(waiting.set_aside.has_value());
    CHECK(waiting.set_aside->as_recorded == Verdict::not_met);
    CHECK(waiting.set_aside->left_out == Verdict::met);
    CHECK_FALSE(waiting.set_aside->verified);
    CHECK(waiting.set_aside->readings == 1);
    CHECK(only(waiting, "hot-holding").verdict == Verdict::not_met);
    CHECK(noted(only(waiting, "hot-holding").notes, "until a second person verifies"));
    CHECK_FALSE(waiting.flags.empty());

    lot.history().marks = {mark(MarkKind::set_aside, 90, 90, "MM")};
    const LotJudgement verified = lot.judged(fda());
    // An hour without a reading is no longer than the largest interval: the others prove the hold.
    CHECK(verified.overall == Verdict::met);
    REQUIRE(verified.set_aside.has_value());
    CHECK(verified.set_aside->verified);
    CHECK(verified.set_aside->as_recorded == Verdict::not_met);
    CHECK(noted(only(verified, "hot-holding").notes, "not met"));
    CHECK(noted(verified.notes, "set aside by RK"));
    CHECK(noted(verified.notes, "verified by MM"));
}

TEST_CASE("what is set aside leaves a gap: without it nothing vouches for the stretch") {
    Lot lot = with_a_lapse();
    // 60 to 210 min set aside: 30 to 240 without a reading is more than 2 h.
    lot.history().marks = {mark(MarkKind::set_aside, 60, 210, "MM")};
    const LotJudgement judged = lot.judged(fda());
    CHECK(judged.overall == Verdict::not_shown);
    CHECK(judged.set_aside->as_recorded == Verdict::not_met);
}

TEST_CASE("setting good readings aside shows the worse verdict at once, verified or not") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).steady(0, 240, 30, 140).served(240);
    CHECK(lot.judged(fda()).overall == Verdict::met);
    lot.history().marks = {mark(MarkKind::set_aside, 60, 210)};
    const LotJudgement waiting = lot.judged(fda());
    CHECK(waiting.overall == Verdict::not_shown);
    CHECK(waiting.set_aside->as_recorded == Verdict::met);
    CHECK(only(waiting, "hot-holding").verdict == Verdict::not_shown);
    CHECK(noted(only(waiting, "hot-holding").notes, "as recorded: met"));
    for (const judge::Flag& flag : waiting.flags) {
        CHECK(flag.finding < waiting.findings.size());
    }
}

TEST_CASE("of two stretches set aside, one verified does not speak for the other") {
    Lot lot = with_a_lapse();
    lot.history().points[0].readings[5].value = Temperature::of_degrees(121, Scale::fahrenheit);
    lot.history().marks = {mark(MarkKind::set_aside, 90, 90, "MM"),
                           mark(MarkKind::set_aside, 150, 150)};
    CHECK(lot.judged(fda()).overall == Verdict::not_met);
    CHECK_FALSE(lot.judged(fda()).set_aside->verified);
    lot.history().marks[1].verified_by = "MM";
    CHECK(lot.judged(fda()).overall == Verdict::met);
}

TEST_CASE("the last mark on a reading holds: a confirmation takes a setting aside back") {
    Lot lot = with_a_lapse();
    lot.history().marks = {mark(MarkKind::set_aside, 90, 90, "MM"),
                           mark(MarkKind::confirmed, 90, 90)};
    const LotJudgement judged = lot.judged(fda());
    CHECK(judged.overall == Verdict::not_met);
    CHECK_FALSE(judged.set_aside.has_value());
}

TEST_CASE("a mark of another thermometer, of another time or of a typed reading is on none") {
    Lot lot = with_a_lapse();
    ReadingMark other = mark(MarkKind::set_aside, 90, 90, "MM");
    other.probe = 1;
    lot.history().marks = {other, mark(MarkKind::set_aside, 91, 119, "MM")};
    ReadingMark typed = mark(MarkKind::set_aside, 90, 90, "MM");
    typed.origin = records::Origin::typed;
    typed.series = "core";
    typed.value = Temperature::of_degrees(120, Scale::fahrenheit);
    lot.history().marks.push_back(typed);
    CHECK(lot.judged(fda()).overall == Verdict::not_met);
    CHECK_FALSE(lot.judged(fda()).set_aside.has_value());
    lot.history().points[0].readings[3].origin = records::Origin::typed;
    CHECK(lot.judged(fda()).set_aside.has_value());
}

TEST_CASE("a mark says how many readings came in after it that it is not on") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 140}, {60, 140}, {90, 120}, {120, 140}});
    const auto notes = [&](std::vector<double> came, double as_of) {
        ReadingMark one = mark(MarkKind::set_aside, 60, 90);
        for (const double minute : came) {
            one.came_later.push_back({at(minute), Temperature::of_degrees(140, Scale::fahrenheit)});
        }
        lot.history().marks = {one};
        std::vector<std::string> found;
        for (const std::string& note : lot.judged(fda(), as_of).notes) {
            if (note.find("came in after") != std::string::npos) {
                found.push_back(note);
            }
        }
        return found;
    };
    CHECK(notes({}, 120).empty());
    CHECK(notes({70}, 120) ==
          std::vector<std::string>{"1 reading between them came in after RK had "
                                   "marked them: the mark is not on it."});
    CHECK(notes({70, 80}, 120) ==
          std::vector<std::string>{"2 readings between them came in after RK had marked them: the "
                                   "mark is not on them."});
    // As of an instant before them they are not there; at their own they are.
    CHECK(notes({121}, 120).empty());
    CHECK(notes({120}, 120).size() == 1);
}

TEST_CASE("a suspect reading counts fully once a person confirms it") {
    // From 140 °F to 160 °F in a minute is a step no food makes: the last reading is suspect, and
    // the hold ends without a good one.
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 140}, {60, 140}, {61, 160}}).served(182);
    judge::mark_suspects(lot.history());
    CHECK(lot.history().points[0].readings[2].suspect);
    CHECK(lot.judged(fda()).overall == Verdict::not_shown);
    lot.history().marks = {mark(MarkKind::confirmed, 61, 61)};
    lot.history().points[0].readings[2].suspect = false; // as it comes from a store
    judge::mark_suspects(lot.history());
    CHECK_FALSE(lot.history().points[0].readings[2].suspect);
    const LotJudgement judged = lot.judged(fda());
    CHECK(judged.overall == Verdict::not_shown); // 61 to 182 min is more than 2 h
    CHECK(noted(judged.notes, "confirmed by RK"));
    lot.served(181);
    CHECK(lot.judged(fda()).overall == Verdict::met);
}

TEST_CASE("a wrong first reading set aside no longer puts the good ones under suspicion") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 300}, {1, 140}, {60, 140}}).served(60);
    judge::mark_suspects(lot.history());
    CHECK(lot.history().points[0].readings[1].suspect);
    lot.history().marks = {mark(MarkKind::set_aside, 0, 0, "MM")};
    const LotJudgement judged = lot.judged(fda());
    CHECK_FALSE(noted(judged.notes, "suspect"));
}

TEST_CASE("REC-1: a finding says that an amended reading decides it and what it was before") {
    Lot first = with_a_lapse();
    Lot now = with_a_lapse();
    now.history().points[0].readings[3].value = Temperature::of_degrees(140, Scale::fahrenheit);
    for (Lot* lot : {&first, &now}) {
        lot->history().points[0].readings[3].origin = records::Origin::typed;
    }
    now.history().first_recorded = std::make_shared<const records::LotHistory>(first.history());
    now.history().amendments = {{.of = records::Amendment::Of::reading,
                                 .subject = "core reading",
                                 .point = "core",
                                 .at = at(90),
                                 .value = Temperature::of_degrees(140, Scale::fahrenheit),
                                 .changes = {{.field = "value", .was = "120 °F", .now = "140 °F"}},
                                 .made_at = at(300),
                                 .by = "RK",
                                 .why = "misread"}};
    const LotJudgement judged = now.judged(fda());
    CHECK(judged.overall == Verdict::met);
    CHECK(judged.as_first_recorded == Verdict::not_met);
    CHECK(noted(only(judged, "hot-holding").notes, "as first recorded: not met"));
    CHECK(noted(judged.notes, "1 amendment to this record"));

    // Amended for the worse, the reading itself is among those that decide.
    now.history().points[0].readings[3].value = Temperature::of_degrees(110, Scale::fahrenheit);
    now.history().amendments[0].value = Temperature::of_degrees(110, Scale::fahrenheit);
    now.history().amendments[0].changes[0].now = "110 °F";
    const LotJudgement worse = now.judged(fda());
    CHECK(noted(only(worse, "hot-holding").notes, "110 °F, was 120 °F (RK: misread)"));

    // The sentences guard the choice between one and many, the same and another.
    CHECK(noted(judged.notes,
                "1 amendment to this record; as first recorded, the verdict is not met."));
    CHECK(
        noted(worse.notes,
              "1 amendment to this record; as first recorded, the verdict is the same: not met."));
    now.history().amendments.push_back(now.history().amendments.front());
    CHECK(noted(now.judged(fda()).notes, "2 amendments to this record; "));
}

TEST_CASE("a reading at the very instant the record is looked at is set aside as well") {
    Lot lot = with_a_lapse();
    lot.history().marks = {mark(MarkKind::set_aside, 90, 90)};
    REQUIRE(lot.judged(fda(), 90).set_aside.has_value());
    CHECK(lot.judged(fda(), 90).set_aside->readings == 1);
    CHECK_FALSE(lot.judged(fda(), 89).set_aside.has_value());
}

TEST_CASE("a mark that is on no reading leaves what others verified as it is") {
    Lot lot = with_a_lapse();
    lot.history().marks = {mark(MarkKind::set_aside, 90, 90, "MM"),
                           mark(MarkKind::set_aside, 91, 119)};
    CHECK(lot.judged(fda()).set_aside->verified);
    CHECK(lot.judged(fda()).overall == Verdict::met);
}

TEST_CASE("a note counts the readings that a mark is on") {
    // The sentences guard the choice between one and many.
    Lot lot = with_a_lapse();
    lot.history().marks = {mark(MarkKind::set_aside, 90, 90)};
    CHECK(noted(lot.judged(fda()).notes, "1 reading set aside by RK "));
    lot.history().marks = {mark(MarkKind::set_aside, 60, 90)};
    CHECK(noted(lot.judged(fda()).notes, "2 readings set aside by RK "));
}

TEST_CASE("what is worse without the readings set aside takes its own flag along, and no other's") {
    // A cook that missed 165 °F (3-401.11(A)(3)), and a good hold of which 120 to 270 is set aside.
    Lot lot;
    lot.stage(Stage::cooking, 0).stage(Stage::hot_holding, 60);
    lot.readings({{0, 40}, {50, 150}}).steady(60, 300, 30, 140).served(300);
    lot.history().marks = {mark(MarkKind::set_aside, 120, 270)};
    const LotJudgement j = lot.judged(fda());
    CHECK(only(j, "cooking").verdict == Verdict::not_met);
    CHECK(only(j, "hot-holding").verdict == Verdict::not_shown);
    REQUIRE(j.flags.size() == 2);
    for (const judge::Flag& flag : j.flags) {
        CHECK(flag.id.starts_with(j.findings[flag.finding].requirement + "@"));
    }
    CHECK(j.flags[0].id != j.flags[1].id);
}

TEST_CASE("where every reading is set aside, that nobody measured is a finding with a flag") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).steady(0, 240, 30, 140).served(240);
    lot.history().marks = {mark(MarkKind::set_aside, 0, 240)};
    const LotJudgement j = lot.judged(fda());
    CHECK(j.overall == Verdict::not_shown);
    REQUIRE(j.findings.size() == 2); // of the core as recorded, and of no point at all
    CHECK(j.findings[0].verdict == Verdict::met);
    CHECK(j.findings[1].point.empty());
    CHECK(j.findings[1].verdict == Verdict::not_shown);
    REQUIRE(j.flags.size() == 1);
    CHECK(j.flags[0].finding == 1);
}

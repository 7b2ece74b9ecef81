// What closes a flag: 9 CFR 417.3, 417.5(c); NACMCF 1997, principle 5; 21 CFR 114.100(c).
#include "lots.hpp"

#include <holdwarden/judge/answers.hpp>

using namespace holdwarden;
using namespace holdwarden::test;
using judge::AnsweredFlag;
using judge::AnswerState;
using records::Action;
using records::Disposition;
using records::StoredAction;
using records::StoredVerification;

namespace {

/// A lot, what people did about it, and the answers that come of that.
struct Case {
    Lot lot;
    std::vector<StoredAction> actions;
    std::vector<StoredVerification> verified;

    std::size_t act(const std::string& flag, double minutes, Disposition disposition) {
        Action action{.flag = flag,
                      .at = at(minutes),
                      .person = "RK",
                      .done = "did what the flag asked",
                      .amount = records::Amount{.thousandths = 2000, .unit = "pans"},
                      .disposition = disposition,
                      .cause = "the door stood open",
                      .control = "142 °F at the next reading",
                      .prevention = "a latch"};
        actions.push_back(
            {.id = records::ActionId::of(static_cast<std::int64_t>(actions.size()) + 1),
             .facts = std::move(action),
             .entry = records::EntryId::of(1),
             .stamp = {.entered_at = at(minutes), .by = "RK"}});
        return actions.size() - 1;
    }
    void verify(std::size_t action, bool accepted = true) {
        verified.push_back({.id = records::VerificationId::of(1),
                            .facts = {.action = actions[action].id,
                                      .accepted = accepted,
                                      .note = accepted ? "" : "no reading was taken"},
                            .entry = records::EntryId::of(2),
                            .stamp = {.entered_at = at(0), .by = "MT"}});
    }
    std::vector<AnsweredFlag> answers(double as_of) const {
        return judge::answered_flags(history(), lot.judged(fda(), as_of), actions, verified,
                                     at(as_of));
    }
    AnsweredFlag answer(double as_of, const std::string& requirement) const {
        for (const AnsweredFlag& a : answers(as_of)) {
            if (a.id.starts_with(requirement)) {
                return a;
            }
        }
        FAIL("no flag for " << requirement);
        return {};
    }
    const records::LotHistory& history() const { return const_cast<Lot&>(lot).history(); }
    std::string flag(double as_of, const std::string& requirement) const {
        return answer(as_of, requirement).id;
    }
};

/// A hold that fell below 135 °F after half an hour.
Case fallen_hold() {
    Case c;
    c.lot.stage(Stage::hot_holding, 0).readings({{0, 150}, {30, 130}});
    return c;
}

/// ... and was reheated to `peak` from minute 40 to 100, then held on.
Case reheated_hold(double peak) {
    Case c = fallen_hold();
    c.lot.stage(Stage::reheating, 40).readings({{40, 130}, {60, 150}, {90, peak}, {90.5, peak}});
    c.lot.stage(Stage::hot_holding, 100).readings({{100, 150}, {130, 150}});
    return c;
}

bool lacks(const AnsweredFlag& answer, const std::string& field) {
    return std::ranges::any_of(answer.missing,
                               [&](const judge::Missing& m) { return m.field == field; });
}

} // namespace

TEST_CASE("nothing closes by silence: a flag nobody answers stays unanswered and falls due") {
    const Case c = fallen_hold();
    CHECK(c.answer(31, "hot-holding").state == AnswerState::unanswered);
    CHECK_FALSE(c.answer(31, "hot-holding").overdue);
    // Seen at the reading of minute 30; common practice, no source: answered within the hour.
    CHECK(c.answer(31, "hot-holding").due == at(90));
    CHECK_FALSE(c.answer(90, "hot-holding").overdue);
    CHECK(c.answer(91, "hot-holding").overdue);
    Case served = c;
    served.lot.served(60);
    CHECK(served.answer(10'000, "hot-holding").state == AnswerState::unanswered);
    CHECK(served.answer(10'000, "hot-holding").overdue);
}

TEST_CASE("REC-12: an answer lacks each field that is not said, and closes with none lacking") {
    // 9 CFR 417.3(a): cause removed; point under control; measures against recurrence; nothing
    // injurious enters commerce. NACMCF 1997, principle 5: cause, disposition, record.
    Case c = reheated_hold(170);
    const auto i = c.act(c.flag(130, "hot-holding"), 95, Disposition::reheated);
    c.verify(i);
    REQUIRE(c.answer(130, "hot-holding").missing.empty());
    REQUIRE(c.answer(130, "hot-holding").state == AnswerState::closed);
    const Action whole = c.actions[i].facts;
    const auto without = [&](const char* field, auto spoil) {
        c.actions[i].facts = whole;
        spoil(c.actions[i].facts);
        INFO(field);
        CHECK(lacks(c.answer(130, "hot-holding"), field));
        CHECK(c.answer(130, "hot-holding").state == AnswerState::incomplete);
    };
    without("cause", [](Action& a) { a.cause = " "; });
    without("control", [](Action& a) { a.control.clear(); });
    without("prevention", [](Action& a) { a.prevention.clear(); });
    without("amount", [](Action& a) { a.amount.reset(); });
    without("disposition", [](Action& a) { a.disposition.reset(); });
    without("disposition", [](Action& a) { a.disposition = Disposition::held; });
}

TEST_CASE("REC-12: a complete answer waits for a second person") {
    Case c = reheated_hold(170);
    const auto i = c.act(c.flag(130, "hot-holding"), 95, Disposition::reheated);
    CHECK(c.answer(130, "hot-holding").state == AnswerState::answered);
    c.verify(i, false);
    CHECK(c.answer(130, "hot-holding").state == AnswerState::incomplete);
    CHECK(lacks(c.answer(130, "hot-holding"), "verification"));
    c.verify(i);
    CHECK(c.answer(130, "hot-holding").state == AnswerState::closed);
    CHECK(judge::all_closed(c.answers(130)));
}

TEST_CASE("a reheat closes a flag only if the record itself shows it") {
    // FDA Food Code 2022, 3-403.11(A): 165 °F for 15 seconds.
    for (const double peak : {150.0, 164.9}) {
        Case c = reheated_hold(peak);
        c.verify(c.act(c.flag(130, "hot-holding"), 95, Disposition::reheated));
        CHECK(lacks(c.answer(130, "hot-holding"), "shown"));
        CHECK(c.answer(130, "hot-holding").state == AnswerState::incomplete);
    }
    Case none = fallen_hold();
    none.verify(none.act(none.flag(40, "hot-holding"), 35, Disposition::reheated));
    CHECK(lacks(none.answer(40, "hot-holding"), "shown"));
}

TEST_CASE("a reheat long after the action does not show it, unless the action names it") {
    Case c = fallen_hold();
    c.lot.readings({{60, 140}, {120, 140}, {240, 140}});
    c.lot.stage(Stage::reheating, 300).readings({{300, 140}, {330, 170}, {331, 170}});
    c.lot.stage(Stage::hot_holding, 340).readings({{340, 160}, {360, 160}});
    const auto i = c.act(c.flag(360, "hot-holding"), 100, Disposition::reheated);
    CHECK(lacks(c.answer(360, "hot-holding"), "shown")); // 300 is more than 2 h after 100
    c.actions[i].facts.shown_from = at(300);
    CHECK_FALSE(lacks(c.answer(360, "hot-holding"), "shown"));
    c.actions[i].facts.shown_from = at(301);
    CHECK(lacks(c.answer(360, "hot-holding"), "shown"));
}

// The two hours are those the codes allow a reheat, the six those they allow a cooling (FDA Food
// Code 2022, 3-403.11(D), 3-501.14(A)); that they are held against the action is this project's
// rule.
TEST_CASE("a reheat shows an action up to two hours before it begins and after it ends") {
    Case c = fallen_hold();
    c.lot.readings({{60, 140}, {120, 140}, {200, 140}});
    c.lot.stage(Stage::reheating, 220).readings({{220, 140}, {235, 170}, {236, 170}});
    c.lot.stage(Stage::hot_holding, 240);
    c.lot.readings({{240, 160}, {300, 160}, {360, 160}, {370, 160}});
    const auto i = c.act(c.flag(370, "hot-holding"), 100, Disposition::reheated);
    const auto shown_at = [&](double minute) {
        c.actions[i].facts.at = at(minute);
        return !lacks(c.answer(370, "hot-holding"), "shown");
    };
    CHECK_FALSE(shown_at(220 - 121));
    CHECK(shown_at(220 - 120));
    CHECK(shown_at(240 + 120));
    CHECK_FALSE(shown_at(240 + 121));
}

TEST_CASE("a cooling shows an action up to six hours before it begins and after it ends") {
    Case c = fallen_hold();
    for (double m = 60; m <= 420; m += 60) {
        c.lot.readings({{m, 140}});
    }
    c.lot.stage(Stage::cooling, 430).readings({{430, 136}, {431, 134}, {500, 69}, {600, 40}});
    c.lot.stage(Stage::cold_holding, 610);
    for (double m = 610; m <= 1000; m += 60) {
        c.lot.readings({{m, 40}});
    }
    const auto i = c.act(c.flag(1000, "hot-holding"), 70, Disposition::cooled_again);
    const auto shown_at = [&](double minute) {
        c.actions[i].facts.at = at(minute);
        return !lacks(c.answer(1000, "hot-holding"), "shown");
    };
    CHECK_FALSE(shown_at(430 - 361));
    CHECK(shown_at(430 - 360));
    CHECK(shown_at(610 + 360));
    CHECK_FALSE(shown_at(610 + 361));
}

TEST_CASE("of two reheats that an action may mean the better one shows it") {
    for (const double first : {150.0, 170.0}) {
        Case c = fallen_hold();
        const double second = 320.0 - first;
        c.lot.stage(Stage::reheating, 40).readings({{40, 130}, {60, first}, {61, first}});
        c.lot.stage(Stage::reheating, 70).readings({{70, 150}, {80, second}, {81, second}});
        c.lot.stage(Stage::hot_holding, 100).readings({{100, 150}, {130, 150}});
        c.act(c.flag(130, "hot-holding"), 95, Disposition::reheated);
        INFO(first);
        CHECK_FALSE(lacks(c.answer(130, "hot-holding"), "shown"));
    }
}

TEST_CASE("the heating with which a hold began does not show a reheat after it went wrong") {
    // Cold food put to a hot hold without a reheat stage: the hold itself shows 165 °F.
    Case c;
    c.lot.stage(Stage::cold_holding, 0).readings({{0, 40}, {59, 40}});
    c.lot.stage(Stage::hot_holding, 60);
    c.lot.readings({{60, 40}, {90, 170}, {91, 170}, {100, 150}, {120, 130}});
    const auto judged = c.lot.judged(fda(), 130);
    REQUIRE(only(judged, "reheating").verdict == Verdict::met);
    REQUIRE(only(judged, "reheating").stage_from == at(60));
    c.act(c.flag(130, "hot-holding"), 125, Disposition::reheated);
    CHECK(lacks(c.answer(130, "hot-holding"), "shown"));
}

TEST_CASE(
    "a flag is due an hour after its first trouble, or after the last reading that shows it") {
    // One hour: common practice, no source.
    Case twice = fallen_hold();
    twice.lot.readings({{45, 140}, {60, 130}, {75, 140}});
    CHECK(twice.answer(80, "hot-holding").due == at(30 + 60));
    Case cook;
    cook.lot.stage(Stage::cooking, 0).readings({{0, 40}, {30, 100}, {50, 120}, {60, 110}});
    cook.lot.stage(Stage::hot_holding, 61).readings({{62, 140}, {90, 140}});
    CHECK(cook.answer(90, "cooking").due == at(50 + 60)); // the warmest it was
}

TEST_CASE("a cooling closes a flag only if its windows are met") {
    // FDA Food Code 2022, 3-501.14(A): 135 to 70 °F in 2 h, to 41 °F in 6 h.
    const auto cooled = [](double when_70, double when_41) {
        Case c = fallen_hold();
        c.lot.stage(Stage::cooling, 40)
            .readings({{40, 136}, {41, 134}, {when_70, 69}, {when_41, 40}, {when_41 + 10, 40}});
        c.verify(c.act(c.flag(1000, "hot-holding"), 50, Disposition::cooled_again));
        return c.answer(1000, "hot-holding");
    };
    CHECK_FALSE(lacks(cooled(120, 300), "shown"));
    CHECK(cooled(120, 300).state == AnswerState::closed);
    CHECK(lacks(cooled(200, 300), "shown"));
    CHECK(lacks(cooled(120, 500), "shown"));
}

TEST_CASE("food that warmed in the cold is shown to be cold again by its own readings") {
    // FDA Food Code 2022, 3-501.16(A)(2): 41 °F or less.
    const auto cold = [](double last, double when) {
        Case c;
        c.lot.stage(Stage::cold_holding, 0).readings({{0, 38}, {30, 45}, {60, 44}, {when, last}});
        c.verify(c.act(c.flag(when + 10, "cold-holding"), 35, Disposition::cooled_again));
        return c.answer(when + 10, "cold-holding");
    };
    CHECK_FALSE(lacks(cold(41.0, 90), "shown"));
    CHECK(lacks(cold(41.1, 90), "shown"));
    CHECK_FALSE(lacks(cold(40.0, 35 + 360), "shown"));
    CHECK(lacks(cold(40.0, 35 + 361), "shown")); // more than 6 h after the action
}

TEST_CASE("food nobody read since the silence began is not shown to be cold again") {
    Case c;
    c.lot.stage(Stage::cold_holding, 0).readings({{0, 38}, {30, 38}});
    c.act(c.flag(300, "cold-holding"), 100, Disposition::cooled_again);
    CHECK(lacks(c.answer(300, "cold-holding"), "shown"));
    c.lot.readings({{299, 38}});
    CHECK_FALSE(lacks(c.answer(300, "cold-holding"), "shown"));
}

TEST_CASE("what goes wrong again after an action is not answered by it") {
    Case c = fallen_hold();
    c.lot.readings({{45, 140}});
    c.verify(c.act(c.flag(46, "hot-holding"), 40, Disposition::served));
    CHECK(c.answer(46, "hot-holding").state == AnswerState::closed);
    c.lot.readings({{60, 130}, {75, 140}});
    CHECK(c.answer(76, "hot-holding").state == AnswerState::incomplete);
    CHECK(lacks(c.answer(76, "hot-holding"), "done"));
    c.verify(c.act(c.flag(76, "hot-holding"), 70, Disposition::served));
    CHECK(c.answer(76, "hot-holding").state == AnswerState::closed);
    c.lot.readings({{300, 140}}); // more than two hours without a reading
    CHECK(lacks(c.answer(300, "hot-holding"), "done"));
}

TEST_CASE("a disposition that the lot's own end contradicts closes nothing") {
    Case c = fallen_hold();
    c.lot.served(60);
    c.verify(c.act(c.flag(60, "hot-holding"), 40, Disposition::discarded));
    CHECK(lacks(c.answer(60, "hot-holding"), "disposition"));
    // Part of it was discarded, the rest served: the end fits one of the two.
    c.verify(c.act(c.flag(60, "hot-holding"), 45, Disposition::served));
    CHECK(c.answer(60, "hot-holding").state == AnswerState::closed);
}

TEST_CASE("an action that says nothing of an end does not contradict one") {
    for (const Outcome outcome : {Outcome::served, Outcome::discarded}) {
        Case c = reheated_hold(170);
        c.lot.history().end = records::LotEnd{outcome, at(131), ""};
        c.verify(c.act(c.flag(131, "hot-holding"), 95, Disposition::reheated));
        CHECK(c.answer(131, "hot-holding").state == AnswerState::closed);
        c.act(c.flag(131, "hot-holding"), 96,
              outcome == Outcome::served ? Disposition::discarded : Disposition::served);
        CHECK(lacks(c.answer(131, "hot-holding"), "disposition"));
    }
}

TEST_CASE("an action at the very reading that showed the trouble came not before it") {
    Case c = fallen_hold();
    c.verify(c.act(c.flag(40, "hot-holding"), 30, Disposition::served));
    CHECK(c.answer(40, "hot-holding").state == AnswerState::closed);
    c.actions.front().facts.at = at(29.99);
    CHECK(lacks(c.answer(40, "hot-holding"), "done"));
}

TEST_CASE("an answer that lacks something falls due as silence does") {
    Case c = fallen_hold();
    const auto i = c.act(c.flag(40, "hot-holding"), 35, Disposition::served);
    CHECK_FALSE(c.answer(91, "hot-holding").overdue);
    c.actions[i].facts.cause.clear();
    CHECK_FALSE(c.answer(90, "hot-holding").overdue); // 30, and an hour
    CHECK(c.answer(91, "hot-holding").overdue);
}

TEST_CASE("an answer stays listed when the record no longer raises its flag") {
    Case c = fallen_hold();
    c.act(c.flag(40, "hot-holding"), 35, Disposition::served);
    Case mended;
    mended.actions = c.actions;
    mended.lot.stage(Stage::hot_holding, 0).readings({{0, 150}, {30, 150}, {40, 150}});
    const auto all = mended.answers(40);
    REQUIRE(all.size() == 1);
    CHECK(all[0].state == AnswerState::not_raised);
    CHECK_FALSE(all[0].flag);
    CHECK(all[0].actions.size() == 1);
    CHECK(judge::all_closed(all));
    // However little it says and however long ago: nobody asks for it now.
    mended.actions.front().facts.cause.clear();
    mended.lot.readings({{120, 150}});
    const auto later = mended.answers(120);
    REQUIRE(later.size() == 1);
    CHECK(later[0].state == AnswerState::not_raised);
    CHECK(later[0].missing.empty());
    CHECK_FALSE(later[0].overdue);
}

TEST_CASE("REC-13: a deviation without a planned action needs hold, review and reassessment") {
    // 9 CFR 417.3(b): segregate and hold; review acceptability; action; reassess the plan.
    Case c;
    c.lot.stage(Stage::hot_holding, 0).readings({{0, 150}, {30, 150}});
    const auto i = c.act(judge::unforeseen_id(at(20)), 20, Disposition::discarded);
    c.actions[i].facts.deviation = "glass broke above the pans";
    c.verify(i);
    auto all = c.answers(30);
    REQUIRE(all.size() == 1);
    CHECK_FALSE(all[0].planned);
    CHECK(all[0].state == AnswerState::incomplete);
    CHECK(lacks(all[0], "held-apart"));
    CHECK(lacks(all[0], "acceptability"));
    CHECK(lacks(all[0], "reassessment"));
    CHECK(all[0].due == at(20 + 60));
    CHECK_FALSE(c.answers(80)[0].overdue);
    CHECK(c.answers(81)[0].overdue);
    Action& action = c.actions[i].facts;
    action.held_apart = "in the walk-in, marked";
    action.acceptability = "not to be served";
    CHECK(c.answers(30)[0].state == AnswerState::incomplete);
    action.reassessment = "no glass above food";
    CHECK(c.answers(30)[0].state == AnswerState::closed);
}

TEST_CASE("REC-13: a reheat shows an unforeseen action of the 24 hours after it began at most") {
    // This project's rule, no source.
    Case c;
    c.lot.stage(Stage::reheating, 0).readings({{0, 140}, {15, 170}, {16, 170}});
    c.lot.stage(Stage::cooking, 20); // goes on
    const auto i = c.act(judge::unforeseen_id(at(20)), 20, Disposition::reheated);
    c.actions[i].facts.shown_from = at(0);
    const auto shown_at = [&](double minute) {
        c.actions[i].facts.at = at(minute);
        const auto all = c.answers(minute);
        const auto found = std::ranges::find(all, judge::unforeseen_id(at(20)), &AnsweredFlag::id);
        REQUIRE(found != all.end());
        return !lacks(*found, "shown");
    };
    CHECK(shown_at(24 * 60 - 1));
    CHECK_FALSE(shown_at(24 * 60));
}

TEST_CASE("REC-13: a flag for which the pack holds no action is unplanned") {
    codes::Pack silent = fda();
    silent.advice.clear();
    Case c = fallen_hold();
    const auto judged = c.lot.judged(silent, 40);
    REQUIRE(!judged.flags.empty());
    CHECK_FALSE(judged.flags.front().planned);
    CHECK(c.lot.judged(fda(), 40).flags.front().planned);
    const auto answers = judge::answered_flags(c.history(), judged, {}, {}, at(40));
    CHECK_FALSE(answers.front().planned);
}

TEST_CASE("REC-13: a pack's advice for the unforeseen leaves its flag unplanned") {
    // FSIS stabilization: nothing is planned for a miss there but 9 CFR 417.3(b).
    const codes::Pack fsis =
        codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/us-fsis.toml");
    Lot lot;
    lot.stage(Stage::cooling, 0).readings({{0, 140}, {30, 129}, {400, 100}, {1200, 60}});
    const auto judged = lot.judged(fsis);
    REQUIRE(!judged.flags.empty());
    for (const judge::Flag& flag : judged.flags) {
        const std::string& requirement = judged.findings[flag.finding].requirement;
        INFO(requirement);
        CHECK(flag.planned == !requirement.starts_with("cooling"));
    }
}

TEST_CASE("where published advice differs, the flag says which is used and names both") {
    // Missed 70 °F at 2 h: FDA's manual for regulators (from memory) says discard, the University
    // of Minnesota Extension says reheat and cool again, or discard.
    Lot lot;
    lot.stage(Stage::cooling, 0).readings({{0, 140}, {5, 134}, {130, 80}, {200, 75}});
    const auto judged = lot.judged(fda());
    const auto flag = std::ranges::find_if(judged.flags, [&](const judge::Flag& f) {
        return judged.findings[f.finding].requirement == "cooling-first-window";
    });
    REQUIRE(flag != judged.flags.end());
    for (const char* part : {"differs", "stricter is used", "FDA", "University of Minnesota"}) {
        INFO(part);
        CHECK(flag->source.find(part) != std::string::npos);
    }
    CHECK(flag->act.front().starts_with("Discard"));
}

TEST_CASE("answers are listed unanswered first, then by how much is left to do") {
    Case c;
    c.lot.stage(Stage::cooking, 0).readings({{0, 40}, {60, 120}});
    c.lot.stage(Stage::hot_holding, 61).readings({{61, 130}, {90, 130}});
    c.act(c.flag(90, "cooking"), 62, Disposition::served);
    const auto all = c.answers(90);
    REQUIRE(all.size() == 2);
    CHECK(all[0].id.starts_with("hot-holding"));
    CHECK(all[0].state == AnswerState::unanswered);
    CHECK(all[1].state == AnswerState::answered);
    CHECK_FALSE(judge::all_closed(all));
}

TEST_CASE("of flags that nobody answered a miss is listed before what is not shown") {
    Case c; // a silence of 130 min, then a miss in the next hold
    c.lot.stage(Stage::hot_holding, 0).readings({{0, 150}, {130, 150}});
    c.lot.stage(Stage::hot_holding, 130).readings({{140, 130}});
    const auto judged = c.lot.judged(fda(), 141);
    const auto all = c.answers(141);
    REQUIRE(all.size() == 2);
    CHECK_FALSE(all[0].overdue);
    CHECK_FALSE(all[1].overdue);
    const auto verdict = [&](const AnsweredFlag& a) {
        return judged.findings[judged.flags[*a.flag].finding].verdict;
    };
    CHECK(verdict(all[0]) == Verdict::not_met);
    CHECK(verdict(all[1]) == Verdict::not_shown);
}

TEST_CASE("a flag's handle hangs on the lot and the flag alone") {
    CHECK(judge::handle("brisket-1", "hot-holding@x") ==
          judge::handle("brisket-1", "hot-holding@x"));
    CHECK(judge::handle("brisket-1", "hot-holding@x") !=
          judge::handle("brisket-2", "hot-holding@x"));
    CHECK(judge::handle("brisket-1", "hot-holding@x") !=
          judge::handle("brisket-1", "hot-holding@y"));
    CHECK(judge::handle("a", "b").size() == 6);
}

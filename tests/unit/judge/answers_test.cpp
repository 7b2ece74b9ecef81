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
    CHECK(lacks(cold(40.0, 35 + 361), "shown")); // more than 6 h after the action
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
    Action& action = c.actions[i].facts;
    action.held_apart = "in the walk-in, marked";
    action.acceptability = "not to be served";
    CHECK(c.answers(30)[0].state == AnswerState::incomplete);
    action.reassessment = "no glass above food";
    CHECK(c.answers(30)[0].state == AnswerState::closed);
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

TEST_CASE("a flag's handle hangs on the lot and the flag alone") {
    CHECK(judge::handle("brisket-1", "hot-holding@x") ==
          judge::handle("brisket-1", "hot-holding@x"));
    CHECK(judge::handle("brisket-1", "hot-holding@x") !=
          judge::handle("brisket-2", "hot-holding@x"));
    CHECK(judge::handle("brisket-1", "hot-holding@x") !=
          judge::handle("brisket-1", "hot-holding@y"));
    CHECK(judge::handle("a", "b").size() == 6);
}

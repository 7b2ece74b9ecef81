// Corrective actions, verifications and signatures, as the store keeps them.
#include "fixture.hpp"

#include <holdwarden/records/answers.hpp>

#include <catch2/catch.hpp>

using namespace fixture;
using namespace holdwarden::records;

namespace {

const std::string kFlag = "hot-holding@2026-11-01T06:00:00Z/core";

struct Kitchen {
    Folder folder;
    std::unique_ptr<Store> store = make(folder / "kitchen.db");
    LotId lot = store->open_lot({.name = "brisket-1", .opened_at = kNight}, by("RK"));
    Answers& answers() { return store->answers(); }

    Action action() const {
        return {.lot = lot,
                .flag = kFlag,
                .at = kNight,
                .person = "RK",
                .done = "reheated to 165 °F",
                .amount = Amount{.thousandths = 5400, .unit = "kg"},
                .disposition = Disposition::reheated,
                .cause = "the cabinet's door stood open"};
    }
};

template <class Work>
std::string refusal(const Work& work) {
    try {
        work();
    } catch (const Error& error) {
        return error.what();
    }
    return "";
}

} // namespace

TEST_CASE("an action comes back as it was entered") {
    Kitchen k;
    Action action = k.action();
    action.deviation = "a power cut";
    action.shown_from = kNight - Span::hours(1);
    action.control = "142 °F at the next reading";
    action.prevention = "a latch";
    action.held_apart = "in the walk-in";
    action.acceptability = "may be served";
    action.reassessment = "plan kept";
    const ActionId id = k.answers().add(action, by("MT"));
    const auto all = k.answers().actions(k.lot);
    REQUIRE(all.size() == 1);
    CHECK(all[0].id == id);
    CHECK(all[0].stamp.by == "MT");
    const Action& back = all[0].facts;
    CHECK(back.flag == kFlag);
    CHECK(back.deviation == action.deviation);
    CHECK(back.at == kNight);
    CHECK(back.person == "RK");
    CHECK(back.done == action.done);
    CHECK(back.amount == action.amount);
    CHECK(back.disposition == Disposition::reheated);
    CHECK(back.shown_from == action.shown_from);
    CHECK(back.cause == action.cause);
    CHECK(back.control == action.control);
    CHECK(back.prevention == action.prevention);
    CHECK(back.held_apart == action.held_apart);
    CHECK(back.acceptability == action.acceptability);
    CHECK(back.reassessment == action.reassessment);
    CHECK(!back.supersedes);
}

TEST_CASE("an action is added to by one that follows it, and the first stays readable") {
    // 21 CFR 11.10(e): what was said earlier is not obscured.
    Kitchen k;
    k.answers().add(k.action(), by("RK"));
    Action more{.at = kNight, .person = "RK", .prevention = "a latch"};
    more = continued(k.answers().actions(k.lot)[0], more);
    CHECK(more.done == "reheated to 165 °F"); // carried over
    k.answers().add(more, by("RK"));
    const auto all = k.answers().actions(k.lot);
    REQUIRE(all.size() == 2);
    CHECK(all[0].facts.prevention.empty());
    const auto standing = current(all);
    REQUIRE(standing.size() == 1);
    CHECK(standing[0]->facts.prevention == "a latch");
    CHECK(standing[0]->facts.supersedes == all[0].id);
    // A second successor of the first would make two truths of one.
    CHECK(refusal([&] { k.answers().add(more, by("RK")); }).find("superseded") !=
          std::string::npos);
    CHECK(k.answers().actions(k.lot).size() == 2);
}

TEST_CASE("what was said is said otherwise only with a reason") {
    Kitchen k;
    k.answers().add(k.action(), by("RK"));
    const auto first = k.answers().actions(k.lot)[0];
    const Action other{.at = kNight, .person = "RK", .disposition = Disposition::discarded};
    CHECK_THROWS_AS(continued(first, other), Error);
    Action reasoned = other;
    reasoned.why = "it stayed below 165 °F";
    CHECK(continued(first, reasoned).disposition == Disposition::discarded);
    CHECK(continued(first, reasoned).flag == kFlag);
}

TEST_CASE("an action without a flag, a person, a deed or an amount above nothing is refused") {
    Kitchen k;
    for (const auto spoil :
         {+[](Action& a) { a.flag.clear(); }, +[](Action& a) { a.person.clear(); },
          +[](Action& a) { a.done = "  "; }, +[](Action& a) { a.amount->thousandths = 0; },
          +[](Action& a) { a.cause = "bell\a"; },
          +[](Action& a) { a.at = kNight + Span::hours(1); }}) {
        Action action = k.action();
        spoil(action);
        CHECK_THROWS_AS(k.answers().add(action, by("RK")), Error);
    }
    CHECK(k.answers().actions(k.lot).empty());
}

TEST_CASE("REC-10: nobody verifies their own action unless it is said why") {
    // 9 CFR 417.5(c): by someone other than the one who made the records, where practicable.
    Kitchen k;
    const ActionId id = k.answers().add(k.action(), by("MT"));
    CHECK_THROWS_AS(k.answers().verify({.action = id}, by("RK")), Error); // who did it
    CHECK_THROWS_AS(k.answers().verify({.action = id}, by("MT")), Error); // who entered it
    CHECK_THROWS_AS(k.answers().verify({.action = id}, by("")), Error);
    CHECK_THROWS_AS(k.answers().verify({.action = id, .accepted = false}, by("JD")), Error);
    CHECK(k.answers().verifications(k.lot).empty());
    k.answers().verify({.action = id, .alone = "one person on site"}, by("RK"));
    k.answers().verify({.action = id, .alone = "said though nobody asks"}, by("JD"));
    const auto all = k.answers().verifications(k.lot);
    REQUIRE(all.size() == 2);
    CHECK(all[0].facts.alone == "one person on site");
    CHECK(all[1].facts.alone.empty()); // somebody else: nothing to explain
    CHECK(all[1].stamp.by == "JD");
}

TEST_CASE("an action that was superseded can no longer be verified") {
    Kitchen k;
    const ActionId first = k.answers().add(k.action(), by("RK"));
    Action more{.at = kNight, .person = "RK", .prevention = "a latch"};
    k.answers().add(continued(k.answers().actions(k.lot)[0], more), by("RK"));
    CHECK_THROWS_AS(k.answers().verify({.action = first}, by("MT")), Error);
}

TEST_CASE("REC-8: a signature keeps name, time, meaning and digest") {
    // 21 CFR 11.50(a): printed name, date and time, meaning. 11.70: bound to its record.
    Kitchen k;
    Signature signature{.lot = k.lot,
                        .from = kNight,
                        .to = kNight + Span::minutes(1),
                        .meaning = Meaning::approved,
                        .name = "MT",
                        .alone = "",
                        .unready = "asked for by the owner"};
    signature.sha256[0] = 0xAB;
    signature.sha256[31] = 0xCD;
    k.answers().sign(signature, by("MT", kNight + Span::hours(2)));
    CHECK_THROWS_AS(k.answers().sign(signature, by("")), Error);
    signature.lot.reset();
    k.answers().sign(signature, by("MT"));
    const auto all = k.answers().signatures();
    REQUIRE(all.size() == 2);
    CHECK(all[0].facts.lot == k.lot);
    CHECK(all[0].facts.meaning == Meaning::approved);
    CHECK(all[0].facts.name == "MT");
    CHECK(all[0].facts.sha256 == signature.sha256);
    CHECK(all[0].facts.unready == "asked for by the owner");
    CHECK(all[0].stamp.entered_at == kNight + Span::hours(2));
    CHECK(!all[1].facts.lot);
}

TEST_CASE("who made a lot's record: each who entered anything about it, and who did an action") {
    Kitchen k;
    CHECK(k.answers().makers(k.lot) == std::vector<std::string>{"RK"});
    k.store->enter_stage({.lot = k.lot, .stage = Stage::hot_holding, .from = kNight}, by("AB"));
    const auto probe = k.store->add_probe({.name = "p1"}, by("ZZ")); // no record of the lot
    k.store->place({.probe = probe, .target = LotPoint{k.lot}, .from = kNight}, by("CD"));
    const auto import = k.store->begin_import(source(), by("EF", kNight + Span::hours(1)));
    import->add({.probe = probe, .at = kNight + Span::minutes(1), .value = f(141)});
    import->finish(1, 0);
    const auto other = k.store->begin_import({.name = "earlier.csv", .sha256 = {}, .mapping = "b"},
                                             by("GH", kNight + Span::hours(1)));
    other->add({.probe = probe, .at = kNight - Span::minutes(1), .value = f(141)});
    other->finish(1, 0);
    Action action = k.action();
    action.person = "IJ";
    k.answers().add(action, by("KL"));
    CHECK(k.answers().makers(k.lot) ==
          std::vector<std::string>{"AB", "CD", "EF", "IJ", "KL", "RK"});
}

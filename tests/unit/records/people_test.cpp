#include <holdwarden/records/people.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::records;

namespace {

using Setting = Recorded<EntryId, OnePersonSite>;

Setting set(bool alone) {
    return {.id = EntryId::of(1),
            .facts = {.alone = alone, .why = "one cook on winter nights"},
            .entry = EntryId::of(1),
            .stamp = {.entered_at = Instant::from_unix_s(0), .by = "RK"}};
}

std::vector<PinAttempt> wrong(std::size_t times) {
    return std::vector<PinAttempt>(times, PinAttempt{.at = {}, .right = false, .purpose = "x"});
}

} // namespace

TEST_CASE("REC-10: who verifies is another than who made the entry") {
    // 9 CFR 417.5(c): reviewed by somebody who did not make the records, where practicable; 21 CFR
    // 11.200(a)(3): impersonation takes two people (both from memory).
    using Answer = MayVerify::Answer;
    CHECK(may_verify("RK", "QM", {}).answer == Answer::yes);
    CHECK(may_verify("RK", "QM", {}).words.empty());
    CHECK(may_verify("RK", "RK", {}).answer == Answer::own_entry);
    CHECK(may_verify("RK", " rk ", {}).answer == Answer::own_entry);
    CHECK_FALSE(may_verify("RK", "RK", {}).allowed());
    CHECK(may_verify("", "RK", {}).answer == Answer::maker_not_said);
    CHECK_FALSE(may_verify("", "RK", {}).allowed());
    CHECK(may_verify("RK", " ", {}).answer == Answer::verifier_not_said);
    CHECK_FALSE(may_verify("RK", "", set(true)).allowed());
}

TEST_CASE("REC-10: at a site of one person a verification says that no second person made it") {
    using Answer = MayVerify::Answer;
    const MayVerify own = may_verify("RK", "RK", set(true));
    CHECK(own.answer == Answer::alone);
    CHECK(own.allowed());
    CHECK(own.words.find("not verified by a second person") != std::string::npos);
    CHECK(own.words.find("one cook on winter nights") != std::string::npos);
    CHECK(own.words.find("RK") != std::string::npos);
    CHECK(may_verify("", "RK", set(true)).answer == Answer::alone);
    CHECK(may_verify("QM", "RK", set(true)).answer == Answer::yes);
    CHECK(may_verify("RK", "RK", set(false)).answer == Answer::own_entry);
}

TEST_CASE("the fifth wrong PIN in a row makes the next wait, and a right one ends that") {
    // Common practice, no source for the figures; 21 CFR 11.300(d) asks for safeguards against
    // attempts (from memory).
    CHECK(pin_wait(wrong(0)) == Span{});
    CHECK(pin_wait(wrong(4)) == Span{});
    CHECK(pin_wait(wrong(5)) == Span::minutes(1));
    CHECK(pin_wait(wrong(6)) == Span::minutes(2));
    CHECK(pin_wait(wrong(8)) == Span::minutes(8));
    CHECK(pin_wait(wrong(9)) == Span::minutes(15));
    CHECK(pin_wait(wrong(500)) == Span::minutes(15));
    auto attempts = wrong(20);
    attempts.push_back({.at = {}, .right = true, .purpose = "x"});
    CHECK(pin_wait(attempts) == Span{});
    attempts.push_back({.at = {}, .right = false, .purpose = "x"});
    CHECK(pin_wait(attempts) == Span{});
}

TEST_CASE("each role has a name that leads back to it") {
    for (const Role role : all_roles()) {
        CHECK(role_named(to_name(role)) == role);
    }
    CHECK_FALSE(role_named("cook").has_value());
}

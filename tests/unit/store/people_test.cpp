#include "fixture.hpp"

#include <holdwarden/records/people.hpp>

#include <catch2/catch.hpp>

using namespace fixture;
using records::Role;

TEST_CASE("people are listed as last described, in the order in which they came") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    records::People& people = store->people();
    CHECK(people.list().empty()); // RK made the store, and nobody described RK
    const auto qm = people.describe(
        {.name = "QM", .printed_name = "Quill Marsh", .roles = {Role::logger}}, by("QM"));
    const auto rk = people.describe({.name = "RK", .roles = {Role::person_in_charge}}, by("RK"));
    CHECK(people.describe({.name = "QM", .roles = {Role::logger, Role::reviewer}}, by("RK")) == qm);
    const auto all = people.list();
    REQUIRE(all.size() == 2);
    CHECK(all[0].id == qm);
    CHECK(all[0].facts.roles == std::vector{Role::logger, Role::reviewer});
    CHECK(all[0].facts.printed_name.empty()); // a description is whole
    CHECK(all[0].stamp.by == "RK");
    CHECK(all[1].id == rk);
    CHECK(records::person_named(people, "qm")->id == qm);
    CHECK_FALSE(records::person_named(people, "Q"));
}

TEST_CASE("a new PIN takes the place of the old one, which stays on record") {
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    const auto store = make(file);
    records::People& people = store->people();
    const auto qm = people.describe({.name = "QM"}, by("RK"));
    CHECK_FALSE(people.pin_hash(qm));
    people.set_pin(qm, "first hash", by("RK"));
    people.note_attempt(qm, {.at = kNight, .right = false, .purpose = "review"}, by("", kNight));
    REQUIRE(people.attempts(qm).size() == 1);
    CHECK(people.attempts(qm)[0].at == kNight);
    CHECK(people.attempts(qm)[0].purpose == "review");
    people.set_pin(qm, "second hash", by("QM"));
    CHECK(people.pin_hash(qm) == "second hash");
    CHECK(people.attempts(qm).empty()); // those were at the old one
    CHECK(dump(file).find("first hash") != std::string::npos);
}

TEST_CASE("nobody makes an entry under the name of somebody who retired") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    store->people().describe({.name = "QM", .active = false}, by("RK"));
    ErrorKind kind{};
    const ErrorText text = refusal([&] { store->add_unit({.name = "cabinet-1"}, by("QM")); }, kind);
    CHECK(kind == ErrorKind::conflict);
    CHECK(text.what.find("retired") != std::string::npos);
    CHECK(store->units().empty());
    store->people().describe({.name = "QM", .active = true}, by("RK"));
    store->add_unit({.name = "cabinet-1"}, by("QM"));
    CHECK(store->units().size() == 1);
}

TEST_CASE("whether one person works here holds from when it was said, with who and why") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    records::People& people = store->people();
    CHECK_FALSE(records::one_person_at(people, kNight));
    people.set_one_person({.alone = true, .why = "one cook"}, by("RK", kNight));
    people.set_one_person({.alone = false, .why = "two again"}, by("QM", kNight + Span::hours(1)));
    CHECK_FALSE(records::one_person_at(people, kNight - Span::milliseconds(1)));
    CHECK(records::one_person_at(people, kNight)->facts.alone);
    CHECK(records::one_person_at(people, kNight)->stamp.by == "RK");
    CHECK_FALSE(records::one_person_at(people, kNight + Span::hours(1))->facts.alone);
    CHECK_THROWS_AS(people.set_one_person({.alone = true, .why = " "}, by("RK")), Error);
}

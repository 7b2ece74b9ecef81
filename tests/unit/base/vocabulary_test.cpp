#include <holdwarden/base/vocabulary.hpp>

#include <catch2/catch.hpp>

#include <set>
#include <string>

using namespace holdwarden;

TEST_CASE("every name reads back as its own word, and no two words share one") {
    std::set<std::string_view> names;
    for (const Stage stage : all_stages()) {
        CHECK(stage_named(to_name(stage)) == stage);
        CHECK(names.insert(to_name(stage)).second);
    }
    for (const FoodKind food : all_foods()) {
        CHECK(food_named(to_name(food)) == food);
        CHECK(names.insert(to_name(food)).second);
    }
    for (const OvenKind oven : all_ovens()) {
        CHECK(oven_named(to_name(oven)) == oven);
        CHECK(names.insert(to_name(oven)).second);
    }
    CHECK(outcome_named("served") == Outcome::served);
    CHECK(outcome_named("discarded") == Outcome::discarded);
    for (const Outcome outcome : {Outcome::served, Outcome::discarded, Outcome::split,
                                  Outcome::merged, Outcome::handed_on}) {
        CHECK(outcome_named(to_name(outcome)) == outcome);
        CHECK(ends_food(outcome) == (outcome == Outcome::served || outcome == Outcome::discarded));
    }
    CHECK(names.size() == 11 + 12 + 3);
}

TEST_CASE("an unknown or half-written name is nothing") {
    CHECK_FALSE(stage_named("hot holding").has_value());
    CHECK_FALSE(stage_named("Hot-Holding").has_value());
    CHECK_FALSE(stage_named("").has_value());
    CHECK_FALSE(food_named("beef").has_value());
    CHECK_FALSE(oven_named("dry").has_value());
}

// The words and rules of corrective actions and reviews.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/records/answers.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::records;

namespace {

Instant at(const char* rfc3339) {
    return *parse_rfc3339(rfc3339);
}

const NamedReviewRule& rule(std::string_view name) {
    for (const NamedReviewRule& r : all_review_rules()) {
        if (r.name == name) {
            return r;
        }
    }
    FAIL("no rule " << name);
    return all_review_rules().front();
}

ReviewRule as_rule(const NamedReviewRule& named) {
    return {.days = named.days, .working_days = named.working_days};
}

} // namespace

TEST_CASE("an amount is a number above nothing and what is counted") {
    CHECK(parse_amount("5.4 kg") == Amount{.thousandths = 5400, .unit = "kg"});
    CHECK(parse_amount("12lb") == Amount{.thousandths = 12000, .unit = "lb"});
    CHECK(parse_amount(" 2 half pans ") == Amount{.thousandths = 2000, .unit = "half pans"});
    CHECK(to_text(parse_amount("5.4 kg")) == "5.4 kg");
    CHECK(to_text(parse_amount("0.125kg")) == "0.125 kg");
    CHECK(to_text(parse_amount("2 pans")) == "2 pans");
    for (const char* bad : {"", "kg", "5", "0 kg", "-2 pans", "some", "1e9 kg", "4,5 kg"}) {
        INFO(bad);
        CHECK_THROWS_AS(parse_amount(bad), Error);
    }
}

TEST_CASE("every disposition and meaning is found by its own name, and nothing else") {
    for (const Disposition d : all_dispositions()) {
        CHECK(disposition_named(to_name(d)) == d);
    }
    // REC-8: the closed list of 21 CFR 11.50(a)(3), as this project closes it.
    CHECK(all_meanings().size() == 5);
    for (const Meaning m : all_meanings()) {
        CHECK(meaning_named(to_name(m)) == m);
    }
    CHECK(!disposition_named("eaten"));
    CHECK(!meaning_named("seen"));
}

TEST_CASE("REC-11: review falls due after seven working days, a week, or one working day") {
    const Zone zone = Zone::named("America/Denver");
    const Instant friday_night = at("2026-10-30T23:30:00-06:00");
    // 21 CFR 117.165(a)(4) (from memory): seven working days after Friday 30 October is Tuesday 10
    // November; it is due when that day ends.
    CHECK(review_due(as_rule(rule("21-cfr-117")), friday_night, zone) ==
          at("2026-11-11T00:00:00-07:00"));
    // 21 CFR 120.11 and 123.8 (from memory): a week.
    CHECK(review_due(as_rule(rule("21-cfr-120")), friday_night, zone) ==
          at("2026-11-07T00:00:00-07:00"));
    CHECK(review_due(as_rule(rule("21-cfr-123")), friday_night, zone) ==
          at("2026-11-07T00:00:00-07:00"));
    // 21 CFR 113.100: not later than one working day after the process: Monday.
    CHECK(review_due(as_rule(rule("21-cfr-113")), friday_night, zone) ==
          at("2026-11-03T00:00:00-07:00"));
    // The clocks go back on 1 November 2026 in Denver: the day is a local one all the same.
    CHECK(review_due({.days = 1, .working_days = false}, at("2026-10-31T12:00:00-06:00"), zone) ==
          at("2026-11-02T00:00:00-07:00"));
}

TEST_CASE("REC-11: a site's rule for reviews holds from its date on") {
    const std::vector<ReviewRule> rules{{.from = at("2026-03-01T00:00:00Z"), .days = 7},
                                        {.from = at("2026-06-01T00:00:00Z"), .days = 1}};
    CHECK(!review_rule_at({}, at("2026-06-01T00:00:00Z")));
    CHECK(review_rule_at(rules, at("2026-01-01T00:00:00Z"))->days == 7);
    CHECK(review_rule_at(rules, at("2026-05-31T23:59:59Z"))->days == 7);
    CHECK(review_rule_at(rules, at("2026-06-01T00:00:00Z"))->days == 1);
}

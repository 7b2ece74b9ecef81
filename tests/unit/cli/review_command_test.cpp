// review, release, reviews and review-rule: 21 CFR 11.50 and 11.70, 9 CFR 417.5(c), 21 CFR 113.100.
#include "kitchen.hpp"
#include "schema_walk.hpp"

#include <holdwarden/seal/digest.hpp>

#include <nlohmann/json.hpp>

using namespace kitchen;
using Catch::Matchers::Contains;
using Json = nlohmann::json;

namespace {

/// Beans held well from 18:00 and served at 20:00, entered by RK; QM reviews, with 8350.
void good_hold(Kitchen& k) {
    k.open_for_business();
    k.add_signer("RK", "person-in-charge", "7294");
    k.add_signer("QM", "reviewer", "8350", "RK", "7294");
    k.good({"stage", "beans-1", "hot-holding", "150F", "--at", "2026-10-31 18:00", "--by", "RK"});
    k.good({"log", "beans-1", "148F", "--at", "2026-10-31 19:00", "--by", "RK"});
    k.good({"stage", "beans-1", "served", "146F", "--at", "2026-10-31 20:00", "--by", "RK"});
}

std::string signs(Kitchen& k, std::vector<std::string> arguments, const char* who = "QM") {
    arguments.insert(arguments.end(), {"--by", who, "--pin-file", "-"});
    return k.good(arguments, who == std::string{"QM"} ? "8350\n" : "7294\n");
}

Answer tries(Kitchen& k, std::vector<std::string> arguments, const char* who) {
    arguments.insert(arguments.end(), {"--by", who, "--pin-file", "-"});
    return k.says(arguments, who == std::string{"QM"} ? "8350\n" : "7294\n");
}

Json reviews(Kitchen& k, const std::string& lot = "beans-1") {
    const Json answer = Json::parse(k.good({"reviews", lot, "--format", "json"}));
    std::ifstream file{std::string{HOLDWARDEN_SOURCE_DIR} +
                       "/schema/json/holdwarden-reviews-1.schema.json"};
    for (const std::string& fault : test::schema_faults(Json::parse(file), answer)) {
        FAIL_CHECK(fault);
    }
    return answer["lots"][0];
}

} // namespace

TEST_CASE("REC-8: a review shows name, UTC-bound time and meaning, and a digest anyone can make") {
    Kitchen k;
    good_hold(k);
    CHECK_THAT(signs(k, {"review", "beans-1"}), Contains("reviewed by QM"));
    const Json signature = reviews(k)["signatures"][0];
    CHECK(signature["name"] == "QM");
    CHECK(signature["meaning"] == "reviewed");
    CHECK(signature["at"] == "2026-11-01T06:00:00-07:00");
    CHECK(signature["stands"] == true);
    // 21 CFR 11.70: bound to exactly the content signed. FIPS 180-4 by the library.
    const std::string content = k.good({"reviews", "--content", "1"});
    CHECK(seal::hex(seal::sha256(content)) == signature["sha256"].get<std::string>());
    CHECK_THAT(content, Contains("lot\tbeans-1"));
    // 21 CFR 11.50(b): in print, too.
    const std::string sheet = k.good({"sheet", "beans-1", "--format", "csv"});
    CHECK_THAT(sheet, Contains("reviewed") && Contains("QM") && Contains("is as it was signed"));
    for (const char* no : {"seen", "released"}) {
        CHECK(tries(k, {"review", "beans-1", "--meaning", no}, "QM").status == cli::kWrongUsage);
    }
}

TEST_CASE("REC-9: what changes after a signature supersedes it until signed again") {
    Kitchen k;
    good_hold(k);
    signs(k, {"review", "beans-1"});
    k.set_clock("2026-11-04T06:00:00-07:00");
    CHECK(reviews(k)["signatures"][0]["stands"] == true); // time alone changes nothing
    k.good({"log", "beans-1", "139F", "--at", "2026-10-31 19:30", "--by", "RK"}); // a late entry
    CHECK(reviews(k)["signatures"][0]["stands"] == false);
    CHECK(reviews(k)["reviewed"] == false);
    CHECK_THAT(k.good({"reviews", "beans-1"}), Contains("SUPERSEDED"));
    CHECK_THAT(k.good({"sheet", "beans-1", "--format", "csv"}),
               Contains("superseded, until signed again"));
    signs(k, {"review", "beans-1"});
    CHECK(reviews(k)["signatures"][0]["stands"] == false);
    CHECK(reviews(k)["signatures"][1]["stands"] == true);
    CHECK(reviews(k)["reviewed"] == true);
}

TEST_CASE("REC-9: an action after a review supersedes it, and so does its verification") {
    Kitchen k;
    good_hold(k);
    signs(k, {"review", "beans-1"});
    k.good({"act", "beans-1", "--deviation", "glass broke", "--done", "thrown away", "--at",
            "2026-10-31 19:00", "--by", "RK"});
    CHECK(reviews(k)["signatures"][0]["stands"] == false);
}

TEST_CASE("a review of a lot that goes on covers it up to then") {
    Kitchen k;
    good_hold(k);
    k.good({"stage", "brisket-1", "hot-holding", "150F", "--at", "2026-11-01 05:00", "--by", "RK"});
    k.good({"log", "brisket-1", "150F", "--at", "2026-11-01 06:00", "--by", "RK"});
    signs(k, {"review", "brisket-1"});
    k.set_clock("2026-11-01T08:00:00-07:00");
    k.good({"stage", "brisket-1", "served", "146F", "--at", "2026-11-01 07:00", "--by", "RK"});
    CHECK(reviews(k, "brisket-1")["signatures"][0]["stands"] == true);
    k.good({"log", "brisket-1", "149F", "--at", "2026-11-01 05:30", "--by", "RK"});
    CHECK(reviews(k, "brisket-1")["signatures"][0]["stands"] == false);
}

TEST_CASE("a night is reviewed with all its lots, and superseded by a change of any") {
    Kitchen k;
    good_hold(k);
    CHECK_THAT(signs(k, {"review", "--night", "2026-10-31"}), Contains("the night of 2026-10-31"));
    CHECK(reviews(k)["reviewed"] == true);
    CHECK(reviews(k)["signatures"][0]["under"] == "period");
    CHECK_THAT(k.good({"sheet", "--night", "2026-10-31", "--format", "csv"}),
               Contains("is as it was signed"));
    k.set_clock("2026-11-02T06:00:00-07:00");
    CHECK(reviews(k)["reviewed"] == true);
    k.good({"log", "beans-1", "139F", "--at", "2026-10-31 19:30", "--by", "RK"});
    CHECK(reviews(k)["reviewed"] == false);
    signs(k, {"review", "--from", "2026-10-31 12:00", "--to", "2026-11-01 12:00"});
    CHECK(reviews(k)["reviewed"] == true);
}

TEST_CASE("REC-10: one who made the record reviews it only with a reason, which prints") {
    // 9 CFR 417.5(c): where practicable by someone who did not make the records.
    Kitchen k;
    good_hold(k);
    CHECK(tries(k, {"review", "beans-1"}, "RK").status == cli::kFailed);
    CHECK(reviews(k)["signatures"].empty());
    signs(k, {"review", "beans-1", "--same-person", "nobody else until Monday"}, "RK");
    CHECK_THAT(reviews(k)["signatures"][0]["alone"].get<std::string>(),
               Contains("nobody else until Monday"));
    CHECK_THAT(k.good({"sheet", "beans-1", "--format", "csv"}), Contains("nobody else"));
    // Who made it may say so: that is no review.
    Kitchen other;
    good_hold(other);
    signs(other, {"review", "beans-1", "--meaning", "made"}, "RK");
    CHECK(reviews(other)["reviewed"] == false);
}

TEST_CASE("REC-11: a review that is overdue says so") {
    Kitchen k;
    good_hold(k);
    CHECK(reviews(k)["due"].is_null());
    CHECK_THAT(k.good({"review-rule"}), Contains("No rule adopted") && Contains("21-cfr-117"));
    k.good({"review-rule", "21-cfr-117", "--by", "RK"});
    // Seven working days after Saturday 31 October is Tuesday 10 November.
    CHECK(reviews(k)["due"] == "2026-11-11T00:00:00-07:00");
    CHECK(reviews(k)["overdue"] == false);
    k.set_clock("2026-11-11T00:00:01-07:00");
    CHECK(reviews(k)["overdue"] == true);
    CHECK_THAT(k.good({"reviews", "--due"}), Contains("beans-1: not reviewed, OVERDUE"));
    signs(k, {"review", "beans-1"});
    CHECK(reviews(k)["overdue"] == false);
    CHECK(k.good({"reviews", "--due"}).find("beans-1") == std::string::npos);
    k.good({"review-rule", "--working-days", "1", "--source", "house rule", "--by", "RK"});
    CHECK_THAT(k.good({"review-rule"}), Contains("1 working day after") && Contains("house rule"));
}

TEST_CASE(
    "REC-15: a lot is ready only when it is judged, its flags are closed, and it is reviewed") {
    Kitchen k;
    good_hold(k);
    CHECK(reviews(k, "brisket-1")["ready"] == false); // nothing recorded
    CHECK_THAT(reviews(k, "brisket-1")["not_ready"].dump(), Contains("could be judged"));
    CHECK(reviews(k)["not_ready"] == Json::array({"its record was not reviewed"}));
    signs(k, {"review", "beans-1"});
    CHECK(reviews(k)["ready"] == true);
    k.good({"log", "beans-1", "120F", "--at", "2026-10-31 19:30", "--by", "RK"});
    CHECK(reviews(k)["ready"] == false);
    CHECK_THAT(reviews(k)["not_ready"].dump(),
               Contains("unanswered") && Contains("changed since it was reviewed"));
}

TEST_CASE("REC-18: release does not come before review, and an override is on record and prints") {
    // 21 CFR 11.10(f): steps in their order. 21 CFR 113.100: reviewed before release.
    Kitchen k;
    good_hold(k);
    const Answer early = tries(k, {"release", "beans-1"}, "QM");
    CHECK(early.status == cli::kFailed);
    CHECK_THAT(early.err, Contains("not reviewed"));
    CHECK(reviews(k)["signatures"].empty());
    CHECK_THAT(signs(k, {"release", "beans-1", "--not-ready", "the owner asks for it"}),
               Contains("It was not ready"));
    CHECK_THAT(reviews(k)["signatures"][0]["not_ready"].get<std::string>(),
               Contains("the owner asks for it") && Contains("not reviewed"));
    CHECK_THAT(k.good({"sheet", "beans-1", "--format", "csv"}),
               Contains("released though not ready"));
    signs(k, {"review", "beans-1"});
    signs(k, {"release", "beans-1"});
    CHECK(reviews(k)["signatures"][2]["meaning"] == "released");
    CHECK(reviews(k)["signatures"][2]["not_ready"] == "");
}

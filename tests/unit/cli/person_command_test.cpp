#include "kitchen.hpp"
#include "schema_walk.hpp"

#include <holdwarden/cli/sign.hpp>

#include <nlohmann/json.hpp>

#include <fstream>

using namespace kitchen;
using Catch::Contains;

namespace {

/// A kitchen whose person in charge RK signs with 7294.
void in_charge(Kitchen& kitchen) {
    kitchen.open_for_business();
    kitchen.add_signer("RK", "person-in-charge", "7294");
}

} // namespace

TEST_CASE("people are taken down with roles and listed, for programs by the schema") {
    Kitchen kitchen;
    kitchen.open_for_business();
    CHECK_THAT(kitchen.good({"person", "list"}), Contains("person add"));
    CHECK_THAT(kitchen.good({"person", "add", "QM", "--printed-name", "Quill Marsh", "--role",
                             "reviewer", "--by", "RK"}),
               Contains("QM (Quill Marsh): reviewer, entered by RK"));
    CHECK_THAT(kitchen.good({"person", "list"}), Contains("not yet: no PIN"));
    kitchen.good({"person", "pin", "QM", "--new-pin-file", "-"}, "8350\n");
    CHECK_THAT(kitchen.good({"person", "list"}), Contains("with a PIN"));
    const auto answer = nlohmann::json::parse(kitchen.good({"person", "list", "--format", "json"}));
    std::ifstream file{std::string{HOLDWARDEN_SOURCE_DIR} +
                       "/schema/json/holdwarden-people-1.schema.json"};
    CHECK(test::schema_faults(nlohmann::json::parse(file), answer).empty());
    CHECK(answer["people"][0]["printed_name"] == "Quill Marsh");
    CHECK(answer["people"][0]["has_pin"] == true);
    CHECK(answer.dump().find("argon2") == std::string::npos);
}

TEST_CASE("once a person in charge has a PIN, only their signature changes who may sign") {
    // 21 CFR 11.10(d) and (g): only those who may get in, each act by those who may do it.
    Kitchen kitchen;
    in_charge(kitchen);
    const Answer unsigned_ = kitchen.says({"person", "add", "QM", "--by", "RK"});
    CHECK(unsigned_.status == cli::kWrongUsage);
    CHECK_THAT(unsigned_.err, Contains("--pin-file"));
    CHECK(kitchen.says({"person", "add", "QM", "--pin-file", "-"}, "7294\n").status ==
          cli::kWrongUsage); // nobody named
    kitchen.good({"person", "add", "QM", "--by", "RK", "--pin-file", "-"}, "7294\n");
    CHECK_THAT(
        kitchen.says({"person", "pin", "QM", "--by", "QM", "--new-pin-file", "-"}, "8350\n").err,
        Contains("person-in-charge"));
    kitchen.good({"person", "pin", "QM", "--by", "RK", "--pin-file", "-", "--new-pin-file", "-"},
                 "7294\n8350\n");
    // QM is a logger and says nothing of others.
    const Answer logger =
        kitchen.says({"person", "retire", "RK", "--by", "QM", "--pin-file", "-"}, "8350\n");
    CHECK(logger.status == cli::kFailed);
    CHECK_THAT(logger.err, Contains("person-in-charge"));
    kitchen.good({"person", "retire", "QM", "--by", "RK", "--pin-file", "-"}, "7294\n");
    CHECK_THAT(
        kitchen
            .says({"person", "pin", "QM", "--by", "QM", "--pin-file", "-", "--new-pin-file", "-"},
                  "8350\n9461\n")
            .err,
        Contains("retired"));
}

TEST_CASE("a wrong PIN is refused, kept on record, and slows the next after five") {
    // 21 CFR 11.300(d), from memory: safeguards that detect and report attempts.
    Kitchen kitchen;
    in_charge(kitchen);
    const std::vector<std::string> retire{"person", "add", "QM", "--by", "RK", "--pin-file", "-"};
    for (int i = 0; i < 5; ++i) {
        const Answer wrong = kitchen.says(retire, "1111\n");
        CHECK(wrong.status == cli::kFailed);
        CHECK_THAT(wrong.err, Contains("not that of RK") && Contains("on record"));
    }
    CHECK_THAT(kitchen.good({"person", "list"}), Contains("wrong PINs in a row: 5"));
    const Answer waits = kitchen.says(retire, "7294\n"); // the right one, too early
    CHECK(waits.status == cli::kFailed);
    CHECK_THAT(waits.err, Contains("too many wrong PINs") && Contains("06:01"));
    kitchen.set_clock("2026-11-01T06:00:59.999-07:00");
    CHECK(kitchen.says(retire, "7294\n").status == cli::kFailed);
    kitchen.set_clock("2026-11-01T06:01:00-07:00");
    CHECK(kitchen.says(retire, "7294\n").status == cli::kDone);
    CHECK_THAT(kitchen.good({"person", "list"}), !Contains("wrong PINs"));
}

TEST_CASE("a PIN is changed by its owner with the old one, and the old one signs no more") {
    Kitchen kitchen;
    in_charge(kitchen);
    const std::vector<std::string> change{
        "person", "pin", "RK", "--by", "RK", "--pin-file", "-", "--new-pin-file", "-"};
    CHECK(kitchen.says(change, "0000\n8350\n").status == cli::kFailed);
    CHECK_THAT(kitchen.says(change, "7294\n1234\n").err, Contains("first that anybody would try"));
    CHECK_THAT(kitchen.good(change, "7294\n8350\n"), Contains("changed"));
    CHECK(kitchen.says(change, "7294\n9461\n").status == cli::kFailed);
    CHECK(kitchen.says(change, "8350\n9461\n").status == cli::kDone);
}

TEST_CASE("a PIN comes from a file that only its owner may read") {
    Kitchen kitchen;
    in_charge(kitchen);
    const fs::path file = kitchen.write("rk.pin", "7294\r\n");
    const std::vector<std::string> add{"person", "add",        "QM",         "--by",
                                       "RK",     "--pin-file", file.string()};
    fs::permissions(file, fs::perms::owner_read | fs::perms::group_read);
    CHECK_THAT(kitchen.says(add).err, Contains("chmod 600"));
    fs::permissions(file, fs::perms::owner_read);
    CHECK(kitchen.says(add).status == cli::kDone);
    CHECK_THAT(kitchen
                   .says({"person", "add", "ZZ", "--by", "RK", "--pin-file",
                          (kitchen.folder() / "none.pin").string()})
                   .err,
               Contains("cannot be read"));
}

TEST_CASE("a site of one person is said with a reason, signed, and shown in the list") {
    Kitchen kitchen;
    in_charge(kitchen);
    CHECK_THAT(kitchen.says({"person", "alone", "--by", "RK", "--pin-file", "-"}, "7294\n").err,
               Contains("--why"));
    CHECK(kitchen.says({"person", "alone", "--why", "one cook", "--by", "RK"}).status ==
          cli::kWrongUsage);
    kitchen.good({"person", "alone", "--why", "one cook", "--by", "RK", "--pin-file", "-"},
                 "7294\n");
    CHECK_THAT(kitchen.good({"person", "list"}), Contains("one cook"));
    kitchen.good(
        {"person", "alone", "--off", "--why", "two cooks again", "--by", "RK", "--pin-file", "-"},
        "7294\n");
    CHECK_THAT(kitchen.good({"person", "list"}), !Contains("cook"));
}

TEST_CASE("a name is never given to a second person") {
    // 21 CFR 11.100(a), from memory: unique to one individual, never reassigned.
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"person", "add", "QM"});
    CHECK(kitchen.says({"person", "add", "QM"}).status == cli::kFailed);
    CHECK(kitchen.says({"person", "add", "qm"}).status == cli::kFailed);
    kitchen.good({"person", "retire", "QM"});
    CHECK(kitchen.says({"person", "add", "QM"}).status == cli::kFailed);
    CHECK(kitchen.says({"person", "retire", "QM"}).status == cli::kFailed);
    kitchen.good({"person", "change", "QM", "--active"});
}

TEST_CASE("the signing key lets the only person in charge back in, and that is on record") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.environment()["HOME"] = kitchen.folder().string();
    kitchen.good({"key", "new"});
    kitchen.good({"checkpoint", "--by", "RK"});
    kitchen.add_signer("RK", "person-in-charge", "7294", "", "");
    kitchen.good({"stage", "beans-1", "discarded", "--at", "2026-11-01 05:00", "--by", "EF"});
    const std::vector<std::string> reset{"person", "pin", "RK", "--reset", "--new-pin-file", "-"};
    const auto with = [&](std::vector<std::string> more) {
        more.insert(more.begin(), reset.begin(), reset.end());
        return kitchen.says(more, "8350\n");
    };
    CHECK_THAT(with({"--why", "forgot it"}).err, Contains("nobody is named"));
    CHECK_THAT(with({"--by", "RK"}).err, Contains("no reason"));
    CHECK_THAT(with({"--by", "RK", "--why", " "}).err, Contains("no reason"));
    CHECK_THAT(with({"--by", "RK", "--why", "x", "--key", "none.pem"}).err, Contains("no such"));
    // Whoever has no key of the site's makes one of their own in vain, and a checkpoint with it.
    const std::string evil = (kitchen.folder() / "evil.pem").string();
    kitchen.good({"key", "new", "--key", evil});
    kitchen.good({"checkpoint", "--key", evil, "--by", "EF"});
    CHECK_THAT(with({"--by", "EF", "--why", "mine now", "--key", evil}).err,
               Contains("is not the one that signs"));
    CHECK(kitchen.says({"person", "add", "QM", "--by", "RK", "--pin-file", "-"}, "8350\n").status ==
          cli::kFailed);

    CHECK(with({"--by", "EF", "--why", "RK forgot it; EF holds the key"}).status == cli::kDone);
    kitchen.good({"person", "add", "QM", "--by", "RK", "--pin-file", "-"}, "8350\n");
    const std::string story = kitchen.good({"history", "EF", "--kind", "person"});
    CHECK_THAT(story, Contains("RK forgot it; EF holds the key"));
    CHECK_THAT(kitchen.good({"verify"}), Contains("as it was when it was written"));
    CHECK(kitchen
              .says({"review", "beans-1", "--by", "RK", "--pin-file", "-", "--same-person",
                     "alone here"},
                    "8350\n")
              .status == cli::kDone);
    CHECK_THAT(kitchen.good({"sheet", "beans-1", "--format", "csv"}),
               Contains("set anew with the site's key") && Contains("EF holds the key"));
}

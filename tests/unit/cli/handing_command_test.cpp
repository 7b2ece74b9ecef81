// A lot that goes from one kitchen to another: Larkspur Yard and its tent at the fairground, both
// invented, each with a store and a key of its own.
#include "kitchen.hpp"

#include <holdwarden/seal/signed_text.hpp>

#include <nlohmann/json.hpp>

#include <filesystem>

using namespace kitchen;
using Catch::Matchers::Contains;
using Json = nlohmann::json;

namespace {

std::string digits_in(const std::string& text, const std::string& label = "Signed with key ") {
    const std::size_t at = text.find(label);
    REQUIRE(at != std::string::npos);
    return text.substr(at + label.size(), 64 + 15); // in groups of four
}

struct Kitchens {
    Kitchen yard;
    Kitchen tent;
    std::string file = (yard.folder() / "brisket-1.lot").string();

    Kitchens() {
        for (Kitchen* one : {&yard, &tent}) {
            one->environment()["HOME"] = one->folder().string();
            one->environment()["HOLDWARDEN_BY"] = one == &yard ? "RK" : "MT";
            one->set_clock("2026-10-31T05:00:00-06:00");
        }
        yard.good({"init", "--name", "Larkspur Yard Smokehouse", "--zone", "America/Denver"});
        tent.good({"init", "--name", "Fairground tent", "--zone", "America/Denver"});
        yard.good({"key", "new"});
        tent.good({"key", "new"});
        yard.good({"probe", "add", "hand-1", "--accuracy", "1F"});
        tent.good({"probe", "add", "hand-1", "--accuracy", "2F"});
        yard.good({"unit", "add", "cabinet-1", "--kind", "cabinet"});
        tent.good({"unit", "add", "cabinet-1", "--kind", "cabinet"});
        yard.good({"lot", "open", "brisket-1", "--food", "whole-cut", "--mass", "5kg"});
        yard.good({"stage", "brisket-1", "cooking"});
    }

    void at(const char* clock) {
        yard.set_clock(clock);
        tent.set_clock(clock);
    }

    /// Cooked, held from 16:00, at 12:0x read, at 17:30 handed on.
    void hold() {
        at("2026-10-31T15:55:00-06:00");
        yard.good({"log", "brisket-1", "203F", "--sure"});
        at("2026-10-31T16:00:00-06:00");
        yard.good({"stage", "brisket-1", "hot-holding", "--unit", "cabinet-1"});
        yard.good({"log", "brisket-1", "150F", "--sure"});
        at("2026-10-31T17:00:00-06:00");
        yard.good({"log", "brisket-1", "146F"});
        yard.good({"log", "cabinet-1", "155F", "--air"});
        at("2026-10-31T17:30:00-06:00");
    }

    std::string hand_on() {
        return digits_in(
            yard.good({"hand-on", "brisket-1", "--kitchen", "Fairground tent", "-o", file}));
    }

    std::string read() const {
        std::ifstream in{file, std::ios::binary};
        return {std::istreambuf_iterator<char>{in}, {}};
    }
};

Json judged(Kitchen& kitchen, const std::string& lot, const std::string& as_of) {
    return Json::parse(
        kitchen.says({"check", lot, "--as-of", as_of, "--format", "json"}).out)["lots"][0];
}

/// What a judgement comes to, without the names of probes and without the lot's end.
Json gist(const Json& lot) {
    Json all = Json::array();
    for (const Json& f : lot["findings"]) {
        Json values = Json::array();
        for (const Json& e : f["evidence"]) {
            values.push_back({e["time"], e["value"]});
        }
        all.push_back({f["requirement"], f["stage"], f["point"], f["verdict"], f["limit"],
                       f.value("elapsed_s", Json{}), f.value("margin", Json{}), values});
    }
    return all;
}

} // namespace

TEST_CASE("a lot taken in is judged up to its handing on as the sender judged it") {
    Kitchens k;
    k.hold();
    const Json before = judged(k.yard, "brisket-1", "2026-10-31T17:30:00-06:00");
    const std::string key = k.hand_on();
    k.at("2026-10-31T18:10:00-06:00");
    k.tent.good({"take-in", k.file, "--trust", key, "--unit", "cabinet-1"});
    const Json after = judged(k.tent, "brisket-1", "2026-10-31T17:30:00-06:00");
    CHECK(gist(after) == gist(before));
    CHECK(after["overall"] == before["overall"]);
    CHECK(gist(before).size() >= 2); // a cook and a hold: something is compared
}

TEST_CASE("the clocks of a lot run on in the kitchen that took it in") {
    Kitchens k;
    k.hold();
    // 130 °F in the hold is below 135 °F (FDA Food Code 2022, 3-501.16(A)(1)): from 17:00 at the
    // earliest, in the sender's store.
    k.yard.good({"log", "brisket-1", "130F", "--sure"});
    const std::string key = k.hand_on();
    k.at("2026-10-31T18:10:00-06:00");
    k.tent.good({"take-in", k.file, "--trust", key, "--unit", "cabinet-1"});
    k.tent.good({"log", "brisket-1", "132F", "--sure"});
    const Json lot = judged(k.tent, "brisket-1", "2026-10-31T18:10:00-06:00");
    CHECK(lot["overall"] == "not-met");
    // From the first reading below, 17:30, to the last, 18:10: 40 minutes at least.
    CHECK_THAT(k.tent.says({"check", "brisket-1"}).out, Contains("40 min"));
    // What the other kitchen read is shown as its own.
    CHECK_THAT(lot.dump(), Contains("hand-1 @ Larkspur Yard Smokehouse"));
}

TEST_CASE("a silence on the way counts, however it is cut by the taking in") {
    Kitchens k;
    k.hold();
    const std::string key = k.hand_on(); // last read at 17:00
    k.at("2026-10-31T18:50:00-06:00");
    k.tent.good({"take-in", k.file, "--trust", key, "--unit", "cabinet-1"});
    k.at("2026-10-31T19:30:00-06:00"); // 2 h 30 min after the last reading, over the 2 h
    k.tent.good({"log", "brisket-1", "145F"});
    CHECK(judged(k.tent, "brisket-1", "2026-10-31T19:30:00-06:00")["overall"] == "not-shown");
}

TEST_CASE("a cooling clock that began in one kitchen is judged to its end in the other") {
    Kitchens k;
    k.hold();
    k.yard.good({"stage", "brisket-1", "cooling"});
    k.yard.good({"log", "brisket-1", "140F", "--sure"}); // 17:30
    const std::string key = k.hand_on();
    k.at("2026-10-31T18:00:00-06:00");
    k.tent.good({"take-in", k.file, "--trust", key});
    k.at("2026-10-31T20:30:00-06:00");
    k.tent.good({"log", "brisket-1", "90F", "--sure"});
    // 3-501.14(A)(1): from 135 °F to 70 °F within 2 h. The clock starts at 20:30 at the latest, at
    // 17:30 at the earliest: still to be shown, and not met once 2 h from 20:30 are over.
    k.at("2026-10-31T22:31:00-06:00");
    k.tent.good({"log", "brisket-1", "80F", "--sure"});
    const Json lot = judged(k.tent, "brisket-1", "2026-10-31T22:31:00-06:00");
    bool seen = false;
    for (const Json& f : lot["findings"]) {
        if (f["requirement"] == "cooling-first-window") {
            seen = true;
            CHECK(f["verdict"] == "not-met");
        }
    }
    CHECK(seen);
}

TEST_CASE("a lot that was handed on has ended, and handing on shows nothing to be met") {
    Kitchens k;
    k.hold();
    k.yard.good({"stage", "brisket-1", "cooling"});
    k.yard.good({"log", "brisket-1", "140F", "--sure"});
    k.hand_on();
    const Json lot = judged(k.yard, "brisket-1", "2026-10-31T17:30:00-06:00");
    for (const Json& f : lot["findings"]) {
        if (f["requirement"].get<std::string>().starts_with("cooling-")) {
            CHECK(f["verdict"] == "ended");
        }
        if (f["requirement"] == "date-mark" || f["requirement"] == "time-control") {
            CHECK(f["verdict"] != "met");
        }
    }
    k.at("2026-10-31T18:00:00-06:00");
    const Answer late = k.yard.says({"log", "brisket-1", "139F", "--sure"});
    CHECK(late.status == cli::kFailed);
    CHECK_THAT(late.err, Contains("handed-on"));
    CHECK_THAT(k.yard.good({"lot", "show", "brisket-1"}),
               Contains("handed on to Fairground tent; file SHA-256 "));
}

TEST_CASE("the file and its signer are in the history of the store that took it in") {
    Kitchens k;
    k.hold();
    const std::string key = k.hand_on();
    k.tent.good({"take-in", k.file, "--trust", key});
    const std::string sha256 = seal::hex(seal::sha256(k.read()));
    CHECK_THAT(k.tent.good({"history", "brisket-1"}), Contains(sha256));
    CHECK_THAT(k.tent.good({"lot", "show", "brisket-1"}), Contains(sha256));
    CHECK_THAT(k.tent.good({"sheet", "brisket-1"}), Contains("Taken in from") &&
                                                        Contains("Larkspur Yard Smokehouse") &&
                                                        Contains(sha256.substr(0, 16)));
    CHECK_THAT(k.yard.good({"history", "brisket-1"}), Contains(sha256));
    k.tent.good({"verify"});
}

TEST_CASE("a file taken in a second time adds nothing and says so") {
    Kitchens k;
    k.hold();
    const std::string key = k.hand_on();
    k.tent.good({"take-in", k.file, "--trust", key});
    const std::string bytes = k.tent.store_bytes();
    CHECK_THAT(k.tent.good({"take-in", k.file, "--trust", key}),
               Contains("taken in already") && Contains("nothing was added"));
    CHECK(k.tent.store_bytes() == bytes);
    // Nor does the kitchen that handed it on take it back by the same file.
    const Answer own = k.yard.says({"take-in", k.file, "--trust", key, "--as", "brisket-9"});
    CHECK(own.status == cli::kFailed);
    CHECK_THAT(own.err, Contains("itself handed the lot on"));
}

TEST_CASE("a file by another key than the one trusted is refused") {
    Kitchens k;
    k.hold();
    k.hand_on();
    const std::string bytes = k.tent.store_bytes();
    const Answer other = k.tent.says({"take-in", k.file, "--trust", std::string(64, 'a')});
    CHECK(other.status == cli::kFailed);
    CHECK_THAT(other.err, Contains("signed by another key"));
    const Answer unsaid = k.tent.says({"take-in", k.file});
    CHECK(unsaid.status == cli::kWrongUsage);
    CHECK_THAT(unsaid.err, Contains("--trust"));
    CHECK(k.tent.store_bytes() == bytes);
}

TEST_CASE("a handed lot with any byte changed, or cut off, is refused and adds nothing") {
    Kitchens k;
    k.hold();
    const std::string key = k.hand_on();
    const std::string good = k.read();
    const std::string bytes = k.tent.store_bytes();
    for (std::size_t i = 0; i < good.size(); i += 7) {
        std::string bad = good;
        bad[i] = static_cast<char>(bad[i] ^ 1);
        const std::string file = k.tent.write("bad.lot", bad);
        INFO("byte " << i);
        CHECK(k.tent.says({"take-in", file, "--trust", key}).status == cli::kFailed);
    }
    for (std::size_t length = 0; length < good.size(); length += 97) {
        const std::string file = k.tent.write("bad.lot", good.substr(0, length));
        INFO("cut at " << length);
        CHECK(k.tent.says({"take-in", file, "--trust", key}).status == cli::kFailed);
    }
    CHECK(k.tent.store_bytes() == bytes);
}

TEST_CASE("what was followed elsewhere and is not here in those bytes shows nothing") {
    Kitchens k;
    k.hold();
    k.hand_on();
    // The same file as a kitchen with another edition of the pack would have signed it.
    std::string body{seal::open_seal(k.read()).body};
    const std::size_t rules = body.find("\nrules\t");
    REQUIRE(rules != std::string::npos);
    const std::size_t digest = body.find('\n', rules + 1) - 64 - 8; // ..., digest, 7200000
    body.replace(digest, 64, std::string(64, '0'));
    const std::string file =
        k.tent.write("other.lot", seal::with_seal(body, seal::SigningKey::from_seed({7})));
    const Answer unsaid = k.tent.says({"take-in", file});
    CHECK_THAT(k.tent.good({"take-in", file, "--trust", digits_in(unsaid.err, "that the key "),
                            "--unit", "cabinet-1"}),
               Contains("is not here in those very bytes"));
    const Json lot = judged(k.tent, "brisket-1", "2026-10-31T17:30:00-06:00");
    CHECK(lot["overall"] == "not-shown");
    for (const Json& f : lot["findings"]) {
        if (f["stage"] == "cooking") {
            CHECK(f["verdict"] == "not-shown");
        }
    }
}

TEST_CASE("a part of merged lots keeps all its lives when it is handed on") {
    Kitchens k;
    k.hold();
    k.yard.good({"lot", "open", "brisket-2", "--food", "whole-cut"});
    k.yard.good({"stage", "brisket-2", "hot-holding", "--unit", "cabinet-1"});
    k.yard.good({"log", "brisket-2", "120F", "--sure"}); // a miss
    k.yard.good({"merge", "brisket-1", "brisket-2", "--into", "brisket", "--form", "sliced"});
    k.yard.good({"log", "brisket", "141F", "--sure"});
    const Json before = judged(k.yard, "brisket", "2026-10-31T17:30:00-06:00");
    REQUIRE(before["overall"] == "not-met");
    const std::string key = digits_in(
        k.yard.good({"hand-on", "brisket", "--kitchen", "Fairground tent", "-o", k.file}));
    k.tent.good({"take-in", k.file, "--trust", key, "--unit", "cabinet-1"});
    const Json after = judged(k.tent, "brisket", "2026-10-31T17:30:00-06:00");
    CHECK(after["overall"] == "not-met");
    // And so do its parts, and a lot that takes it in turn.
    k.at("2026-10-31T17:40:00-06:00");
    k.tent.good({"split", "brisket", "a", "b", "--form", "portioned"});
    CHECK(judged(k.tent, "brisket-a", "2026-10-31T17:40:00-06:00")["overall"] == "not-met");
    k.tent.good({"lot", "open", "own", "--food", "whole-cut"});
    k.tent.good({"stage", "own", "hot-holding", "--unit", "cabinet-1"});
    k.tent.good({"log", "own", "150F", "--sure"});
    k.at("2026-10-31T17:41:00-06:00");
    k.tent.good({"merge", "brisket-a", "own", "--into", "pan", "--form", "sliced"});
    CHECK(judged(k.tent, "pan", "2026-10-31T17:41:00-06:00")["overall"] == "not-met");
    k.tent.good({"verify"});
}

TEST_CASE("a lot may go from a second kitchen to a third") {
    Kitchens k;
    k.hold();
    k.tent.good({"take-in", k.file, "--trust", k.hand_on(), "--unit", "cabinet-1"});
    k.at("2026-10-31T18:00:00-06:00");
    k.tent.good({"log", "brisket-1", "144F"});
    k.at("2026-10-31T18:05:00-06:00");
    const std::string second = (k.tent.folder() / "on.lot").string();
    const std::string key = digits_in(
        k.tent.good({"hand-on", "brisket-1", "--kitchen", "Larkspur Yard", "-o", second}));
    CHECK_THAT(k.yard.good({"take-in", second, "--trust", key, "--as", "brisket-back", "--unit",
                            "cabinet-1"}),
               Contains("So far"));
    CHECK_THAT(k.yard.says({"check", "brisket-back", "--format", "json"}).out,
               Contains("hand-1 @ Larkspur Yard Smokehouse @ Fairground tent"));
}

TEST_CASE("what was done about a miss in one kitchen is on record in the other") {
    Kitchens k;
    k.hold();
    k.yard.good({"log", "brisket-1", "130F", "--sure"});
    const std::string flags = k.yard.says({"flags", "brisket-1", "--format", "json"}).out;
    const std::string flag = Json::parse(flags)["flags"][0]["handle"].get<std::string>();
    k.yard.good({"act", flag, "--done", "moved to a hotter cabinet", "--disposition", "held"});
    const std::string key = k.hand_on();
    k.tent.good({"take-in", k.file, "--trust", key, "--unit", "cabinet-1"});
    CHECK_THAT(k.tent.says({"flags", "brisket-1"}).out, Contains("moved to a hotter cabinet"));
}

// The kitchen's day on the command line: one-line entries, what is due, splitting and merging.
#include "kitchen.hpp"

using namespace kitchen;
using Catch::Matchers::Contains;
using Catch::Matchers::EndsWith;

namespace {

/// brisket-1 in hot holding since 05:00, read then.
class Night : public Kitchen {
public:
    Night() {
        open_for_business();
        good({"stage", "brisket-1", "hot-holding", "145F", "--unit", "cabinet-1", "--at",
              "2026-11-01 05:00"});
    }

    void set_clock(const char* rfc3339) {
        clock_ = *parse_rfc3339(rfc3339);
        Kitchen::set_clock(rfc3339);
    }

    /// At a terminal where `typed` is typed.
    Answer at_terminal(const std::vector<std::string>& arguments, const std::string& typed) {
        std::istringstream in{typed};
        std::ostringstream out;
        std::ostringstream err;
        cli::Context context{.in = in,
                             .out = out,
                             .err = err,
                             .now = [this] { return clock_; },
                             .env = [this](const std::string& name) -> std::optional<std::string> {
                                 const auto found = environment().find(name);
                                 return found == environment().end() ? std::nullopt
                                                                     : std::optional{found->second};
                             },
                             .data = HOLDWARDEN_SOURCE_DIR,
                             .in_is_terminal = true};
        const int status = cli::run(arguments, context);
        return {status, out.str(), err.str()};
    }

private:
    Instant clock_ = *parse_rfc3339("2026-11-01T06:00:00-07:00");
};

} // namespace

TEST_CASE("an entry answers in one line: verdict so far, and the next reading") {
    Night night;
    const std::string said = night.good({"log", "brisket-1", "140"});
    CHECK_THAT(said, Contains("brisket-1, core: 140 °F at 2026-11-01 06:00 -07:00."));
    CHECK_THAT(said, Contains("So far met; next reading by 08:00."));
    CHECK(std::count(said.begin(), said.end(), '\n') == 1);
    night.set_clock("2026-11-01T06:30:00-07:00");
    CHECK_THAT(night.good({"log", "brisket-1", "128"}), Contains("So far not met"));
}

TEST_CASE("the thermometer used last by hand is the usual one for a day") {
    Night night;
    CHECK_THAT(night.good({"log", "brisket-1", "140"}), !Contains(" by p"));
    night.good({"log", "brisket-1", "140", "--probe", "p2", "--point", "flat"});
    night.set_clock("2026-11-01T06:30:00-07:00");
    CHECK_THAT(night.good({"log", "brisket-1", "141"}), Contains("-07:00 by p2."));
    night.set_clock("2026-11-02T07:00:00-07:00");
    CHECK_THAT(night.good({"log", "brisket-1", "141"}), !Contains(" by p2"));
}

TEST_CASE("a thermometer that alone is in nothing is the hand probe") {
    Night night;
    night.good({"place", "p1", "brisket-1"});
    CHECK_THAT(night.good({"log", "brisket-2", "140"}), Contains("-07:00 by p2."));
}

TEST_CASE("REC-4: a tick is no temperature, and nothing is filled in") {
    Night night;
    const std::string before = night.store_bytes();
    for (const char* tick : {"ok", "OK", "x", "yes", "\u2713"}) {
        const Answer answer = night.says({"log", "brisket-1", tick});
        CHECK(answer.status == cli::kFailed);
        CHECK_THAT(answer.err, Contains("tick") && Contains("140F"));
    }
    // At a terminal an empty line is no value either.
    const Answer empty = night.at_terminal({"log", "brisket-1"}, "\n");
    CHECK(empty.status == cli::kFailed);
    CHECK(night.store_bytes() == before);
}

TEST_CASE("a slip is refused with the way to keep it, and never taken in silence") {
    Night night;
    const std::string before = night.store_bytes();
    const Answer refused = night.says({"log", "brisket-1", "14.0"});
    CHECK(refused.status == cli::kFailed);
    CHECK_THAT(refused.err, Contains("14 °F") && Contains("140 °F meant") && Contains("--sure"));
    CHECK(night.store_bytes() == before);
    CHECK_THAT(night.good({"log", "brisket-1", "14.0", "--sure"}), Contains("14 °F at"));
}

TEST_CASE("a slip is asked about on a terminal") {
    Night night;
    const Answer mended = night.at_terminal({"log", "brisket-1", "14.0"}, "140\n");
    CHECK(mended.status == cli::kDone);
    CHECK_THAT(mended.err, Contains("was 140 °F meant?") && Contains("y keeps it"));
    CHECK_THAT(mended.out, Contains("core: 140 °F"));
    night.set_clock("2026-11-01T06:10:00-07:00");
    CHECK_THAT(night.at_terminal({"log", "brisket-1", "14.0"}, "y\n").out, Contains("core: 14 °F"));
    night.set_clock("2026-11-01T06:20:00-07:00");
    const Answer twice = night.at_terminal({"log", "brisket-2", "1000"}, "500\ny\n");
    CHECK_THAT(twice.out, Contains("500 °F")); // asked again about the second value
    const std::string before = night.store_bytes();
    CHECK(night.at_terminal({"log", "brisket-1", "14.0"}, "").status == cli::kFailed);
    CHECK(night.store_bytes() == before);
}

TEST_CASE("on a terminal what is missing is asked for, one key for the usual lot") {
    Night night;
    const Answer answer = night.at_terminal({"log"}, "\n142\n");
    CHECK_THAT(answer.err, Contains("1  brisket-1") && Contains("Which lot [1]"));
    CHECK(answer.status == cli::kDone);
    CHECK_THAT(answer.out, Contains("brisket-1, core: 142 °F"));
    CHECK_THAT(night.at_terminal({"log"}, "beans\n150\n").out, Contains("beans-1, core: 150 °F"));
    CHECK(night.says({"log"}).status == cli::kWrongUsage); // no terminal: nothing is asked
}

TEST_CASE("due tells what waits, soonest first, and json says the same") {
    Night night;
    night.set_clock("2026-11-01T06:30:00-07:00");
    night.good({"stage", "beans-1", "cooling", "140F", "--at", "2026-11-01 06:10"});
    night.good({"log", "beans-1", "134F"});
    night.set_clock("2026-11-01T06:40:00-07:00");
    const std::string said = night.good({"due"});
    CHECK_THAT(said, Contains("07:00 (in 20 min)") && Contains("08:10 (in 1 h 30 min)"));
    CHECK(said.find("brisket-1") < said.find("beans-1"));
    CHECK_THAT(night.good({"due", "--watch", "--rounds", "1"}), Contains(said));
    const std::string json = night.good({"due", "--format", "json"});
    CHECK_THAT(json, Contains("\"holdwarden-due/1\"") && Contains("cooling-first-window") &&
                         Contains("\"by\": \"2026-11-01T08:10:00-07:00\""));
    night.set_clock("2026-11-01T07:30:00-07:00");
    CHECK_THAT(night.good({"due"}), Contains("07:00 (30 min ago)"));
}

TEST_CASE("due refuses what it cannot do") {
    Night night;
    CHECK(night.says({"due", "--rounds", "2"}).status == cli::kWrongUsage);
    for (const char* bad : {"0", "-1", "many", "99999999999"}) {
        CHECK_THAT(night.says({"due", "--watch", std::string{"--rounds="} + bad}).err,
                   Contains("rounds"));
    }
    CHECK_THAT(night.says({"due", "--watch", "--every", "0s", "--rounds", "1"}).err,
               Contains("--every"));
}

TEST_CASE("a lot is split with amounts, and each part goes its way") {
    Night night;
    const std::string said =
        night.good({"split", "brisket-1", "slices=4lb:served", "pan=5lb:cooling", "--of", "9.5lb",
                    "--loss", "trim", "--form", "sliced"});
    CHECK_THAT(said, Contains("brisket-1: split, sliced, at 2026-11-01 06:00 -07:00 into "
                              "brisket-1-slices"));
    CHECK_THAT(said, Contains("trim 227 g") && Contains("has ended"));
    CHECK_THAT(night.good({"lot", "list"}), Contains("brisket-1-pan") && Contains("cooling"));
    const std::string whole = night.good({"lot", "show", "brisket-1"});
    CHECK_THAT(whole, Contains("family") && Contains("into brisket-1-slices"));
    CHECK_THAT(night.good({"lot", "show", "brisket-1-pan"}),
               Contains("from brisket-1") && Contains("hot-holding in cabinet-1"));
    CHECK_THAT(night.good({"lot", "show", "brisket-1-pan", "--format", "json"}),
               Contains("\"kind\": \"split\""));
    night.set_clock("2026-11-01T06:05:00-07:00");
    CHECK_THAT(night.says({"log", "brisket-1", "140F"}).err, Contains("brisket-1-pan"));
}

TEST_CASE("what is not accounted for is asked for on a terminal and refused elsewhere") {
    Night night;
    const std::vector<std::string> line{"split", "brisket-1", "a=4lb",  "b=5lb",
                                        "--of",  "9.5lb",     "--form", "whole"};
    const Answer refused = night.says(line);
    CHECK(refused.status == cli::kFailed);
    CHECK_THAT(refused.err, Contains("not accounted for") && Contains("--loss"));
    const Answer asked = night.at_terminal(line, "tasting\n");
    CHECK_THAT(asked.err, Contains("what was it? [trim]"));
    CHECK_THAT(asked.out, Contains("tasting 227 g"));
}

TEST_CASE("nobody is taken to have kept a roast whole who did not say so") {
    Night night;
    const Answer refused = night.says({"split", "brisket-1", "a", "b"});
    CHECK(refused.status == cli::kWrongUsage);
    CHECK_THAT(refused.err, Contains("--form"));
    CHECK_THAT(night.at_terminal({"split", "brisket-1", "a", "b"}, "p\n").out,
               Contains("split, pulled"));
    night.good({"split", "beans-1", "a", "b"}); // no roast: nothing hangs on it
}

TEST_CASE("lots are merged into one that takes the worst of them") {
    Night night;
    night.good({"stage", "brisket-2", "hot-holding", "--unit", "cabinet-1", "--at",
                "2026-10-31 20:00"}); // never read
    const std::string said =
        night.good({"merge", "brisket-1", "brisket-2", "--into", "pulled", "--form", "pulled"});
    CHECK_THAT(said, Contains("pulled: merged from") && Contains("hot-holding in cabinet-1"));
    night.set_clock("2026-11-01T06:30:00-07:00");
    CHECK_THAT(night.good({"log", "pulled", "150F"}), Contains("So far not shown"));
    CHECK(night.says({"check", "pulled"}).status == cli::kNotShown);
    CHECK_THAT(night.says({"check", "pulled"}).out, Contains("Merged from"));
    const Answer mixed = night.says({"merge", "pulled", "beans-1", "--into", "stew"});
    CHECK(mixed.status == cli::kWrongUsage);
    CHECK_THAT(mixed.err, Contains("stew:hot-holding"));
}

TEST_CASE("a stage named at a split or a merging goes on as it was running") {
    // FDA Food Code 2022, 3-501.19(C) (from memory): six hours only while the food is at 70 °F or
    // less. That the form, the unit and its setting go on is the project's own reading.
    Night night;
    night.good({"split", "brisket-1", "a:hot-holding", "b:cooling", "--form", "whole"});
    CHECK_THAT(night.good({"lot", "show", "brisket-1-a"}), Contains("hot-holding in cabinet-1"));
    CHECK(night.good({"lot", "show", "brisket-1-b"}).find("cooling in cabinet-1") ==
          std::string::npos);

    night.good({"stage", "beans-1", "time-control", "38F", "--form", "6h", "--at",
                "2026-11-01 05:00", "--unit", "cabinet-1"});
    const std::string split =
        night.good({"split", "beans-1", "a:time-control", "b", "--at", "2026-11-01 05:30"});
    CHECK_THAT(split, Contains("beans-1-a, time-control, 6h form"));
    const std::string merged = night.good({"merge", "beans-1-a", "beans-1-b", "--into",
                                           "pan:time-control", "--at", "2026-11-01 05:40"});
    CHECK_THAT(merged, Contains("time-control, 6h form in cabinet-1"));
    night.good({"log", "pan", "88F", "--at", "2026-11-01 05:50", "--sure"});
    const Answer judged = night.says({"check", "pan"});
    CHECK(judged.status == cli::kNotMet);
    CHECK_THAT(judged.out, Contains("88 °F at 05:50, above 70 °F"));
}

TEST_CASE("lots of two forms of time control become one of the four-hour form") {
    // 3-501.19(B) and (C), from memory.
    Night night;
    for (const char* form : {"6h", "4h"}) {
        const std::string lot = form == std::string{"6h"} ? "beans-1" : "brisket-2";
        night.good(
            {"stage", lot, "time-control", "38F", "--form", form, "--at", "2026-11-01 05:00"});
    }
    const std::string merged = night.good(
        {"merge", "beans-1", "brisket-2", "--into", "pan:time-control", "--form", "pulled"});
    CHECK(merged.find("6h form") == std::string::npos);
}

TEST_CASE("a night is closed lot by lot, and says what remains") {
    Night night;
    night.good({"log", "brisket-1", "144F", "--at", "2026-11-01 05:55"});
    const Answer listed = night.says({"close-night"});
    CHECK(listed.status == cli::kOpen);
    CHECK_THAT(listed.out,
               Contains("brisket-1: hot-holding in cabinet-1 since 05:00, last 144 °F") &&
                   Contains("beans-1: no stage yet") && Contains("stage brisket-1 served"));
    const std::string before = night.store_bytes();
    CHECK(night.at_terminal({"close-night"}, "q\n").status == cli::kFailed);
    CHECK(night.store_bytes() == before);

    const Answer closed = night.at_terminal({"close-night"}, "s\n05:59\nk\nd\n\n");
    CHECK(closed.status ==
          cli::kWrongUsage); // a bare clock is no time, and nothing after it is done
    const Answer again = night.at_terminal({"close-night"}, "s\n2026-11-01 05:59\nf\n\nd\n\n");
    CHECK(again.status == cli::kDone);
    CHECK_THAT(again.out, Contains("brisket-1: served at 2026-11-01 05:59") &&
                              Contains("brisket-2: cold-holding from") &&
                              Contains("beans-1: discarded at") && Contains("Nothing remains"));
    CHECK(night.says({"close-night"}).status == cli::kDone);
}

TEST_CASE("what waits for an answer or a reading keeps a night open") {
    Night night;
    night.good({"log", "brisket-1", "120F"});
    const Answer answer = night.at_terminal({"close-night"}, "s\n\nd\n\nd\n\n");
    CHECK(answer.status == cli::kOpen); // the food is gone, its flag is not
    CHECK_THAT(answer.out, Contains("brisket-1: hot-holding not met, waits for an answer"));
    night.good({"lot", "open", "ham-1", "--at", "2026-11-01T01:30:00-07:00"});
    night.good({"stage", "ham-1", "cold-holding", "38F", "--at", "2026-11-01T01:30:00-07:00"});
    const Answer late = night.says({"close-night"});
    CHECK(late.status == cli::kOpen);
    CHECK_THAT(late.out, Contains("ham-1: cold holding") && Contains("due since 03:30"));
}

TEST_CASE("a hand-over shows how every lot stands and what waits") {
    Night night;
    const std::string said = night.good({"handover", "--note", "walk-in door sticks"});
    CHECK_THAT(said, Contains("Larkspur Yard Smokehouse, hand-over at 2026-11-01 06:00") &&
                         Contains("brisket-1: hot-holding in cabinet-1 since 05:00, last 145 °F at "
                                  "05:00") &&
                         Contains("next reading by 07:00") && Contains("walk-in door sticks") &&
                         Contains("Handed over by: ____"));
    CHECK(night.says({"handover", "--sign"}).status != cli::kDone); // nobody is named
}

TEST_CASE("usual lots are saved once and opened with one command") {
    Night night;
    night.good({"template", "save", "rib", "--food", "whole-cut", "--mass", "3lb", "--stage",
                "cooking", "--unit", "cabinet-1", "--setting", "250F", "--plan", "wrap at 165"});
    night.good({"template", "save", "beans"});
    CHECK_THAT(night.good({"template", "list"}),
               Contains("whole-cut, 1.361 kg, cooking in cabinet-1, set to 250 °F; plan: wrap at "
                        "165"));
    const std::string said = night.good({"tonight", "rib=3", "beans"});
    CHECK_THAT(said, Contains("rib-1, rib-2, rib-3") && Contains("beans-2")); // beans-1 is taken
    CHECK_THAT(night.good({"lot", "list"}), Contains("rib-3") && Contains("cooking"));
    night.good({"template", "save", "rib", "--end"});
    const std::string before = night.store_bytes();
    CHECK(night.says({"tonight", "rib"}).status == cli::kFailed);
    CHECK(night.says({"tonight", "beans", "rib"}).status == cli::kFailed); // all or none
    CHECK(night.says({"tonight", "beans=0"}).status == cli::kWrongUsage);
    CHECK(night.says({"tonight"}).status == cli::kWrongUsage);
    CHECK(night.says({"template", "save", "x", "--unit", "cabinet-1"}).status == cli::kWrongUsage);
    CHECK(night.says({"template", "save", "x", "--stage", "toasting"}).status == cli::kWrongUsage);
    CHECK(night.store_bytes() == before);
}

TEST_CASE("a usual lot brings its points, its thermometers and its target band") {
    Night night;
    night.environment()["HOLDWARDEN_BY"] = "RK";
    night.good({"probe", "add", "stay-1"});
    const std::string saved =
        night.good({"template", "save", "rib", "--food", "whole-cut", "--stage", "hot-holding",
                    "--unit", "cab", "--point", "core=stay-1", "--point", "surface", "--target",
                    "140F..150F", "--plan", "wrap at 165"});
    CHECK_THAT(saved, Contains("read at core (stay-1), surface; best at 140 °F to 150 °F"));
    const std::string said = night.good({"tonight", "rib=2"});
    CHECK_THAT(said, Contains("rib-1; stay-1 reads core"));
    // A thermometer is in one thing at a time.
    CHECK_THAT(said, Contains("rib-2; stay-1 is in rib-1, core"));
    CHECK_THAT(night.good({"target", "list"}), Contains("rib-1") && Contains("rib-2") &&
                                                   Contains("140 °F to 150 °F") &&
                                                   Contains("usual for rib"));
    CHECK_THAT(night.good({"lot", "show", "rib-1"}), Contains("stay-1 in core"));
    const std::string before = night.store_bytes();
    for (const char* target : {"140F", "150F..140F", "140F..60C", "140F..140F"}) {
        INFO(target);
        CHECK(night.says({"template", "save", "rib", "--target", target}).status != cli::kDone);
    }
    CHECK(night.says({"template", "save", "rib", "--point", "core", "--point", "core"}).status ==
          cli::kFailed);
    CHECK(night.says({"template", "save", "rib", "--point", "core=p9"}).status == cli::kFailed);
    // Nobody is named: a band needs somebody who set it, and then nothing is opened.
    night.environment().erase("HOLDWARDEN_BY");
    CHECK(night.says({"tonight", "rib"}).status == cli::kFailed);
    CHECK(night.store_bytes() == before);
}

TEST_CASE("the thermometer of the environment is taken before the one used last") {
    Night night;
    night.environment()["HOLDWARDEN_PROBE"] = "p2";
    CHECK_THAT(night.good({"log", "brisket-1", "141"}), Contains("p2"));
    night.environment()["HOLDWARDEN_PROBE"] = "p9";
    CHECK(night.says({"log", "brisket-1", "141"}).status == cli::kFailed);
}

TEST_CASE("due tells the last day of food kept cold") {
    Night night;
    night.good({"lot", "open", "slaw", "--made-on", "2026-10-26"});
    night.good({"stage", "slaw", "cold-holding", "39F"});
    // 3-501.17(A): day 1 is 2026-10-26, day 7 is 2026-11-01, today.
    CHECK_THAT(night.good({"due"}), Contains("use, freeze or discard") &&
                                        Contains("the last day is 2026-11-01 (day 7)"));
    CHECK_THAT(night.good({"handover"}), Contains("slaw: use, freeze or discard it"));
}

TEST_CASE("the label of a merged lot has the earliest day 1 of what went in") {
    Night night;
    night.good({"lot", "open", "old", "--made-on", "2026-10-27"});
    night.good({"lot", "open", "new", "--made-on", "2026-10-31"});
    for (const char* lot : {"old", "new"}) {
        night.good({"stage", lot, "cold-holding", "39F"});
    }
    night.set_clock("2026-11-01T06:10:00-07:00");
    night.good({"merge", "old", "new", "--into", "slaw"});
    // 3-501.17(A) and (E): the earliest prepared ingredient counts; day 7 of 2026-10-27.
    CHECK_THAT(night.good({"label", "slaw"}), Contains("2026-11-02"));
}

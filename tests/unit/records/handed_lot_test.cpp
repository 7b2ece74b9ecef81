#include <holdwarden/base/error.hpp>
#include <holdwarden/records/handing.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::records;
using Catch::Matchers::Contains;

namespace {

Instant at(std::int64_t minutes) {
    return Instant::from_unix_s(1'793'000'000 + minutes * 60);
}

Temperature f(int degrees) {
    return Temperature::of_degrees(degrees, Scale::fahrenheit);
}

/// A lot in which every kind of line occurs.
HandedLot example() {
    HandedLot lot{.from = "Larkspur Yard Smokehouse",
                  .zone = "America/Denver",
                  .to = "Fairground tent",
                  .at = at(300),
                  .by = "RK"};
    RulesThere rules{.from = Instant::from_unix_ms(INT64_MIN),
                     .code = "us-fda-2022",
                     .title = "FDA Food Code",
                     .sha256 = std::string(64, 'a')};
    rules.house.push_back({.requirement = "hot-holding",
                           .at = f(140),
                           .since = at(-9),
                           .who = "RK",
                           .why = "a margin"});
    lot.rules.push_back(rules);
    lot.thickness_um = 63'500;
    lot.container = "2-inch pan";
    LotHistory& h = lot.history;
    h.name = "brisket-1";
    h.description = "Brisket, sliced";
    h.food = FoodKind::whole_cut;
    h.raw_mass_g = 5000;
    h.made_on = LocalDate{2026, 10, 31};
    h.cut = at(200);
    h.stages = {{.stage = Stage::cooking,
                 .from = at(0),
                 .unit = "smoker",
                 .setting = f(250),
                 .oven = OvenKind::convection,
                 .by = "RK"},
                {.stage = Stage::time_control,
                 .from = at(240),
                 .unit = "",
                 .setting = {},
                 .oven = {},
                 .by = ""}};
    Probe probe{.name = "hand-1",
                .accuracy = TemperatureDelta::of_thousandths(1000, Scale::fahrenheit),
                .last_check = at(-60)};
    probe.checks_kept = true;
    probe.checks.push_back({.at = at(-60),
                            .shown_found = f(32),
                            .truth = f(32),
                            .shown_left = f(32),
                            .passed = true,
                            .usable = true,
                            .method = "ice-point"});
    probe.overdue.push_back({.from = at(100), .to = {}});
    h.probes = {probe};
    h.points = {{.point = "core",
                 .readings = {{.at = at(230),
                               .value = f(150),
                               .probe = 0,
                               .watched_s = 15,
                               .origin = Origin::typed}}}};
    h.air = {{.unit = "smoker", .readings = {{.at = at(10), .value = f(248), .probe = 0}}}};
    Amendment amendment{.of = Amendment::Of::reading,
                        .subject = "core reading",
                        .point = "core",
                        .at = at(230),
                        .value = f(150),
                        .made_at = at(231),
                        .by = "RK",
                        .why = "a slip"};
    amendment.changes.push_back({.field = "value", .was = "15 °F", .now = "150 °F"});
    h.amendments = {amendment};
    h.marks = {{.kind = MarkKind::confirmed,
                .id = 3,
                .origin = Origin::logged,
                .probe = 0,
                .from = at(9),
                .to = at(11),
                .made_at = at(12),
                .by = "RK",
                .why = "seen",
                .came_later = {{.at = at(10), .value = f(151)}}}};
    h.remarks = {{.subject = "core reading",
                  .point = "core",
                  .value = f(150),
                  .happened_at = at(230),
                  .entered_at = at(260),
                  .late = true,
                  .by = "RK",
                  .why_late = "busy",
                  .paper = "folder 3"}};
    LotHistory source = h;
    source.probes.clear();
    source.name = "brisket-0";
    h.sources = {source};
    LotHistory first = h;
    first.points.front().readings.front().value = f(15);
    h.first_recorded = std::make_shared<const LotHistory>(first);
    h.came_from = {{.kitchen = "Third kitchen",
                    .zone = "UTC",
                    .handed_on = at(20),
                    .taken_in = at(30),
                    .sha256 = std::string(64, 'b'),
                    .signer = std::string(64, 'c'),
                    .rules = {rules}}};
    lot.placements = {{.probe = "p1", .point = "core", .from = at(0), .to = at(300)}};
    ActionThere action{.id = 1};
    action.facts.flag = "hot-holding@2026-10-31T22:00:00Z/core";
    action.facts.at = at(250);
    action.facts.person = "RK";
    action.facts.done = "reheated";
    action.facts.amount = Amount{5400, "kg"};
    action.facts.disposition = Disposition::reheated;
    action.stamp = {.entered_at = at(251), .by = "RK"};
    lot.actions = {action};
    lot.verifications = {
        {.action = 1, .accepted = true, .stamp = {.entered_at = at(252), .by = "MT"}}};
    return lot;
}

std::string with(std::string text, const std::string& what, const std::string& instead) {
    const std::size_t place = text.find(what);
    REQUIRE(place != std::string::npos);
    return text.replace(place, what.size(), instead);
}

void refused(const std::string& text, const char* words) {
    try {
        handed_lot_from_text(text);
        FAIL("was read");
    } catch (const Error& error) {
        CHECK_THAT(error.text().what, Contains(words));
    }
}

} // namespace

TEST_CASE("a handed lot's text is read back as it was written, every kind of line in it") {
    const std::string text = to_text(example());
    CHECK(to_text(handed_lot_from_text(text)) == text);
    for (const char* kind :
         {"\nrules\t", "\nhouse\t", "\nprobe\t", "\ncheck\t", "\noverdue\t", "\nstage\t",
          "\npoint\t", "\nr\t", "\nair\t", "\namendment\t", "\nchange\t", "\nmark\t", "\nremark\t",
          "\nsource\n", "\nfirst-recorded\n", "\ncame-from\t", "\nplaced\t", "\naction\t",
          "\nverification\t"}) {
        INFO(kind);
        CHECK(text.find(kind) != std::string::npos);
    }
    const HandedLot back = handed_lot_from_text(text);
    CHECK(back.history.points.front().readings == example().history.points.front().readings);
    CHECK(back.history.sources.front().name == "brisket-0");
    CHECK(back.history.first_recorded->points.front().readings.front().value == f(15));
    CHECK(back.history.probes.front().checks.front().shown_left == f(32));
}

TEST_CASE("a hostile handed lot is refused with words, whoever signed it") {
    const std::string text = to_text(example());
    refused(with(text, "holdwarden-handed-lot/1", "holdwarden-handed-lot/2"), "newer form");
    refused(with(text, "holdwarden-handed-lot/1", "shopping list"), "missing");
    refused(with(text, "brisket-1", std::string(10'000'000, 'b')), "too long");
    refused(with(text, "brisket-1", "bris\x1b[2Jket"), "control character");
    refused(with(text, "brisket-1", "bris\xffket"), "control character");
    refused(with(text, "brisket-1", "../brisket"), "cannot be used");
    refused(with(text, "brisket-1", std::string(65, 'b')), "longer than 64");
    refused(with(text, "\nlot\t", "\nlot" + std::string(5'000'000, '\t')), "too many fields");
    refused(with(text, "hot-holding", "hot-holding\tmore"), "whole number");
    refused(with(text, "America/Denver", "America/Larkspur"), "America/Larkspur");
    refused(with(text, "whole-cut", "unicorn"), "not known here");
    refused(with(text, "150000\tF", "9999999\tF"), "outside the range");
    refused(with(text, "150000\tF", "0150000\tF"), "whole number");
    refused(with(text, "150000\tF", "150000\tK"), "not known here");
    refused(text.substr(0, text.size() - 1), "no end");
    refused(text + "lot\n", "goes on");
    refused(with(text, "\nend-lot\n", "\n"), "missing");
    std::string deep;
    for (int i = 0; i < 100'000; ++i) {
        deep += "source\nlot\tbrisket-1\t\twhole-cut\t\t0\t\t\n";
    }
    refused(with(text, "source\n", deep + "source\n"), "too deep");
}

TEST_CASE("times and probes of a handed lot must fit each other") {
    HandedLot lot = example();
    lot.history.points.front().readings.front().at = at(301); // after it was handed on
    refused(to_text(lot), "not of the time before");
    lot = example();
    lot.history.points.front().readings.front().probe = 7;
    refused(to_text(lot), "does not name");
    lot = example();
    std::swap(lot.history.stages[0], lot.history.stages[1]);
    refused(to_text(lot), "order of time");
    lot = example();
    lot.history.marks.front().probe = 7;
    refused(to_text(lot), "does not name");
    lot = example();
    lot.rules.clear();
    refused(to_text(lot), "by what it was judged");
}

TEST_CASE("what is told until an instant holds nothing later") {
    const LotHistory h = told_until(example().history, at(120));
    CHECK(h.stages.size() == 1);
    CHECK(h.points.front().readings.empty());
    CHECK_FALSE(h.cut.has_value());
    CHECK(h.probes.front().overdue.size() == 1);
    CHECK(h.sources.front().stages.size() == 1);
    CHECK(told_until(example().history, at(99)).probes.front().overdue.empty());
}

TEST_CASE("lots of another kitchen are numbered anew, each differently for each taking in") {
    HandedLot lot = example();
    lot.history.told_from = {LotId::of(3), LotId::of(9)};
    lot.history.marks.front().lot = LotId::of(9);
    const LotHistory read = handed_lot_from_text(to_text(lot)).history;
    CHECK(read.told_from == lot.history.told_from);
    const LotHistory here = told_for(read, LotId::of(5));
    CHECK(here.marks.front().lot == here.told_from[1]);
    CHECK_FALSE(here.told_from[0] == here.told_from[1]);
    CHECK(here.told_from[0].value() < 0);
    CHECK_FALSE(told_for(read, LotId::of(6)).told_from[0] == here.told_from[0]);
    CHECK_FALSE(told_for(read, LotId::of(6)).told_from[0] == here.told_from[1]);
}

TEST_CASE("things and persons of another kitchen bear its name, points of the food do not") {
    const LotHistory h = as_of_kitchen(example().history, "Larkspur");
    CHECK(h.probes.front().name == "hand-1 @ Larkspur");
    CHECK(h.stages.front().unit == "smoker @ Larkspur");
    CHECK(h.stages.back().unit.empty());
    CHECK(h.air.front().unit == "smoker @ Larkspur");
    CHECK(h.points.front().point == "core");
    CHECK(h.amendments.front().by == "RK @ Larkspur");
    CHECK(h.sources.front().stages.front().by == "RK @ Larkspur");
    CHECK(h.first_recorded->probes.front().name == "hand-1 @ Larkspur");
}

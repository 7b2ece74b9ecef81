// The text that a signature is bound to: docs/formats/signed-content.md, written out by hand from
// it.
#include "lots.hpp"

#include <holdwarden/judge/signed_content.hpp>

using namespace holdwarden;
using namespace holdwarden::test;

TEST_CASE("the text of a lot gives each fact on its line, a tab between fields") {
    Lot lot;
    records::LotHistory& h = lot.history();
    h.name = "pan\t1";
    h.description = "a\\b\nc\rd";
    h.raw_mass_g = 3000;
    h.made_on = LocalDate{2026, 10, 31};
    lot.stage(Stage::hot_holding, 0).stage(Stage::time_control, 60).served(90);
    h.stages[0].unit = "pit";
    h.stages[0].setting = Temperature::of_degrees(350, Scale::fahrenheit);
    h.stages[0].oven = OvenKind::still_dry;
    h.stages[0].by = "RK";
    h.stages[1].form = records::TimeControlForm::six_hours;
    h.probes[0].accuracy = TemperatureDelta::of_thousandths(500, Scale::fahrenheit);
    lot.readings({{0, 140}}).readings({{30.5, -5}}, Scale::celsius);
    h.points[0].readings[0].origin = records::Origin::typed;
    h.points[0].readings[0].watched_s = 15;
    h.points[0].readings[1].probe = 1; // not on record
    h.points[0].readings[1].suspect = true;
    h.air = {{"pit", {reading({0, 225})}}};
    LotJudgement judged;
    judged.overall = Verdict::not_shown;
    judged.notes = {"one"};
    CHECK(judge::signed_content(h, judged, {}, {}) ==
          "holdwarden-signed-lot/1\n"
          "lot\tpan\\t1\ta\\\\b\\nc\\rd\tother-tcs\t3000\t0\t2026-10-31\n"
          "stage\thot-holding\t2026-10-31T18:00:00Z\tpit\t350000 F\tstill-dry\t4h\tRK\n"
          "stage\ttime-control\t2026-10-31T19:00:00Z\t\t\t\t6h\t\n"
          "end\tserved\t2026-10-31T19:30:00Z\t\n"
          "probe\tp1\t500 F\t\t\n"
          "point\tcore\n"
          "reading\t2026-10-31T18:00:00Z\t140000 F\tp1\ttyped\t15\t0\n"
          "reading\t2026-10-31T18:30:30Z\t-5000 C\t\tlogged\t0\t1\n"
          "air\tpit\n"
          "reading\t2026-10-31T18:00:00Z\t225000 F\tp1\tlogged\t0\t0\n"
          "judged\tnot-shown\n"
          "note\tone\n");
}

TEST_CASE("the text of a period lists its lots by name") {
    CHECK(judge::signed_content(at(0), at(60), {{"b", "ff"}, {"a", "ee"}}) ==
          "holdwarden-signed-period/1\n"
          "period\t2026-10-31T18:00:00Z\t2026-10-31T19:00:00Z\n"
          "lot\ta\tee\n"
          "lot\tb\tff\n");
}

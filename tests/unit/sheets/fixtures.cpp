#include "fixtures.hpp"

#include <holdwarden/judge/answers.hpp>
#include <holdwarden/sheets/build.hpp>

#include <cmath>

namespace holdwarden::sheets::fixtures {
namespace {

using judge::Finding;
using judge::Verdict;
using records::Reading;

constexpr auto F = Scale::fahrenheit;
constexpr auto C = Scale::celsius;

Temperature tenths(double degrees) {
    return Temperature::of_thousandths(static_cast<std::int32_t>(std::lround(degrees * 10) * 100),
                                       F);
}

Reading reading(Instant at, Temperature value, std::uint32_t probe, std::uint32_t line) {
    Reading r;
    r.at = at;
    r.value = value;
    r.probe = probe;
    r.line = line;
    return r;
}

records::StageEntry stage(Stage what, Instant from, std::string unit) {
    records::StageEntry entry;
    entry.stage = what;
    entry.from = from;
    entry.unit = std::move(unit);
    entry.by = "R. Ames";
    return entry;
}

/// Cooling towards `air` with a time constant, a reading each `step` minutes.
std::vector<Reading> sinking(Instant from, int minutes, int step, double start, double air,
                             double tau_minutes, std::uint32_t probe) {
    std::vector<Reading> readings;
    for (int m = 0; m <= minutes; m += step) {
        readings.push_back(reading(from + Span::minutes(m),
                                   tenths(air + (start - air) * std::exp(-m / tau_minutes)), probe,
                                   static_cast<std::uint32_t>(2 + m / step)));
    }
    return readings;
}

Finding hot_holding(Stage in, Instant from, Verdict verdict) {
    Finding f;
    f.requirement = "hot-holding";
    f.clause = "3-501.16(A)(1)";
    f.stage = in;
    f.stage_from = from;
    f.verdict = verdict;
    f.limit.text = "135 °F (57 °C) or above";
    f.limit.fahrenheit = Temperature::of_degrees(135, F);
    f.limit.celsius = Temperature::of_degrees(57, C);
    f.limit.hot_side = true;
    return f;
}

} // namespace

Instant after_noon(std::int64_t minutes) {
    return *parse_rfc3339("2026-10-31T12:00:00-06:00") + Span::minutes(minutes);
}

SiteFacts larkspur() {
    SiteFacts site;
    site.name = "Larkspur Yard Smokehouse";
    site.zone = Zone::named("America/Denver");
    site.altitude = records::parse_altitude("5280 ft");
    site.scale = F;
    site.pack_id = "us-fda-2022";
    site.pack_title = "FDA Food Code";
    site.pack_edition = "2022";
    site.pack_caution = "A model code: only what your state or county adopted is law.";
    site.largest_interval = Span::minutes(30);
    site.as_of = after_noon(24 * 60);
    const Instant since = *parse_rfc3339("2026-10-01T06:00:00-06:00");
    const Instant until = *parse_rfc3339("2026-10-15T06:00:00-06:00");
    site.house_limits = {{.limit = {.requirement = "hot-holding",
                                    .at = Temperature::of_degrees(145, F),
                                    .since = since,
                                    .who = "RK",
                                    .why = "a cold cabinet"},
                          .from = since,
                          .until = until},
                         {.limit = {.requirement = "hot-holding",
                                    .at = Temperature::of_degrees(140, F),
                                    .since = until,
                                    .who = "M. Okafor",
                                    .why = "room to act"},
                          .from = until},
                         {.limit = {.requirement = "cooling-total",
                                    .within = Span::hours(5),
                                    .since = since,
                                    .who = "M. Okafor",
                                    .why = "small walk-in",
                                    .variance = "2026-17"},
                          .from = since}};
    site.variances = {"2026-17: cooling in five hours, approved 2026-09-20"};
    site.history = HistoryHead{.leaves = 1234, .root = {}};
    for (int i = 0; i < 16; ++i) {
        site.history->root += "a3f5";
    }
    return site;
}

Made made() {
    return {.at = after_noon(25 * 60), .by = "M. Okafor", .software = "holdwarden 0.1.0"};
}

LotRecord sunken_brisket() {
    LotRecord lot;
    auto& h = lot.history;
    h.name = "brisket-2";
    h.description = "packer brisket, wrapped";
    h.food = FoodKind::whole_cut;
    h.raw_mass_g = 6350;
    const Instant rest = after_noon(7 * 60); // 19:00
    const Instant end = after_noon(21 * 60); // 08:00, an hour later than the clocks say
    h.stages = {stage(Stage::cooking, after_noon(-4 * 60), "offset smoker"),
                stage(Stage::resting, rest, "insulated chest")};
    h.stages[0].setting = Temperature::of_degrees(250, F);
    h.stages[0].oven = OvenKind::still_dry;
    h.end = records::LotEnd{Outcome::discarded, end, "R. Ames"};
    h.probes = {{"thin-1", TemperatureDelta::of_thousandths(1000, F), after_noon(-5 * 60)},
                {"thin-2", std::nullopt, std::nullopt}};
    auto core = sinking(rest, 14 * 60, 10, 203, 68, 840, 0);
    core[30].value = Temperature::of_degrees(212, F); // a step no food makes
    core[30].suspect = true;
    h.points = {{"core", core}, {"flat", sinking(rest, 14 * 60, 10, 201, 66, 700, 1)}};

    const auto& flat = h.points[1].readings;
    std::size_t first = 0;
    while (flat[first].value.thousandths() >= 135'000) {
        ++first;
    }
    Finding f = hot_holding(Stage::resting, rest, Verdict::not_met);
    f.point = "flat";
    judge::Excursion e;
    e.from = {flat[first - 1].at, flat[first].at};
    e.to = {flat.back().at, flat.back().at};
    e.length = {flat.back().at - flat[first].at, std::nullopt, flat.back().at - flat[first - 1].at};
    e.worst = flat.back().value;
    e.worst_at = flat.back().at;
    e.degree_minutes = 5120;
    f.excursions = {e};
    f.reason = "The flat was below 135 °F from 2026-11-01 02:00 -07:00 until it was discarded.";
    f.margin.temperature =
        TemperatureDelta::of_thousandths(flat.back().value.thousandths() - 135'000, F);
    f.evidence = {flat[first - 1], flat[first], flat.back()};
    f.notes = {"Probe thin-2 was never checked."};
    Finding cooked = hot_holding(Stage::cooking, after_noon(-4 * 60), Verdict::met);
    cooked.requirement = "cooking";
    cooked.clause = "3-401.11(A)(1)";
    cooked.limit.text = "145 °F (63 °C) for 15 s";
    cooked.limit.fahrenheit = Temperature::of_degrees(145, F);
    cooked.limit.celsius = Temperature::of_degrees(63, C);
    cooked.limit.within = Span::seconds(15);
    cooked.elapsed = {Span::hours(3), std::nullopt, Span::minutes(185)};
    cooked.margin.time = Span::minutes(179);
    lot.judged.lot = h.name;
    lot.judged.food = h.food;
    lot.judged.findings = {cooked, f};
    lot.judged.overall = Verdict::not_met;
    lot.judged.below_hot_limit = e.length;
    judge::Flag flag;
    flag.finding = 1;
    flag.id = "brisket-2/hot-holding/1";
    flag.act = {"Do not serve it.", "Discard it, or ask the person in charge within the hour."};
    flag.source = "FDA Food Code 2022, 3-501.16(A)(1)";
    lot.judged.flags = {flag};
    return lot;
}

LotRecord warm_shoulder() {
    LotRecord lot;
    auto& h = lot.history;
    h.name = "shoulder-1";
    h.food = FoodKind::whole_cut;
    const Instant hold = after_noon(9 * 60);
    h.stages = {stage(Stage::hot_holding, hold, "warm oven")};
    h.stages[0].setting = Temperature::of_degrees(165, F);
    h.end = records::LotEnd{Outcome::served, after_noon(22 * 60), "R. Ames"};
    h.probes = {{"thin-3", TemperatureDelta::of_thousandths(1000, F), after_noon(-5 * 60)}};
    h.points = {{"core", sinking(hold, 13 * 60, 15, 171, 164, 200, 0)}};
    Finding f = hot_holding(Stage::hot_holding, hold, Verdict::met);
    f.point = "core";
    f.reason = "Every reading from 2026-10-31 21:00 -06:00 on is at or above 135 °F.";
    f.margin.temperature = TemperatureDelta::of_thousandths(29'100, F);
    f.evidence = {h.points[0].readings.front(), h.points[0].readings.back()};
    lot.judged.lot = h.name;
    lot.judged.findings = {f};
    lot.judged.overall = Verdict::met;
    return lot;
}

LotRecord silent_probe() {
    LotRecord lot = warm_shoulder();
    auto& h = lot.history;
    h.name = "shoulder-2";
    auto& readings = h.points[0].readings;
    const auto silent_from = readings.begin() + 20;
    const judge::Gap gap{(silent_from - 1)->at, (silent_from + 3)->at};
    readings.erase(silent_from, silent_from + 3);
    auto& f = lot.judged.findings[0];
    f.verdict = Verdict::not_shown;
    f.gaps = {gap};
    f.reason = "No reading vouches for 1 h in the night; 30 min is the largest interval.";
    f.settle = "A reading between would have settled it; nothing later can.";
    lot.judged.lot = h.name;
    lot.judged.overall = Verdict::not_shown;
    judge::Flag flag;
    flag.act = {"Measure it now.", "Decide with the person in charge whether to serve it."};
    flag.by = after_noon(23 * 60);
    flag.source = "common practice";
    lot.judged.flags = {flag};
    return lot;
}

LotRecord cooling_beans() {
    LotRecord lot;
    auto& h = lot.history;
    h.name = "beans-1";
    h.food = FoodKind::plant;
    const Instant start = after_noon(23 * 60);
    h.stages = {stage(Stage::cooling, start, "walk-in, shallow pans")};
    h.probes = {{"thin-4", TemperatureDelta::of_thousandths(2000, F), std::nullopt}};
    h.points = {{"core", sinking(start, 60, 10, 141, 38, 70, 0)}};
    Finding f = hot_holding(Stage::cooling, start, Verdict::open);
    f.requirement = "cooling-first-window";
    f.clause = "3-501.14(A)(1)";
    f.limit.text = "135 °F (57 °C) to 70 °F (21 °C) within 2 h";
    f.limit.fahrenheit = Temperature::of_degrees(70, F);
    f.limit.celsius = Temperature::of_degrees(21, C);
    f.limit.within = Span::hours(2);
    f.limit.hot_side = false;
    f.elapsed = {Span::minutes(50), std::nullopt, Span::hours(1)};
    f.reason = "Not yet at 70 °F; the time allowed runs until 2026-11-01 12:05 -07:00.";
    f.settle = "A reading at or below 70 °F by 2026-11-01 12:05 -07:00.";
    lot.judged.lot = h.name;
    lot.judged.findings = {f};
    lot.judged.overall = Verdict::open;
    return lot;
}

Troubles troubles() {
    return {.rejects = {{"night.csv", 118, "2026-11-01T01:10:00-06:00,thin-1,nan",
                         "temperature 'nan' is not a number"}},
            .conflicts = {{"brisket-2", "core", after_noon(13 * 60 + 30),
                           Temperature::of_thousandths(141'300, F),
                           Temperature::of_thousandths(141'900, F)}}};
}

CheckRecords checks() {
    const auto f = [](double degrees) { return tenths(degrees); };
    const auto made = [](std::string probe, records::CheckMethod method, Temperature found,
                         Temperature expected, std::int64_t minutes) {
        records::ProbeCheck check{.probe = records::ProbeId::of(1)};
        check.at = after_noon(minutes);
        check.method = method;
        check.found = found;
        check.expected = expected;
        check.tolerance = TemperatureDelta::of_thousandths(2000, F);
        check.person = "R. Ames";
        return CheckRecord{std::move(probe), check};
    };
    CheckRecords records;
    records.checks = {made("thin-1", records::CheckMethod::ice_point, f(32.4), f(32), 60),
                      // Water boils at 202.6 °F at 5,280 ft: from memory, a round figure.
                      made("thin-2", records::CheckMethod::boiling_point, f(206.1), f(202.6), 70),
                      made("thin-3", records::CheckMethod::side_by_side, f(140.2), f(139.9), 80)};
    records.checks[1].check.left = f(202.8);
    records.checks[2].check.reference = "thin-1";
    records.missed = {{"thin-4", after_noon(6 * 60)}};
    records.unchecked = {{"thin-4", after_noon(-30 * 60)}, {"thin-5", std::nullopt}};
    return records;
}

std::vector<Sheet> every_sheet() {
    std::vector<LotRecord> lots = {warm_shoulder(), cooling_beans(), silent_probe(),
                                   sunken_brisket()};
    const Nights nights{{2026, 10, 31}, {2026, 10, 31}};
    const SiteFacts site = larkspur();
    for (LotRecord& lot : lots) {
        lot.answers = judge::answered_flags(lot.history, lot.judged, {}, {}, site.as_of);
    }
    std::vector<Sheet> sheets = {
        night_sheet(site, nights.first, lots, troubles(), sheets::fixtures::made()),
        lot_sheet(site, sunken_brisket(), troubles(), sheets::fixtures::made()),
        cooling_log(site, nights, lots, sheets::fixtures::made()),
        holding_log(site, nights, lots, sheets::fixtures::made()),
        check_log(site, nights, checks(), sheets::fixtures::made())};
    const Period period = period_of(nights, site.zone);
    const std::vector<ReviewDue> reviews = {
        {.lot = "brisket-2", .due = after_noon(40 * 60), .overdue = true}};
    sheets.push_back(actions_sheet(site, period, lots, sheets::fixtures::made()));
    sheets.push_back(open_items_sheet(site, period, lots, {}, reviews, sheets::fixtures::made()));
    for (int i = 0; i < 4; ++i) {
        lots.push_back(warm_shoulder());
        lots.back().history.name = "shoulder-" + std::to_string(i + 3);
    }
    sheets.push_back(period_summary(site, nights, lots, sheets::fixtures::made()));
    return sheets;
}

LotRecord long_hold(std::size_t readings, Span step) {
    LotRecord lot = warm_shoulder();
    auto& h = lot.history;
    h.points[0].readings.clear();
    const Instant from = h.stages[0].from;
    for (std::size_t i = 0; i < readings; ++i) {
        const auto n = static_cast<std::int64_t>(i);
        h.points[0].readings.push_back(
            reading(from + Span::milliseconds(n * step.ms()),
                    tenths(160 + 8 * std::sin(static_cast<double>(n) / 40)), 0,
                    static_cast<std::uint32_t>(i + 2)));
    }
    h.end->at = h.points[0].readings.back().at;
    return lot;
}

std::vector<std::string> between(const std::string& text, const std::string& open,
                                 const std::string& close) {
    std::vector<std::string> parts;
    for (auto at = text.find(open); at != std::string::npos; at = text.find(open, at)) {
        at += open.size();
        const auto end = text.find(close, at);
        if (end == std::string::npos) {
            break;
        }
        parts.push_back(text.substr(at, end - at));
    }
    return parts;
}

std::size_t count_of(const std::string& text, const std::string& part) {
    std::size_t n = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
        ++n;
    }
    return n;
}

namespace {

records::StoredAction action(const LotRecord& lot) {
    return {.id = records::ActionId::of(7),
            .facts = {.flag = lot.judged.flags.front().id,
                      .at = after_noon(600),
                      .person = "RK",
                      .done = "moved it to the warm oven",
                      .amount = records::Amount{.thousandths = 5400, .unit = "kg"},
                      .disposition = records::Disposition::reheated,
                      .cause = "the chest's lid stood open"},
            .entry = records::EntryId::of(1),
            .stamp = {.entered_at = after_noon(601), .by = "RK"}};
}

} // namespace

LotRecord answered(judge::AnswerState state) {
    LotRecord lot = sunken_brisket();
    for (std::size_t i = 0; i < lot.judged.flags.size(); ++i) {
        lot.answers.push_back({.id = lot.judged.flags[i].id,
                               .flag = i,
                               .state = state,
                               .overdue = state == judge::AnswerState::unanswered,
                               .due = after_noon(660)});
    }
    if (state != judge::AnswerState::unanswered) {
        lot.answers.front().actions.push_back(action(lot));
    }
    if (state == judge::AnswerState::incomplete) {
        lot.answers.front().missing = {{"prevention", "what is done against its coming back", {}}};
    }
    if (state == judge::AnswerState::closed) {
        lot.answers.front().verified.push_back(
            {.id = records::VerificationId::of(1),
             .facts = {.action = records::ActionId::of(7)},
             .entry = records::EntryId::of(2),
             .stamp = {.entered_at = after_noon(700), .by = "QM"}});
    }
    return lot;
}

} // namespace holdwarden::sheets::fixtures

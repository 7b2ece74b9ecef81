// The judge against a second one (reference.hpp) on small random logs, drawn so that they often lie
// exactly on a figure or exactly as long as a limit. Figures: FDA Food Code 2022, 3-501.14(A) and
// 3-501.16(A), with shorter times so that a handful of readings decides.
#include "reference.hpp"

using namespace holdwarden;
using namespace holdwarden::test;
using codes::TemperatureLimit;
using codes::Words;

namespace {

constexpr Figure kHot{135'000, 57'000};
constexpr Figure kWarm{70'000, 21'000};
constexpr Figure kCold{41'000, 5'000};

TemperatureLimit limit(Figure figure, Words words) {
    return {Temperature::of_thousandths(figure.f, Scale::fahrenheit),
            Temperature::of_thousandths(figure.c, Scale::celsius), words};
}

codes::Requirement requirement(const std::string& id, codes::Rule rule) {
    return {id, "test", codes::Status::seen_in_edition, "", {}, std::move(rule), ""};
}

codes::Requirement window(const std::string& id, const ReferenceWindow& w,
                          const std::string& after = "") {
    codes::WindowRule rule;
    if (after.empty()) {
        rule.from = limit(w.from, Words::at_or_above);
    } else {
        rule.start = codes::WindowStart::end_of_window;
        rule.after = after;
    }
    rule.to = limit(w.to, Words::at_or_below);
    rule.within = {w.within, w.figure_included};
    return requirement(id, rule);
}

/// A value on, next to or well away from one of the figures, in either scale.
Temperature any_value(const std::vector<Figure>& figures) {
    const Scale scale = *rc::gen::element(Scale::fahrenheit, Scale::celsius);
    const Figure figure = *rc::gen::elementOf(figures);
    const int off =
        *rc::gen::element(0, 0, 1, -1, 100, -100, 1000, -1000, 2500, -2500, 12'000, -12'000);
    return Temperature::of_thousandths(figure.in(scale) + off, scale);
}

/// Up to eight readings on whole five minutes; often falling, as food that cools does.
Log any_log(const std::vector<Figure>& figures, int last_minute, bool conflicts = false) {
    Log log;
    const int count = whole(0, 9);
    for (int i = 0; i < count; ++i) {
        records::Reading r;
        r.at = at(5.0 * whole(0, last_minute / 5 + 1));
        r.value = any_value(figures);
        const bool taken = std::ranges::find(log, r.at, &records::Reading::at) != log.end();
        if (conflicts || !taken) {
            log.push_back(r);
        }
    }
    if (*rc::gen::element(true, true, false)) {
        std::vector<Temperature> values;
        for (const auto& r : log) {
            values.push_back(r.value);
        }
        std::ranges::sort(values, [](Temperature a, Temperature b) {
            return physical_order(a, b) == std::strong_ordering::greater;
        });
        std::ranges::sort(log, {}, &records::Reading::at);
        for (std::size_t i = 0; i < log.size(); ++i) {
            log[i].value = values[i];
        }
    }
    std::ranges::stable_sort(log, {}, &records::Reading::at);
    return log;
}

std::string described(const Log& log) {
    std::string text;
    for (const auto& r : log) {
        text += std::to_string((r.at - kStart).ms() / 60'000) + " min " + to_text(r.value) + ", ";
    }
    return text;
}

std::string described(const Allowed& allowed) {
    std::string text;
    for (const Verdict v : allowed) {
        text += std::string{to_words(v)} + " ";
    }
    return text;
}

void agree(const Finding* finding, const Allowed& allowed) {
    RC_ASSERT(finding != nullptr);
    RC_LOG() << finding->requirement << ": " << to_words(finding->verdict) << " ("
             << finding->reason << "), allowed: " << described(allowed) << "\n";
    RC_ASSERT(std::ranges::find(allowed, finding->verdict) != allowed.end());
}

judge::Settings any_settings(Instant as_of, std::int32_t band_f) {
    judge::Settings settings;
    settings.as_of = as_of;
    if (band_f > 0) {
        settings.rule = judge::DecisionRule::guarded;
        settings.tolerance = TemperatureDelta::of_thousandths(band_f, Scale::fahrenheit);
    }
    return settings;
}

/// Several in each case, so that a run that shows no `met` or no `not met` is as good as
/// impossible.
template <class One>
void for_many(One one) {
    rc::prop(property_name(), [&] {
        for (int i = 0; i < 4; ++i) {
            one();
        }
    });
}

} // namespace

TEST_CASE("windows are read as a second, plain judge reads them") {
    Seen first_seen;
    Seen second_seen;
    for_many([&] {
        const bool included = *rc::gen::arbitrary<bool>();
        const ReferenceWindow first{kHot, kWarm, Span::minutes(60), included};
        const ReferenceWindow total{kHot, kCold, Span::minutes(120), included};
        const ReferenceWindow second{kHot, kCold, Span::minutes(60), included};
        codes::Pack pack;
        pack.requirements = {window("cooling-first-window", first), window("cooling-total", total),
                             window("cooling-second-window", second, "cooling-first-window")};

        const Log log = any_log({kHot, kHot, kWarm, kWarm, kCold}, 180);
        const bool held_before = *rc::gen::arbitrary<bool>();
        const Instant stage_from = at(held_before ? 5.0 * whole(1, 12) : 0);
        const std::int32_t band = *rc::gen::element(0, 0, 1000, 1800);
        const double now = 5.0 * whole(36, 60);
        Ending ending{at(now), std::nullopt};

        records::LotHistory lot;
        lot.probes = {{"p1", std::nullopt, std::nullopt}};
        if (held_before) {
            lot.stages.push_back({Stage::hot_holding, at(0), "", {}, {}, {}, ""});
        }
        lot.stages.push_back({Stage::cooling, stage_from, "", {}, {}, {}, ""});
        if (*rc::gen::arbitrary<bool>()) {
            ending.served = at(5.0 * whole(36, 60));
            lot.end = records::LotEnd{Outcome::served, *ending.served, ""};
        }
        lot.points.push_back({"core", log});
        const bool in_stage =
            std::ranges::any_of(log, [&](const records::Reading& r) { return r.at >= stage_from; });
        if (!in_stage) {
            return;
        }

        const auto judged = judge::judge_lot(lot, pack, any_settings(at(now), band));
        RC_LOG() << described(log) << "cooling from " << (stage_from - kStart).ms() / 60'000
                 << ", as of " << now << ", served "
                 << (ending.served ? (*ending.served - kStart).ms() / 60'000 : -1) << ", band "
                 << band << (included ? "" : ", less than") << "\n";
        const Finding* const f = find(judged, "cooling-first-window");
        agree(f, reference_window(log, stage_from, first, ending, band));
        first_seen.count(f->verdict);
        agree(find(judged, "cooling-total"),
              reference_window(log, stage_from, total, ending, band));
        if (band == 0) {
            const Finding* const s = find(judged, "cooling-second-window");
            agree(s, reference_second_window(log, stage_from, first, second, ending));
            second_seen.count(s->verdict);
        }
    });
    CHECK(first_seen.percent(first_seen.met) >= 1);
    CHECK(first_seen.percent(first_seen.not_met) >= 1);
    CHECK(second_seen.percent(second_seen.met) >= 1);
}

TEST_CASE("holds are read as a second, plain judge reads them") {
    Seen seen;
    for_many([&] {
        const bool hot = *rc::gen::arbitrary<bool>();
        const Figure figure = hot ? kHot : kCold;
        codes::Pack pack;
        pack.requirements = {requirement(
            hot ? "hot-holding" : "cold-holding",
            codes::HoldRule{limit(figure, hot ? Words::at_or_above : Words::at_or_below)})};
        std::vector<Log> points;
        const int count = whole(1, 4);
        const bool mostly_right = *rc::gen::element(true, true, false);
        for (int i = 0; i < count; ++i) {
            Log log = any_log({figure}, 180, true);
            if (mostly_right) {
                for (auto& r : log) {
                    const int off = r.value.thousandths() - figure.in(r.value.scale());
                    r.value = Temperature::of_thousandths(
                        figure.in(r.value.scale()) + (hot ? std::abs(off) : -std::abs(off)),
                        r.value.scale());
                }
            }
            points.push_back(log);
        }
        const std::int32_t band = *rc::gen::element(0, 0, 0, 1000, 1800);
        const bool running = *rc::gen::arbitrary<bool>();
        const HoldSpan hold{at(5.0 * whole(0, 8)), at(5.0 * whole(16, 48)), running,
                            Span::minutes(5 * whole(3, 25))};
        for (Log& log : points) { // what is read after the end is no part of the hold
            std::erase_if(log, [&](const records::Reading& r) { return r.at > hold.to; });
        }
        if (!hot) { // cold holding binds from the first cold reading: let the stage begin with one
            records::Reading r;
            r.at = hold.from;
            r.value = Temperature::of_thousandths(0, Scale::celsius);
            std::erase_if(points.front(),
                          [&](const records::Reading& x) { return x.at <= hold.from; });
            points.front().insert(points.front().begin(), r);
            for (std::size_t i = 1; i < points.size(); ++i) {
                std::erase_if(points[i],
                              [&](const records::Reading& x) { return x.at <= hold.from; });
            }
        }

        records::LotHistory lot;
        lot.probes = {{"p1", std::nullopt, std::nullopt}};
        lot.stages.push_back(
            {hot ? Stage::hot_holding : Stage::cold_holding, hold.from, "", {}, {}, {}, ""});
        if (!running) {
            lot.end = records::LotEnd{Outcome::served, hold.to, ""};
        }
        for (std::size_t i = 0; i < points.size(); ++i) {
            lot.points.push_back({"point " + std::to_string(i), points[i]});
        }
        judge::Settings settings = any_settings(hold.to, band);
        settings.largest_interval = hold.largest_interval;
        const auto judged = judge::judge_lot(lot, pack, settings);
        for (const Log& log : points) {
            RC_LOG() << described(log) << "\n";
        }
        RC_LOG() << (hot ? "hot" : "cold") << " from " << (hold.from - kStart).ms() / 60'000
                 << " to " << (hold.to - kStart).ms() / 60'000 << (running ? " running" : "")
                 << ", interval " << hold.largest_interval.ms() / 60'000 << ", band " << band
                 << "\n";
        const Allowed allowed = reference_hold(points, hold, figure, hot, band);
        RC_LOG() << to_words(judged.overall) << ", allowed " << described(allowed) << "\n";
        seen.count(judged.overall);
        RC_ASSERT(std::ranges::find(allowed, judged.overall) != allowed.end());
    });
    CHECK(seen.percent(seen.met) >= 5);
    CHECK(seen.percent(seen.not_met) >= 5);
}

TEST_CASE("reaching and keeping is read as a second, plain judge reads it") {
    Seen seen;
    for_many([&] {
        // Hotter rows ask for less time, as in FDA Food Code 2022, 3-401.11(A)(2).
        std::vector<ReferenceRow> rows;
        codes::TableRule table;
        int keep = 5 * whole(0, 8);
        Figure at_figure{145'000, 63'000};
        const int count = whole(1, 4);
        for (int i = 0; i < count; ++i) {
            rows.push_back({at_figure, Span::minutes(keep)});
            table.rows.push_back({limit(at_figure, Words::at_or_above), Span::minutes(keep),
                                  codes::Status::seen_in_edition});
            at_figure = {at_figure.f + 3000, at_figure.c + 2000};
            keep = std::max(0, keep - 5 * whole(1, 4));
        }
        codes::Pack pack;
        pack.requirements = {requirement("cooking", table)};
        std::vector<Figure> figures;
        for (const ReferenceRow& row : rows) {
            figures.push_back(row.at);
        }
        Log log = any_log(figures, 60);
        const bool running = *rc::gen::arbitrary<bool>();
        const HoldSpan stage{at(0), at(5.0 * whole(12, 15)), running, Span::hours(2)};
        const std::int32_t band = *rc::gen::element(0, 0, 1000);

        records::LotHistory lot;
        lot.food = FoodKind::ground;
        lot.probes = {{"p1", std::nullopt, std::nullopt}};
        lot.stages.push_back({Stage::cooking, stage.from, "", {}, {}, {}, ""});
        lot.points.push_back({"core", log});
        if (!running) {
            lot.end = records::LotEnd{Outcome::served, stage.to, ""};
        }
        const auto judged = judge::judge_lot(lot, pack, any_settings(stage.to, band));
        for (const ReferenceRow& row : rows) {
            RC_LOG() << row.at.f << " for " << row.keep.ms() / 60'000 << "; ";
        }
        RC_LOG() << described(log) << "to " << (stage.to - kStart).ms() / 60'000
                 << (running ? " running" : "") << ", band " << band << "\n";
        const Finding* const f = find(judged, "cooking");
        agree(f, reference_reach(log, stage, rows, band));
        seen.count(f->verdict);
    });
    CHECK(seen.percent(seen.met) >= 5);
    CHECK(seen.percent(seen.not_met) >= 1);
}

// What may only make a verdict worse: a later look at the same record, the guarded rule, a reading
// on the wrong side, a stricter limit, a shorter largest interval.
#include "random_lots.hpp"

using namespace holdwarden;
using namespace holdwarden::test;
using codes::TemperatureLimit;

namespace {

/// ended < met < open < not shown < not met, as design orders verdicts; `ended` and `met` both ask
/// nothing.
int harshness(Verdict v) {
    return v == Verdict::ended ? static_cast<int>(Verdict::met) : static_cast<int>(v);
}

void no_milder(const LotJudgement& easier, const LotJudgement& harder) {
    const auto first = by_key(easier);
    const auto second = by_key(harder);
    for (const auto& [key, f] : first) {
        const auto found = second.find(key);
        if (found == second.end()) {
            continue;
        }
        RC_LOG() << "easier: " << described(*f) << "harder: " << described(*found->second);
        RC_ASSERT(harshness(found->second->verdict) >= harshness(f->verdict));
    }
    RC_ASSERT(harshness(harder.overall) >= harshness(easier.overall));
}

std::optional<Temperature> moved(std::optional<Temperature> t, int thousandths) {
    return t ? std::optional{Temperature::of_thousandths(t->thousandths() + thousandths,
                                                         t->scale())}
             : t;
}

TemperatureLimit stricter(const TemperatureLimit& limit, int by) {
    const int up = limit.wants_hot() ? by : -by;
    return {moved(limit.printed(Scale::fahrenheit), up), moved(limit.printed(Scale::celsius), up),
            limit.words()};
}

/// One kind of rule made stricter: which one, and by how much, is drawn.
void tighten(codes::Requirement& requirement, int degrees_thousandths, Span time) {
    if (auto* hold = std::get_if<codes::HoldRule>(&requirement.rule)) {
        hold->limit = stricter(hold->limit, degrees_thousandths);
    } else if (auto* window = std::get_if<codes::WindowRule>(&requirement.rule)) {
        if (window->to) {
            window->to = stricter(*window->to, degrees_thousandths);
        }
        window->within.span = std::max(Span::minutes(1), window->within.span - time);
    } else if (auto* table = std::get_if<codes::TableRule>(&requirement.rule)) {
        for (auto& row : table->rows) {
            row.at = stricter(row.at, degrees_thousandths);
            row.keep = row.keep + time;
        }
    } else if (auto* control = std::get_if<codes::TimeControlRule>(&requirement.rule)) {
        control->cold_start = stricter(control->cold_start, degrees_thousandths);
        if (control->hot_start) {
            control->hot_start = stricter(*control->hot_start, degrees_thousandths);
        }
        control->within.span = std::max(Span::minutes(1), control->within.span - time);
    } else if (auto* ceiling = std::get_if<codes::CeilingRule>(&requirement.rule)) {
        ceiling->limit = stricter(ceiling->limit, degrees_thousandths);
    }
}

/// A lot in one stage that follows nothing: its verdicts hang on one requirement each.
records::LotHistory one_stage_lot(Stage stage) {
    records::LotHistory lot;
    lot.food = FoodKind::ground;
    lot.probes = {{"p1", std::nullopt, std::nullopt}};
    records::StageEntry entry;
    entry.stage = stage;
    entry.from = at(0);
    lot.stages.push_back(entry);
    std::vector<records::Reading> readings;
    const bool cools = stage == Stage::cooling;
    const bool heats = stage == Stage::cooking;
    double now = cools ? between(134, 150) : heats ? between(60, 140) : between(135, 140);
    double minute = whole(0, 20);
    const int step = heats ? whole(1, 6) : whole(5, 60);
    const double rate = between(0.2, 1);
    while (minute < (heats ? 60 : 420)) {
        records::Reading r;
        r.at = at(minute);
        r.value = Temperature::of_thousandths(static_cast<std::int32_t>(now * 10) * 100,
                                              Scale::fahrenheit);
        readings.push_back(r);
        minute += step;
        now = cools   ? 36 + (now - 36) * std::exp(-rate * step / 60.0) + between(-1, 1.5)
              : heats ? now + between(-1.5, 3) * step / 3
                      : now + between(-1, 1);
    }
    lot.points.push_back({"core", readings});
    if (*rc::gen::arbitrary<bool>()) {
        lot.end = records::LotEnd{Outcome::served, at(minute), ""};
    }
    return lot;
}

const std::string& id_of(Stage stage) {
    static const std::map<Stage, std::string> kIds{{Stage::cooling, "cooling-first-window"},
                                                   {Stage::cooking, "cooking"},
                                                   {Stage::hot_holding, "hot-holding"}};
    return kIds.at(stage);
}

} // namespace

TEST_CASE("a miss stays a miss, however much later one looks") {
    Seen seen;
    rc::prop(property_name(), [&] {
        const auto lot = any_lot();
        const auto last = static_cast<int>(ms_of(last_of(lot)) / 60'000);
        const int early = whole(0, last + 1);
        const int late = whole(early, last + 600);
        const auto before = judge::judge_lot(lot, fda(), as_of(at(early)));
        const auto after = judge::judge_lot(lot, fda(), as_of(at(late)));
        RC_LOG() << described(lot) << "as of " << early << " and " << late << "\n";
        const auto later = by_key(after);
        for (const auto& [key, f] : by_key(before)) {
            seen.count(f->verdict);
            const auto found = later.find(key);
            if (f->verdict == Verdict::not_met && found != later.end()) {
                RC_LOG() << described(*f) << described(*found->second);
                RC_ASSERT(found->second->verdict == Verdict::not_met);
            }
        }
        if (before.overall == Verdict::not_met) {
            for (const auto& f : before.findings) {
                RC_LOG() << "early: " << described(f);
            }
            for (const auto& f : after.findings) {
                RC_LOG() << "late: " << described(f);
            }
            RC_ASSERT(after.overall == Verdict::not_met);
        }
    });
    CHECK(seen.percent(seen.not_met) >= 5);
}

TEST_CASE("guarded is never milder than as read") {
    Seen seen;
    rc::prop(property_name(), [&] {
        const auto lot = any_lot();
        auto settings = as_of(at(whole(0, static_cast<int>(ms_of(last_of(lot)) / 60'000) + 200)));
        const auto as_read = judge::judge_lot(lot, fda(), settings);
        settings.rule = judge::DecisionRule::guarded;
        settings.tolerance = TemperatureDelta::of_thousandths(whole(0, 4000), Scale::fahrenheit);
        const auto guarded = judge::judge_lot(lot, fda(), settings);
        RC_LOG() << described(lot);
        no_milder(as_read, guarded);
        for (const Finding& f : guarded.findings) {
            seen.count(f.verdict);
        }
    });
    CHECK(seen.percent(seen.met) >= 5);
}

TEST_CASE("a wider band is never milder than a narrow one") {
    rc::prop(property_name(), [&] {
        const auto lot = any_lot();
        auto settings = as_of(last_of(lot));
        settings.rule = judge::DecisionRule::guarded;
        const int narrow = whole(0, 3000);
        settings.tolerance = TemperatureDelta::of_thousandths(narrow, Scale::fahrenheit);
        const auto first = judge::judge_lot(lot, fda(), settings);
        settings.tolerance =
            TemperatureDelta::of_thousandths(narrow + whole(0, 3000), Scale::fahrenheit);
        RC_LOG() << described(lot);
        no_milder(first, judge::judge_lot(lot, fda(), settings));
    });
}

TEST_CASE("a shorter largest interval is never easier") {
    rc::prop(property_name(), [&] {
        const auto lot = any_lot();
        auto settings = as_of(last_of(lot));
        const int longer = whole(10, 240);
        settings.largest_interval = Span::minutes(longer);
        auto first = judge::judge_lot(lot, fda(), settings);
        settings.largest_interval = Span::minutes(whole(5, longer + 1));
        auto second = judge::judge_lot(lot, fda(), settings);
        // How old a reading may be that tells how time control began: an older one no longer tells,
        // for the food or against it.
        const auto by_time = [](const Finding& f) { return f.requirement == "time-control"; };
        for (auto* j : {&first, &second}) {
            std::erase_if(j->findings, by_time);
            j->overall = judge::overall(j->findings);
        }
        RC_LOG() << described(lot);
        no_milder(first, second);
    });
}

TEST_CASE("a stricter limit is never easier") {
    Seen seen;
    rc::prop(property_name(), [&] {
        const Stage stage = *rc::gen::element(Stage::cooling, Stage::cooking, Stage::hot_holding);
        const auto lot = one_stage_lot(stage);
        codes::Pack harder = fda();
        const int degrees = whole(0, 5000);
        const Span time = Span::seconds(whole(0, 2400));
        for (auto& requirement : harder.requirements) {
            if (requirement.id == id_of(stage)) {
                tighten(requirement, degrees, time);
            }
        }
        auto settings = as_of(at(whole(0, 600)));
        const auto easy = judge::judge_lot(lot, fda(), settings);
        const auto hard = judge::judge_lot(lot, harder, settings);
        RC_LOG() << described(lot) << "stricter by " << degrees << ", " << to_text(time) << "\n";
        const Finding* const a = find(easy, id_of(stage));
        const Finding* const b = find(hard, id_of(stage));
        RC_ASSERT((a == nullptr) == (b == nullptr));
        if (a != nullptr) {
            seen.count(a->verdict);
            RC_LOG() << described(*a) << described(*b);
            // Both clocks may still run, or have been stopped: then the tighter one stops sooner or
            // not at all.
            RC_ASSERT(harshness(b->verdict) >= harshness(a->verdict));
        }
    });
    CHECK(seen.percent(seen.met) >= 5);
}

TEST_CASE("a reading on the wrong side of a requirement never improves its verdict") {
    Seen seen;
    rc::prop(property_name(), [&] {
        const Stage stage = *rc::gen::element(Stage::cooling, Stage::cooking, Stage::hot_holding);
        auto lot = one_stage_lot(stage);
        const auto settings = as_of(at(whole(60, 600)));
        auto& readings = lot.points.front().readings;
        RC_PRE(!readings.empty() && readings.front().at <= settings.as_of);
        const auto before = judge::judge_lot(lot, fda(), settings);
        // Between the start figure and the target of a window, below every row of a cook, below the
        // limit of a hold.
        records::Reading wrong;
        wrong.value = Temperature::of_thousandths(stage == Stage::cooling ? whole(70'001, 135'000)
                                                                          : whole(0, 135'000),
                                                  Scale::fahrenheit);
        wrong.at = at(whole(0, 420));
        const bool replaces = *rc::gen::arbitrary<bool>();
        if (replaces) {
            auto& changed =
                readings[static_cast<std::size_t>(whole(0, static_cast<int>(readings.size())))];
            // A reading above the start figure is what keeps the clock from starting, not a wrong
            // one.
            RC_PRE(stage != Stage::cooling || changed.value.thousandths() < 135'000);
            changed.value = wrong.value;
            wrong.at = changed.at;
        } else {
            readings.push_back(wrong);
            std::ranges::stable_sort(readings, {}, &records::Reading::at);
        }
        const auto after = judge::judge_lot(lot, fda(), settings);
        const Finding* const a = find(before, id_of(stage));
        const Finding* const b = find(after, id_of(stage));
        RC_LOG() << described(lot) << "wrong at " << ms_of(wrong.at) / 60'000 << ": "
                 << to_text(wrong.value) << "\n";
        if (a != nullptr) {
            RC_ASSERT(b != nullptr);
            seen.count(a->verdict);
            RC_LOG() << described(*a) << described(*b);
            RC_ASSERT(harshness(b->verdict) >= harshness(a->verdict));
        }
        if (stage == Stage::hot_holding && wrong.at <= settings.as_of) {
            RC_ASSERT((b != nullptr && b->verdict == Verdict::not_met));
        }
    });
    CHECK(seen.percent(seen.met) >= 5);
}

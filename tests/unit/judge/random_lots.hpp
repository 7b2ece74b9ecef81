#pragma once

// Random lives of lots for the property tests: stages in any order, readings that follow them
// roughly.

#include "random_record.hpp"

#include <map>
#include <tuple>

namespace holdwarden::test {

/// Up to four stages over up to a day, readings in one or two points, sometimes an end.
inline records::LotHistory any_lot() {
    constexpr std::array<Stage, 10> kStages{
        Stage::cooking,      Stage::resting,  Stage::hot_holding, Stage::cooling,
        Stage::cold_holding, Stage::cooling,  Stage::reheating,   Stage::hot_holding,
        Stage::time_control, Stage::preparing};
    constexpr std::array<FoodKind, 5> kFoods{FoodKind::other_tcs, FoodKind::intact_roast,
                                             FoodKind::ground, FoodKind::whole_cut,
                                             FoodKind::packaged_ready_to_eat};
    records::LotHistory lot;
    lot.name = "lot";
    lot.food = *rc::gen::elementOf(kFoods);
    lot.made_from_ambient = whole(0, 8) == 0;
    lot.raw_mass_g = 3000;
    lot.probes = {{"p1", std::nullopt, std::nullopt}};
    const Scale scale = *rc::gen::element(Scale::fahrenheit, Scale::celsius);
    const int points = whole(1, 3);
    for (int p = 0; p < points; ++p) {
        lot.points.push_back({"point " + std::to_string(p), {}});
    }
    int minute = 0;
    double now_f = *rc::gen::element(38.0, 70.0, 150.0);
    const int stages = whole(1, 5);
    for (int s = 0; s < stages; ++s) {
        records::StageEntry entry;
        entry.stage = *rc::gen::elementOf(kStages);
        entry.from = at(minute);
        if (entry.stage == Stage::cooking) {
            entry.oven = *rc::gen::element(OvenKind::still_dry, OvenKind::convection);
            entry.setting = Temperature::of_degrees(*rc::gen::element(225, 350), Scale::fahrenheit);
        }
        if (entry.stage == Stage::time_control && *rc::gen::arbitrary<bool>()) {
            entry.form = records::TimeControlForm::six_hours;
        }
        lot.stages.push_back(entry);
        const bool heats = entry.stage == Stage::cooking || entry.stage == Stage::reheating;
        const bool cools = entry.stage == Stage::cooling || entry.stage == Stage::cold_holding;
        const int length = whole(20, 420);
        const int step = *rc::gen::element(3, 10, 20, 45, 100);
        for (int m = minute + whole(0, step); m < minute + length; m += step) {
            const double target = heats ? between(140, 175) : cools ? between(30, 42) : now_f;
            now_f += (target - now_f) * std::min(1.0, between(0, 0.02) * step) +
                     (whole(0, 6) == 0 ? between(-6, 6) : between(-0.5, 0.5));
            now_f = std::clamp(now_f, 0.0, 250.0);
            for (auto& series : lot.points) {
                if (whole(0, 10) > 0) {
                    const double degrees = fahrenheit_in(scale, now_f + between(-2, 2));
                    records::Reading r;
                    r.at = at(m);
                    r.value = Temperature::of_thousandths(
                        static_cast<std::int32_t>(std::floor(degrees * 10.0)) * 100, scale);
                    r.origin = whole(0, 5) == 0 ? records::Origin::typed : records::Origin::logged;
                    series.readings.push_back(r);
                }
            }
        }
        minute += length;
    }
    if (*rc::gen::arbitrary<bool>()) {
        lot.end =
            records::LotEnd{*rc::gen::element(Outcome::served, Outcome::discarded), at(minute), ""};
    }
    return lot;
}

inline judge::Settings as_of(Instant at) {
    judge::Settings settings;
    settings.as_of = at;
    settings.zone = Zone::named("America/Denver");
    return settings;
}

inline Instant last_of(const records::LotHistory& lot) {
    Instant last = lot.stages.back().from;
    for (const auto& series : lot.points) {
        for (const auto& r : series.readings) {
            last = std::max(last, r.at);
        }
    }
    return lot.end ? std::max(last, lot.end->at) : last;
}

/// Tells one finding of a lot from another, whatever it says: where several share all of this, by
/// their order.
using FindingKey = std::tuple<std::string, std::string, std::string, std::int64_t, int>;

inline std::map<FindingKey, const Finding*> by_key(const LotJudgement& judged, Span shift = {}) {
    std::map<FindingKey, const Finding*> found;
    for (const Finding& f : judged.findings) {
        FindingKey key{f.source, f.requirement, f.point, ms_of(f.stage_from - shift), 0};
        while (found.contains(key)) {
            ++std::get<4>(key);
        }
        found[key] = &f;
    }
    return found;
}

/// A lot for the log of a failing property.
inline std::string described(const records::LotHistory& lot) {
    std::string text{to_name(lot.food)};
    for (const auto& s : lot.stages) {
        text += "\n  stage " + std::string{to_name(s.stage)} + " @" +
                std::to_string(ms_of(s.from) / 60'000);
    }
    if (lot.end) {
        text += "\n  end @" + std::to_string(ms_of(lot.end->at) / 60'000);
    }
    for (const auto& p : lot.points) {
        text += "\n  " + p.point + ":";
        for (const auto& r : p.readings) {
            text += " " + std::to_string(ms_of(r.at) / 60'000) + "=" + to_text(r.value) +
                    (r.origin == records::Origin::typed ? "t" : "");
        }
    }
    return text + "\n";
}

inline std::string described(const Finding& f) {
    return f.requirement + " " + f.point + " @" + std::to_string(ms_of(f.stage_from) / 60'000) +
           ": " + std::string{to_words(f.verdict)} + ": " + f.reason + "\n";
}

} // namespace holdwarden::test

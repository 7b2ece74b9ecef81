#pragma once

// A short way to write a lot's history in a test: minutes from a fixed start, stages and readings.

#include <holdwarden/codes/load.hpp>
#include <holdwarden/judge/judge.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <string>
#include <vector>

namespace holdwarden::test {

using judge::Finding;
using judge::LotJudgement;
using judge::Verdict;

/// 2026-10-31T18:00:00Z: noon in Denver on the day before the clocks go back.
inline constexpr Instant kStart = Instant::from_unix_s(1'793'469'600);

inline Instant at(double minutes) {
    return kStart + Span::milliseconds(static_cast<std::int64_t>(minutes * 60'000.0));
}

/// minutes and degrees, as a row of a worked example gives them
struct Row {
    double minutes;
    double degrees;
};

inline records::Reading reading(Row row, Scale scale = Scale::fahrenheit) {
    records::Reading r;
    r.at = at(row.minutes);
    r.value = Temperature::of_thousandths(
        static_cast<std::int32_t>(row.degrees * 1000.0 + (row.degrees < 0 ? -0.5 : 0.5)), scale);
    return r;
}

class Lot {
public:
    explicit Lot(FoodKind food = FoodKind::other_tcs) {
        lot_.name = "lot";
        lot_.food = food;
        lot_.probes = {{"p1", std::nullopt, std::nullopt}};
    }

    Lot& stage(Stage stage, double minutes) {
        records::StageEntry entry;
        entry.stage = stage;
        entry.from = at(minutes);
        lot_.stages.push_back(entry);
        return *this;
    }
    Lot& served(double minutes) {
        lot_.end = records::LotEnd{Outcome::served, at(minutes), ""};
        return *this;
    }
    Lot& closes(double minutes) {
        lot_.closes = at(minutes);
        return *this;
    }
    Lot& readings(std::vector<Row> rows, Scale scale = Scale::fahrenheit,
                  const std::string& point = "core") {
        auto found = std::ranges::find(lot_.points, point, &records::PointSeries::point);
        if (found == lot_.points.end()) {
            lot_.points.push_back({point, {}});
            found = std::prev(lot_.points.end());
        }
        for (const Row& row : rows) {
            found->readings.push_back(reading(row, scale));
        }
        std::ranges::stable_sort(found->readings, {}, &records::Reading::at);
        return *this;
    }
    /// Readings every `step` minutes, both ends included, all of one value.
    Lot& steady(double from, double to, double step, double degrees,
                Scale scale = Scale::fahrenheit) {
        std::vector<Row> rows;
        for (double m = from; m <= to + 1e-9; m += step) {
            rows.push_back({m, degrees});
        }
        return readings(rows, scale);
    }

    records::LotHistory& history() { return lot_; }

    Instant last_reading() const {
        Instant last = lot_.stages.empty() ? kStart : lot_.stages.front().from;
        for (const auto& point : lot_.points) {
            for (const auto& r : point.readings) {
                last = std::max(last, r.at);
            }
        }
        return last;
    }

    LotJudgement judged(const codes::Pack& pack, std::optional<double> as_of = std::nullopt,
                        std::optional<TemperatureDelta> band = std::nullopt) const {
        judge::Settings settings;
        settings.as_of =
            as_of ? at(*as_of) : std::max(last_reading(), lot_.end ? lot_.end->at : kStart);
        settings.zone = Zone::named("America/Denver");
        if (band) {
            settings.rule = judge::DecisionRule::guarded;
            settings.tolerance = band;
        }
        return judge::judge_lot(lot_, pack, settings);
    }

private:
    records::LotHistory lot_;
};

/// FDA Food Code 2022: the pack under test unless said otherwise.
inline const codes::Pack& fda() {
    static const codes::Pack pack =
        codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/us-fda-2022.toml");
    return pack;
}

inline const Finding& only(const LotJudgement& j, const std::string& requirement) {
    const Finding* found = nullptr;
    for (const Finding& f : j.findings) {
        if (f.requirement == requirement) {
            REQUIRE(found == nullptr);
            found = &f;
        }
    }
    INFO(requirement);
    REQUIRE(found != nullptr);
    return *found;
}

inline bool has(const LotJudgement& j, const std::string& requirement) {
    return std::ranges::any_of(j.findings,
                               [&](const Finding& f) { return f.requirement == requirement; });
}

inline double minutes(const std::optional<Span>& span) {
    REQUIRE(span.has_value());
    return span->in_minutes();
}

} // namespace holdwarden::test

namespace Catch {
template <>
struct StringMaker<holdwarden::judge::Verdict> {
    static std::string convert(holdwarden::judge::Verdict v) {
        return std::string{holdwarden::judge::to_words(v)};
    }
};
} // namespace Catch

#include "fixtures.hpp"

#include <holdwarden/sheets/reduce.hpp>
#include <holdwarden/sheets/svg.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <functional>
#include <map>
#include <regex>
#include <set>
#include <sstream>

using namespace holdwarden;
using namespace holdwarden::sheets;
using fixtures::between;
using fixtures::count_of;

namespace {

constexpr auto F = Scale::fahrenheit;

/// A fixed, rough line: a linear congruential generator (the constants of ISO C's example rand()).
std::vector<LinePoint> rough_line(std::size_t n, Span step) {
    std::vector<LinePoint> line;
    std::uint32_t state = 12345;
    for (std::size_t i = 0; i < n; ++i) {
        state = state * 1'103'515'245u + 12'345u;
        line.push_back({Instant::from_unix_s(1'793'000'000) +
                            Span::milliseconds(static_cast<std::int64_t>(i) * step.ms()),
                        100 + static_cast<double>((state >> 16u) % 1000) / 10});
    }
    return line;
}

Chart chart_of(const LotRecord& lot) {
    const SiteFacts site = fixtures::larkspur();
    return lot_chart(lot.history, lot.judged, site.zone, site.scale, site.largest_interval,
                     site.as_of);
}

} // namespace

TEST_CASE("a line reduced for drawing keeps the lowest and highest of every interval") {
    const auto line = rough_line(20'000, Span::seconds(7));
    const Instant from = line.front().at;
    const Instant to = line.back().at + Span::milliseconds(1);
    for (const std::size_t parts : {1u, 7u, 100u, 648u}) {
        const auto kept = reduced(line, from, to, parts);
        CHECK(kept.size() <= 4 * parts);
        CHECK(std::ranges::is_sorted(kept, {}, &LinePoint::at));
        CHECK(kept.front() == line.front());
        CHECK(kept.back() == line.back());
        // Lowest and highest of each part, by a plain second count of their own.
        const auto extremes = [&](const std::vector<LinePoint>& points) {
            std::map<std::int64_t, std::pair<double, double>> all;
            for (const LinePoint& p : points) {
                const auto part = std::min<std::int64_t>(
                    (p.at - from).ms() * static_cast<std::int64_t>(parts) / (to - from).ms(),
                    static_cast<std::int64_t>(parts) - 1);
                const auto [place, fresh] = all.try_emplace(part, p.degrees, p.degrees);
                place->second.first = std::min(place->second.first, p.degrees);
                place->second.second = std::max(place->second.second, p.degrees);
            }
            return all;
        };
        CHECK(extremes(kept) == extremes(line));
        // Nothing invented: every kept point is one of the line.
        CHECK(std::ranges::all_of(
            kept, [&](const LinePoint& p) { return std::ranges::find(line, p) != line.end(); }));
    }
}

TEST_CASE("a short line is drawn as it is") {
    const auto line = rough_line(40, Span::minutes(5));
    CHECK(reduced(line, line.front().at, line.back().at, 10) == line);
}

TEST_CASE("the drawn path of a long hold reaches its lowest and highest reading") {
    LotRecord lot = fixtures::long_hold(5000, Span::seconds(9));
    auto& readings = lot.history.points[0].readings;
    readings[2477].value = Temperature::of_thousandths(128'300, F);
    readings[3001].value = Temperature::of_thousandths(187'900, F);
    const Chart chart = chart_of(lot);
    const std::string svg = to_svg(chart, kNarrowChart, "c");
    // The frame runs from 120 to 200 °F over the plot; both peaks must be corners of the path.
    const auto paths = between(svg, R"(<path class="run" d=")", "\"");
    REQUIRE(paths.size() == 1);
    double lowest_y = 1e9;
    double highest_y = -1e9;
    std::size_t corners = 0;
    for (const std::string& corner : between(paths[0] + "L", " ", "L")) {
        lowest_y = std::min(lowest_y, std::stod(corner));
        highest_y = std::max(highest_y, std::stod(corner));
        ++corners;
    }
    CHECK(corners < 1200);
    const auto y_of = [&](double degrees) {
        const double low = 120;
        const double high = 200;
        const double top = 28;
        const double bottom = kNarrowChart.height_px - 60;
        return bottom - (bottom - top) * (degrees - low) / (high - low);
    };
    CHECK(highest_y == Approx(y_of(128.3)).margin(0.06)); // one decimal is printed
    CHECK(lowest_y == Approx(y_of(187.9)).margin(0.06));
}

TEST_CASE("a line is broken where no reading vouches for it") {
    const Chart whole = chart_of(fixtures::warm_shoulder());
    CHECK(whole.series.at(0).runs.size() == 1);
    const Chart broken = chart_of(fixtures::silent_probe());
    REQUIRE(broken.series.at(0).runs.size() == 2);
    CHECK(broken.series[0].runs[1].front().at - broken.series[0].runs[0].back().at ==
          Span::hours(1));
    const std::string svg = to_svg(broken, kWideChart, "c");
    CHECK(count_of(svg, R"(<path class="run")") == 2);
    CHECK(svg.find("no reading 1 h") != std::string::npos);
}

TEST_CASE("two readings exactly the largest interval apart are joined") {
    LotRecord lot = fixtures::warm_shoulder();
    auto& readings = lot.history.points[0].readings;
    readings.erase(readings.begin() + 10); // leaves 30 min, the site's largest interval
    CHECK(chart_of(lot).series.at(0).runs.size() == 1);
    readings.erase(readings.begin() + 10);
    CHECK(chart_of(lot).series.at(0).runs.size() == 2);
}

TEST_CASE("a suspect reading has a mark of its own and is not part of the line") {
    const Chart chart = chart_of(fixtures::sunken_brisket());
    CHECK(chart.series.at(0).suspect.size() == 1);
    CHECK(chart.series[0].suspect[0].degrees == Approx(212));
    for (const auto& run : chart.series[0].runs) {
        CHECK(std::ranges::none_of(run, [](const LinePoint& p) { return p.degrees > 210; }));
    }
    const std::string svg = to_svg(chart, kWideChart, "c");
    CHECK(svg.find(">?</text>") != std::string::npos);
    CHECK(svg.find("suspect reading") != std::string::npos);
}

TEST_CASE("a reading set aside is crossed out and is not part of the line") {
    LotRecord lot = fixtures::warm_shoulder();
    const auto& aside = lot.history.points.at(0).readings.at(3);
    lot.history.marks.push_back({.kind = records::MarkKind::set_aside,
                                 .origin = aside.origin,
                                 .probe = aside.probe,
                                 .from = aside.at,
                                 .to = aside.at,
                                 .by = "RK",
                                 .why = "the probe was pulled"});
    const Chart chart = chart_of(lot);
    REQUIRE(chart.series.at(0).set_aside.size() == 1);
    CHECK(chart.series[0].set_aside[0].at == aside.at);
    for (const auto& run : chart.series[0].runs) {
        CHECK(std::ranges::none_of(run, [&](const LinePoint& p) { return p.at == aside.at; }));
    }
}

TEST_CASE("thousands of suspect readings are few marks, the lowest and highest among them") {
    LotRecord lot = fixtures::long_hold(5000, Span::seconds(9));
    for (auto& reading : lot.history.points[0].readings) {
        reading.suspect = true;
    }
    lot.history.points[0].readings[2477].value =
        Temperature::of_thousandths(98'300, Scale::fahrenheit);
    const SiteFacts site = fixtures::larkspur();
    const Chart chart = lot_chart(lot.history, lot.judged, site.zone, site.scale,
                                  site.largest_interval, site.as_of);
    REQUIRE(chart.series[0].suspect.size() == 5000);
    const std::string svg = to_svg(chart, kWideChart, "c");
    const std::size_t marks = fixtures::count_of(svg, ">?</text>");
    CHECK(marks > 40);
    CHECK(marks < 300);
    // How far down each mark stands: the legend's lowest of all, then the reading of 98.3 °F, which
    // lies more than 50 °F below the others (152 to 168 °F).
    std::vector<double> down;
    static const std::regex kMark{"cy=\"([0-9.]+)\" r=\"7\""};
    for (std::sregex_iterator at{svg.begin(), svg.end(), kMark}, end; at != end; ++at) {
        down.push_back(std::stod((*at)[1].str()));
    }
    std::ranges::sort(down, std::greater<>{});
    REQUIRE(down.size() == marks);
    CHECK(down[1] > down[2] + 50);
}

TEST_CASE("points of one lot differ by dash and mark, not by colour") {
    const std::string svg = to_svg(chart_of(fixtures::sunken_brisket()), kWideChart, "c");
    std::set<std::string> dashes;
    for (const std::string& run : between(svg, R"(<path class="run")", "/>")) {
        const auto dash = between(run, "stroke-dasharray=\"", "\"");
        dashes.insert(dash.empty() ? "solid" : dash.front());
    }
    CHECK(dashes.size() == 2);
    CHECK(svg.find(">core</text>") != std::string::npos);
    CHECK(svg.find(">flat</text>") != std::string::npos);
    // Every stroke and fill is the text's own colour or a pattern of it.
    for (const char* paint : {"stroke=\"", "fill=\""}) {
        for (const std::string& value : between(svg, paint, "\"")) {
            INFO(value);
            CHECK((value == "currentColor" || value == "none" || value == "url(#c-hatch)"));
        }
    }
}

TEST_CASE("time below the limit is hatched and barred, limits are labelled in both scales") {
    const std::string svg = to_svg(chart_of(fixtures::sunken_brisket()), kWideChart, "c");
    CHECK(count_of(svg, R"(class="wrong")") > 0);
    CHECK(count_of(svg, R"(class="wrong-time")") > 0);
    CHECK(svg.find("135 °F (57 °C)") != std::string::npos);
    CHECK(svg.find(">°F</text>") != std::string::npos);
    CHECK(svg.find(">°C</text>") != std::string::npos);
    CHECK(count_of(svg, R"(class="bracket")") > 0);
    const std::string met = to_svg(chart_of(fixtures::warm_shoulder()), kWideChart, "c");
    CHECK(count_of(met, R"(class="wrong-time")") == 0);
}

TEST_CASE("the label of a limit stands where the food's line is not") {
    // Beans that were reheated within an hour and cooled within four, in a chart of twelve: the
    // lines of the limits are hardly longer than their labels, and the food crosses them.
    LotRecord lot = fixtures::cooling_beans();
    const Instant from = lot.history.stages[0].from;
    const auto add = [&](std::size_t i, Stage stage, std::int64_t minutes, double degrees,
                         const std::string& requirement) {
        lot.history.stages.resize(std::max(lot.history.stages.size(), i + 1),
                                  lot.history.stages[0]);
        lot.history.stages[i].stage = stage;
        lot.history.stages[i].from = from + Span::minutes(minutes);
        judge::Finding finding = lot.judged.findings[0];
        finding.requirement = requirement;
        finding.stage = stage;
        finding.stage_from = lot.history.stages[i].from;
        finding.limit.fahrenheit =
            Temperature::of_thousandths(static_cast<std::int32_t>(degrees * 1000), F);
        finding.limit.celsius = Temperature::of_degrees(
            static_cast<int>(std::lround((degrees - 32) / 1.8)), Scale::celsius);
        finding.limit.hot_side = stage == Stage::reheating;
        lot.judged.findings.push_back(finding);
    };
    add(0, Stage::hot_holding, 0, 135, "hot-holding");
    add(1, Stage::reheating, 240, 165, "reheating");
    add(2, Stage::cooling, 300, 70, "cooling-first-window");
    add(2, Stage::cooling, 300, 41, "cooling-total");
    add(3, Stage::cold_holding, 540, 41, "cold-holding");
    lot.judged.findings.erase(lot.judged.findings.begin());
    lot.history.closes = from + Span::hours(12);
    auto& readings = lot.history.points[0].readings;
    for (const double tau_minutes : {30.0, 50.0, 70.0, 90.0}) {
        readings.clear();
        for (int minutes = 0; minutes <= 720; minutes += 4) {
            const double degrees = minutes < 240 ? 190 - 90 * minutes / 240.0
                                   : minutes < 300
                                       ? 100 + 72 * (minutes - 240) / 60.0
                                       : 38 + 134 * std::exp((300 - minutes) / tau_minutes);
            records::Reading reading;
            reading.at = from + Span::minutes(minutes);
            reading.value =
                Temperature::of_thousandths(static_cast<std::int32_t>(degrees * 1000), F);
            readings.push_back(reading);
        }
        const SiteFacts site = fixtures::larkspur();
        const std::string svg = to_svg(lot_chart(lot.history, lot.judged, site.zone, site.scale,
                                                 site.largest_interval, *lot.history.closes),
                                       kWideChart, "c");

        std::istringstream line{between(svg, R"(<path class="run" d="M)", "\"").at(0)};
        std::vector<std::pair<double, double>> points;
        char letter = 0;
        for (double x = 0, y = 0; line >> x >> y; line >> letter) {
            points.emplace_back(x, y);
        }
        REQUIRE(points.size() > 20);
        std::size_t labels = 0;
        for (const std::string& text : between(svg, "<text x=", "</text>")) {
            const std::string words = text.substr(text.find('>') + 1);
            if (words.find(" °F") == std::string::npos) {
                continue;
            }
            ++labels;
            const double x = std::stod(between(text, "\"", "\"").at(0));
            const double y = std::stod(between(text, "y=\"", "\"").at(0));
            // Half the letters' size a letter is less than they take in any sans-serif.
            const double width =
                6.0 * static_cast<double>(words.size() - count_of(words, "°")); // bytes
            const double left = text.find("anchor=\"end\"") != std::string::npos ? x - width : x;
            for (std::size_t i = 1; i < points.size(); ++i) {
                for (int k = 0; k <= 20; ++k) {
                    const double part = k / 20.0;
                    const double px = std::lerp(points[i - 1].first, points[i].first, part);
                    const double py = std::lerp(points[i - 1].second, points[i].second, part);
                    INFO(text << " at " << px << ", " << py);
                    REQUIRE_FALSE((px > left && px < left + width && py > y - 9 && py < y));
                }
            }
        }
        CHECK(labels == 5);
    }
}

TEST_CASE("a chart has a title and a description, and neither script nor outside reference") {
    LotRecord lot = fixtures::sunken_brisket();
    lot.history.name = "<script>alert(1)</script>\"'&";
    const std::string svg = to_svg(chart_of(lot), kWideChart, "c");
    CHECK(svg.find("role=\"img\"") != std::string::npos);
    CHECK(count_of(svg, "<title ") == 1);
    CHECK(count_of(svg, "<desc ") == 1);
    CHECK(svg.find("<script") == std::string::npos);
    CHECK(svg.find("href") == std::string::npos);
    CHECK(count_of(svg, "http") == 1); // the name space
}

TEST_CASE("a lot without any reading, stage or time still makes a chart") {
    LotRecord lot;
    lot.history.name = "empty";
    const std::string svg = to_svg(chart_of(lot), kNarrowChart, "c");
    CHECK(svg.find("nan") == std::string::npos);
    CHECK(svg.find("inf") == std::string::npos);
}

TEST_CASE("a Celsius site's chart converts readings of the other scale for drawing only") {
    const LotRecord lot = fixtures::warm_shoulder();
    const Chart chart = lot_chart(lot.history, lot.judged, Zone::utc(), Scale::celsius,
                                  Span::minutes(30), fixtures::larkspur().as_of);
    // 171 °F is 77.2 °C: NIST SP 811 (2008), B.8 (from memory).
    CHECK(chart.series.at(0).runs.at(0).at(0).degrees == Approx(77.222).margin(0.001));
    CHECK(chart.limits.at(0).degrees == Approx(57.0));
    CHECK(chart.limits[0].label == "57 °C (135 °F)");
    CHECK(chart.description.find("171 °F") != std::string::npos);
}

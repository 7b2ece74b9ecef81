// ACC-1 to ACC-7: what records on paper and screen owe their readers. Sources stand at each.
#include "fixtures.hpp"

#include <holdwarden/judge/marks.hpp>
#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/pdf.hpp>
#include <holdwarden/sheets/print.hpp>
#include <holdwarden/sheets/svg.hpp>
#include <holdwarden/sheets/texts.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <regex>
#include <set>

using namespace holdwarden;
using namespace holdwarden::sheets;
using Catch::Matchers::Contains;
using fixtures::between;
using fixtures::count_of;

namespace {

const HtmlFrame& frame() {
    static const HtmlFrame loaded = load_frame(std::string{HOLDWARDEN_SOURCE_DIR} + "/reports");
    return loaded;
}

/// A colour without transparency, channels from 0 to 255.
using Rgb = std::array<double, 3>;

Rgb rgb(const std::string& hex) {
    return {static_cast<double>(std::stoi(hex.substr(1, 2), nullptr, 16)),
            static_cast<double>(std::stoi(hex.substr(3, 2), nullptr, 16)),
            static_cast<double>(std::stoi(hex.substr(5, 2), nullptr, 16))};
}

Rgb blended(const Rgb& ink, const Rgb& paper, double opacity) {
    Rgb mixed{};
    for (std::size_t i = 0; i < 3; ++i) {
        mixed.at(i) = opacity * ink.at(i) + (1 - opacity) * paper.at(i);
    }
    return mixed;
}

/// WCAG 2.2, "relative luminance" and "contrast ratio".
double luminance(const Rgb& colour) {
    const auto channel = [](double value) {
        const double c = value / 255.0;
        return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * channel(colour[0]) + 0.7152 * channel(colour[1]) + 0.0722 * channel(colour[2]);
}
double contrast(const Rgb& a, const Rgb& b) {
    const double la = luminance(a);
    const double lb = luminance(b);
    return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

std::vector<std::string> values_of(const std::string& variable) {
    return between(frame().style, "--" + variable + ": ", ";");
}

Chart busy_chart() {
    const LotRecord lot = fixtures::sunken_brisket();
    const SiteFacts site = fixtures::larkspur();
    Chart chart = lot_chart(lot.history, lot.judged, site.zone, site.scale, site.largest_interval,
                            site.as_of);
    add_forecasts(chart,
                  {{.now = fixtures::after_noon(21 * 60),
                    .last = Temperature::of_degrees(104, Scale::fahrenheit),
                    .edges = {{Temperature::of_degrees(70, Scale::fahrenheit),
                               fixtures::after_noon(22 * 60), fixtures::after_noon(24 * 60)}}}});
    chart.series[0].set_aside = {{fixtures::after_noon(10 * 60), 188.0}};
    return chart;
}

} // namespace

TEST_CASE("ACC-1: a verdict is a word and a mark, and without colour nothing is lost") {
    // WCAG 2.2, 1.4.1 Use of Color.
    for (const Sheet& sheet : fixtures::every_sheet()) {
        INFO(sheet.title);
        const std::string html = to_html(sheet, frame());
        for (std::string after : between(html, "aria-hidden=\"true\">", "</")) {
            // Behind each mark (which a reading voice skips) stands its word.
            CHECK(std::ranges::any_of(
                std::array{judge::Verdict::met, judge::Verdict::not_met, judge::Verdict::not_shown,
                           judge::Verdict::open, judge::Verdict::ended},
                [&](judge::Verdict verdict) {
                    const std::string place = "aria-hidden=\"true\">" + after + "</span> " +
                                              std::string{judge::to_words(verdict)};
                    const std::string line = "aria-hidden=\"true\">" + after +
                                             "</span><div><strong>" +
                                             std::string{judge::to_words(verdict)};
                    return after == judge::mark(verdict) &&
                           (html.find(place) != std::string::npos ||
                            html.find(line) != std::string::npos ||
                            sheet.title.starts_with("Thermometer"));
                }));
        }
        const std::string body = html.substr(html.find("<body>"));
        CHECK(body.find("style=") == std::string::npos);
    }
    // Colours are only the variables of ink and paper: none is spent on a verdict.
    std::string style = frame().style;
    const std::regex variables{R"(--[a-z]+: #[0-9a-f]{6};)"};
    style = std::regex_replace(style, variables, "");
    CHECK_FALSE(std::regex_search(style, std::regex{R"(#[0-9a-fA-F]{3,6}\b|rgb|hsl)"}));
}

TEST_CASE("ACC-2: every text of the theme has 4.5 to 1, every mark of a chart 3 to 1") {
    // WCAG 2.2, 1.4.3 and 1.4.11.
    const auto inks = values_of("ink");
    const auto papers = values_of("paper");
    const auto softs = values_of("soft");
    const auto rules = values_of("rule");
    REQUIRE(inks.size() == 3); // light, dark, print
    REQUIRE(papers.size() == 3);
    REQUIRE(softs.size() == 3);
    REQUIRE(rules.size() == 3);
    const std::string svg = to_svg(busy_chart(), kWideChart, "c");
    const auto opacities = between(svg, "-opacity=\"", "\"");
    REQUIRE_FALSE(opacities.empty());
    for (std::size_t i = 0; i < inks.size(); ++i) {
        const Rgb ink = rgb(inks[i]);
        const Rgb paper = rgb(papers[i]);
        CHECK(contrast(ink, paper) >= 4.5);
        CHECK(contrast(ink, rgb(softs[i])) >= 4.5);
        CHECK(contrast(rgb(rules[i]), paper) >= 3.0);
        // Words over a stage's band.
        CHECK(contrast(ink, blended(ink, paper, 0.06)) >= 4.5);
        // Lines between stages.
        CHECK(contrast(blended(ink, paper, 0.5), paper) >= 3.0);
    }
    // Everything drawn has the ink of the text around it; only bands (0.06), lines between stages
    // (0.5) and the grid behind the labelled axis (0.15) are lighter.
    for (const char* attribute : {"stroke=\"", "fill=\""}) {
        for (const std::string& colour : between(svg, attribute, "\"")) {
            INFO(colour);
            CHECK((colour == "currentColor" || colour == "none" || colour.starts_with("url(#c-")));
        }
    }
    for (const std::string& opacity : opacities) {
        CHECK((opacity == "0.06" || opacity == "0.5" || opacity == "0.15"));
    }
    // By hand from the formula: #767676 on white passes with 4.54, #777777 fails with 4.48.
    CHECK(contrast(rgb("#767676"), rgb("#ffffff")) == Approx(4.54).margin(0.005));
    CHECK(contrast(rgb("#777777"), rgb("#ffffff")) == Approx(4.48).margin(0.005));
}

TEST_CASE("ACC-2: series of a chart differ by dash and mark") {
    const std::string svg = to_svg(busy_chart(), kWideChart, "c");
    std::set<std::string> dashes;
    for (const std::string& run : between(svg, "<path class=\"run\"", "/>")) {
        const auto at = run.find("stroke-dasharray");
        dashes.insert(at == std::string::npos ? "" : run.substr(at));
    }
    CHECK(dashes.size() == 2); // core and flat
    CHECK(count_of(svg, "<circle") > 0);
    CHECK(count_of(svg, "height=\"6\"") > 0); // the second's mark, a square
}

TEST_CASE("ACC-3: each sheet shows place, time, rules, page, making, digest and signature lines") {
    for (const Sheet& sheet : fixtures::every_sheet()) {
        INFO(sheet.title);
        const std::string text = to_text(sheet);
        for (const char* part : {"Larkspur Yard Smokehouse", "2026-10-31", "America/Denver",
                                 "FDA Food Code, edition 2022", "Made at",
                                 "Checkpoint of the record", "Name in print", "Signature"}) {
            INFO(part);
            CHECK_THAT(text, Contains(part));
        }
        CHECK_THAT(frame().style, Contains("counter(page) \" of \" counter(pages)"));
    }
}

TEST_CASE("ACC-4: tables have headings that repeat on paper, a chart has its table") {
    // WCAG 2.2, 1.3.1 Info and Relationships.
    CHECK_THAT(frame().style, Contains("thead { display: table-header-group; }"));
    for (const Sheet& sheet : fixtures::every_sheet()) {
        INFO(sheet.title);
        const std::string html = to_html(sheet, frame());
        const std::size_t tables = count_of(html, "<table");
        CHECK(tables > 0);
        CHECK(count_of(html, "<thead><tr><th scope=\"col\"") == tables);
        CHECK(count_of(html, "<caption>") == tables);
        const auto chart = html.rfind("<svg");
        if (chart != std::string::npos) {
            CHECK(html.find("<table", chart) != std::string::npos);
        }
    }
}

TEST_CASE("ACC-7: times of the repeated hour carry their offset, headings their unit") {
    const std::regex bare{R"((^|[^0-9:-])01:[0-5][0-9](?! -0[67]:00|:[0-9]))"};
    const std::regex zoned{R"(01:[0-5][0-9] -0[67]:00)"};
    std::size_t seen = 0;
    for (Sheet sheet : fixtures::every_sheet()) {
        INFO(sheet.title);
        each_text(sheet, [&](std::string& text) {
            // How the clocks change is told with bare clocks, and an hour of the night is no time.
            if (text.find("the clocks go") != std::string::npos ||
                text.find("01:00 to 01:59") != std::string::npos) {
                return;
            }
            INFO(text);
            CHECK_FALSE(std::regex_search(text, bare));
            seen += std::regex_search(text, zoned) ? 1u : 0u;
        });
    }
    CHECK(seen > 10);
    const std::vector<LotRecord> lots = {fixtures::cooling_beans()};
    const Nights night{{2026, 10, 31}, {2026, 10, 31}};
    CHECK_THAT(to_csv(cooling_log(fixtures::larkspur(), night, lots, fixtures::made())),
               Contains("(°F)") && Contains("135 °F (57 °C) to 70 °F (21 °C)"));
}

TEST_CASE("a forecast is a band from the last reading on, dashed, with a name of its own") {
    const Chart chart = busy_chart();
    const LotRecord lot = fixtures::sunken_brisket();
    const SiteFacts site = fixtures::larkspur();
    const Chart plain = lot_chart(lot.history, lot.judged, site.zone, site.scale,
                                  site.largest_interval, site.as_of);
    CHECK(chart.to == fixtures::after_noon(24 * 60)); // it holds the late edge
    CHECK(chart.from == plain.from);
    const std::string svg = to_svg(chart, kWideChart, "c");
    CHECK(count_of(svg, "class=\"forecast\"") == 1);
    CHECK(count_of(svg, "class=\"now\"") == 1);
    CHECK_THAT(svg, Contains("forecast (an estimate)"));
    // The band begins on the line that marks the last reading.
    const std::string band = between(svg, "class=\"forecast\" d=\"M", " ").at(0);
    const std::string now =
        between(svg.substr(0, svg.find("class=\"now\"")), "<line x1=\"", "\"").back();
    CHECK(band == now);
    CHECK(to_svg(plain, kWideChart, "c").find("class=\"forecast\"") == std::string::npos);
    // A forecast of next week does not squeeze tonight: half as long again at most.
    Chart far = plain;
    add_forecasts(far,
                  {{.now = fixtures::after_noon(21 * 60),
                    .last = Temperature::of_degrees(104, Scale::fahrenheit),
                    .edges = {{Temperature::of_degrees(70, Scale::fahrenheit),
                               fixtures::after_noon(22 * 60), fixtures::after_noon(24 * 600)}}}});
    CHECK(far.to - far.from == Span::milliseconds((plain.to - plain.from).ms() * 3 / 2));
}

TEST_CASE("a reading set aside keeps a mark of its own and is not joined") {
    const std::string svg = to_svg(busy_chart(), kWideChart, "c");
    CHECK(count_of(svg, "class=\"set-aside\"") == 2); // the reading and the legend
    CHECK_THAT(svg, Contains(">set aside<"));
}

TEST_CASE("a night's small charts share their axes and carry their verdicts") {
    const Sheet sheet = fixtures::every_sheet().front();
    const SmallCharts* small = nullptr;
    for (const Section& section : sheet.sections) {
        for (const Block& block : section.blocks) {
            small =
                std::holds_alternative<SmallCharts>(block) ? &std::get<SmallCharts>(block) : small;
        }
    }
    REQUIRE(small != nullptr);
    REQUIRE(small->charts.size() == 4);
    CHECK(small->charts[0].title == "▼ brisket-2: not met"); // worst first
    for (const Chart& chart : small->charts) {
        CHECK(chart.from == small->charts[0].from);
        CHECK(chart.to == small->charts[0].to);
        CHECK(chart.least == small->charts[0].least);
        CHECK(chart.most == small->charts[0].most);
        for (const ChartSeries& series : chart.series) {
            for (const auto& run : series.runs) {
                CHECK(run.front().at >= chart.from);
                CHECK(run.back().at <= chart.to);
            }
        }
        const std::string svg = to_svg(chart, kSmallChart, "s");
        CHECK(count_of(svg, "class=\"limit\"") == chart.limits.size());
        CHECK(svg.find("core") == std::string::npos); // no legend
    }
}

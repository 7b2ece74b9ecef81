// How often the detectors of suspect readings cry wolf. Their thresholds are common practice, no
// source; what can be tested is that food that behaves as food does raises none.
#include "random_record.hpp"

#include <holdwarden/intake/collect.hpp>
#include <holdwarden/judge/suspect.hpp>

#include <fstream>

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

/// What each detector points out.
struct Alarms {
    std::size_t steps = 0; ///< impossible steps and fault values
    std::size_t air_like = 0;
    std::size_t stuck = 0;
};

Alarms alarms_in(const std::vector<records::Reading>& readings) {
    const auto suspects = [](const std::vector<records::Reading>& all) {
        return static_cast<std::size_t>(std::ranges::count_if(all, &records::Reading::suspect));
    };
    auto stepped = readings;
    judge::mark_steps(stepped);
    auto swinging = readings;
    judge::mark_air_like(swinging);
    return {suspects(stepped), suspects(swinging), judge::stuck_runs(readings).size()};
}

intake::Collected demo_file(const std::string& name) {
    const std::string path = std::string{HOLDWARDEN_SOURCE_DIR} + "/docs/demo/" + name;
    std::ifstream in{path, std::ios::binary};
    REQUIRE(in);
    intake::CsvOptions options;
    options.name = name;
    options.zone = Zone::named("America/Denver");
    return intake::collect_csv(intake::stream_source(in), options);
}

} // namespace

TEST_CASE("the demo's nights raise no false alarm in any of their food probes") {
    // Every food probe of every file, 36 hours of eight lots. The files were made without any fault
    // (docs/demo/make-data.py), so whatever is pointed out is a false alarm.
    std::size_t series = 0;
    std::size_t readings = 0;
    for (const char* name :
         {"pit.csv", "hold.csv", "oven.csv", "chest-a.csv", "chest-b.csv", "cooling.csv"}) {
        for (const auto& lot : demo_file(name).lots) {
            for (const auto& probe : lot.series) {
                if (probe.probe.starts_with("air")) {
                    continue;
                }
                INFO(name << " " << probe.probe);
                const Alarms alarms = alarms_in(probe.readings);
                CHECK(alarms.steps == 0);
                CHECK(alarms.air_like == 0);
                CHECK(alarms.stuck == 0);
                ++series;
                readings += probe.readings.size();
            }
        }
    }
    CHECK(series == 10);
    CHECK(readings == 1377); // rows of the files, counted by another program
}

TEST_CASE("clean simulated nights raise no alarm: cooked, rested, held and cooled food") {
    rc::prop(property_name(), [] {
        // Time constants of a thin pan (25 min) to a whole joint (5 h); surroundings of a pit, a
        // cabinet and a walk-in. A thermometer of tenths with a tenth of noise, read at any spacing
        // that loggers use.
        const double tau = between(25, 300);
        Course course{{0, between(38, 60)}};
        course.towards(between(225, 275), tau, between(60, 600));
        course.towards(between(70, 90), tau, between(10, 60));
        course.towards(between(140, 170), tau, between(60, 480));
        course.towards(between(34, 40), tau, between(60, 480));
        const double spacing = *rc::gen::element(10.0, 60.0, 300.0);
        std::vector<records::Reading> readings;
        Display display{Scale::fahrenheit, 100, Display::Rounding::nearest};
        for (std::int64_t ms = 0; ms < course.last_ms();
             ms += static_cast<std::int64_t>(spacing * 1000.0)) {
            records::Reading reading;
            reading.at = kStart + Span::milliseconds(ms);
            const double noise = (static_cast<double>((ms / 1000) * 7919 % 21) - 10.0) / 100.0;
            reading.value = Temperature::of_thousandths(display.shown(course.degrees(ms) + noise),
                                                        Scale::fahrenheit);
            // Food that passes through 185.0 °F fast may be doubted: an instrument that starts
            // shows that very figure (suspect.hpp), and nothing tells the two apart.
            if (!judge::is_fault_value(reading.value)) {
                readings.push_back(reading);
            }
        }
        const Alarms alarms = alarms_in(readings);
        RC_LOG() << "tau " << tau << " spacing " << spacing;
        RC_ASSERT(alarms.steps == 0U);
        RC_ASSERT(alarms.air_like == 0U);
        RC_ASSERT(alarms.stuck == 0U);
    });
}

// Cooking temperatures and times against simulated food. FDA Food Code 2022, 3-401.11(A)(2): 145 °F
// (63 °C) 3 min, 150 °F (66 °C) 1 min, 155 °F (68 °C) 17 s, 158 °F (70 °C) at once; 3-401.11(B) for
// roasts.
//
// What is provable. Two readings up to ten minutes apart vouch for what lies between: that is the
// rule, and food with a single peak obeys it. For such food `met` proves that the display would
// have shown some row's temperature for its time, and `not met` that no row was kept whose
// temperature a reading showed (a peak between two readings is not assumed).
#include "random_record.hpp"

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

/// Up to a peak and down again.
Course cooked(Scale scale, double low_f, double high_f) {
    Course course{{0, fahrenheit_in(scale, between(60, low_f))}};
    const double peak = fahrenheit_in(scale, between(low_f, high_f));
    course.line(between(5, 120), peak - between(0, 3));
    course.line(between(0.1, 20), peak);
    if (*rc::gen::arbitrary<bool>()) {
        course.line(between(0.1, 150), peak);
    }
    course.line(between(0.1, 60), peak - between(0, 4));
    course.towards(fahrenheit_in(scale, 70), between(10, 200), between(1, 60));
    return course;
}

struct Cook {
    FoodKind food;
    const char* id;
    double low_f;
    double high_f;
};
constexpr std::array<Cook, 2> kCooks{Cook{FoodKind::ground, "cooking", 142, 160},
                                     Cook{FoodKind::intact_roast, "cooking-roast", 128, 150}};

const std::vector<codes::TableRow>& rows_of(const Cook& cook) {
    return std::get<codes::TableRule>(fda().find_one(cook.id, cook.food)->rule).rows;
}

} // namespace

TEST_CASE("a met cook reached some row and kept it, a missed one kept none") {
    Seen seen;
    rc::prop(property_name(), [&] {
        const Cook cook = *rc::gen::elementOf(kCooks);
        const Display display = any_display();
        const Course course = cooked(display.scale, cook.low_f, cook.high_f);
        const auto times = any_times(0, course.last_ms(), {0.1, 0.25, 1, 2, 5, 9, 15});
        RC_PRE(!times.empty());
        records::LotHistory lot;
        lot.food = cook.food;
        lot.raw_mass_g = 3000;
        lot.probes = {{"p1", std::nullopt, std::nullopt}};
        records::StageEntry entry;
        entry.stage = Stage::cooking;
        entry.from = moment(0);
        entry.oven = OvenKind::still_dry;
        entry.setting = Temperature::of_degrees(350, Scale::fahrenheit);
        lot.stages.push_back(entry);
        lot.points.push_back({"core", read(course, display, times)});
        lot.closes = moment(course.last_ms());
        judge::Settings settings;
        settings.as_of = *lot.closes;
        const auto judged = judge::judge_lot(lot, fda(), settings);
        const Finding* const f = find(judged, cook.id);
        RC_ASSERT(f != nullptr);
        seen.count(f->verdict);
        bool kept = false;
        for (const auto& row : rows_of(cook)) {
            const std::int32_t figure = row.at.printed(display.scale)->thousandths();
            for (const Stretch& s : stretches(course, 0, course.last_ms(), [&](double d) {
                     return display.shown(d) >= figure;
                 })) {
                kept = kept || s.length() >= row.keep.ms();
            }
        }
        RC_LOG() << f->reason << "\n";
        if (f->verdict == Verdict::met) {
            RC_ASSERT(kept);
        }
        // A row whose temperature no reading shows is counted as not reached, peak or no peak.
        if (f->verdict == Verdict::not_met) {
            bool possible = false;
            for (const auto& row : rows_of(cook)) {
                const std::int32_t figure = row.at.printed(display.scale)->thousandths();
                const bool shown = std::ranges::any_of(times, [&](std::int64_t ms) {
                    return display.shown(course.degrees(ms)) >= figure;
                });
                for (const Stretch& s : stretches(course, 0, course.last_ms(), [&](double d) {
                         return display.shown(d) >= figure;
                     })) {
                    possible =
                        possible || ( // Two milliseconds: the ends lie between two whole ones.
                                        shown && s.length() >= row.keep.ms() + 2);
                }
            }
            RC_ASSERT(!possible);
        }
    });
    CHECK(seen.percent(seen.met) >= 5);
    CHECK(seen.percent(seen.not_met) >= 5);
}

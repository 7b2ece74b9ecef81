#include <holdwarden/base/error.hpp>
#include <holdwarden/heat/plan_cool.hpp>
#include <holdwarden/heat/plan_rest.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::heat;

namespace {

Celsius fahrenheit(int degrees) {
    return celsius(Temperature::of_degrees(degrees, Scale::fahrenheit));
}
Material beef() {
    return Material::of(food_by_name("beef-brisket")->composition);
}
RestQuestion brisket_rest() {
    RestQuestion q;
    q.parts = usual_parts(3.25, beef(), true);
    q.limits = {fahrenheit(140), fahrenheit(135)};
    q.start_centre_c = Range::exactly(fahrenheit(200).degrees);
    q.samples = 60;
    return q;
}
double hours(const std::optional<Span>& span) {
    REQUIRE(span.has_value());
    return span->in_seconds() / 3600.0;
}

} // namespace

TEST_CASE("a chest's wall conductance and warming follow the handbook formulas") {
    // Worked by hand from Langmuir's shape factor (Incropera & DeWitt, table 4.1, from memory):
    // 0.50 x 0.32 x 0.30 m inside, 40 mm foam of 0.028 W/(m K), 8 W/(m2 K) on both sides.
    CHECK(wall_conductance_w_per_k({}) == Approx(0.547639).margin(1e-6));
    // Worked by hand: 8 kg of water at 90 °C and 6200 J/K at 22 °C mix to 79.386 °C.
    CHECK(preheated({}, Celsius{22}, 8.0, Celsius{90}).degrees == Approx(79.386).margin(0.001));
    Chest thin;
    thin.inside_height_m = 0.005;
    CHECK_THROWS_AS(wall_conductance_w_per_k(thin), Error);
}

TEST_CASE("strata put one sample into each tenth of every coordinate") {
    const auto points = stratified(10, 3, 7);
    for (std::size_t d = 0; d < 3; ++d) {
        std::vector<bool> seen(10);
        for (const auto& p : points) {
            seen[static_cast<std::size_t>(p[d] * 10)] = true;
        }
        CHECK(std::count(seen.begin(), seen.end(), true) == 10);
    }
    CHECK(stratified(10, 3, 7) == points);
    CHECK(stratified(10, 3, 8) != points);
}

TEST_CASE("quantiles keep what never happens at the far end") {
    const std::vector<std::optional<Span>> times{Span::hours(1), Span::hours(2), std::nullopt};
    const SpanBand band = band_of(times);
    CHECK(band.middle == Span::hours(2));
    CHECK_FALSE(band.high.has_value());
    CHECK(band.share_happening == Approx(2.0 / 3.0));
}

TEST_CASE("a rested flat comes to 140 °F in somewhat over two hours outdoors") {
    // Common practice, no source: a trimmed piece of about 5 kg raw (3 to 3.5 kg cooked), finished
    // at about 200 °F, wrapped, on a counter outdoors on a mild night.
    RestQuestion q = brisket_rest();
    q.air_c = {15.0, 20.0};
    const RestPlan plan = plan_rest(q);
    REQUIRE(plan.points.size() == 3);
    CHECK(plan.points[1].name == "flat");
    const SpanBand at_140 = plan.points[1].crossings[0].time;
    CHECK(hours(at_140.middle) < 2.8);
    CHECK(plan.piece_kg == Approx(3.25).epsilon(0.02));
}

TEST_CASE("the grid of a sampled plan is near the converged answer") {
    // The sampled plan trades accuracy for speed; what it gives up stays under the 10 % that the
    // conductivity alone is uncertain by. Guards the choice of cells and steps.
    RestQuestion q = brisket_rest();
    q.chest = ChestQuestion{};
    const std::vector<double> middle(8, 0.5);
    const Course quick = simulate(
        rest_situation(q, middle),
        {.until = Span::hours(8), .first = Span::minutes(1), .largest = Span::minutes(20)});
    const Converged exact =
        simulate_converged(rest_situation(q, middle), Span::hours(8), Span::minutes(2));
    for (const std::size_t part : {0U, 1U}) {
        const double a = hours(falls_below(quick, part, &State::centre, fahrenheit(140)));
        const double b = hours(falls_below(exact.course, part, &State::centre, fahrenheit(140)));
        CHECK(a == Approx(b).epsilon(0.02));
        CHECK(value_at(quick, part, &State::centre, Span::hours(2)).degrees ==
              Approx(value_at(exact.course, part, &State::centre, Span::hours(2)).degrees)
                  .margin(0.5));
    }
}

TEST_CASE("chests and cabinets hold overnight as practice has it") {
    // Common practice, no source: a plain unheated chest does not keep one piece above 135 °F for 8
    // to 9 h, a conditioned one does better; a cabinet at 140 °F keeps it all night; an appliance
    // at 165 °F keeps it hotter than wanted but safe.
    RestQuestion q = brisket_rest();
    q.h_w_per_m2_k = {5.0, 9.0};
    q.chest = ChestQuestion{};
    const auto flat_at_135 = [](const RestPlan& plan) { return plan.points[1].crossings[1].time; };
    const SpanBand cold = flat_at_135(plan_rest(q));
    CHECK(hours(cold.middle) < 8.0);
    q.chest->start_c = {60.0, 70.0};
    const SpanBand warmed = flat_at_135(plan_rest(q));
    CHECK(hours(warmed.middle) > hours(cold.middle) + 0.5);
    q.pieces = 2;
    CHECK(hours(flat_at_135(plan_rest(q)).middle) > hours(warmed.middle) + 1.0);
    RestQuestion cabinet = brisket_rest();
    cabinet.air_c = Range::exactly(fahrenheit(140).degrees);
    cabinet.h_w_per_m2_k = {8.0, 15.0};
    cabinet.resting_face_factor = 1.0;
    cabinet.limits = {fahrenheit(135)};
    CHECK(plan_rest(cabinet).points[1].crossings[0].time.share_happening == 0.0);
    cabinet.air_c = Range::exactly(fahrenheit(165).degrees);
    const RestPlan hot = plan_rest(cabinet);
    CHECK(hot.points[1].course.back().low > fahrenheit(150));
}

TEST_CASE("a pan's plan tells deep from shallow and still air from an ice bath") {
    // Published directions: only shallow pans or moved air met both limits (Olds & Sneed 2005; Olds
    // et al. 2013, abstracts); depths of 7.6 cm and more tend to fail (Igo et al., abstract).
    CoolQuestion q{.food = Material::of(food_by_name("chili")->composition)};
    q.length_m = 0.50;
    q.width_m = 0.30;
    q.depth_m = 0.10;
    q.container = *container_by_name("steel-pan");
    q.method = *method_by_name("walk-in");
    q.start = Celsius{70};
    q.windows = {fahrenheit(135), fahrenheit(70), fahrenheit(41), Span::hours(2), Span::hours(6)};
    q.samples = 20;
    CHECK(plan_cool(q).share_both == 0.0);
    q.method = *method_by_name("ice-bath-stirred");
    const CoolPlan stirred = plan_cool(q);
    q.method = *method_by_name("ice-bath");
    const CoolPlan still = plan_cool(q);
    CHECK(hours(stirred.first.middle) < hours(still.first.middle));
    CHECK(stirred.share_first > still.share_first);
    q.method = *method_by_name("walk-in-ice-bath");
    q.depth_m = 0.02;
    CHECK(plan_cool(q).fits());
    const auto depth = greatest_depth_m(q);
    REQUIRE(depth);
    CHECK(*depth > 0.02);
    CHECK(*depth < 0.10);
    q.depth_m = *depth;
    CHECK(plan_cool(q).fits());
    q.depth_m = *depth + 0.004;
    CHECK_FALSE(plan_cool(q).fits());
}

TEST_CASE("a plan refuses what cannot be with field and range") {
    CoolQuestion q{.food = beef()};
    q.length_m = 0.5;
    q.width_m = 0.3;
    q.depth_m = 0.2;
    q.container_depth_m = 0.1;
    q.method = *method_by_name("walk-in");
    q.start = Celsius{70};
    q.windows = {fahrenheit(135), fahrenheit(70), fahrenheit(41), Span::hours(2), Span::hours(6)};
    try {
        plan_cool(q);
        FAIL("accepted");
    } catch (const Error& error) {
        CHECK(error.text().where == "depth");
        CHECK(error.text().fix == "give at most 0.100 m");
    }
    RestQuestion frozen = brisket_rest();
    frozen.start_centre_c = {-5.0, -2.0};
    CHECK_THROWS_WITH(plan_rest(frozen), Catch::Contains("not covered"));
    CHECK_THROWS_AS(usual_parts(0.0, beef(), true), Error);
    CHECK_THROWS_AS(usual_parts(std::nan(""), beef(), true), Error);
}

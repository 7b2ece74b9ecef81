#include <holdwarden/base/error.hpp>
#include <holdwarden/heat/body.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::heat;

TEST_CASE("still air and radiation take heat as the correlations say") {
    // Worked by a separate program from Churchill & Chu (1975) and McAdams (Incropera & DeWitt, ch.
    // 9, from memory) with dry air by power law and Sutherland: air at 22 °C.
    struct Row {
        double surface, vertical, up, down, cylinder, matt, foil;
    };
    const Row rows[] = {{40, 4.946, 5.742, 2.871, 4.108, 5.749, 0.639},
                        {60, 5.977, 6.848, 3.424, 5.031, 6.352, 0.706},
                        {80, 6.621, 7.532, 3.766, 5.607, 7.008, 0.779}};
    for (const Row& row : rows) {
        const auto h = [&](Posture posture, double size) {
            return free_convection_w_per_m2_k(posture, size, Celsius{row.surface}, Celsius{22});
        };
        CHECK(h(Posture::vertical, 0.1) == Approx(row.vertical).margin(0.0006));
        CHECK(h(Posture::facing_up, 0.06) == Approx(row.up).margin(0.0006));
        CHECK(h(Posture::facing_down, 0.06) == Approx(row.down).margin(0.0006));
        CHECK(h(Posture::lying_cylinder, 0.16) == Approx(row.cylinder).margin(0.0006));
        CHECK(radiation_w_per_m2_k(0.9, Celsius{row.surface}, Celsius{22}) ==
              Approx(row.matt).margin(0.0006));
        CHECK(radiation_w_per_m2_k(0.1, Celsius{row.surface}, Celsius{22}) ==
              Approx(row.foil).margin(0.0006));
    }
    // Pohlhausen's plate, 0.3 m, 20 °C film.
    const double speeds[] = {0.3, 1, 2, 3, 5};
    const double forced[] = {3.9, 7.1, 10.1, 12.4, 15.9};
    for (std::size_t i = 0; i < 5; ++i) {
        CHECK(forced_convection_w_per_m2_k(speeds[i], 0.3, Celsius{20}) ==
              Approx(forced[i]).margin(0.06));
    }
}

TEST_CASE("evaporation from an uncovered pan outweighs dry cooling while it is hot") {
    // Worked by a separate program from the Chilton-Colburn analogy: h 20, air 3 °C at 80 %.
    // Tolerance 2 %: the two take the vapour pressure from different formulas.
    const double at[] = {60, 40, 20, 10};
    const double watts[] = {5676, 2147, 592, 221};
    for (std::size_t i = 0; i < 4; ++i) {
        CHECK(evaporation_w_per_m2(20, Celsius{at[i]}, Celsius{3}, 0.8) ==
              Approx(watts[i]).epsilon(0.02));
    }
}

TEST_CASE("an impossible body is refused with its field, range and unit") {
    Body body{.form = Form::brick,
              .length_m = 0.3,
              .width_m = 0.0,
              .thickness_m = 0.08,
              .material = Material::constant({1050, 3150, 0.44})};
    try {
        check(body);
        FAIL("accepted");
    } catch (const Error& error) {
        CHECK(error.text().where == "width");
        CHECK(error.text().fix == "give 0.001 to 5 m");
    }
    CHECK_THROWS_AS(Material::constant({0, 3150, 0.44}), Error);
    CHECK_THROWS_AS(Material::constant({1050, 3150, -1}), Error);
}

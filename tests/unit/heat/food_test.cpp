#include <holdwarden/base/error.hpp>
#include <holdwarden/heat/food.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::heat;

TEST_CASE("components follow Choi and Okos") {
    // Computed by hand from the equations of Choi & Okos (1986), tables as reprinted in ASHRAE
    // Handbook, Refrigeration, "Thermal Properties of Foods". Tolerance: the printed digits.
    struct Row {
        double t;
        Component c;
        double k;
        double rho;
        double cp;
    };
    const Row rows[] = {
        {5, Component::water, 0.579735, 997.101785, 4175.8825},
        {5, Component::protein, 0.184721, 1327.308, 2014.2117},
        {5, Component::fat, 0.179325, 923.50215, 1991.4465},
        {40, Component::water, 0.630864, 991.293916, 4181.3224},
        {40, Component::protein, 0.222294, 1309.164, 2054.4554},
        {40, Component::fat, 0.169384, 908.8872, 2035.4507},
        {40, Component::carbohydrate, 0.249976, 1586.6816, 1617.7962},
        {40, Component::fibre, 0.228229, 1296.8644, 1911.6826},
        {40, Component::ash, 0.381013, 2412.5748, 1162.2933},
        {80, Component::water, 0.669187, 973.384152, 4203.9587},
        {80, Component::protein, 0.257080, 1288.428, 2096.5094},
        {80, Component::fat, 0.157491, 892.1844, 2071.3389},
    };
    for (const Row& row : rows) {
        const Properties p = component(row.c, Celsius{row.t});
        CHECK(p.conductivity_w_per_m_k == Approx(row.k).margin(6e-7));
        CHECK(p.density_kg_per_m3 == Approx(row.rho).margin(1e-6));
        CHECK(p.heat_capacity_j_per_kg_k == Approx(row.cp).margin(6e-5));
    }
}

TEST_CASE("water by Choi and Okos is within one per cent of the steam tables") {
    // IAPWS values for liquid water at 0.1 MPa, 40 °C (from memory): 992.2 kg/m3, 4179 J/(kg K),
    // 0.629 W/(m K).
    const Properties p = component(Component::water, Celsius{40});
    CHECK(p.density_kg_per_m3 == Approx(992.2).epsilon(0.01));
    CHECK(p.heat_capacity_j_per_kg_k == Approx(4179).epsilon(0.01));
    CHECK(p.conductivity_w_per_m_k == Approx(0.629).epsilon(0.01));
}

TEST_CASE("foods of the USDA table mix as worked out beside the equations") {
    // An independent evaluation of the mixing rules (ASHRAE Handbook, Refrigeration, same chapter)
    // on USDA SR26 compositions. Tolerance: half of the last printed digit.
    struct Row {
        const char* food;
        double t;
        double rho;
        double cp;
        double parallel;
        double series;
        double alpha_e7;
    };
    const Row rows[] = {
        {"beef-brisket", 5, 1057.79, 3128.6, 0.40274, 0.29422, 1.2170},
        {"beef-brisket", 40, 1047.42, 3151.6, 0.43611, 0.31203, 1.3211},
        {"beef-brisket", 80, 1028.99, 3182.5, 0.46233, 0.32020, 1.4118},
        {"beef-flat", 40, 1075.19, 3286.1, 0.47689, 0.36019, 1.3497},
        {"beef-point", 40, 1028.99, 3031.5, 0.40304, 0.28231, 1.2921},
        {"pork-shoulder", 40, 1036.29, 3199.4, 0.44293, 0.31536, 1.3359},
        {"chicken-dark", 40, 1057.83, 3369.2, 0.48881, 0.36902, 1.3715},
        {"chicken-breast", 40, 1074.71, 3419.9, 0.50729, 0.39906, 1.3802},
        {"beans", 40, 1118.84, 3294.7, 0.51684, 0.42372, 1.4021},
        {"chili", 5, 1057.01, 3591.4, 0.50283, 0.41301, 1.3246},
        {"chili", 40, 1049.61, 3608.0, 0.54814, 0.45083, 1.4474},
        {"chili", 80, 1031.60, 3636.3, 0.58310, 0.47659, 1.5545},
        {"stew", 40, 1035.10, 3727.1, 0.56586, 0.47740, 1.4668},
        {"beef-stock", 40, 1004.71, 4085.5, 0.62059, 0.60425, 1.5119},
        {"rice", 40, 1118.65, 3384.7, 0.54344, 0.46479, 1.4353},
    };
    for (const Row& row : rows) {
        INFO(row.food << " at " << row.t);
        const KnownFood* food = food_by_name(row.food);
        REQUIRE(food != nullptr);
        const Properties p = mixture(food->composition, Celsius{row.t});
        CHECK(p.density_kg_per_m3 == Approx(row.rho).margin(0.006));
        CHECK(p.heat_capacity_j_per_kg_k == Approx(row.cp).margin(0.06));
        CHECK(p.conductivity_w_per_m_k == Approx(row.parallel).margin(6e-6));
        CHECK(p.diffusivity_m2_per_s() * 1e7 == Approx(row.alpha_e7).margin(6e-5));
        CHECK(mixture(food->composition, Celsius{row.t}, Mixing::series).conductivity_w_per_m_k ==
              Approx(row.series).margin(6e-6));
    }
    // Composition: ASHRAE Handbook, Refrigeration, table 3, pork shoulder, lean (from memory).
    const Composition pork{72.63, 19.55, 7.14, 1.02, 0, 0};
    const Properties p = mixture(pork, Celsius{20});
    CHECK(p.density_kg_per_m3 == Approx(1045.62).margin(0.006));
    CHECK(p.heat_capacity_j_per_kg_k == Approx(3573.67).margin(0.006));
    CHECK(p.conductivity_w_per_m_k == Approx(0.505741).margin(6e-7));
}

TEST_CASE("mixed heat capacity agrees with an older published rule within eight per cent") {
    // Heldman (1975), Food Process Engineering: cp = 4180 w + 1547 p + 1672 f + 1420 c + 836 a.
    for (const KnownFood& food : known_foods()) {
        const Composition& c = food.composition;
        const double sum =
            c.water_g + c.protein_g + c.fat_g + c.carbohydrate_g + c.fibre_g + c.ash_g;
        const double heldman = (4180 * c.water_g + 1547 * c.protein_g + 1672 * c.fat_g +
                                1420 * (c.carbohydrate_g + c.fibre_g) + 836 * c.ash_g) /
                               sum;
        INFO(food.name);
        CHECK(sum > 98.0);
        CHECK(sum < 101.5);
        CHECK(mixture(c, Celsius{20}).heat_capacity_j_per_kg_k == Approx(heldman).epsilon(0.08));
    }
}

TEST_CASE("an impossible composition is refused") {
    CHECK_THROWS_AS(mixture({}, Celsius{20}), Error);
    CHECK_THROWS_AS(mixture({.water_g = -1, .protein_g = 5}, Celsius{20}), Error);
    CHECK_THROWS_AS(mixture({.water_g = 80}, Celsius{20}, Mixing::parallel, 1.0), Error);
}

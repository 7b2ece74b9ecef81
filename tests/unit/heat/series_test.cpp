#include <holdwarden/heat/series.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden::heat;

TEST_CASE("first roots and coefficients are those of the textbook table") {
    // Incropera & DeWitt, table 5.1 (4 digits, as remembered), carried to 8 digits by a separate
    // evaluation of the same equations.
    struct Row {
        double bi;
        double wall_z, wall_c, cyl_z, cyl_c, sph_z, sph_c;
    };
    const Row rows[] = {
        {0.01, 0.099833639, 1.0016608, 0.14124476, 1.0024958, 0.17303199, 1.0029981},
        {0.1, 0.31105285, 1.0160942, 0.44168178, 1.0245794, 0.54228089, 1.0297977},
        {0.5, 0.65327119, 1.0701281, 0.94077056, 1.1142546, 1.1655612, 1.1441063},
        {1, 0.86033359, 1.1191320, 1.2557837, 1.2070921, 1.5707963, 1.2732395},
        {3, 1.1924588, 1.2102264, 1.7886572, 1.4190949, 2.2889297, 1.6226806},
        {10, 1.4288700, 1.2619626, 2.1794966, 1.5676918, 2.8363004, 1.9249086},
        {100, 1.5552451, 1.2730876, 2.3809017, 1.6015239, 3.1101870, 1.9990335},
    };
    for (const Row& row : rows) {
        INFO("Biot " << row.bi);
        const SeriesTerm wall = series_terms(Solid::wall, row.bi, 1).front();
        const SeriesTerm cylinder = series_terms(Solid::cylinder, row.bi, 1).front();
        const SeriesTerm sphere = series_terms(Solid::sphere, row.bi, 1).front();
        CHECK(wall.root == Approx(row.wall_z).epsilon(1e-7));
        CHECK(wall.coefficient == Approx(row.wall_c).epsilon(1e-7));
        CHECK(cylinder.root == Approx(row.cyl_z).epsilon(1e-7));
        CHECK(cylinder.coefficient == Approx(row.cyl_c).epsilon(1e-7));
        CHECK(sphere.root == Approx(row.sph_z).epsilon(1e-7));
        CHECK(sphere.coefficient == Approx(row.sph_c).epsilon(1e-7));
    }
}

TEST_CASE("temperatures agree with a 40-digit evaluation of the series") {
    // Worked with 40-digit arithmetic from the equations of Incropera & DeWitt, ch. 5; tolerance:
    // the printed digits.
    struct Row {
        Solid solid;
        double bi, fo, x, theta;
    };
    const Row rows[] = {
        {Solid::wall, 0.1, 2, 0, 0.8373261065},      {Solid::wall, 0.5, 0.5, 0, 0.8641141290},
        {Solid::wall, 1, 0.1, 0, 0.9931082548},      {Solid::wall, 1, 1, 0, 0.5338594014},
        {Solid::wall, 1, 1, 1, 0.3481768517},        {Solid::wall, 5, 0.3, 0, 0.7363275207},
        {Solid::wall, 20, 0.05, 0, 0.9979903827},    {Solid::cylinder, 0.5, 0.5, 0, 0.7157491523},
        {Solid::cylinder, 2, 0.2, 0, 0.7899864942},  {Solid::cylinder, 2, 0.2, 1, 0.3701435492},
        {Solid::cylinder, 10, 0.1, 0, 0.9000804291}, {Solid::sphere, 0.5, 0.5, 0, 0.5800435483},
        {Solid::sphere, 2, 0.2, 0, 0.6433363469},    {Solid::sphere, 2, 0.2, 1, 0.2883715194},
        {Solid::sphere, 10, 0.05, 0, 0.9825638290},  {Solid::sphere, 50, 0.1, 0, 0.7292592735},
    };
    for (const Row& row : rows) {
        INFO("Biot " << row.bi << " Fourier " << row.fo << " x " << row.x);
        CHECK(difference_left(row.solid, row.bi, row.fo, row.x) == Approx(row.theta).margin(2e-10));
    }
    const auto wall = [](double bi, double fo) { return difference_left(Solid::wall, bi, fo, 0); };
    CHECK(wall(0.6, 0.8) * wall(1.2, 0.2) * wall(1.8, 0.8 / 9) ==
          Approx(0.6801764949).margin(2e-10));
    CHECK(wall(1, 0.4) * difference_left(Solid::cylinder, 1, 0.4, 0) ==
          Approx(0.5334719630).margin(2e-10));
    CHECK(wall(2, 0.3) * wall(2, 0.3) * wall(2, 0.3) == Approx(0.5672128526).margin(2e-10));
    CHECK(wall(1, 0.5) * wall(2, 0.125) == Approx(0.7530432451).margin(2e-10));
}

TEST_CASE("a slab with two equal faces is the symmetric wall") {
    // The same body in the other coordinate: Biot doubles, Fourier is a quarter, x* = 2x - 1.
    for (const double x : {0.0, 0.2, 0.5, 0.9}) {
        CHECK(slab_difference_left(2.0, 2.0, 0.1, x) ==
              Approx(difference_left(Solid::wall, 1.0, 0.4, 2 * x - 1)).margin(1e-12));
    }
}

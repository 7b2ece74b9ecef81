#include <holdwarden/base/error.hpp>
#include <holdwarden/heat/body.hpp>

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace holdwarden::heat {
namespace {

void check_range(double value, double low, double high, const char* field, const char* unit) {
    if (!(value >= low && value <= high)) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("{} of {} {} is out of range", field, value, unit),
                     .where = field,
                     .fix = fmt::format("give {} to {} {}", low, high, unit)}};
    }
}

void check_size(double value, const char* field) {
    check_range(value, 0.001, 5.0, field, "m");
}

} // namespace

double Body::volume_m3() const noexcept {
    constexpr double kPi = std::numbers::pi;
    switch (form) {
    case Form::slab:
        return thickness_m;
    case Form::brick:
        return length_m * width_m * thickness_m;
    case Form::cylinder:
        return kPi / 4.0 * diameter_m * diameter_m * (thickness_m > 0.0 ? thickness_m : 1.0);
    case Form::sphere:
        return kPi / 6.0 * diameter_m * diameter_m * diameter_m;
    }
    return 0.0;
}

void check(const Body& body) {
    switch (body.form) {
    case Form::brick:
        check_size(body.length_m, "length");
        check_size(body.width_m, "width");
        [[fallthrough]];
    case Form::slab:
        check_size(body.thickness_m, "thickness");
        break;
    case Form::cylinder:
        if (body.thickness_m != 0.0) {
            check_size(body.thickness_m, "height");
        }
        [[fallthrough]];
    case Form::sphere:
        check_size(body.diameter_m, "diameter");
        break;
    }
    for (const Face& face : body.faces) {
        const Surface& s = face.surface;
        check_range(s.h_w_per_m2_k, 0.0, 1e5, "surface coefficient", "W/(m2 K)");
        check_range(s.emissivity, 0.0, 1.0, "emissivity", "(0 to 1)");
        check_range(s.film_m2_k_per_w, 0.0, 100.0, "film resistance", "m2 K/W");
        check_range(s.humidity, 0.0, 1.0, "relative humidity", "(0 to 1)");
        for (const Layer& layer : face.layers) {
            check_range(layer.thickness_m, 1e-5, 1.0, "layer thickness", "m");
        }
        if (face.air) {
            check_range(face.air->degrees, -40.0, 300.0, "air temperature", "°C");
        }
    }
}

} // namespace holdwarden::heat

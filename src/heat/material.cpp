#include <holdwarden/base/error.hpp>
#include <holdwarden/heat/material.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdwarden::heat {
namespace {

constexpr double kLowest = -40.0; // first entry of a table; one entry each degree
constexpr std::size_t kEntries = 246;

void check(double value, const char* field, const char* unit) {
    if (!(std::isfinite(value) && value > 0.0)) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("{} of {} {} is impossible", field, value, unit),
                     .where = field,
                     .fix = fmt::format("give a number above 0, in {}", unit)}};
    }
}

} // namespace

double Material::between(const Table& table, double degrees) noexcept {
    if (table.size() == 1) {
        return table.front();
    }
    const double at = std::clamp(degrees - kLowest, 0.0, static_cast<double>(table.size() - 1));
    const auto i = std::min(static_cast<std::size_t>(at), table.size() - 2);
    const double share = at - static_cast<double>(i);
    return table[i] + share * (table[i + 1] - table[i]);
}

double Material::heat_j_per_m3(Celsius at) const noexcept {
    const Table& c = *c_;
    if (constant_) {
        return c.front() * at.degrees;
    }
    const double last = static_cast<double>(c.size() - 1);
    const double x = at.degrees - kLowest;
    if (x <= 0.0) {
        return c.front() * x;
    }
    if (x >= last) {
        return heat_->back() + c.back() * (x - last);
    }
    const auto i = static_cast<std::size_t>(x);
    const double share = x - static_cast<double>(i);
    return (*heat_)[i] + share * (c[i] + 0.5 * share * (c[i + 1] - c[i]));
}

Material Material::constant(const Properties& properties) {
    check(properties.density_kg_per_m3, "density", "kg/m3");
    check(properties.heat_capacity_j_per_kg_k, "heat capacity", "J/(kg K)");
    check(properties.conductivity_w_per_m_k, "conductivity", "W/(m K)");
    Material m;
    m.constant_ = true;
    m.density_ = properties.density_kg_per_m3;
    m.k_ = std::make_shared<Table>(1, properties.conductivity_w_per_m_k);
    m.c_ = std::make_shared<Table>(1, properties.density_kg_per_m3 *
                                          properties.heat_capacity_j_per_kg_k);
    return m;
}

Material Material::of(const Composition& food, double conductivity_factor) {
    check(conductivity_factor, "conductivity factor", "(a ratio)");
    Table k(kEntries);
    Table c(kEntries);
    Table heat(kEntries);
    for (std::size_t i = 0; i < kEntries; ++i) {
        const Properties p = mixture(food, Celsius{kLowest + static_cast<double>(i)});
        k[i] = p.conductivity_w_per_m_k * conductivity_factor;
        c[i] = p.density_kg_per_m3 * p.heat_capacity_j_per_kg_k;
        heat[i] = i == 0 ? 0.0 : heat[i - 1] + 0.5 * (c[i - 1] + c[i]);
    }
    Material m;
    m.density_ = mixture(food, Celsius{40}).density_kg_per_m3;
    m.k_ = std::make_shared<Table>(std::move(k));
    m.c_ = std::make_shared<Table>(std::move(c));
    m.heat_ = std::make_shared<Table>(std::move(heat));
    return m;
}

Material Material::conducting(double factor) const {
    check(factor, "conductivity factor", "(a ratio)");
    Table k = *k_;
    for (double& value : k) {
        value *= factor;
    }
    Material m = *this;
    m.k_ = std::make_shared<Table>(std::move(k));
    return m;
}

} // namespace holdwarden::heat

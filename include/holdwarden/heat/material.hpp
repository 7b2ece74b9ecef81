#pragma once

#include <holdwarden/heat/food.hpp>

#include <memory>
#include <vector>

namespace holdwarden::heat {

/// A solid as the solver sees it: conductivity, heat capacity by volume and the heat content that
/// goes with it, between -40 and 205 °C (held constant beyond). A value; cheap to copy.
class Material {
public:
    /// The same at every temperature. All three must be finite and above 0: throws Error{bad_input}
    /// naming the field.
    static Material constant(const Properties& properties);
    /// A food by its composition, unfrozen. `conductivity_factor` stands for what conduction alone
    /// leaves out (a thin liquid that moves by itself), above 0.
    static Material of(const Composition& food, double conductivity_factor = 1.0);

    /// The same material with its conductivity times `factor`, which must be above 0.
    Material conducting(double factor) const;

    bool is_constant() const noexcept { return constant_; }
    double conductivity_w_per_m_k(Celsius at) const noexcept { return between(*k_, at.degrees); }
    double capacity_j_per_m3_k(Celsius at) const noexcept { return between(*c_, at.degrees); }
    /// Heat content from the table's lowest temperature up: the exact integral of
    /// capacity_j_per_m3_k.
    double heat_j_per_m3(Celsius at) const noexcept;
    /// Whether both are copies of one material.
    bool same_as(const Material& other) const noexcept { return k_ == other.k_; }
    /// Density at 40 °C, for masses.
    double density_kg_per_m3() const noexcept { return density_; }

private:
    using Table = std::vector<double>;
    Material() = default;
    static double between(const Table& table, double degrees) noexcept;
    std::shared_ptr<const Table> k_;
    std::shared_ptr<const Table> c_;
    std::shared_ptr<const Table> heat_;
    double density_ = 0.0;
    bool constant_ = false;
};

} // namespace holdwarden::heat

#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/heat/body.hpp>

#include <memory>
#include <optional>
#include <vector>

namespace holdwarden::heat {

/// Temperatures at the start: equal, or falling as a parabola from the centre to the surface (the
/// outside of food fresh from a smoker is hotter than its core).
struct Start {
    Celsius centre;
    Celsius surface;
    static Start uniform(Celsius t) noexcept { return {t, t}; }
};

struct Piece {
    Body body;
    Start start;
    int count = 1; ///< equal pieces side by side that do not touch
    double share =
        1.0; ///< of the body that is there: 0.5 for half of a body mirrored at its middle
};

/// A closed box whose air and liner share one temperature: a chest. Its walls may hold heat of
/// their own half way out.
struct Enclosure {
    double capacity_j_per_k = 0.0; ///< air, liner, trays, towels
    double ua_w_per_k = 0.0;       ///< through the walls
    double leak_w_per_k = 0.0;     ///< past the lid
    double wall_capacity_j_per_k = 0.0;
    Celsius start;
};

struct Situation {
    std::vector<Piece> pieces;
    Celsius air; ///< around the pieces, or around the enclosure
    std::optional<Enclosure> enclosure;
    int cells_per_half = 6;    ///< cells from the centre to each surface, 2 to 40
    double tolerance_k = 1e-9; ///< of the last correction in each step; samples do with 1e-3
};

/// One piece's temperatures at one time.
struct State {
    Celsius centre;
    Celsius warmest;
    Celsius surface; ///< middle of the top, or of the round face
    Celsius coldest; ///< outermost corner or edge
    Celsius mean;    ///< by volume
};

struct Sample {
    Span at;
    std::vector<State> pieces;
    Celsius air; ///< around the pieces: inside the enclosure if there is one
};

/// Heat accounts since the start.
struct Energy {
    double stored_change_j = 0.0; ///< pieces and enclosure together
    double given_off_j = 0.0;     ///< to the surroundings
    /// How far the two fail to cancel, over the larger of them.
    double imbalance() const noexcept;
};

/// Conduction in the pieces with properties that depend on temperature, surfaces that radiate and
/// evaporate, and an enclosure that warms and cools with them. Finite volumes on a grid that uses
/// the body's symmetry; TR-BDF2 in time (Bank et al. 1985, IEEE Trans. Electron Devices 32; from
/// memory), heat content conserved; the linear steps by Eigen's sparse LDLT.
class Simulation {
public:
    /// Throws Error{bad_input} for what `check(Body)` refuses, a temperature below -40 or above
    /// 300 °C, an enclosure without capacity.
    explicit Simulation(const Situation& situation);
    ~Simulation();
    Simulation(Simulation&&) noexcept;
    Simulation& operator=(Simulation&&) noexcept;
    Simulation(const Simulation&) = delete;
    Simulation& operator=(const Simulation&) = delete;

    /// Goes on by `by` in equal steps of at most `step`; both above 0.
    void advance(Span by, Span step);
    /// From now on the air is `air` and, if given, every outer surface behaves as `surface`.
    void move_to(Celsius air, const std::optional<Surface>& surface = std::nullopt);
    /// Mixes a piece: every part takes the temperature with the same heat content.
    void stir(std::size_t piece);

    Sample sample() const;
    Energy energy() const noexcept;

private:
    struct Network;
    std::unique_ptr<Network> network_;
};

} // namespace holdwarden::heat

#include "grid.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/heat/simulation.hpp>

#include <Eigen/SparseCholesky>
#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

namespace holdwarden::heat {
namespace {

using detail::Axis;

constexpr double kGamma = 0.58578643762690495; // 2 - sqrt 2: the first stage of TR-BDF2
constexpr int kMostCorrections = 40;

/// Half a cell's way to its face: conductance is area over the sum of distance / conductivity.
struct Link {
    std::size_t a;
    std::size_t b;
    double area;
    double distance_a;
    double distance_b;
};

/// A cell's face to the surroundings.
struct Outside {
    std::size_t cell;
    double area;
    double distance; ///< from the cell's middle to its face
    std::size_t piece;
    Side side;
    bool bare;          ///< food itself, not a layer over it: only that can be wet
    double temperature; ///< of the outermost surface, from the last evaluation
};

/// Where a piece's cells are in the network and how the grid counts them.
struct Block {
    std::vector<Axis> axes;
    std::size_t first = 0;
    std::vector<std::size_t> stride;
    std::size_t count = 0;
    std::vector<double> centre_weights; ///< of each cell
};

void check_temperature(Celsius t, const char* field) {
    if (!(t.degrees >= -40.0 && t.degrees <= 300.0)) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("{} of {} °C is out of range", field, t.degrees),
                     .where = field,
                     .fix = "give -40 to 300 °C"}};
    }
}

void check(const Situation& situation) {
    check_temperature(situation.air, "air temperature");
    assert(situation.cells_per_half >= 2 && situation.cells_per_half <= 40);
    for (const Piece& piece : situation.pieces) {
        check(piece.body);
        check_temperature(piece.start.centre, "start temperature");
        check_temperature(piece.start.surface, "start temperature of the surface");
        if (piece.count < 1 || piece.count > 1000) {
            throw Error{ErrorKind::bad_input,
                        {.what = fmt::format("{} pieces are impossible", piece.count),
                         .where = "pieces",
                         .fix = "give 1 to 1000"}};
        }
    }
    if (const auto& box = situation.enclosure) {
        check_temperature(box->start, "start temperature of the chest");
        const auto positive = [](double value, const char* field, const char* unit) {
            if (!(std::isfinite(value) && value > 0.0)) {
                throw Error{ErrorKind::bad_input,
                            {.what = fmt::format("{} of {} {} is impossible", field, value, unit),
                             .where = field,
                             .fix = fmt::format("give a number above 0, in {}", unit)}};
            }
        };
        positive(box->capacity_j_per_k, "heat capacity of the chest", "J/K");
        positive(box->ua_w_per_k, "wall conductance of the chest", "W/K");
    }
}

} // namespace

struct Simulation::Network {
    Situation situation;
    std::vector<Block> blocks;
    std::vector<double> volume; ///< of each cell, all equal pieces together; 0 for lumps
    std::vector<const Material*> material;
    std::vector<double> lump; ///< heat capacity of nodes without volume
    std::vector<Link> links;
    std::vector<Outside> outside;
    std::optional<std::size_t> box;
    std::optional<std::size_t> wall;
    bool linear = true;

    Eigen::VectorXd t;
    Eigen::VectorXd k;
    Eigen::VectorXd flow; ///< last evaluation
    double lost = 0.0;    ///< last evaluation
    Eigen::SparseMatrix<double> matrix;
    Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> solver;
    bool analysed = false;
    double factored_for = -1.0; ///< the step factor of the present factorisation
    Energy energy;
    double start_heat = 0.0;

    explicit Network(const Situation& s) : situation{s} {
        for (std::size_t p = 0; p < situation.pieces.size(); ++p) {
            add_piece(p);
        }
        std::size_t nodes = volume.size();
        if (situation.enclosure) {
            box = nodes++;
            if (situation.enclosure->wall_capacity_j_per_k > 0.0) {
                wall = nodes++;
            }
        }
        volume.resize(nodes, 0.0);
        material.resize(nodes, nullptr);
        lump.resize(nodes, 0.0);
        t.conservativeResize(static_cast<Eigen::Index>(nodes));
        k.setZero(static_cast<Eigen::Index>(nodes));
        if (box) {
            lump[*box] = situation.enclosure->capacity_j_per_k;
            at(*box) = situation.enclosure->start.degrees;
        }
        if (wall) {
            lump[*wall] = situation.enclosure->wall_capacity_j_per_k;
            at(*wall) = 0.5 * (situation.enclosure->start.degrees + situation.air.degrees);
        }
        flow.setZero(static_cast<Eigen::Index>(nodes));
        start_heat = heat_content();
    }

    double& at(std::size_t i) { return t[static_cast<Eigen::Index>(i)]; }
    double at(std::size_t i) const { return t[static_cast<Eigen::Index>(i)]; }

    const Face& face(const Outside& o) const { return situation.pieces[o.piece].body.face(o.side); }

    void add_piece(std::size_t p) {
        const Piece& piece = situation.pieces[p];
        Block block;
        block.axes = detail::axes_of(piece.body, situation.cells_per_half);
        block.first = volume.size();
        block.count = 1;
        for (const Axis& axis : block.axes) {
            block.stride.push_back(block.count);
            block.count *= axis.cells();
        }
        volume.resize(block.first + block.count);
        material.resize(volume.size());
        t.conservativeResize(static_cast<Eigen::Index>(volume.size()));
        block.centre_weights.assign(block.count, 1.0);
        std::vector<std::vector<double>> weights;
        for (const Axis& axis : block.axes) {
            weights.push_back(axis.centre_weights());
        }
        for (std::size_t c = 0; c < block.count; ++c) {
            add_cell(p, block, c);
            for (std::size_t a = 0; a < block.axes.size(); ++a) {
                block.centre_weights[c] *= weights[a][index(block, c, a)];
            }
        }
        for (const Face& f : piece.body.faces) {
            linear = linear && f.surface.emissivity == 0.0 && !f.surface.wet;
        }
        blocks.push_back(std::move(block));
    }

    static std::size_t index(const Block& block, std::size_t cell, std::size_t axis) {
        return cell / block.stride[axis] % block.axes[axis].cells();
    }

    /// The food, or the sheet that the outermost coordinate lies in.
    static const Material* material_of(const Body& body, const Block& block, std::size_t c) {
        for (std::size_t a = 0; a < block.axes.size(); ++a) {
            const Axis& axis = block.axes[a];
            const std::size_t i = index(block, c, a);
            if (axis.layer[i] >= 0) {
                return &body.face(axis.layer_side[i])
                            .layers[static_cast<std::size_t>(axis.layer[i])]
                            .material;
            }
        }
        return &body.material;
    }

    void add_cell(std::size_t p, const Block& block, std::size_t c) {
        const Piece& piece = situation.pieces[p];
        const std::size_t node = block.first + c;
        double v = piece.share * piece.count;
        double inside = 1.0; // 1 at the centre, 0 at the surface
        for (std::size_t a = 0; a < block.axes.size(); ++a) {
            const std::size_t i = index(block, c, a);
            v *= block.axes[a].volume(i);
            const double x = std::clamp(block.axes[a].place(i), -1.0, 1.0);
            inside *= 1.0 - x * x;
        }
        volume[node] = v;
        material[node] = material_of(piece.body, block, c);
        linear = linear && material[node]->is_constant();
        at(node) = piece.start.surface.degrees +
                   (piece.start.centre.degrees - piece.start.surface.degrees) * inside;
        for (std::size_t a = 0; a < block.axes.size(); ++a) {
            const Axis& axis = block.axes[a];
            const std::size_t i = index(block, c, a);
            const double across = v / axis.volume(i); // the other axes' share of a face's area
            const double half = 0.5 * axis.width(i);
            const bool bare = material[node] == &piece.body.material;
            if (i + 1 < axis.cells()) {
                links.push_back({node, node + block.stride[a], across * axis.area(i + 1), half,
                                 0.5 * axis.width(i + 1)});
            } else {
                outside.push_back(
                    {node, across * axis.area(i + 1), half, p, axis.high, bare, at(node)});
            }
            if (i == 0 && !axis.symmetric) {
                outside.push_back({node, across * axis.area(0), half, p, axis.low, bare, at(node)});
            }
        }
    }

    void conductivities() {
        for (std::size_t i = 0; i < volume.size(); ++i) {
            if (material[i] != nullptr) {
                k[static_cast<Eigen::Index>(i)] =
                    material[i]->conductivity_w_per_m_k(Celsius{at(i)});
            }
        }
    }
    double kk(std::size_t i) const { return k[static_cast<Eigen::Index>(i)]; }

    double conductance(const Link& l) const {
        return l.area / (l.distance_a / kk(l.a) + l.distance_b / kk(l.b));
    }

    double air_of(const Outside& o) const {
        const Face& f = face(o);
        return f.air ? f.air->degrees : box ? at(*box) : situation.air.degrees;
    }

    struct Passing {
        double watts;       ///< leaving the cell
        double conductance; ///< its slope with the cell's temperature
    };

    /// What passes from a cell through its outer face: conduction to the surface equals what the
    /// surface gives off, found by Newton's rule (at once if the surface is linear).
    Passing pass(Outside& o) const {
        const Surface& s = face(o).surface;
        const double air = air_of(o);
        const double inner = 1.0 / (o.distance / kk(o.cell) + s.film_m2_k_per_w);
        double surface = o.temperature;
        double slope = s.h_w_per_m2_k;
        const bool wet = s.wet && o.bare;
        const bool simple = s.emissivity == 0.0 && !wet;
        for (int i = 0; i < (simple ? 1 : 12); ++i) {
            const double h =
                s.h_w_per_m2_k + radiation_w_per_m2_k(s.emissivity, Celsius{surface}, Celsius{air});
            double given = h * (surface - air);
            slope = h;
            if (wet) {
                const auto evaporation = [&](double at_surface) {
                    return evaporation_w_per_m2(s.h_w_per_m2_k, Celsius{at_surface}, Celsius{air},
                                                s.humidity);
                };
                given += evaporation(surface);
                slope += std::max(0.0, evaporation(surface + 0.5) - evaporation(surface - 0.5));
            }
            const double change = (inner * (at(o.cell) - surface) - given) / (inner + slope);
            surface += change;
            if (std::abs(change) < 1e-11) {
                break;
            }
        }
        o.temperature = surface;
        const double watts = o.area * inner * (at(o.cell) - surface);
        return {watts, o.area / (1.0 / inner + 1.0 / std::max(slope, 1e-12))};
    }

    double through_walls(std::size_t from) const {
        const Enclosure& e = *situation.enclosure;
        const double difference = at(from) - situation.air.degrees;
        return wall ? (from == *wall ? 2.0 * e.ua_w_per_k : e.leak_w_per_k) * difference
                    : (e.ua_w_per_k + e.leak_w_per_k) * difference;
    }

    /// Net watts into each node and the watts lost to the surroundings, at the present
    /// temperatures.
    void evaluate() {
        conductivities();
        flow.setZero();
        lost = 0.0;
        const auto move = [&](std::size_t from, std::size_t to, double watts) {
            flow[static_cast<Eigen::Index>(from)] -= watts;
            flow[static_cast<Eigen::Index>(to)] += watts;
        };
        for (const Link& l : links) {
            move(l.a, l.b, conductance(l) * (at(l.a) - at(l.b)));
        }
        for (Outside& o : outside) {
            const double watts = pass(o).watts;
            flow[static_cast<Eigen::Index>(o.cell)] -= watts;
            if (box && !face(o).air) {
                flow[static_cast<Eigen::Index>(*box)] += watts;
            } else {
                lost += watts;
            }
        }
        if (wall) {
            move(*box, *wall, 2.0 * situation.enclosure->ua_w_per_k * (at(*box) - at(*wall)));
        }
        for (const auto& node : {box, wall}) {
            if (node) {
                const double watts = through_walls(*node);
                flow[static_cast<Eigen::Index>(*node)] -= watts;
                lost += watts;
            }
        }
    }

    double capacity(std::size_t i) const {
        return material[i] == nullptr
                   ? lump[i]
                   : volume[i] * material[i]->capacity_j_per_m3_k(Celsius{at(i)});
    }
    double heat(std::size_t i) const {
        return material[i] == nullptr ? lump[i] * at(i)
                                      : volume[i] * material[i]->heat_j_per_m3(Celsius{at(i)});
    }
    double heat_content() const {
        double total = 0.0;
        for (std::size_t i = 0; i < volume.size(); ++i) {
            total += heat(i);
        }
        return total;
    }
    Eigen::VectorXd heats() const {
        Eigen::VectorXd h(t.size());
        for (std::size_t i = 0; i < volume.size(); ++i) {
            h[static_cast<Eigen::Index>(i)] = heat(i);
        }
        return h;
    }

    /// Capacities plus `a` times the conductance matrix at the present temperatures.
    void factor(double a) {
        conductivities();
        std::vector<Eigen::Triplet<double>> entries;
        entries.reserve(volume.size() * 8);
        const auto diagonal = [&](std::size_t i, double v) {
            entries.emplace_back(static_cast<int>(i), static_cast<int>(i), v);
        };
        const auto couple = [&](std::size_t i, std::size_t j, double g) {
            diagonal(i, a * g);
            diagonal(j, a * g);
            entries.emplace_back(static_cast<int>(std::max(i, j)), static_cast<int>(std::min(i, j)),
                                 -a * g);
        };
        for (std::size_t i = 0; i < volume.size(); ++i) {
            diagonal(i, capacity(i));
        }
        for (const Link& l : links) {
            couple(l.a, l.b, conductance(l));
        }
        for (Outside& o : outside) {
            const double g = pass(o).conductance;
            if (box && !face(o).air) {
                couple(o.cell, *box, g);
            } else {
                diagonal(o.cell, a * g);
            }
        }
        if (box) {
            const Enclosure& e = *situation.enclosure;
            if (wall) {
                couple(*box, *wall, 2.0 * e.ua_w_per_k);
                diagonal(*wall, a * 2.0 * e.ua_w_per_k);
                diagonal(*box, a * e.leak_w_per_k);
            } else {
                diagonal(*box, a * (e.ua_w_per_k + e.leak_w_per_k));
            }
        }
        matrix.resize(t.size(), t.size());
        matrix.setFromTriplets(entries.begin(), entries.end());
        if (!analysed) {
            solver.analyzePattern(matrix);
            analysed = true;
        }
        solver.factorize(matrix);
        factored_for = a;
    }

    /// Finds temperatures whose heat content is `target` + a * flow, and leaves both evaluated.
    void solve(const Eigen::VectorXd& target, double a) {
        if (factored_for != a) {
            factor(a);
        }
        double before = std::numeric_limits<double>::infinity();
        for (int i = 0; i < kMostCorrections; ++i) {
            const Eigen::VectorXd change = solver.solve(target - heats() + a * flow);
            t += change;
            evaluate();
            const double size = change.lpNorm<Eigen::Infinity>();
            if (linear || size < situation.tolerance_k) {
                break;
            }
            if (i > 2 && size > 0.2 * before) {
                factor(a);
            }
            before = size;
        }
    }

    void step(double dt) {
        const double a = 0.5 * kGamma * dt; // both stages share it
        const double w = 1.0 / (kGamma * (2.0 - kGamma));
        const double lost_0 = lost; // every change of the network ends in evaluate()
        const Eigen::VectorXd h0 = heats();
        const Eigen::VectorXd f0 = flow;
        solve(h0 + a * f0, a);
        const double lost_1 = lost;
        const Eigen::VectorXd h1 = heats();
        solve(w * h1 + (1.0 - w) * h0, a);
        energy.given_off_j += w * a * (lost_0 + lost_1) + a * lost;
    }

    double cell(const Block& block, std::size_t c) const { return at(block.first + c); }

    /// Temperature of the food's own surface beyond the last food cell of an axis, on the column of
    /// cell `c` (which must be that last cell).
    double surface_of(const Block& block, std::size_t c, std::size_t axis, bool high) const {
        const std::size_t i = index(block, c, axis);
        const std::size_t node = block.first + c;
        const bool outer = high ? i + 1 == block.axes[axis].cells() : i == 0;
        const double inner_half = 0.5 * block.axes[axis].width(i) / kk(node);
        if (!outer) { // a layer lies over it
            const std::size_t next = high ? node + block.stride[axis] : node - block.stride[axis];
            const double outer_half = 0.5 * block.axes[axis].width(high ? i + 1 : i - 1) / kk(next);
            return (at(node) * outer_half + at(next) * inner_half) / (inner_half + outer_half);
        }
        const Side side = high ? block.axes[axis].high : block.axes[axis].low;
        for (const Outside& o : outside) {
            if (o.cell == node && o.side == side) {
                const double film = face(o).surface.film_m2_k_per_w;
                return (at(node) * film + o.temperature * inner_half) / (inner_half + film);
            }
        }
        return at(node);
    }

    State state(std::size_t p) const {
        const Block& block = blocks[p];
        State s;
        double mean = 0.0;
        double total = 0.0;
        double warmest = -1e9;
        double centre = 0.0;
        std::size_t hottest = 0;
        for (std::size_t c = 0; c < block.count; ++c) {
            centre += block.centre_weights[c] * cell(block, c);
            if (material[block.first + c] != &situation.pieces[p].body.material) {
                continue;
            }
            mean += volume[block.first + c] * cell(block, c);
            total += volume[block.first + c];
            if (cell(block, c) > warmest) {
                warmest = cell(block, c);
                hottest = c;
            }
        }
        s.centre.degrees = centre;
        s.mean.degrees = mean / total;
        s.surface.degrees = surface_middle(block);
        s.coldest.degrees = coldest_corner(block);
        s.warmest.degrees =
            std::max({centre, s.surface.degrees, warmest + above_hottest(block, hottest)});
        return s;
    }

    /// How far the top of a parabola through the hottest cell and its neighbours lies above it.
    double above_hottest(const Block& block, std::size_t c) const {
        double sum = 0.0;
        for (std::size_t a = 0; a < block.axes.size(); ++a) {
            const Axis& axis = block.axes[a];
            const std::size_t i = index(block, c, a);
            const std::size_t s = block.stride[a];
            if (i + 1 >= axis.food_to || (i == axis.food_from && !axis.symmetric)) {
                continue; // hottest at a surface: that is asked for by itself
            }
            const double here = cell(block, c);
            const double up = cell(block, c + s);
            const double down = i == axis.food_from ? here : cell(block, c - s);
            const double curve = up - 2.0 * here + down;
            if (i == axis.food_from) {
                sum += (here - up) / 8.0; // the even quadratic of centre_weights
            } else if (curve < 0.0) {
                sum += (up - down) * (up - down) / (-8.0 * curve);
            }
        }
        return sum;
    }

    double surface_middle(const Block& block) const {
        // The last axis of slab and brick is the thickness; of a cylinder the first is the round.
        const bool round = block.axes.front().kind != detail::AxisKind::plane;
        const std::size_t axis = round ? 0 : block.axes.size() - 1;
        const std::size_t last = block.axes[axis].food_to - 1;
        double sum = 0.0;
        double weight = 0.0;
        std::vector<std::vector<double>> weights;
        for (const Axis& x : block.axes) {
            weights.push_back(x.centre_weights());
        }
        for (std::size_t c = 0; c < block.count; ++c) {
            if (index(block, c, axis) != last) {
                continue;
            }
            double w = 1.0;
            for (std::size_t a = 0; a < block.axes.size(); ++a) {
                w *= a == axis ? 1.0 : weights[a][index(block, c, a)];
            }
            if (w != 0.0) {
                sum += w * surface_of(block, c, axis, true);
                weight += w;
            }
        }
        return sum / weight;
    }

    double coldest_corner(const Block& block) const {
        double coldest = 1e9;
        const std::size_t corners = std::size_t{1} << block.axes.size();
        for (std::size_t corner = 0; corner < corners; ++corner) {
            std::size_t c = 0;
            bool real = true;
            for (std::size_t a = 0; a < block.axes.size(); ++a) {
                const Axis& axis = block.axes[a];
                const bool high = (corner >> a & 1U) != 0;
                real = real && (high || !axis.symmetric);
                c += block.stride[a] * (high ? axis.food_to - 1 : axis.food_from);
            }
            if (!real) {
                continue;
            }
            double t_corner = cell(block, c);
            for (std::size_t a = 0; a < block.axes.size(); ++a) {
                t_corner += surface_of(block, c, a, (corner >> a & 1U) != 0) - cell(block, c);
            }
            coldest = std::min(coldest, t_corner);
        }
        return coldest;
    }
};

double Energy::imbalance() const noexcept {
    const double larger = std::max(std::abs(stored_change_j), std::abs(given_off_j));
    return larger == 0.0 ? 0.0 : std::abs(stored_change_j + given_off_j) / larger;
}

Simulation::Simulation(const Situation& situation) {
    check(situation);
    network_ = std::make_unique<Network>(situation);
    network_->evaluate();
}
Simulation::~Simulation() = default;
Simulation::Simulation(Simulation&&) noexcept = default;
Simulation& Simulation::operator=(Simulation&&) noexcept = default;

void Simulation::advance(Span by, Span step) {
    assert(by > Span{} && step > Span{});
    const std::int64_t steps = (by.ms() + step.ms() - 1) / step.ms();
    const double dt = by.in_seconds() / static_cast<double>(steps);
    for (std::int64_t i = 0; i < steps; ++i) {
        network_->step(dt);
    }
    network_->energy.stored_change_j = network_->heat_content() - network_->start_heat;
}

void Simulation::move_to(Celsius air, const std::optional<Surface>& surface) {
    check_temperature(air, "air temperature");
    network_->situation.air = air;
    if (surface) {
        for (Piece& piece : network_->situation.pieces) {
            piece.body.set_all(*surface);
        }
        network_->linear = network_->linear && surface->emissivity == 0.0 && !surface->wet;
    }
    network_->factored_for = -1.0;
    network_->evaluate();
}

void Simulation::stir(std::size_t piece) {
    Network& n = *network_;
    const Block& block = n.blocks[piece];
    double heat = 0.0;
    double low = 1e9;
    double high = -1e9;
    for (std::size_t c = 0; c < block.count; ++c) {
        heat += n.heat(block.first + c);
        low = std::min(low, n.cell(block, c));
        high = std::max(high, n.cell(block, c));
    }
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        double content = 0.0;
        for (std::size_t c = 0; c < block.count; ++c) {
            n.at(block.first + c) = middle;
            content += n.heat(block.first + c);
        }
        (content < heat ? low : high) = middle;
    }
    n.evaluate();
}

Sample Simulation::sample() const {
    Sample sample;
    for (std::size_t p = 0; p < network_->blocks.size(); ++p) {
        sample.pieces.push_back(network_->state(p));
    }
    sample.air = network_->box ? Celsius{network_->at(*network_->box)} : network_->situation.air;
    return sample;
}

Energy Simulation::energy() const noexcept {
    return network_->energy;
}

} // namespace holdwarden::heat

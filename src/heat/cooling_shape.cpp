#include <holdwarden/heat/cooling_shape.hpp>
#include <holdwarden/heat/series.hpp>

#include <algorithm>
#include <cmath>

namespace holdwarden::heat {
namespace {

constexpr std::size_t kCoordinates = 8; // of both kinds of plan

/// Shares left at 400 equal steps up to where 3 % are left.
template <class F>
std::optional<CoolingShape> tabulated(F left) {
    double end = 1.0;
    while (left(end) > 0.03 && end < 1e6) {
        end *= 1.3;
    }
    std::vector<double> shares{1.0};
    for (int i = 1; i <= 400; ++i) {
        shares.push_back(left(end * i / 400.0));
    }
    return CoolingShape::of(shares);
}

double series(Solid solid, double biot, double fourier) {
    return fourier < 1e-4 ? 1.0 : difference_left(solid, biot, fourier, 0.0);
}

ForecastPrior make_unknown() {
    ForecastPrior prior;
    const auto add = [&](const std::optional<CoolingShape>& shape) {
        if (shape) {
            prior.shapes.push_back({*shape, std::nullopt, 0.0, std::nullopt});
        }
    };
    const auto exponential = [](double t) { return std::exp(-t); };
    add(tabulated(exponential));
    for (const double biot : {0.3, 1.0, 3.0, 12.0}) {
        add(tabulated([&](double fo) { return series(Solid::wall, biot, fo); }));
    }
    for (const double biot : {1.0, 5.0}) {
        add(tabulated([&](double fo) { return series(Solid::cylinder, biot, fo); }));
        add(tabulated([&](double fo) { return series(Solid::sphere, biot, fo); }));
        add(tabulated([&](double fo) { // a brick 1 : 2 : 3
            return series(Solid::wall, biot, fo) * series(Solid::wall, 2 * biot, fo / 4) *
                   series(Solid::wall, 3 * biot, fo / 9);
        }));
    }
    // Food that first comes to terms with its box and then cools with it: a chest.
    for (const double slow : {0.55, 0.7, 0.85}) {
        for (const double faster : {3.0, 8.0}) {
            add(tabulated([&](double t) {
                return (1.0 - slow) * series(Solid::wall, 1.0, faster * t) + slow * exponential(t);
            }));
        }
    }
    return prior;
}

/// The course of one sample as a shape, and where it goes. `until` must be long against the half
/// time.
std::optional<ShapePrior> shape_of(const Course& course, std::size_t piece, Point point,
                                   Celsius end, double log_sd) {
    const double start = (course.front().pieces[piece].*point).degrees;
    const double difference = start - end.degrees;
    if (std::abs(difference) < 1.0) {
        return std::nullopt;
    }
    const double last = course.back().at.in_seconds();
    constexpr int kSteps = 800;
    std::vector<double> shares{1.0};
    std::size_t i = 0;
    for (int n = 1; n <= kSteps; ++n) {
        const double t = last * n / kSteps;
        while (i + 2 < course.size() && course[i + 1].at.in_seconds() < t) {
            ++i;
        }
        const double a = course[i].at.in_seconds();
        const double b = course[i + 1].at.in_seconds();
        const double left = (course[i].pieces[piece].*point).degrees;
        const double right = (course[i + 1].pieces[piece].*point).degrees;
        const double value = left + (right - left) * (t - a) / (b - a);
        shares.push_back(std::min((value - end.degrees) / difference, shares.back()));
    }
    const auto shape = CoolingShape::of(shares);
    if (!shape) {
        return std::nullopt;
    }
    return ShapePrior{*shape, shape->half_in_steps() * last / kSteps, log_sd, end};
}

/// Half of the difference is gone well before 90 % are.
bool settled(const Sample& sample, std::size_t piece, double start, double end) {
    return std::abs(sample.pieces[piece].mean.degrees - end) < 0.06 * std::abs(start - end);
}

} // namespace

std::optional<CoolingShape> CoolingShape::of(const std::vector<double>& left) {
    std::size_t i = 1;
    while (i < left.size() && left[i] > 0.5) {
        ++i;
    }
    if (i >= left.size()) {
        return std::nullopt;
    }
    CoolingShape shape;
    shape.half_in_steps_ =
        static_cast<double>(i - 1) + (left[i - 1] - 0.5) / (left[i - 1] - left[i]);
    const auto last = static_cast<double>(left.size() - 1);
    // The tail falls as the last fifth of the input does.
    const double from = 0.8 * last;
    const auto at = [&](double x) {
        const auto k = std::min(static_cast<std::size_t>(x), left.size() - 2);
        return left[k] + (x - static_cast<double>(k)) * (left[k + 1] - left[k]);
    };
    const double rate =
        std::max(1e-6, std::log(std::max(at(from), 1e-9) / std::max(left.back(), 1e-12)) /
                           (last - from)); // per input step
    for (std::size_t k = 0; k < kEntries; ++k) {
        const double x = static_cast<double>(k) * kStep * shape.half_in_steps_;
        shape.table_.push_back(x <= last ? at(x) : left.back() * std::exp(-rate * (x - last)));
    }
    const double end_in_steps = static_cast<double>(kEntries - 1) * kStep * shape.half_in_steps_;
    const double before = static_cast<double>(kEntries - 11) * kStep * shape.half_in_steps_;
    shape.tail_rate_ = end_in_steps > last
                           ? rate * shape.half_in_steps_
                           : std::log(shape.table_[kEntries - 11] / shape.table_.back()) /
                                 ((end_in_steps - before) / shape.half_in_steps_);
    shape.tail_rate_ = std::max(shape.tail_rate_, 1e-6);
    return shape;
}

double CoolingShape::left(double u) const noexcept {
    const double x = u / kStep;
    const auto i = static_cast<std::size_t>(x);
    if (i + 1 >= kEntries) {
        return table_.back() *
               std::exp(-tail_rate_ * (u - kStep * static_cast<double>(kEntries - 1)));
    }
    return table_[i] + (x - static_cast<double>(i)) * (table_[i + 1] - table_[i]);
}

double CoolingShape::when(double share) const noexcept {
    if (share >= table_.front()) {
        return 0.0;
    }
    if (share <= table_.back()) {
        return kStep * static_cast<double>(kEntries - 1) +
               std::log(table_.back() / share) / tail_rate_;
    }
    const auto above =
        std::partition_point(table_.begin(), table_.end(), [&](double v) { return v > share; });
    const auto i = static_cast<std::size_t>(above - table_.begin());
    return kStep *
           (static_cast<double>(i - 1) + (table_[i - 1] - share) / (table_[i - 1] - table_[i]));
}

const ForecastPrior& unknown_food() {
    static const ForecastPrior prior = make_unknown();
    return prior;
}

ForecastPrior prior_of(const RestQuestion& question, std::size_t part, std::size_t samples) {
    ForecastPrior prior;
    prior.piece = part;
    const Stepping stepping{
        .until = Span::hours(96), .first = Span::minutes(1), .largest = Span::minutes(30)};
    for (const auto& u : stratified(samples, kCoordinates, question.seed)) {
        const Situation situation = rest_situation(question, u);
        const double start = situation.pieces[part].start.centre.degrees;
        const Celsius end = situation.air;
        Course course = simulate(situation, stepping, [&](const Sample& sample) {
            return settled(sample, part, start, end.degrees);
        });
        if (const auto shape = shape_of(course, part, prior.point, end, 0.20)) {
            prior.shapes.push_back(*shape);
        }
        prior.courses.push_back(std::move(course));
    }
    return prior;
}

ForecastPrior prior_of(const CoolQuestion& question, std::size_t samples) {
    ForecastPrior prior;
    prior.point = &State::warmest;
    const Stepping stepping{
        .until = Span::hours(96), .first = Span::minutes(1), .largest = Span::minutes(15)};
    for (const auto& u : stratified(samples, kCoordinates, question.seed)) {
        const Situation situation = cool_situation(question, u);
        // Where it ends: in still surroundings of two temperatures, weighted by what each takes.
        const Body& body = situation.pieces.front().body;
        const Face& top = body.face(Side::top);
        const double top_h = 1.0 / (1.0 / top.surface.h_w_per_m2_k + top.surface.film_m2_k_per_w);
        const Face& bottom = body.face(Side::bottom);
        const double other_h = bottom.surface.h_w_per_m2_k;
        const double other = bottom.air ? bottom.air->degrees : situation.air.degrees;
        const Celsius end{(top_h * situation.air.degrees + other_h * other) / (top_h + other_h)};
        const double start = question.start.degrees;
        Course course = simulate(situation, stepping, [&](const Sample& sample) {
            return settled(sample, 0, start, end.degrees);
        });
        if (const auto shape = shape_of(course, 0, prior.point, end, 0.20)) {
            prior.shapes.push_back(*shape);
        }
        prior.courses.push_back(std::move(course));
    }
    return prior;
}

} // namespace holdwarden::heat

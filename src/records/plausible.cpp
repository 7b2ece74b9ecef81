#include <holdwarden/base/time_text.hpp>
#include <holdwarden/records/plausible.hpp>
#include <holdwarden/records/reading.hpp>

#include <algorithm>
#include <cmath>
#include <vector>

namespace holdwarden::records {
namespace {

/// In degrees Celsius, both ends included.
struct Range {
    double from;
    double to;
};

Range usual_range(std::optional<Stage> stage) noexcept {
    if (!stage) {
        return {-30, 110};
    }
    switch (*stage) {
    case Stage::resting:
    case Stage::hot_holding:
        return {25, 110};
    case Stage::cooling:
    case Stage::time_control:
        return {-6, 100};
    case Stage::cold_holding:
    case Stage::thawing:
        return {-10, 50};
    case Stage::frozen:
        return {-50, 15};
    case Stage::preparing:
        return {-30, 100};
    case Stage::initial_heating:
    case Stage::cooking:
    case Stage::reheating:
        return {-6, 110};
    }
    return {-30, 110};
}

bool in_range(Temperature value, Range range) noexcept {
    return value.in_celsius() >= range.from && value.in_celsius() <= range.to;
}

constexpr double kStepInHoldC = 22.0;          // from one reading of a hold to the next
constexpr double kStepPerMinuteC = 5.0;        // no food moves faster
constexpr Span kStillTheSame = Span::hours(4); // after that a step in a hold surprises nobody

/// Where a hold keeps its food, roughly: food from the pit falls far into it, but not out of it.
std::optional<Range> kept_at(std::optional<Stage> stage) noexcept {
    switch (stage.value_or(Stage::cooking)) {
    case Stage::resting:
    case Stage::hot_holding:
        return Range{54, 110};
    case Stage::cold_holding:
        return Range{-10, 10};
    case Stage::frozen:
        return Range{-50, 0};
    default:
        return std::nullopt;
    }
}

bool too_far(Temperature value, Instant at, std::optional<Stage> stage,
             const std::optional<ReadingBefore>& before) noexcept {
    if (!before || at < before->at) {
        return false;
    }
    const Span since = at - before->at;
    const double step = std::abs(value.in_celsius() - before->value.in_celsius());
    const auto kept = kept_at(stage);
    const bool out_of_hold =
        kept && since <= kStillTheSame && step > kStepInHoldC && !in_range(value, *kept);
    return out_of_hold || step > kStepPerMinuteC * std::max(1.0, since.in_minutes());
}

/// What the fingers may have meant.
std::vector<Temperature> slips(Temperature value) {
    std::vector<Temperature> all;
    const auto add = [&](double thousandths, Scale scale) {
        const Temperature t = std::abs(thousandths) < 1'000'000
                                  ? Temperature::of_thousandths(
                                        static_cast<std::int32_t>(std::lround(thousandths)), scale)
                                  : value;
        if (plausible(t) && t != value) {
            all.push_back(t);
        }
    };
    add(value.thousandths() * 10.0, value.scale());
    add(value.thousandths() / 10.0, value.scale());
    add(value.thousandths(),
        value.scale() == Scale::fahrenheit ? Scale::celsius : Scale::fahrenheit);
    return all;
}

} // namespace

std::optional<Doubt> doubt_about(Temperature value, Instant at, std::optional<Stage> stage,
                                 const std::optional<ReadingBefore>& before) {
    const Range range = usual_range(stage);
    const bool out = !in_range(value, range);
    if (!out && !too_far(value, at, stage, before)) {
        return std::nullopt;
    }
    Doubt doubt;
    const std::string doing = stage ? " in " + std::string{to_name(*stage)} : "";
    doubt.why = to_text(value) +
                (out ? " would be unusual for food" + doing : " is far from the last reading");
    if (before) {
        doubt.why += " (" + to_text(before->value) + ", " +
                     to_text(Span::minutes((at - before->at).ms() / 60'000)) + " before)";
    }
    double nearest = 1e9;
    for (const Temperature& slip : slips(value)) {
        if (!in_range(slip, range) || too_far(slip, at, stage, before)) {
            continue;
        }
        const double off = before ? std::abs(slip.in_celsius() - before->value.in_celsius()) : 0.0;
        if (off < nearest) {
            nearest = off;
            doubt.perhaps = slip;
        }
    }
    return doubt;
}

} // namespace holdwarden::records

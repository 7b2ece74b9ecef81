#include <holdwarden/base/error.hpp>
#include <holdwarden/heat/plan_night.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdwarden::heat {
namespace {

Span hours(double h) {
    return Span::milliseconds(std::llround(h * 3.6e6));
}

void check(const Range& range, double low, double high, const char* field, const char* unit) {
    if (!(range.low >= low && range.high <= high && range.low <= range.high)) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("{} of {} to {} {} is out of range", field, range.low,
                                         range.high, unit),
                     .where = field,
                     .fix = fmt::format("give {} to {} {}, the lower first", low, high, unit)}};
    }
}

struct Night {
    double cooking_h;
    double wrap_h;
    double resting_h;
};

Instant rounded_down(Instant at, Span to) {
    const std::int64_t ms = at.unix_ms();
    return Instant::from_unix_ms(ms - (((ms % to.ms()) + to.ms()) % to.ms()));
}

} // namespace

NightPlan plan_night(const NightQuestion& q) {
    check(q.cooking_h, 0.1, 72.0, "cooking time", "h");
    check(q.resting_h, 0.0, 24.0, "resting time", "h");
    check(q.wrap_share, 0.0, 1.0, "wrapping", "of the cook (0 to 1)");
    if (q.samples < 10 || q.samples > 100000) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("{} samples are out of range", q.samples),
                     .where = "samples",
                     .fix = "give 10 to 100000"}};
    }
    for (const double h : q.past_cooking_h) {
        check(Range::exactly(h), 0.1, 72.0, "past cooking time", "h");
    }
    std::vector<Night> nights;
    std::vector<double> ready_h;
    for (const auto& u : stratified(q.samples, 3, q.seed)) {
        double cooking =
            q.past_cooking_h.empty() ? q.cooking_h.at(u[0]) : quantile(q.past_cooking_h, u[0]);
        if (!q.past_cooking_h.empty() && q.past_cooking_h.size() < 5) {
            cooking *= 0.85 + 0.30 * u[0]; // a few lots do not show the whole spread
        }
        nights.push_back({cooking, cooking * q.wrap_share.at(u[1]), q.resting_h.at(u[2])});
        ready_h.push_back(cooking + nights.back().resting_h);
    }
    NightPlan plan;
    plan.put_on =
        rounded_down(q.serve - q.least_hold - hours(quantile(ready_h, 0.9)), Span::minutes(15));
    std::vector<double> wrap;
    std::vector<double> finish;
    std::vector<std::optional<Span>> hold;
    std::size_t in_time = 0;
    for (std::size_t i = 0; i < nights.size(); ++i) {
        wrap.push_back(nights[i].wrap_h);
        finish.push_back(nights[i].cooking_h);
        const Span held = q.serve - (plan.put_on + hours(ready_h[i]));
        in_time += held >= q.least_hold ? 1U : 0U;
        hold.emplace_back(std::max(held, Span{}));
    }
    plan.share_in_time = static_cast<double>(in_time) / static_cast<double>(nights.size());
    plan.hold = band_of(hold);
    const auto step = [&](const char* name, const std::vector<double>& h, Span work) {
        const auto at = [&](double share) {
            const Instant exact = plan.put_on + hours(quantile(h, share));
            return std::min(rounded_down(exact, Span::minutes(5)), q.serve);
        };
        plan.steps.push_back({name, at(0.1), at(0.5), at(0.9), work});
    };
    const auto fixed = [&](const char* name, Instant at, Span work) {
        plan.steps.push_back({name, at, at, at, work});
    };
    fixed("light", plan.put_on - q.warming_up, Span::minutes(15));
    fixed("put on", plan.put_on, Span::minutes(15));
    step("wrap", wrap, Span::minutes(15));
    step("finish", finish, Span::minutes(15));
    step("hold", ready_h, Span::minutes(10));
    fixed("serve", q.serve, Span::minutes(30));
    for (const NightStep& s : plan.steps) {
        const Attendance there{s.earliest, s.latest + s.work};
        if (!plan.attended.empty() && there.from <= plan.attended.back().to) {
            plan.attended.back().to = std::max(plan.attended.back().to, there.to);
        } else {
            plan.attended.push_back(there);
        }
    }
    return plan;
}

} // namespace holdwarden::heat

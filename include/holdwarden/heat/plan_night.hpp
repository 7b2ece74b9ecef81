#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/heat/range.hpp>

#include <string>
#include <vector>

namespace holdwarden::heat {

/// A night's cook planned back from the time of service.
struct NightQuestion {
    Instant serve;
    Range cooking_h{10.0, 14.0};        ///< from putting on to finished; the user's estimate
    std::vector<double> past_cooking_h; ///< the site's own lots; used instead when not empty
    Range wrap_share{0.55, 0.75};       ///< of the cooking time at which it is wrapped
    Range resting_h{1.0, 2.0};
    Span least_hold = Span::hours(1); ///< wanted between the end of the rest and service
    Span warming_up = Span::minutes(45);
    std::size_t samples = 400;
    std::uint64_t seed = 1;
};

/// Something a person does, and when: a tenth of the samples before `earliest`, a tenth after
/// `latest`.
struct NightStep {
    std::string name; ///< "light", "put on", "wrap", "finish", "hold", "serve"
    Instant earliest;
    Instant middle;
    Instant latest;
    Span work; ///< how long a person is busy with it
};

/// A stretch of time in which somebody must be there.
struct Attendance {
    Instant from;
    Instant to;
};

struct NightPlan {
    Instant put_on; ///< chosen so that nine samples in ten are ready in time
    std::vector<NightStep> steps;
    std::vector<Attendance> attended; ///< steps with their bands, joined where they touch
    SpanBand hold;                    ///< how long it is held before service
    double share_in_time = 0.0;
};

/// Throws Error{bad_input} naming the field for times out of range (cooking 0.1 to 72 h, resting 0
/// to 24 h, wrapping at 0 to 1 of the cook).
NightPlan plan_night(const NightQuestion& question);

} // namespace holdwarden::heat

#include "reference.hpp"

namespace holdwarden::test {
namespace {

using Moment = std::optional<Instant>;

/// A band never shrinks in conversion.
std::int32_t band_in(Scale scale, std::int32_t band_f) {
    return scale == Scale::fahrenheit ? band_f : (band_f * 5 + 8) / 9;
}

/// How far above the figure of its own scale.
std::int32_t above(const records::Reading& r, Figure figure) {
    return r.value.thousandths() - figure.in(r.value.scale());
}

bool clears_up(const records::Reading& r, Figure figure, std::int32_t band_f) {
    return above(r, figure) >= band_in(r.value.scale(), band_f);
}
bool clears_down(const records::Reading& r, Figure figure, std::int32_t band_f) {
    return above(r, figure) <= -band_in(r.value.scale(), band_f);
}

bool allows(const ReferenceWindow& w, Span elapsed) {
    return w.figure_included ? elapsed <= w.within : elapsed < w.within;
}

struct Brackets {
    Moment start_earliest, start_latest, end_earliest, end_latest;
    Moment first_at_target;
    Moment last_above_target; ///< the last reading, if it is above the target
};

/// When the clock started.
void bracket_start(Brackets& b, const Log& log, Instant stage_from, Figure from,
                   std::int32_t band_f) {
    // The first reading of the cooling stage below the figure ...
    Moment below;
    for (const auto& r : log) {
        if (r.at >= stage_from && above(r, from) < 0 && !below) {
            below = r.at;
        }
    }
    // ... the last at or above it before that (worst case: by the band), in whatever stage ...
    Moment hot;
    for (const auto& r : log) {
        if (below && r.at >= *below) {
            break;
        }
        if (clears_up(r, from, band_f)) {
            b.start_earliest = r.at;
        }
        if (above(r, from) >= 0) {
            hot = r.at;
        }
    }
    // ... and the first below after that; if nothing was ever hot, the stage's own first below.
    if (!hot) {
        b.start_latest = below;
    }
    for (const auto& r : log) {
        if (above(r, from) < 0 && (!hot || r.at > *hot) && !b.start_latest) {
            b.start_latest = r.at;
        }
    }
}

/// When the target was reached.
void bracket_end(Brackets& b, const Log& log, Instant stage_from, Figure to, std::int32_t band_f) {
    Moment& reached = b.first_at_target;
    for (const auto& r : log) {
        if (r.at >= stage_from && above(r, to) <= 0 && !reached) {
            reached = r.at;
        }
    }
    for (const auto& r : log) {
        if (reached && r.at < *reached && above(r, to) > 0) {
            b.end_earliest = r.at;
        }
    }
    for (const auto& r : log) {
        if (r.at < stage_from) {
            continue;
        }
        const bool stays = std::ranges::all_of(log, [&](const records::Reading& later) {
            return later.at < r.at || clears_down(later, to, band_f);
        });
        if (stays && !b.end_latest) {
            b.end_latest = r.at;
        }
    }
    if (!log.empty() && above(log.back(), to) > 0) {
        b.last_above_target = log.back().at;
    }
}

Allowed judge(const ReferenceWindow& w, const Brackets& b, const Ending& ending) {
    if (b.start_earliest && b.end_latest && allows(w, *b.end_latest - *b.start_earliest)) {
        return {Verdict::met};
    }
    // The true time is strictly longer than the best case.
    if (b.start_latest && b.end_earliest && *b.end_earliest - *b.start_latest >= w.within) {
        return {Verdict::not_met};
    }
    if (!b.end_latest) {
        const Instant now = ending.served ? std::min(*ending.served, ending.as_of) : ending.as_of;
        if (b.start_earliest && allows(w, now - *b.start_earliest)) {
            const bool over = ending.served && *ending.served <= ending.as_of;
            const Verdict running = over ? Verdict::ended : Verdict::open;
            // Reached, but inside the band: a clearer reading may still come, or may not.
            return b.last_above_target ? Allowed{running} : Allowed{running, Verdict::not_shown};
        }
        // Never seen at or below the target, and known to be above it for too long.
        if (!b.first_at_target && b.start_latest && b.last_above_target &&
            *b.last_above_target - *b.start_latest >= w.within) {
            return {Verdict::not_met};
        }
    }
    return {Verdict::not_shown};
}

} // namespace

Allowed reference_window(const Log& log, Instant stage_from, const ReferenceWindow& window,
                         const Ending& ending, std::int32_t band_f) {
    Brackets b;
    bracket_start(b, log, stage_from, window.from, band_f);
    bracket_end(b, log, stage_from, window.to, band_f);
    return judge(window, b, ending);
}

Allowed reference_second_window(const Log& log, Instant stage_from, const ReferenceWindow& first,
                                const ReferenceWindow& second, const Ending& ending) {
    Brackets start;
    bracket_start(start, log, stage_from, first.from, 0);
    bracket_end(start, log, stage_from, first.to, 0);
    Brackets b;
    bracket_end(b, log, stage_from, second.to, 0);
    b.start_earliest = start.end_earliest;
    b.start_latest = start.end_latest;
    if (!b.start_latest) { // the clock may not even run: nothing but a verdict's absence is certain
        return {Verdict::open, Verdict::not_shown, Verdict::ended};
    }
    return judge(second, b, ending);
}

Allowed reference_hold(const std::vector<Log>& points, const HoldSpan& hold, Figure limit, bool hot,
                       std::int32_t band_f) {
    std::vector<Instant> good;
    bool inside_band = false;
    for (const Log& log : points) {
        for (const auto& r : log) {
            if (r.at < hold.from || r.at > hold.to) {
                continue;
            }
            const std::int32_t clear = hot ? above(r, limit) : -above(r, limit);
            if (clear < 0) {
                return {Verdict::not_met};
            }
            if (clear < band_in(r.value.scale(), band_f)) {
                inside_band = true;
            } else {
                good.push_back(r.at);
            }
        }
    }
    std::ranges::sort(good);
    good.erase(std::unique(good.begin(), good.end()), good.end());
    if (inside_band) {
        return {Verdict::not_shown};
    }
    bool gap = good.empty() || good.front() - hold.from > hold.largest_interval ||
               hold.to - good.back() > hold.largest_interval;
    for (std::size_t i = 1; i < good.size(); ++i) {
        gap = gap || good[i] - good[i - 1] > hold.largest_interval;
    }
    if (gap) {
        return {Verdict::not_shown};
    }
    if (good.size() < 2) { // one reading never proves a hold; the next may not be due yet
        return {hold.running ? Verdict::open : Verdict::not_shown};
    }
    return {Verdict::met};
}

Allowed reference_reach(const Log& log, const HoldSpan& stage,
                        const std::vector<ReferenceRow>& rows, std::int32_t band_f) {
    Log inside;
    std::ranges::copy_if(log, std::back_inserter(inside), [&](const records::Reading& r) {
        return r.at >= stage.from && r.at <= stage.to;
    });
    bool could = inside.empty();
    for (const ReferenceRow& row : rows) {
        for (std::size_t i = 0; i < inside.size(); ++i) {
            for (std::size_t j = i; j < inside.size(); ++j) {
                bool proven = true;
                bool possible = true;
                for (std::size_t k = i; k <= j; ++k) {
                    proven = proven && clears_up(inside[k], row.at, band_f);
                    possible = possible && above(inside[k], row.at) >= 0;
                    if (k > i && inside[k].at - inside[k - 1].at > Span::minutes(10)) {
                        proven = false; // nobody saw what lies between
                    }
                }
                if (proven && inside[j].at - inside[i].at >= row.keep) {
                    return {Verdict::met};
                }
                const Instant before = i == 0 ? stage.from : inside[i - 1].at;
                const Instant after = j + 1 == inside.size() ? stage.to : inside[j + 1].at;
                could = could || (possible && after - before >= row.keep);
            }
        }
    }
    if (stage.running) {
        return {Verdict::open};
    }
    return {could ? Verdict::not_shown : Verdict::not_met};
}

} // namespace holdwarden::test

#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/judge/conformity.hpp>
#include <holdwarden/judge/lethality.hpp>
#include <holdwarden/records/reading.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::judge {

/// What a record shows about one requirement.
enum class Verdict {
    ended,     ///< the food was served or discarded before the time ran out; does not count
    met,       ///< the record proves it
    open,      ///< the time allowed has not run out at the as-of instant
    not_shown, ///< the record cannot prove it either way
    not_met,   ///< the record proves a miss
};
/// "met", "not met", ... for people; "met", "not-met", ... for programs.
std::string_view to_words(Verdict verdict) noexcept;
std::string_view to_name(Verdict verdict) noexcept;
/// The worse of two: not met > not shown > open > met > ended.
Verdict worse(Verdict a, Verdict b) noexcept;

/// What the record says about when something happened: no earlier than, no later than. nullopt:
/// unknown.
struct InstantBracket {
    std::optional<Instant> earliest;
    std::optional<Instant> latest;
};

/// What the record says about a length of time. The estimate is interpolated, named as such, and
/// never judged.
struct SpanBracket {
    std::optional<Span> earliest;
    std::optional<Span> estimate;
    std::optional<Span> latest;
};

/// A stretch on the wrong side of a holding limit.
struct Excursion {
    InstantBracket from;
    InstantBracket to;
    SpanBracket length;
    Temperature worst = Temperature::of_thousandths(0, Scale::celsius);
    Instant worst_at;
    double degree_minutes =
        0; ///< area beyond the limit between the wrong readings, in the worst reading's scale
};

/// A stretch no reading vouches for.
struct Gap {
    Instant from;
    Instant to;
};

/// What a finding's figure is: texts and numbers for a sheet or a program.
struct LimitFigure {
    std::string text; ///< "135 °F (57 °C) or above", "135 °F to 70 °F within 2 h"
    std::optional<Temperature> fahrenheit; ///< the temperature the readings are compared with
    std::optional<Temperature> celsius;
    std::optional<Span> within; ///< the time allowed, or asked for
    bool time_included = true;
    bool hot_side = true; ///< right is at or above
};

/// How far inside the limit (negative: outside).
struct Margin {
    std::optional<TemperatureDelta> temperature;
    std::optional<Span> time;
};

/// The chance that the nearest reading truly lies on the right side, for a normal error. Informs;
/// never a verdict.
struct Conformity {
    double probability = 0; ///< 0 to 1
    TemperatureDelta standard_uncertainty =
        TemperatureDelta::of_thousandths(0, Scale::celsius); ///< u, rounded up to a thousandth
    Zone4 zone = Zone4::fail;                                ///< with a guard band of U = 2 u
};

struct Finding {
    std::string requirement;     ///< "hot-holding"
    std::string source = "code"; ///< or "house"
    std::string code;            ///< id of the pack it was judged by
    std::string clause;
    std::string option; ///< the pack's alternative this belongs to; empty: always applies
    Stage stage = Stage::preparing;
    Instant stage_from;  ///< tells apart several stages of one kind
    std::string point;   ///< empty: the lot as a whole
    std::string through; ///< in a merged lot: the source whose life before the merging this is
                         ///< about; empty: the lot's own life
    Verdict verdict = Verdict::not_shown;
    bool counts = true;          ///< false: a note; its verdict does not enter the lot's
    bool acts_as_missed = false; ///< not shown, and the time allowed is over in the worst case:
                                 ///< asks for the same action as not met
    LimitFigure limit;
    std::string reason;                ///< why, in one or two sentences, local times
    SpanBracket elapsed;               ///< windows, dwell times, time control
    std::optional<Span> worst_so_far;  ///< a window not reached: from its earliest start to now
    std::vector<Excursion> excursions; ///< holding
    std::vector<Gap> gaps;             ///< stretches longer than the largest interval
    Margin margin;
    std::vector<records::Reading>
        evidence;                         ///< the readings that decide it, ascending, at most eight
    std::optional<Conformity> conformity; ///< only where the thermometer's accuracy is known
    std::string settle; ///< the reading that would have settled it or still can; empty if none
    std::vector<std::string> notes; ///< suspect readings, unchecked probes, converted limits, ...
};

/// What a finding asks people to do.
struct Flag {
    std::size_t finding = 0; ///< index into the lot's findings
    std::string id;          ///< stays the same as readings arrive
    std::vector<std::string> act;
    std::optional<Instant> by; ///< nullopt: at once
    std::string source;        ///< who says so
    bool planned = true;       ///< false: the pack holds no action for this
};

/// What a record comes to with and without the readings that a person set aside.
struct SetAside {
    Verdict as_recorded = Verdict::not_shown; ///< all readings counted
    Verdict left_out = Verdict::not_shown;    ///< those left out
    bool verified = false;                    ///< a second person agreed to each
    std::size_t readings = 0;                 ///< how many, at least one
};

/// How long one row of a roast table was kept.
struct RowKept {
    std::string at; ///< "145 °F (62.8 °C) or above"
    Span asked;
    Span longest; ///< the longest unbroken run of readings, first to last
};

/// What the cook of a roast comes to, at one point: two separate claims for a process authority,
/// neither of them a verdict.
struct CookNote {
    Instant stage_from;
    std::string point;
    std::vector<RowKept> rows; ///< those of the pack's first roast table that were kept
    Lethality lethality;
};

/// A code pack that judged a lot, or the part of it that began while it was in force.
struct JudgedBy {
    std::string id;
    std::string title;
    std::string edition;
    std::string caution;
    Span largest_interval;       ///< between two good readings of a hold
    std::optional<Instant> from; ///< of the first stage it judged, where several packs did
};

/// Everything judged about one lot.
struct LotJudgement {
    std::string lot;
    FoodKind food = FoodKind::other_tcs;
    Verdict overall = Verdict::not_shown; ///< by the code
    std::optional<Verdict> house_overall; ///< by the house's own limits, where there are any
    std::vector<Finding> findings;
    std::vector<Flag> flags;
    SpanBracket below_hot_limit; ///< rests, holds and displays added up; empty when the lot was
                                 ///< never held hot
    /// Between the cold and the hot limit over the whole life of the lot, the worst point.
    SpanBracket between_limits;
    std::vector<CookNote> cooks; ///< intact roasts, where the pack has a roast table
    std::vector<std::string> notes;
    std::optional<SetAside> set_aside{};        ///< both verdicts, where readings are set aside
    std::optional<Verdict> as_first_recorded{}; ///< where something was amended: without that
    std::vector<JudgedBy> judged_by; ///< ascending; more than one where the site changed what it
                                     ///< follows between two stages
};

/// The worst verdict of the findings that count; `not_shown` when nothing could be judged... see
/// how-limits-are-read.
Verdict overall(const std::vector<Finding>& findings) noexcept;

} // namespace holdwarden::judge

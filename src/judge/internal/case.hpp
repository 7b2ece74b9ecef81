#pragma once

// What every rule of the judge works on: the lot's stages as spans of time, its series cut at the
// as-of instant, and how a reading is taken under the decision rule.

#include <holdwarden/codes/pack.hpp>
#include <holdwarden/judge/finding.hpp>
#include <holdwarden/judge/judge.hpp>
#include <holdwarden/records/lot_history.hpp>

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace holdwarden::judge {

using Readings = std::span<const records::Reading>;

/// A stage of the lot as a span of time. A reading exactly on a boundary counts in both stages.
struct StageSpan {
    Stage stage;
    Instant from;
    Instant to;
    bool running; ///< not over at the as-of instant: `to` is that instant
    const records::StageEntry* entry;
};

/// What one reading says about a limit.
enum class Says {
    right,  ///< on the right side, by the band if the rule is guarded, and not suspect
    unsure, ///< on the right side, but suspect or inside the band
    wrong,  ///< on the wrong side; a suspect reading counts against the food
};

class Case {
public:
    Case(const records::LotHistory& lot, const codes::Pack& pack, const Settings& settings);

    const records::LotHistory& lot() const noexcept { return lot_; }
    const codes::Pack& pack() const noexcept { return pack_; }
    const Settings& settings() const noexcept { return settings_; }
    const std::vector<StageSpan>& stages() const noexcept { return stages_; }

    struct Series {
        std::string point;
        Readings readings; ///< up to the as-of instant
    };
    const std::vector<Series>& series() const noexcept { return series_; }
    /// The air readings of the stage's unit, up to the as-of instant.
    Readings air_of(const StageSpan& stage) const noexcept;

    /// The lot's end if it came by the as-of instant.
    const std::optional<records::LotEnd>& end() const noexcept { return end_; }
    /// Whether the food was sliced, pulled or portioned by the stage: a hold that begins at the cut
    /// is one of cut food, a cook or a reheat that the cut falls into is one as well.
    bool cut_by(const StageSpan& stage) const noexcept;

    /// The instant up to which the lot lived, as far as is known: its end, else the as-of instant.
    Instant now() const noexcept { return end_ ? end_->at : settings_.as_of; }

    Says says(const records::Reading& reading, const codes::TemperatureLimit& limit) const noexcept;
    /// Whether a reading misses a limit by the band too (as-read: whether it misses it); never a
    /// suspect one.
    bool surely_wrong(const records::Reading& reading,
                      const codes::TemperatureLimit& limit) const noexcept;
    /// The worst that the readings of one instant say; `i` moves past them.
    Says says_instant(Readings readings, std::size_t& i,
                      const codes::TemperatureLimit& limit) const noexcept;

    /// The worst verdict any finding with this requirement id got in this stage; nullopt if there
    /// is none.
    static std::optional<Verdict> worst_of(const std::vector<Finding>& findings,
                                           std::string_view id, const StageSpan& stage);

    /// The chance that `reading` truly lies on the right side; nullopt where no accuracy is known.
    std::optional<Conformity> conformity(const records::Reading& reading,
                                         const codes::TemperatureLimit& limit) const noexcept;

    const records::Probe* probe_of(const records::Reading& reading) const noexcept;

    /// Local wording.
    std::string clock(Instant at) const;
    std::string day_and_clock(Instant at) const;

private:
    /// The band of the guarded rule for this reading; nullopt: no accuracy is known.
    std::optional<TemperatureDelta> band(const records::Reading& reading) const noexcept;

    const records::LotHistory& lot_;
    const codes::Pack& pack_;
    const Settings& settings_;
    std::optional<records::LotEnd> end_;
    std::vector<StageSpan> stages_;
    std::vector<Series> series_;
};

/// The readings with from <= at <= to: both boundaries count.
Readings between(Readings readings, Instant from, Instant to) noexcept;
/// How many readings these stand for.
std::size_t count_of(Readings readings) noexcept;
/// The readings with at < until.
Readings before(Readings readings, Instant until) noexcept;
/// The readings with at > since.
Readings after(Readings readings, Instant since) noexcept;

/// What was done to the food before stage `i`, leaving out `preparing`, which neither heats nor
/// cools on record; nullptr: nothing is known.
const StageSpan* done_before(const std::vector<StageSpan>& stages, std::size_t i) noexcept;

bool is_hot_hold(Stage stage) noexcept; ///< resting, hot-holding
bool is_cold(Stage stage) noexcept;     ///< cooling, cold-holding, frozen, thawing

/// The instant a straight line between two readings, one on either side, crosses the figure of
/// their common scale: an estimate. nullopt when the scales differ, the figure is not printed for
/// them, or the line is flat.
std::optional<Instant> interpolated(const records::Reading& a, const records::Reading& b,
                                    const codes::TemperatureLimit& limit) noexcept;

/// Whether `a` lies further on the wrong side than `b`: distances from the own-scale limits,
/// compared in one scale.
bool further_out(const records::Reading& a, const records::Reading& b,
                 const codes::TemperatureLimit& limit) noexcept;

/// The limit of a holding requirement; nullptr: it is none, or another sort of rule.
const codes::TemperatureLimit* hold_limit(const codes::Requirement* requirement) noexcept;
/// That of the lot's food, by the requirement's id.
const codes::TemperatureLimit* hold_limit(const Case& c, std::string_view id) noexcept;

/// A finding with the parts that come from the requirement filled in.
Finding start_finding(const codes::Requirement& requirement, const StageSpan& stage,
                      const std::string& point);
LimitFigure figure_of(const codes::TemperatureLimit& limit);
void add_evidence(Finding& finding, const records::Reading& reading);
/// Sorted, without doubles, at most eight.
void settle_evidence(Finding& finding);

} // namespace holdwarden::judge

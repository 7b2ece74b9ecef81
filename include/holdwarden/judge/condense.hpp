#pragma once

#include <holdwarden/codes/pack.hpp>
#include <holdwarden/judge/judge.hpp>
#include <holdwarden/records/keeper.hpp>
#include <holdwarden/records/lot_history.hpp>

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

namespace holdwarden::judge {

/// What readings are told apart by when a long record is condensed: in thousandths of a degree, one
/// set for each scale. Two readings between the same two neighbouring cuts say the same of every
/// limit.
class Condensing {
public:
    /// Of the settings only the rule, its tolerance and the largest interval matter.
    explicit Condensing(const Settings& settings);

    /// What a code tells apart for this food; several add up.
    void add(const codes::Pack& pack, FoodKind food);
    void add(const codes::Requirement& requirement);
    /// Of several largest intervals the smallest counts.
    void at_least_every(Span interval);

    /// The half-open range of thousandths around `value` in which every limit says the same, if a
    /// stage of this sort may be condensed there: a hold on the right side of all limits of such
    /// holds, anything else wherever the food is.
    struct Range {
        std::int32_t from = 0;
        std::int32_t to = 0;
    };
    std::optional<Range> range_of(Temperature value, Stage stage) const noexcept;

    /// How far apart two neighbours may lie of which one vouches for the time between.
    Span largest_interval(Stage stage) const noexcept;

private:
    struct Cuts {
        std::vector<std::int32_t> all{};         ///< ascending
        std::vector<std::int32_t> rows{};        ///< those, and what the rows of tables ask for
        std::optional<std::int32_t> hot_from{};  ///< nullopt: no limit of hot holds
        std::optional<std::int32_t> cold_till{}; ///< of cold ones
        std::optional<std::int32_t>
            coldest_target{}; ///< of coolings; nullopt: none ends by a figure
    };
    /// Whether the food is held against the rows of tables there.
    bool goes_by_rows(Stage stage) const noexcept;
    static bool binds_cold(Stage stage, const Cuts& cuts) noexcept;
    /// The cuts a limit makes; the greatest number there is for each that no reading can reach.
    std::vector<std::int32_t> cuts_of(const codes::TemperatureLimit& limit, Scale scale) const;
    void add(const codes::TemperatureLimit& limit, Scale scale, bool holds);

    Settings settings_;
    std::array<Cuts, 2> cuts_; ///< Fahrenheit, Celsius
    Span largest_interval_;
    bool rests_by_rows_ = false; ///< a roast's time may go on in the rest
};

/// Whether long runs of readings may be left out in such a stage: in all but those under time
/// control.
bool condenses(Stage stage) noexcept;

/// What is kept of a cook. The lethality of a roast is summed over each of its readings.
enum class Cooks { condensed, whole };
Cooks cooks_of(FoodKind food) noexcept;

/// Keeps of a series what a judgement needs: of each run of readings that say the same of all
/// limits only the ends and the extremes; but in rests and holds everything of food that is on the
/// wrong side of a limit. Reading::left_out says how many are not there. A judgement of what is
/// left equals, word for word, one of all readings, as long as `links_hold`. Each reading costs the
/// same however many came before.
class Condenser final : public records::Keeper {
public:
    /// `how` must outlive it.
    explicit Condenser(const Condensing& how, Cooks cooks = Cooks::condensed)
        : how_{&how}, cooks_{cooks} {}

    void begin(Stage stage) override;
    void add(const records::Reading& reading) override;
    std::vector<records::Reading>& kept() override;

private:
    /// A part of a run as it is kept.
    struct Part {
        records::Reading lowest{};
        records::Reading highest{};
        records::Reading last{};
        std::uint32_t lowest_n = 0; ///< counted from the run's first
        std::uint32_t highest_n = 0;
        std::uint32_t count = 0;
    };

    bool goes_on(const records::Reading& reading) const noexcept;
    void start(const records::Reading& reading);
    void extend(const records::Reading& reading);
    void seal();
    void seal_streak();
    void put_run();
    void put(const records::Reading& first, const Part& part, bool flat);
    const records::Reading* kept_before() const noexcept;

    const Condensing* how_;
    Cooks cooks_;
    Stage stage_ = Stage::preparing;
    std::vector<records::Reading> kept_;
    std::size_t sealed_ = 0; ///< what stands of kept_ for good; behind it the run as it is now
    std::optional<records::Reading> trusted_; ///< as mark_steps goes

    bool running_ = false;
    bool after_break_ = false; ///< the run's first value may go on from what stands before it
    Condensing::Range range_{};
    Span largest_interval_{}; ///< in this stage
    records::Reading first_;
    Part run_;
    Part before_streak_; ///< the run without the readings of one value that end it
    records::Reading streak_first_;
    records::Reading before_last_;
    bool last_apart_ = false; ///< a second value of the last reading's instant is coming
    std::uint32_t streak_ = 0;
};

/// Whether a condensed lot may be judged in place of the whole one: nothing that bounds a judgement
/// falls between readings that were left out, none of them could be suspect, corrected or marked,
/// no stage is of a sort in which each reading matters, and the air of its units is told whole.
/// After mark_suspects.
bool links_hold(const records::LotHistory& lot, const Settings& settings);

} // namespace holdwarden::judge

#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>
#include <holdwarden/records/lot_history.hpp>
#include <holdwarden/records/measures.hpp>

#include <optional>
#include <string>
#include <variant>

namespace holdwarden::records {

inline constexpr const char* kCore = "core"; ///< the point meant when none is named
/// What a history calls the thermometer of a typed reading that names none.
inline constexpr const char* kUnnamedProbe = "hand probe, not named";

/// Food followed as one, as it was described when it was opened.
struct Lot {
    std::string name{};
    FoodKind food = FoodKind::other_tcs;
    std::string description{};
    std::optional<Mass> mass{}; ///< raw
    std::optional<Length> thickness{};
    std::string container{};
    bool made_from_ambient = false;     ///< made from room-temperature ingredients
    std::optional<LocalDate> made_on{}; ///< day 1 of date marking
    Instant opened_at{};
};

/// A lot's entry into a stage, for writing: StageEntry with the unit as an id.
struct NewStage {
    LotId lot;
    Stage stage = Stage::preparing;
    Instant from;
    std::optional<UnitId> unit{};
    std::optional<Temperature> setting{};
    std::optional<OvenKind> oven{};
    TimeControlForm form = TimeControlForm::four_hours;
};

/// A spot in the food.
struct LotPoint {
    LotId lot;
    std::string point = kCore;
    friend bool operator==(const LotPoint&, const LotPoint&) = default;
};

/// The air in a unit.
struct UnitAir {
    UnitId unit;
    friend bool operator==(const UnitAir&, const UnitAir&) = default;
};

/// What a probe, or a person with one, reads.
using Target = std::variant<LotPoint, UnitAir>;

/// A probe reads a target during [from, to); `to` is empty while it is still there.
struct Placement {
    ProbeId probe;
    Target target;
    Instant from;
    std::optional<Instant> to{};
};

/// A reading that a person took and typed.
struct TypedReading {
    Target target;
    Instant at;
    Temperature value = Temperature::of_thousandths(0, Scale::celsius);
    std::optional<ProbeId> probe{};
    std::uint16_t watched_s = 0; ///< for how many seconds it was seen at or beyond the value; 0:
                                 ///< not stated
};

/// Whether an entry said something new.
enum class Added {
    yes,
    already_there, ///< the same value for the same thing and instant: nothing was written
    conflict,      ///< another value is recorded for the same thing and instant: both are kept
};

} // namespace holdwarden::records

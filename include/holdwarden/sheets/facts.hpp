#pragma once

#include <holdwarden/base/time_text.hpp>
#include <holdwarden/base/zone.hpp>
#include <holdwarden/codes/house.hpp>
#include <holdwarden/judge/answers.hpp>
#include <holdwarden/judge/judge.hpp>
#include <holdwarden/records/checks.hpp>
#include <holdwarden/records/lot_history.hpp>
#include <holdwarden/records/measures.hpp>

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace holdwarden::sheets {

/// What the store's history came to when the sheet was made: who keeps it can tell later whether
/// anything before it was changed.
struct HistoryHead {
    std::uint64_t leaves = 0;
    std::string root;            ///< SHA-256 of the history's tree, 64 hexadecimal digits
    std::uint64_t elsewhere = 0; ///< of a store with a part of the records: leaves without theirs
};

/// A house limit, and a time in which it was in force.
struct HouseLimitInForce {
    codes::HouseLimit limit{};
    Instant from;
    std::optional<Instant> until{}; ///< nullopt: it still was when the sheet was made
};

/// What a sheet says of the site and of how its records were judged.
struct SiteFacts {
    std::string name;
    Zone zone = Zone::utc();
    std::optional<records::Altitude> altitude;
    Scale scale = Scale::fahrenheit;
    std::string pack_id;
    std::string pack_title;
    std::string pack_edition;
    std::string pack_caution;
    judge::DecisionRule rule = judge::DecisionRule::as_read;
    Span largest_interval = Span::hours(2); ///< between two good readings of a hold
    Instant as_of;
    std::vector<HouseLimitInForce> house_limits{}; ///< in the sheet's time
    std::vector<std::string> variances{};          ///< approved ones, a line each
    std::optional<HistoryHead> history{};          ///< nullopt: no store behind the sheet
};

/// Who made the sheet, when and with what.
struct Made {
    Instant at;
    std::string by;       ///< empty: not said
    std::string software; ///< "holdwarden 0.1.0"
};

/// An entry that was not taken.
struct Reject {
    std::string file;
    std::uint32_t line = 0;
    std::string text;
    std::string reason;
};

/// Two values for one point and instant. Both stay in the record; the worse counts.
struct Conflict {
    std::string lot;
    std::string point;
    Instant at;
    Temperature first = Temperature::of_thousandths(0, Scale::celsius);
    Temperature second = Temperature::of_thousandths(0, Scale::celsius);
};

/// What could not be taken as it came in, over the sheet's period.
struct Troubles {
    std::vector<Reject> rejects;
    std::vector<Conflict> conflicts;
};

/// What a forecast says of one point of the food.
struct ForecastBand {
    Instant now;
    Temperature last = Temperature::of_thousandths(0, Scale::celsius); ///< the last reading
    struct Edge {
        Temperature limit = Temperature::of_thousandths(0, Scale::celsius);
        Instant earliest;
        Instant latest;
    };
    std::vector<Edge> edges{}; ///< limits that will be crossed, in that order
};

/// A corrective action on record for a flag.
struct Answered {
    std::string flag; ///< judge's id of the flag
    Instant at;       ///< when it was done
    std::string cause{};
};

/// That the signer's PIN had been set anew with the site's key.
struct PinResetNote {
    Instant at;
    std::string by;
    std::string why;
};

/// A signature that the store keeps, and whether what was signed is still as it was.
struct SignatureLine {
    std::int64_t number = 0;
    std::string name; ///< in print
    records::Meaning meaning = records::Meaning::reviewed;
    Instant at;         ///< of signing
    bool stands = true; ///< false: superseded until signed again
    bool of_period = false;
    std::string alone;                       ///< why somebody who made the record signs it
    std::string unready;                     ///< why a lot is released that is not ready
    std::string sha256;                      ///< hexadecimal
    std::optional<PinResetNote> pin_reset{}; ///< the last before the signature
};

/// One lot as recorded and as judged.
struct LotRecord {
    records::LotHistory history;
    judge::LotJudgement judged;
    std::vector<judge::AnsweredFlag> answers{}; ///< of its flags, unanswered and worst first
    std::vector<SignatureLine> signatures{};    ///< in the order of signing
    std::vector<std::string> forecasts{}; ///< a sentence each; estimates, which alter no verdict
    std::vector<ForecastBand> bands{};    ///< the same, for the chart
    std::vector<Answered> answered{};     ///< for summaries
};

/// A check of a thermometer, as recorded.
struct CheckRecord {
    std::string probe;
    records::ProbeCheck check;
    std::string entered_by{};
    std::string paper{}; ///< where the form filled in by pen is kept that it was copied from
};

/// The checks of a time, and what was not checked in it.
struct CheckRecords {
    std::vector<CheckRecord> checks{}; ///< ascending by time
    struct Missed {
        std::string probe;
        Instant due;
    };
    std::vector<Missed> missed{};
    struct Unchecked {
        std::string probe;
        std::optional<Instant> last{}; ///< before the time; nullopt: never
    };
    std::vector<Unchecked> unchecked{};
};

} // namespace holdwarden::sheets

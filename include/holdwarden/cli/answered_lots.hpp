#pragma once

#include <holdwarden/cli/lot_judge.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/sheets/facts.hpp>

#include <nlohmann/json_fwd.hpp>

#include <optional>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// A lot with its flags and their answers.
struct AnsweredLot {
    records::LotId id = records::LotId::of(0);
    sheets::LotRecord record;
};

/// The lots judged as of now, in the order given.
std::vector<AnsweredLot> answered_lots(const OpenStore& store, const Context& context,
                                       const std::vector<records::LotId>& lots);

/// Every lot of the store.
std::vector<records::LotId> all_lots(const OpenStore& store);

/// One flag of one lot.
struct FlagOf {
    const AnsweredLot* lot = nullptr;
    const judge::AnsweredFlag* flag = nullptr;

    std::string handle() const;
    /// nullptr: the record does not raise it.
    const judge::Finding* finding() const;
    const judge::Flag* raised() const;
};

/// Unanswered and worst first, over all lots.
std::vector<FlagOf> flags_in_order(const std::vector<AnsweredLot>& lots);

/// The flag that `flag` (a handle, or the beginning of one of at least three digits) names, or,
/// when that is a lot, the flag of it whose id begins with `of_lot`; without `of_lot` the only one
/// that is unanswered or incomplete. Throws Error{not_found}, or Error{conflict} naming those that
/// fit.
FlagOf flag_named(const std::vector<AnsweredLot>& lots, const std::string& flag,
                  const std::string& of_lot);

/// "brisket-1: hot-holding not met (hot-holding, core)".
std::string flag_words(const FlagOf& flag);
/// "unanswered, overdue".
std::string state_words(const judge::AnsweredFlag& flag);
/// "the cause; how control was regained".
std::string missing_words(const judge::AnsweredFlag& flag, const OpenStore& store);
/// "action 3, 2026-10-31 21:10 -06:00, RK: reheated; 2 pans reheated".
std::string action_words(const records::StoredAction& action, const OpenStore& store);

nlohmann::ordered_json flag_json(const FlagOf& flag, const Zone& zone);

} // namespace holdwarden::cli

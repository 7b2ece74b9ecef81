#pragma once

#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/codes/pack.hpp>
#include <holdwarden/codes/receiving.hpp>
#include <holdwarden/judge/receiving.hpp>
#include <holdwarden/records/day_book.hpp>

#include <optional>
#include <string>

namespace holdwarden::cli {

/// The pack that the site follows at `at`.
codes::Pack pack_at(const OpenStore& store, const Context& context, Instant at);

/// What a pack, by id or path, asks of food at the door. Throws Error.
codes::Receiving receiving_of_pack(const Context& context, const std::string& id_or_path);
/// That part of a pack as people read it; "" when the pack says nothing of it.
std::string receiving_text(const codes::Receiving& receiving);
/// What the pack of `pack_at` asks.
codes::Receiving receiving_at(const OpenStore& store, const Context& context, Instant at);

/// Whether food is held hot or kept cold in such a unit; nullopt: it cooks, and no holding limit is
/// for its air.
std::optional<bool> holds_hot(records::UnitKind kind) noexcept;

/// "■ met: 39 °F was read; ... (3-202.11(A); remembered: check it ...)".
std::string finding_line(const judge::ReceiptFinding& finding);

/// The number after an option that names a record ("3"). Throws Error{usage}.
std::int64_t record_number(const std::string& text, const char* option);

/// The amount of an option or argument. Throws Error.
records::Amount amount_of(const std::string& text, const char* option);

} // namespace holdwarden::cli

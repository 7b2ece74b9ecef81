#pragma once

#include <holdwarden/judge/finding.hpp>
#include <holdwarden/records/answers.hpp>
#include <holdwarden/records/lot_history.hpp>

#include <span>
#include <string>
#include <vector>

namespace holdwarden::judge {

/// The text whose SHA-256 a signature under a lot is bound to: everything recorded of the lot, what
/// was judged of it, and what was done about it. docs/formats/signed-content.md gives it line by
/// line. Whatever changes of any of it changes the text.
std::string signed_content(const records::LotHistory& lot, const LotJudgement& judged,
                           std::span<const records::StoredAction> actions,
                           std::span<const records::StoredVerification> verifications);

/// The text for a period: each lot of it by name with the digest (lower-case hexadecimal) of its
/// own text, ascending by name.
struct SignedLot {
    std::string name;
    std::string sha256;
};
std::string signed_content(Instant from, Instant to, std::vector<SignedLot> lots);

} // namespace holdwarden::judge

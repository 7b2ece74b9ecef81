#pragma once

#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/answers.hpp>
#include <holdwarden/seal/digest.hpp>
#include <holdwarden/sheets/build.hpp>

#include <map>
#include <string>
#include <utility>
#include <vector>

namespace holdwarden::cli {

/// What signatures of a store are bound to, and whether they still stand. docs/formats/
/// signed-content.md.
class SignedContent {
public:
    /// `store` and `context` must outlive it.
    SignedContent(const OpenStore& store, const Context& context)
        : store_{store}, context_{context} {}

    /// The text for a lot as it is recorded and judged now; of one that goes on, up to `to`.
    std::string of_lot(records::LotId lot, Instant to) const;
    /// The text for all lots of [from, to).
    std::string of_period(Instant from, Instant to);
    /// The text for what a signature is under, as it is now.
    std::string of(const records::Signature& signature);

    /// Whether what was signed is still what it was then.
    bool stands(const records::Signature& signature);

    /// The signatures under a lot, in the order of entry: its own, and those under a period that
    /// saw its end.
    std::vector<sheets::SignatureLine> under(records::LotId lot);
    /// Those under exactly that period.
    std::vector<sheets::SignatureLine> under(Instant from, Instant to);

private:
    const seal::Sha256& lot_digest(records::LotId lot, Instant to);
    sheets::SignatureLine line_of(const records::StoredSignature& stored);

    const OpenStore& store_;
    const Context& context_;
    std::map<std::pair<records::LotId, Instant>, seal::Sha256> digests_;
};

/// Why a lot is not ready to be released: a finding that is open, nothing judged at all, a flag
/// that is not closed, no review that stands (9 CFR 417.5(c); 21 CFR 113.100). Empty: it is ready.
std::vector<std::string> not_ready(const sheets::LotRecord& record,
                                   const std::vector<sheets::SignatureLine>& signatures);

/// When a lot's record was made: its end, else the last thing recorded of it.
Instant made_at(const records::LotHistory& history, Instant opened);

/// Lots whose record waits for a review, overdue first. Lots without stages wait for none.
std::vector<sheets::ReviewDue> reviews_due(const OpenStore& store, const Context& context);

/// Whether a signature under a record stands that says somebody looked it through: reviewed,
/// approved or verified.
bool reviewed(const std::vector<sheets::SignatureLine>& signatures);

} // namespace holdwarden::cli

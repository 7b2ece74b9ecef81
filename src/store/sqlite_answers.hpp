#pragma once

#include <holdwarden/records/answers.hpp>

namespace holdwarden::store {

class SqliteStore;

/// records::Answers in the store's own database.
class SqliteAnswers final : public records::Answers {
public:
    explicit SqliteAnswers(SqliteStore& store) : store_{store} {}

    records::ActionId add(const records::Action& action, const records::Stamp& stamp) override;
    std::vector<records::StoredAction> actions(records::LotId lot) const override;
    records::VerificationId verify(const records::Verification& verification,
                                   const records::Stamp& stamp) override;
    std::vector<records::StoredVerification> verifications(records::LotId lot) const override;
    records::SignatureId sign(const records::Signature& signature,
                              const records::Stamp& stamp) override;
    std::vector<records::StoredSignature> signatures() const override;
    void set(const records::ReviewRule& rule, const records::Stamp& stamp) override;
    std::vector<records::ReviewRule> review_rules() const override;
    std::vector<std::string> makers(records::LotId lot) const override;

private:
    void check_successor(const records::Action& action) const;

    SqliteStore& store_;
};

} // namespace holdwarden::store

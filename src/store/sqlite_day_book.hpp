#pragma once

#include <holdwarden/records/day_book.hpp>

namespace holdwarden::store {

class SqliteStore;

/// records::DayBook in the store's own database.
class SqliteDayBook final : public records::DayBook {
public:
    explicit SqliteDayBook(SqliteStore& store) : store_{store} {}

    records::ReceiptId add(const records::Receipt& receipt, const records::Stamp& stamp) override;
    std::vector<records::StoredReceipt> receipts() const override;
    records::WasteId add(const records::Waste& waste, const records::Stamp& stamp) override;
    std::vector<records::StoredWaste> waste() const override;
    records::WorkingCheckId add(const records::WorkingCheck& check,
                                const records::Stamp& stamp) override;
    std::vector<records::StoredWorkingCheck> working_checks() const override;
    int keep(const records::Paper& paper, const records::Stamp& stamp) override;
    std::vector<records::StoredPaper> papers() const override;
    records::FilledFormCounts transcribe(const records::FilledForm& filled_form,
                                         const std::vector<records::TranscribedRow>& rows,
                                         const records::Stamp& stamp) override;
    std::vector<records::StoredFilledForm> filled_forms() const override;
    std::vector<records::TranscribedReading> rows_of(records::FilledFormId id) const override;
    std::size_t transcribed_readings(records::LotId lot) const override;

private:
    SqliteStore& store_;
};

} // namespace holdwarden::store

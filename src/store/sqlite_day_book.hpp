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
    std::optional<records::FromPaper> paper_of(records::EntryId record) const override;

private:
    /// Enters what the row says; the entry of the record.
    std::int64_t enter_row(const records::TranscribedRow& row, const records::Stamp& stamp,
                           records::FilledFormCounts& counts);
    SqliteStore& store_;
};

} // namespace holdwarden::store

#pragma once

#include <holdwarden/base/received_as.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/records/answers.hpp>
#include <holdwarden/records/checks.hpp>
#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>
#include <holdwarden/records/lot.hpp>

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace holdwarden::records {

using ReceiptId = Id<struct ReceiptTag>;
using WasteId = Id<struct WasteTag>;
using WorkingCheckId = Id<struct WorkingCheckTag>;
using PaperId = Id<struct PaperTag>;
using FilledFormId = Id<struct FilledFormTag>;

/// One line of a delivery.
struct Receipt {
    Instant at{};
    std::string supplier{};
    std::string supplier_lot{}; ///< the supplier's own mark of the batch; empty: none was there
    std::string product{};
    ReceivedAs as = ReceivedAs::cold;
    std::optional<Temperature> value{}; ///< of the food; nullopt: not measured
    std::optional<ProbeId> probe{};
    std::optional<bool> frozen_solid{}; ///< what was seen of frozen food; nullopt: not said
    std::optional<Amount> amount{};
    bool accepted = true;
    std::string reason{}; ///< why it was refused, or taken although a limit was missed
    std::string note{};
    std::optional<ReceiptId> instead_of{}; ///< the entry that this one puts right
    std::string why{};                     ///< what was wrong with that
};

/// What went into the bin.
struct Waste {
    Instant at{};
    std::optional<LotId> lot{}; ///< nullopt: food that was no lot; `product` names it
    std::string product{};
    Amount amount{};
    std::string reason{};
    std::optional<WasteId> instead_of{};
    std::string why{};
};

/// That a person looked at a system that records by itself and saw whether it works (FDA Food Code
/// 2022, 3-502.12(D)(2)(f): checked by eye twice a day; from memory).
struct WorkingCheck {
    Instant at{};
    UnitId unit = UnitId::of(0);
    bool working = true;
    std::optional<Temperature> shown{}; ///< what its display said
    std::string note{};                 ///< what was seen; if it does not work, what was done
    std::string signer{};               ///< printed name
};

/// A text kept on file, to be shown on request.
enum class PaperKind {
    time_control_procedure, ///< FDA Food Code 2022, 3-501.19(A) (from memory)
    cooling_method,         ///< FDA Food Code 2022, 3-501.15 (from memory)
    other,
};
inline constexpr std::array<PaperKind, 3> kPaperKinds{PaperKind::time_control_procedure,
                                                      PaperKind::cooling_method, PaperKind::other};
std::string_view to_name(PaperKind kind) noexcept;
std::optional<PaperKind> paper_kind_named(std::string_view name) noexcept;

/// One version of a paper. Versions of a name count from 1; every one stays readable.
struct Paper {
    std::string name{};
    PaperKind kind = PaperKind::other;
    std::string title{};
    std::string text{}; ///< lines of UTF-8
    int version = 0;    ///< given by the store
};

/// The longest text of a paper, in bytes.
inline constexpr std::size_t kLongestPaper = 60'000;

/// A form that was filled in by pen and entered afterwards. The sheet of paper stays the original.
struct FilledForm {
    std::string form{};                    ///< "holding"
    std::string written_by{};              ///< who filled it in; the stamp says who typed it
    std::string kept_at{};                 ///< where the sheet of paper is
    std::array<std::uint8_t, 32> sha256{}; ///< of the rows as they were typed
};

/// A row of such a form: a reading, or a check of a thermometer.
struct TranscribedRow {
    int row = 0; ///< from 1
    std::variant<TypedReading, ProbeCheck> record;
    std::string written_by{}; ///< initials on that row; empty: as the form
    std::string words{};      ///< as it was typed
};

/// A row as it stands on record.
struct TranscribedReading {
    int row = 0;
    EntryId record; ///< the reading's or the check's entry
    std::string written_by{};
    std::string words{};
};

/// The paper that a record was copied from.
struct FromPaper {
    std::string written_by{};
    std::string kept_at{};
};

/// What became of the rows.
struct FilledFormCounts {
    std::size_t added = 0;
    std::size_t already_there = 0;
    std::size_t conflicts = 0;
};

using StoredFilledForm = Recorded<FilledFormId, FilledForm>;
using StoredReceipt = Recorded<ReceiptId, Receipt>;
using StoredWaste = Recorded<WasteId, Waste>;
using StoredWorkingCheck = Recorded<WorkingCheckId, WorkingCheck>;
using StoredPaper = Recorded<PaperId, Paper>;

// What is wrong with an entry by itself. Throws Error{bad_input} with the way to mend it.
void check_receipt(const Receipt& receipt);
void check_waste(const Waste& waste);
void check_paper(const Paper& paper);

/// What a kitchen notes beside its lots: receiving, waste, systems seen working, papers kept on
/// file. A part of the Store, under the Store's rules: append-only, durable when a write returns,
/// refused entries leave everything as it was.
class DayBook {
public:
    DayBook() = default;
    DayBook(const DayBook&) = delete;
    DayBook& operator=(const DayBook&) = delete;
    virtual ~DayBook() = default;

    /// Throws Error{conflict} when `instead_of` is not there or was put right already.
    virtual ReceiptId add(const Receipt& receipt, const Stamp& stamp) = 0;
    /// Every one, those put right included, in the order of entry.
    virtual std::vector<StoredReceipt> receipts() const = 0;

    /// Throws Error{conflict} as for a receipt.
    virtual WasteId add(const Waste& waste, const Stamp& stamp) = 0;
    virtual std::vector<StoredWaste> waste() const = 0;

    /// Throws Error{bad_input} when the stamp names nobody, or it does not work and no note says
    /// what was done.
    virtual WorkingCheckId add(const WorkingCheck& check, const Stamp& stamp) = 0;
    virtual std::vector<StoredWorkingCheck> working_checks() const = 0;

    /// Adds the next version of `paper.name`; `paper.version` is not looked at. Throws
    /// Error{conflict} when the latest version says the same already.
    virtual int keep(const Paper& paper, const Stamp& stamp) = 0;
    /// Every version, in the order of entry.
    virtual std::vector<StoredPaper> papers() const = 0;

    /// Enters the rows, each as Store::log or Checks::add does, and that they come from a form; all
    /// or none. Throws Error{conflict} when the same rows were entered before, Error{bad_input}
    /// when nobody is named who wrote them, or no place where the paper is kept.
    virtual FilledFormCounts transcribe(const FilledForm& filled_form,
                                        const std::vector<TranscribedRow>& rows,
                                        const Stamp& stamp) = 0;
    virtual std::vector<StoredFilledForm> filled_forms() const = 0;
    /// Ascending by row.
    virtual std::vector<TranscribedReading> rows_of(FilledFormId filled_form) const = 0;
    /// How many of a lot's typed readings come from such a form.
    virtual std::size_t transcribed_readings(LotId lot) const = 0;
    /// nullopt: the record with this entry was not copied from such a form.
    virtual std::optional<FromPaper> paper_of(EntryId record) const = 0;
};

/// Of records that may put an earlier one right, those that no other does, in the order given.
template <class Stored>
std::vector<const Stored*> standing(const std::vector<Stored>& all) {
    std::vector<const Stored*> left;
    for (const Stored& one : all) {
        bool replaced = false;
        for (const Stored& other : all) {
            replaced = replaced || other.facts.instead_of == one.id;
        }
        if (!replaced) {
            left.push_back(&one);
        }
    }
    return left;
}

} // namespace holdwarden::records

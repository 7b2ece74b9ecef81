#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/handing.hpp>
#include <holdwarden/records/ids.hpp>
#include <holdwarden/records/measures.hpp>
#include <holdwarden/records/templates.hpp>

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::records {

using PartingId = Id<struct PartingTag>;

/// What the pieces are after a lot was split or lots were merged. All but `whole` end what being in
/// one piece earned.
enum class PartForm { whole, sliced, pulled, portioned };
std::string_view to_name(PartForm form) noexcept;
std::optional<PartForm> part_form_named(std::string_view name) noexcept;

/// What did not come through: trim, tasting, spilled.
struct Loss {
    std::string name;
    Mass amount;
};

/// A part to be made. An empty amount: not weighed; the one part that is not weighed takes what is
/// left.
struct NewPart {
    std::string name;
    std::optional<Mass> amount{};
    std::string container{};
};

/// A lot is divided, wholly, into parts.
struct NewSplit {
    LotId lot;
    Instant at;
    std::optional<Mass> of{}; ///< what was divided, weighed then; empty: as the lot's record says
    PartForm form = PartForm::portioned;
    std::vector<NewPart> parts;
    std::vector<Loss> losses{};
};

/// Several lots become one. They must be of one food kind, or become `other-tcs`.
struct NewMerge {
    std::vector<LotId> lots;
    Instant at;
    NewPart into;
    std::optional<FoodKind> food{}; ///< empty: the sources' own
    PartForm form = PartForm::portioned;
    Stage stage = Stage::preparing; ///< what is done to it from then on
    std::optional<UnitId> unit{};
    std::optional<Temperature> setting{};
    std::optional<OvenKind> oven{};
    TimeControlForm time_form = TimeControlForm::four_hours;
    std::vector<Loss> losses{};
};

/// How lots became others.
struct Parting {
    enum class Kind { split, merge };
    struct Share {
        LotId lot;
        std::optional<Mass> amount;
    };
    Kind kind = Kind::split;
    Instant at;
    PartForm form = PartForm::portioned;
    std::vector<Share> from; ///< one of a split
    std::vector<Share> into; ///< one of a merge
    std::vector<Loss> losses;
};

/// What `of` leaves over when `parts` and `losses` are taken from it; nullopt: it cannot be told,
/// because the whole or more than one part was not weighed. Differences within a gram for each item
/// are rounding and count as none. Throws Error{bad_input} when they come to more than the whole.
std::optional<Mass> left_over(std::optional<Mass> of, std::span<const std::optional<Mass>> parts,
                              std::span<const Loss> losses);

/// Lots split, merged and handed from kitchen to kitchen, and the usual lots a kitchen opens. A
/// part of the Store, under the Store's rules: append-only, durable when a write returns, refused
/// entries leave everything as it was.
///
/// A part's history is its lot's up to the split, and its own since: Store::stages and
/// Store::lot_history tell it so. A merged lot's is LotHistory::sources and its own since. That of
/// a lot taken in is what its file tells, marked as of that kitchen, and its own since.
class Parts {
public:
    Parts() = default;
    Parts(const Parts&) = delete;
    Parts& operator=(const Parts&) = delete;
    virtual ~Parts() = default;

    /// Ends the lot and opens its parts, in order; they go on in its stage. Throws Error{bad_input}
    /// where amounts do not add up, Error{conflict} where readings of the lot lie after the split.
    virtual std::vector<LotId> split(const NewSplit& split, const Stamp& stamp) = 0;
    /// Ends the lots and opens the one they became.
    virtual LotId merge(const NewMerge& merge, const Stamp& stamp) = 0;

    /// What made the lot; nullopt: it was opened as itself.
    virtual std::optional<Recorded<PartingId, Parting>> origin_of(LotId lot) const = 0;
    /// What became of the lot; nullopt: it was neither split nor merged.
    virtual std::optional<Recorded<PartingId, Parting>> fate_of(LotId lot) const = 0;

    /// Notes where a lot went that has ended as handed on. Throws Error{conflict} for any other.
    virtual void hand_on(LotId lot, const HandedOn& to, const Stamp& stamp) = 0;
    virtual std::optional<HandedOn> handed_on(LotId lot) const = 0;
    /// Gives a lot that was opened for it the life that `taken`'s file tells. Throws
    /// Error{conflict} when that file was taken in already, or was handed on by this store itself.
    virtual void take_in(const TakenIn& taken, const Stamp& stamp) = 0;
    /// Without the file.
    virtual std::optional<TakenIn> taken_in(LotId lot) const = 0;
    /// The lot that this file (SHA-256, hexadecimal) brought.
    virtual std::optional<LotId> brought_by(std::string_view sha256) const = 0;

    /// Keeps a usual lot; one of the same name takes its place from then on. Throws
    /// Error{bad_input}.
    virtual TemplateId save(const LotTemplate& usual, const Stamp& stamp) = 0;
    virtual std::vector<Recorded<TemplateId, LotTemplate>> templates() const = 0;

    /// The thermometer of the last reading that a person typed and named one for, of any lot or
    /// unit, not before `since`.
    virtual std::optional<ProbeId> last_hand_probe(Instant since) const = 0;
};

} // namespace holdwarden::records

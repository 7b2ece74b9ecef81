#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>
#include <holdwarden/records/signature.hpp>

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::records {

using ActionId = Id<struct ActionTag>;
using VerificationId = Id<struct VerificationTag>;

/// What became of the food (a "disposition": 9 CFR 417.5(c); 21 CFR 114.100(c)).
enum class Disposition { reheated, cooled_again, served, discarded, held };
/// "reheated", "cooled-again", "served", "discarded", "held" (for decision).
std::string_view to_name(Disposition disposition) noexcept;
/// The same for people: "held for decision".
std::string_view to_words(Disposition disposition) noexcept;
std::optional<Disposition> disposition_named(std::string_view name) noexcept;
std::span<const Disposition> all_dispositions() noexcept;

/// How much of the food an action concerns: more than 0, in what people count or weigh it.
struct Amount {
    std::int64_t thousandths = 0;
    std::string unit{}; ///< "kg", "pans", "pieces"
    friend bool operator==(const Amount&, const Amount&) = default;
};
/// "5.4 kg", "12lb", "2 pans". Throws Error{bad_input}.
Amount parse_amount(std::string_view text);
std::string to_text(const Amount& amount);

/// What was done about a flag. Texts that are empty were not said (yet).
///
/// The fields are those of 9 CFR 417.3(a) and NACMCF 1997, principle 5; the last three those that a
/// deviation without a planned action needs besides (9 CFR 417.3(b)).
struct Action {
    LotId lot = LotId::of(0);
    std::string flag{};      ///< judge's id of the flag; stays the same as readings arrive
    std::string deviation{}; ///< what went wrong, where no limit tells: a power cut, a spill
    Instant at{};            ///< when it was done
    std::string person{};    ///< who did it; the stamp says who entered it
    std::string done{};
    std::optional<Amount> amount{};
    std::optional<Disposition> disposition{};
    std::optional<Instant> shown_from{}; ///< when the stage began whose readings show it
    std::string cause{};
    std::string control{};    ///< how it is known that things are under control again
    std::string prevention{}; ///< against its coming back
    std::string held_apart{};
    std::string acceptability{}; ///< of a review whether the food may be served
    std::string reassessment{};  ///< of the plan
    std::optional<ActionId> supersedes{};
    std::string why{}; ///< why something said earlier is said otherwise now
};

/// That a second person looked at an action.
struct Verification {
    ActionId action = ActionId::of(0);
    bool accepted = true; ///< false: it was found wanting; `note` says why
    std::string note{};
    std::string alone{}; ///< why nobody but the one who did it verifies it; empty: somebody else
};

using StoredAction = Recorded<ActionId, Action>;
using StoredVerification = Recorded<VerificationId, Verification>;

/// `action` as it stands with what `earlier` said filled in where it says nothing itself (no
/// instant: the epoch), and named as its successor. Throws Error{usage} when it says something
/// otherwise and not why.
Action continued(const StoredAction& earlier, Action action);

/// The actions that none of the others supersedes, in the order given.
std::vector<const StoredAction*> current(std::span<const StoredAction> actions);

/// What is wrong with an action by itself. Throws Error{bad_input}: no flag, no person, nothing
/// done, texts too long or unprintable, an amount that is not above 0.
void check_action(const Action& action);

/// Corrective actions, their verification, and signed reviews. A part of the Store, under the
/// Store's rules: append-only, durable when a write returns, refused entries leave everything as it
/// was.
class Answers {
public:
    Answers() = default;
    Answers(const Answers&) = delete;
    Answers& operator=(const Answers&) = delete;
    virtual ~Answers() = default;

    /// Throws Error{conflict} when `supersedes` is of another flag or superseded already.
    virtual ActionId add(const Action& action, const Stamp& stamp) = 0;
    virtual std::vector<StoredAction> actions(LotId lot) const = 0;
    /// Throws Error{conflict} when the action is superseded; Error{bad_input} when nobody is named,
    /// when the one who did or entered the action verifies it and `alone` is empty, or when an
    /// action is not accepted without a note.
    virtual VerificationId verify(const Verification& verification, const Stamp& stamp) = 0;
    virtual std::vector<StoredVerification> verifications(LotId lot) const = 0;

    /// Throws Error{bad_input} when nobody is named, or the name is not the stamp's.
    virtual SignatureId sign(const Signature& signature, const Stamp& stamp) = 0;
    virtual std::vector<StoredSignature> signatures() const = 0;
    virtual void set(const ReviewRule& rule, const Stamp& stamp) = 0;
    virtual std::vector<ReviewRule> review_rules() const = 0;

    /// Who made an entry about the lot: itself, its stages, end, placements, typed readings, the
    /// files its readings came from, and its actions. Each once, by name.
    virtual std::vector<std::string> makers(LotId lot) const = 0;
};

} // namespace holdwarden::records

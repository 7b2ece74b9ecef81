#pragma once

#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::records {

using PersonId = Id<struct PersonTag>;

/// What a person does here. A logger makes entries, which anybody may; the other two sign.
enum class Role {
    logger,
    person_in_charge, ///< FDA Food Code 2022, 1-201.10(B), "person in charge" (from memory)
    reviewer,
};
std::string_view to_name(Role role) noexcept;
std::optional<Role> role_named(std::string_view name) noexcept;
std::span<const Role> all_roles() noexcept;

/// A person as last described. A change of any of it is a new record.
struct Person {
    std::string name{};         ///< the name or initials that entries are made by; never reassigned
    std::string printed_name{}; ///< in full, as a sign-off shows it (21 CFR 11.50(a)(1))
    std::vector<Role> roles{};  ///< each once
    bool active = true;         ///< false: retired; signs no more

    bool has(Role role) const noexcept;
};

/// One try at a PIN. Every try is kept, right or wrong (21 CFR 11.300(d), from memory).
struct PinAttempt {
    Instant at;
    bool right = false;
    std::string purpose; ///< what was to be signed
};

/// Whether the site says that one person works there alone, so that there is nobody else to verify
/// what that person did.
struct OnePersonSite {
    bool alone = false;
    std::string why{};
};

/// A part of the Store, under the Store's rules: append-only, durable when a write returns, refused
/// entries leave everything as it was.
///
/// What keeps the PINs is a hash with a salt of its own (seal/pin.hpp). It never leaves the store:
/// no packet, export or answer may hold it.
class People {
public:
    People() = default;
    People(const People&) = delete;
    People& operator=(const People&) = delete;
    virtual ~People() = default;

    /// Adds a person, or says anew what holds of one. Throws Error{bad_input}.
    virtual PersonId describe(const Person& person, const Stamp& stamp) = 0;
    /// Those who were described, in the order of the first description; `facts` are the latest.
    /// Whoever merely made entries is not among them.
    virtual std::vector<Recorded<PersonId, Person>> list() const = 0;

    /// The hash in force from now on; older ones stay on record.
    virtual void set_pin(PersonId person, std::string_view hash, const Stamp& stamp) = 0;
    /// nullopt: none was set.
    virtual std::optional<std::string> pin_hash(PersonId person) const = 0;

    /// `stamp.by` should be empty: who tried is what the attempt leaves open.
    virtual void note_attempt(PersonId person, const PinAttempt& attempt, const Stamp& stamp) = 0;
    /// Those at the PIN in force, ascending by entry.
    virtual std::vector<PinAttempt> attempts(PersonId person) const = 0;

    virtual void set_one_person(const OnePersonSite& setting, const Stamp& stamp) = 0;
    /// Every such setting, in the order of entry; it holds from its stamp's time.
    virtual std::vector<Recorded<EntryId, OnePersonSite>> one_person_settings() const = 0;
};

/// Who of the list goes by that name: exactly it, or, when nobody does, the only one who differs in
/// upper and lower case alone. nullopt: nobody.
std::optional<Recorded<PersonId, Person>> person_named(const People& people, std::string_view name);

/// How long to wait from the last wrong attempt before another is taken: nothing up to four wrong
/// ones in a row, then one minute, doubling with each to fifteen (common practice, no source).
Span pin_wait(std::span<const PinAttempt> attempts);

/// May `verifier` verify what `maker` entered? Nobody verifies an entry of their own (9 CFR
/// 417.5(c) and 21 CFR 11.200(a)(3), from memory), unless the site is set to one person; then the
/// record says so.
struct MayVerify {
    enum class Answer {
        yes,            ///< two people
        alone,          ///< their own entry, or nobody knows whose: the site has one person
        own_entry,      ///< no: they made it
        maker_not_said, ///< no: an entry by nobody cannot be shown to be another's
        verifier_not_said,
    } answer = Answer::verifier_not_said;
    std::string words{}; ///< what a sheet prints beside the sign-off, or why not; empty for `yes`

    bool allowed() const noexcept { return answer == Answer::yes || answer == Answer::alone; }
};
/// Names are compared without regard to upper and lower case (ASCII) and outer blanks. `site`: the
/// setting in force when the verification is made; nullopt: never set.
MayVerify may_verify(std::string_view maker, std::string_view verifier,
                     const std::optional<Recorded<EntryId, OnePersonSite>>& site);
/// The setting in force at `at` (of two of one instant, the later entry).
std::optional<Recorded<EntryId, OnePersonSite>> one_person_at(const People& people, Instant at);

} // namespace holdwarden::records

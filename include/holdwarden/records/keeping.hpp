#pragma once

#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>

#include <array>
#include <cstdint>
#include <string>
#include <vector>

namespace holdwarden::records {

using RetentionChoiceId = Id<struct RetentionChoiceTag>;
using PurgeId = Id<struct PurgeTag>;

/// Which rules for keeping records bind the site. The latest choice holds.
struct RetentionChoice {
    std::vector<std::string> rules; ///< ids; at least one, each once
    friend bool operator==(const RetentionChoice&, const RetentionChoice&) = default;
};

/// What stands in the place of records that were removed after their time: a tombstone.
struct Purge {
    Instant before{};                      ///< what was removed was over before this
    std::string rules;                     ///< the rule that counted, and its months
    std::uint64_t leaves = 0;              ///< of the history whose records are gone
    std::array<std::uint8_t, 32> sha256{}; ///< over their hashes, in order
};

/// How long records are kept, and what was purged after that. A part of the Store, under the
/// Store's rules: append-only, durable when a write returns, refused entries leave everything as it
/// was. What removes records is store/purge.hpp, and nothing else.
class Keeping {
public:
    Keeping() = default;
    Keeping(const Keeping&) = delete;
    Keeping& operator=(const Keeping&) = delete;
    virtual ~Keeping() = default;

    /// Throws Error{bad_input} if no rule is named, or one twice.
    virtual void choose(const RetentionChoice& choice, const Stamp& stamp) = 0;
    virtual std::vector<Recorded<RetentionChoiceId, RetentionChoice>> choices() const = 0;
    virtual std::vector<Recorded<PurgeId, Purge>> purges() const = 0;
};

} // namespace holdwarden::records

#pragma once

#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>

namespace holdwarden::records {

/// Corrective actions, their verification, and signed reviews. A part of the Store, under the
/// Store's rules: append-only, durable when a write returns, refused entries leave everything as it
/// was.
class Answers {
public:
    Answers() = default;
    Answers(const Answers&) = delete;
    Answers& operator=(const Answers&) = delete;
    virtual ~Answers() = default;
};

} // namespace holdwarden::records

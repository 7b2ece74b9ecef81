#pragma once

#include <holdwarden/records/checks.hpp>

namespace holdwarden::store {

class SqliteStore;

/// records::Checks in the store's own database.
class SqliteChecks final : public records::Checks {
public:
    explicit SqliteChecks(SqliteStore& store) : store_{store} {}

    records::CheckId add(const records::ProbeCheck& check, const records::Stamp& stamp) override;
    std::vector<records::Recorded<records::CheckId, records::ProbeCheck>>
    checks(std::optional<records::ProbeId> probe) const override;
    records::ScheduleId set(const records::CheckSchedule& schedule,
                            const records::Stamp& stamp) override;
    std::vector<records::Recorded<records::ScheduleId, records::CheckSchedule>>
    schedules() const override;
    void note_missed(const records::MissedCheck& missed, const records::Stamp& stamp) override;
    std::vector<records::Recorded<records::MissedCheckId, records::MissedCheck>>
    missed() const override;

private:
    SqliteStore& store_;
};

} // namespace holdwarden::store

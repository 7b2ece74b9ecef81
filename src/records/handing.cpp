#include <holdwarden/records/handing.hpp>

#include <algorithm>
#include <map>

namespace holdwarden::records {
namespace {

void mark(std::string& name, const std::string& kitchen) {
    name = as_of_kitchen(name, kitchen);
}

template <class Timed, class Time>
void cut_after(std::vector<Timed>& list, Instant last, Time at) {
    std::erase_if(list, [&](const Timed& one) { return one.*at > last; });
}

bool is_air(const LotHistory& h, const std::string& series) {
    return std::ranges::any_of(h.air, [&](const AirSeries& a) { return a.unit == series; }) ||
           std::ranges::any_of(h.sources, [&](const LotHistory& s) { return is_air(s, series); });
}

} // namespace

std::string as_of_kitchen(const std::string& name, const std::string& kitchen) {
    return name.empty() ? name : name + " @ " + kitchen;
}

LotHistory as_of_kitchen(LotHistory h, const std::string& kitchen) {
    for (ReadingMark& m : h.marks) { // while the air still has its own names
        if (m.origin == Origin::typed && is_air(h, m.series)) {
            mark(m.series, kitchen);
        }
        mark(m.by, kitchen);
        mark(m.verified_by, kitchen);
    }
    for (Probe& probe : h.probes) {
        mark(probe.name, kitchen);
    }
    for (StageEntry& stage : h.stages) {
        mark(stage.unit, kitchen);
        mark(stage.by, kitchen);
    }
    for (AirSeries& air : h.air) {
        mark(air.unit, kitchen);
    }
    for (Amendment& a : h.amendments) {
        mark(a.by, kitchen);
    }
    for (EntryRemark& r : h.remarks) {
        mark(r.by, kitchen);
        mark(r.taken_by, kitchen);
    }
    for (LotHistory& source : h.sources) {
        source = as_of_kitchen(std::move(source), kitchen);
    }
    if (h.first_recorded) {
        h.first_recorded =
            std::make_shared<const LotHistory>(as_of_kitchen(*h.first_recorded, kitchen));
    }
    return h;
}

namespace {

/// The places of another kitchen's lots, in the order in which they come.
class Renumbered {
public:
    explicit Renumbered(LotId here) : first_{-here.value() * kMostLots} {}
    LotId of(LotId there) {
        const auto size = static_cast<std::int64_t>(places_.size());
        return LotId::of(first_ - places_.try_emplace(there.value(), size).first->second);
    }

private:
    static constexpr std::int64_t kMostLots = 1'000'000; ///< in one file: far more than there are
    std::int64_t first_;
    std::map<std::int64_t, std::int64_t> places_;
};

void renumber(LotHistory& h, Renumbered& numbers) {
    for (LotId& lot : h.told_from) {
        lot = numbers.of(lot);
    }
    for (ReadingMark& mark : h.marks) {
        mark.lot = mark.lot ? std::optional{numbers.of(*mark.lot)} : std::nullopt;
    }
    for (LotHistory& source : h.sources) {
        renumber(source, numbers);
    }
    if (h.first_recorded) {
        LotHistory first = *h.first_recorded;
        renumber(first, numbers);
        h.first_recorded = std::make_shared<const LotHistory>(std::move(first));
    }
}

} // namespace

LotHistory told_for(LotHistory history, LotId here) {
    Renumbered numbers{here};
    renumber(history, numbers);
    return history;
}

LotHistory told_until(LotHistory h, Instant as_of) {
    cut_after(h.stages, as_of, &StageEntry::from);
    for (PointSeries& point : h.points) {
        cut_after(point.readings, as_of, &Reading::at);
    }
    for (AirSeries& air : h.air) {
        cut_after(air.readings, as_of, &Reading::at);
    }
    std::erase_if(h.air, [](const AirSeries& air) { return air.readings.empty(); });
    if (h.cut && *h.cut > as_of) {
        h.cut.reset();
    }
    for (Probe& probe : h.probes) {
        probe.last_check.reset();
        for (const CheckPoint& check : probe.checks) {
            if (check.at <= as_of) {
                probe.last_check = check.at;
            }
        }
        cut_after(probe.overdue, as_of, &OverdueStretch::from);
    }
    for (LotHistory& source : h.sources) {
        source = told_until(std::move(source), as_of);
    }
    if (h.first_recorded) {
        h.first_recorded = std::make_shared<const LotHistory>(told_until(*h.first_recorded, as_of));
    }
    return h;
}

} // namespace holdwarden::records

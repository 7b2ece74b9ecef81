#include <holdwarden/intake/collect.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace holdwarden::intake {
namespace {

struct Place {
    std::size_t lot;
    std::size_t series;
};

/// What a series has given to its keeper.
struct Kept {
    std::unique_ptr<records::Keeper> keeper{};
    Instant last{}; ///< the last reading given
};

class Collector final : public RowSink {
public:
    explicit Collector(const records::KeeperMaker& maker) : maker_{maker} {}

    void series(std::uint32_t /*index*/, const std::string& lot,
                const std::string& probe) override {
        const auto [found, is_new] = lot_by_name_.try_emplace(lot, collected.lots.size());
        if (is_new) {
            collected.lots.push_back({lot, {}, {}});
        }
        CollectedLot& into = collected.lots[found->second];
        places_.push_back({found->second, into.series.size()});
        into.series.push_back({probe, {}});
    }

    void rows(std::span<const Row> batch) override {
        for (const Row& row : batch) {
            const Place place = places_[row.series];
            CollectedLot& lot = collected.lots[place.lot];
            if (row.has_value) {
                lot.series[place.series].readings.push_back(
                    {.at = row.at,
                     .value = row.value,
                     .probe = static_cast<std::uint32_t>(place.series),
                     .line = row.line});
                if (maker_ && !has_stages_) {
                    keep_most(row.series, lot.series[place.series].readings, row.at);
                }
            }
            if (row.stage || row.outcome) {
                has_stages_ = true;
                add_mark(lot, {row.at, row.line, row.stage, row.outcome});
            }
        }
    }

    void reject(const Reject& reject) override {
        if (collected.rejects.size() < kMostRejectsKept) {
            collected.rejects.push_back(reject);
        }
    }

    /// Sorts, drops repeats, counts conflicts.
    void finish();

    Collected collected;

private:
    /// One for each instant and stage: which of a stretch's rows matter shows only when all are
    /// there, since a row of another stage may still come out of order into its middle.
    static void add_mark(CollectedLot& lot, const StageMark& mark) {
        if (!lot.marks.empty()) {
            const StageMark& last = lot.marks.back();
            if (last.at == mark.at && last.stage == mark.stage && last.outcome == mark.outcome) {
                return;
            }
        }
        lot.marks.push_back(mark);
    }

    void keep_most(std::size_t series, std::vector<records::Reading>& waiting, Instant at);
    void settle(std::vector<records::Reading>& readings);
    static void finish_marks(CollectedLot& lot);

    std::map<std::string, std::size_t> lot_by_name_;
    std::vector<Place> places_;
    const records::KeeperMaker& maker_;
    std::map<std::size_t, Kept> kept_; ///< by series, those that gave anything
    bool has_stages_ = false;
    std::uint64_t duplicates_ = 0; ///< counted while the reader counts the rest
    std::uint64_t conflicts_ = 0;
};

void sort_by_time(std::vector<records::Reading>& readings) {
    const auto earlier = [](const records::Reading& a, const records::Reading& b) {
        return a.at < b.at;
    };
    if (!std::is_sorted(readings.begin(), readings.end(), earlier)) {
        std::stable_sort(readings.begin(), readings.end(), earlier);
    }
}

/// Once too many wait, the older ones go to the keeper: whole instants, in order.
void Collector::keep_most(std::size_t series, std::vector<records::Reading>& waiting, Instant at) {
    const auto given = kept_.find(series);
    if (given != kept_.end() && at <= given->second.last) {
        collected.late = true;
    }
    if (waiting.size() < kMostWaiting) {
        return;
    }
    sort_by_time(waiting);
    std::size_t cut = waiting.size() - kLeastWaiting;
    while (cut > 0 && waiting[cut].at == waiting[cut - 1].at) {
        --cut;
    }
    if (cut == 0) {
        return;
    }
    const auto end = waiting.begin() + static_cast<std::ptrdiff_t>(cut);
    std::vector<records::Reading> older{waiting.begin(), end};
    waiting.erase(waiting.begin(), end);
    settle(older);
    Kept& into = given != kept_.end() ? given->second
                                      : kept_.emplace(series, Kept{maker_(), {}}).first->second;
    for (const records::Reading& reading : older) {
        into.keeper->add(reading);
    }
    into.last = older.back().at;
}

/// Sorts, drops repeats, counts conflicts.
void Collector::settle(std::vector<records::Reading>& readings) {
    sort_by_time(readings);
    std::size_t kept = 0;
    std::size_t instant_from = 0; // of the kept readings of the instant at hand
    for (std::size_t i = 0; i < readings.size(); ++i) {
        if (kept == 0 || readings[kept - 1].at != readings[i].at) {
            instant_from = kept;
        }
        const auto same = [&](const records::Reading& r) { return r.value == readings[i].value; };
        const auto from = readings.begin() + static_cast<std::ptrdiff_t>(instant_from);
        const auto to = readings.begin() + static_cast<std::ptrdiff_t>(kept);
        if (std::any_of(from, to, same)) {
            ++duplicates_;
            continue;
        }
        conflicts_ += kept > instant_from ? 1 : 0;
        readings[kept++] = readings[i];
    }
    readings.resize(kept, records::Reading{});
}

void Collector::finish_marks(CollectedLot& lot) {
    std::stable_sort(lot.marks.begin(), lot.marks.end(),
                     [](const StageMark& a, const StageMark& b) { return a.at < b.at; });
    std::vector<StageMark> changes;
    for (std::size_t i = 0; i < lot.marks.size();) {
        // At one instant, rows that still say the stage at hand come before those that change it.
        std::size_t next = i;
        while (next < lot.marks.size() && lot.marks[next].at == lot.marks[i].at) {
            ++next;
        }
        for (; i < next; ++i) {
            const StageMark& mark = lot.marks[i];
            const bool repeats = !changes.empty() && changes.back().stage == mark.stage &&
                                 changes.back().outcome == mark.outcome;
            const bool stays =
                std::any_of(changes.rbegin(), changes.rend(), [&](const StageMark& change) {
                    return change.at == mark.at && change.stage == mark.stage &&
                           change.outcome == mark.outcome;
                });
            const bool before_change = changes.size() >= 2 && changes.back().at == mark.at &&
                                       changes[changes.size() - 2].stage == mark.stage &&
                                       changes[changes.size() - 2].outcome == mark.outcome;
            if (!repeats && !stays && !before_change) {
                changes.push_back(mark);
            }
        }
    }
    lot.marks = std::move(changes);
}

void Collector::finish() {
    if (collected.summary.rejected > kMostRejectsKept) {
        collected.summary.notes.push_back(fmt::format("only the first {} of {} rejects are listed",
                                                      kMostRejectsKept,
                                                      collected.summary.rejected));
    }
    for (CollectedLot& lot : collected.lots) {
        for (CollectedSeries& series : lot.series) {
            settle(series.readings);
        }
        finish_marks(lot);
    }
    for (auto& [index, kept] : kept_) {
        const Place place = places_[index];
        auto& readings = collected.lots[place.lot].series[place.series].readings;
        const std::vector<records::Reading>& older = kept.keeper->kept();
        readings.insert(readings.begin(), older.begin(), older.end());
    }
    collected.late = collected.late || (has_stages_ && !kept_.empty());
    collected.summary.duplicates += duplicates_;
    collected.summary.accepted -= duplicates_;
    collected.summary.conflicts += conflicts_;
}

} // namespace

Collected collect_csv(const Source& source, const CsvOptions& options) {
    return collect_csv(source, options, {});
}

Collected collect_csv(const Source& source, const CsvOptions& options,
                      const records::KeeperMaker& keeper) {
    Collector collector{keeper};
    Summary summary = read_csv(source, options, collector);
    collector.collected.summary = std::move(summary);
    collector.finish();
    return std::move(collector.collected);
}

} // namespace holdwarden::intake

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

class Collector final : public RowSink {
public:
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
            }
            if (row.stage || row.outcome) {
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

    void finish_series(CollectedSeries& series);
    static void finish_marks(CollectedLot& lot);

    std::map<std::string, std::size_t> lot_by_name_;
    std::vector<Place> places_;
};

void Collector::finish_series(CollectedSeries& series) {
    auto& readings = series.readings;
    const auto earlier = [](const records::Reading& a, const records::Reading& b) {
        return a.at < b.at;
    };
    if (!std::is_sorted(readings.begin(), readings.end(), earlier)) {
        std::stable_sort(readings.begin(), readings.end(), earlier);
    }
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
            ++collected.summary.duplicates;
            --collected.summary.accepted;
            continue;
        }
        collected.summary.conflicts += kept > instant_from ? 1 : 0;
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
            finish_series(series);
        }
        finish_marks(lot);
    }
}

} // namespace

Collected collect_csv(const Source& source, const CsvOptions& options) {
    Collector collector;
    Summary summary = read_csv(source, options, collector);
    collector.collected.summary = std::move(summary);
    collector.finish();
    return std::move(collector.collected);
}

} // namespace holdwarden::intake

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/intake/lots.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace holdwarden::intake {
namespace {

using records::LotHistory;
using records::Reading;

bool is_air(const LotsOptions& options, const std::string& probe) {
    return std::ranges::find(options.air, probe) != options.air.end();
}

std::string in_quotes(const std::string& name) {
    return fmt::format("'{}'", for_display(name, 60));
}

std::string names_shown(std::vector<std::string> names) {
    std::ranges::sort(names);
    names.erase(std::unique(names.begin(), names.end()), names.end());
    if (names.size() > 20) {
        names.resize(20);
        names.emplace_back("more");
    }
    return listed(names);
}

/// Both ends of all rows of a lot; there is at least one (asserted by the caller's checks).
struct Extent {
    Instant first = Instant::from_unix_ms(INT64_MAX);
    Instant last = Instant::from_unix_ms(INT64_MIN);

    void add(Instant at) {
        first = std::min(first, at);
        last = std::max(last, at);
    }
};

Extent readings_extent(const CollectedLot& lot) {
    Extent extent;
    for (const CollectedSeries& series : lot.series) {
        if (!series.readings.empty()) {
            extent.add(series.readings.front().at);
            extent.add(series.readings.back().at);
        }
    }
    return extent;
}

void check_options(const Collected& collected, const LotsOptions& options) {
    const bool column = collected.summary.has_stage_column;
    if (column && options.stage) {
        throw Error{ErrorKind::usage,
                    {.what = "a stage is given twice: by --stage and by the file's stage column",
                     .where = options.file_name,
                     .fix = "leave out --stage, or rename the column with --column stage=NAME"}};
    }
    if (!column && !options.stage) {
        throw Error{ErrorKind::usage,
                    {.what = "nothing says what is done to the food: there is no stage column",
                     .where = options.file_name,
                     .fix = "give --stage, such as --stage hot-holding, or a stage column"}};
    }
    std::vector<std::string> probes;
    for (const CollectedLot& lot : collected.lots) {
        for (const CollectedSeries& series : lot.series) {
            probes.push_back(in_quotes(series.probe));
        }
    }
    for (const std::string& air : options.air) {
        if (std::ranges::find(probes, in_quotes(air)) == probes.end()) {
            throw Error{ErrorKind::bad_input,
                        {.what = fmt::format("no probe is called {} (the probes are {})",
                                             in_quotes(air), names_shown(probes)),
                         .where = options.file_name,
                         .fix = "name the air's probe with --air as the file does"}};
        }
    }
}

/// Air that is logged without a lot belongs to all lots of the file.
void share_air(Collected& collected, const LotsOptions& options) {
    const auto nameless = std::ranges::find(collected.lots, std::string{}, &CollectedLot::name);
    if (nameless == collected.lots.end() || collected.lots.size() < 2 ||
        !std::ranges::all_of(nameless->series, [&](const CollectedSeries& series) {
            return is_air(options, series.probe) || series.readings.empty();
        })) {
        return;
    }
    const CollectedLot air = std::move(*nameless);
    collected.lots.erase(nameless);
    for (CollectedLot& lot : collected.lots) {
        for (CollectedSeries series : air.series) {
            for (Reading& reading : series.readings) {
                reading.probe = static_cast<std::uint32_t>(lot.series.size());
            }
            lot.series.push_back(std::move(series));
        }
    }
}

void choose_lots(Collected& collected, const LotsOptions& options) {
    std::vector<std::string> names;
    for (const CollectedLot& lot : collected.lots) {
        names.push_back(in_quotes(lot.name));
    }
    if (collected.summary.has_lot_column && !options.lot.empty()) {
        std::erase_if(collected.lots,
                      [&](const CollectedLot& lot) { return lot.name != options.lot; });
        if (collected.lots.empty()) {
            throw Error{ErrorKind::bad_input,
                        {.what = fmt::format("no lot is called {} (the lots are {})",
                                             in_quotes(options.lot), names_shown(names)),
                         .where = options.file_name,
                         .fix = "name a lot of the file, or leave out --lot"}};
        }
    }
    for (CollectedLot& lot : collected.lots) {
        if (lot.name.empty()) {
            lot.name = options.lot.empty() ? options.unnamed : options.lot;
        }
    }
}

void add_stages(const CollectedLot& lot, const LotsOptions& options, LotHistory& history) {
    if (options.stage) {
        records::StageEntry entry;
        entry.stage = *options.stage;
        entry.from = readings_extent(lot).first;
        history.stages.push_back(std::move(entry));
        return;
    }
    std::uint32_t end_line = 0;
    for (const StageMark& mark : lot.marks) {
        if (history.end && (mark.stage || mark.outcome != history.end->outcome)) {
            throw Error{ErrorKind::bad_input,
                        {.what = fmt::format("lot {} goes on in line {} after its end in line {}",
                                             in_quotes(lot.name), mark.line, end_line),
                         .where = options.file_name,
                         .fix = "mend the stage column, or give the rows that follow a lot of "
                                "their own"}};
        }
        if (mark.outcome && !history.end) {
            history.end = records::LotEnd{*mark.outcome, mark.at, ""};
            end_line = mark.line;
        } else if (mark.stage) {
            records::StageEntry entry;
            entry.stage = *mark.stage;
            entry.from = mark.at;
            history.stages.push_back(std::move(entry));
        }
    }
    if (history.stages.empty()) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("no row of lot {} names a stage", in_quotes(lot.name)),
                     .where = options.file_name,
                     .fix = "fill the stage column of its first row"}};
    }
}

/// The unit a stage ran in: told by the air probe, where just one of them read during it.
void name_units(LotHistory& history) {
    for (std::size_t i = 0; i < history.stages.size(); ++i) {
        records::StageEntry& stage = history.stages[i];
        const bool is_last = i + 1 == history.stages.size();
        const auto during = [&](const Reading& reading) {
            return reading.at >= stage.from &&
                   (is_last || reading.at <= history.stages[i + 1].from);
        };
        std::size_t found = 0;
        for (const records::AirSeries& air : history.air) {
            if (std::ranges::any_of(air.readings, during)) {
                ++found;
                stage.unit = air.unit;
            }
        }
        if (found != 1) {
            stage.unit.clear();
        }
    }
}

LotHistory history_of(CollectedLot lot, const LotsOptions& options) {
    LotHistory history;
    history.name = lot.name;
    history.food = options.food;
    history.made_from_ambient = options.made_from_ambient;
    const Extent extent = readings_extent(lot);
    for (CollectedSeries& series : lot.series) {
        history.probes.push_back({series.probe, std::nullopt, std::nullopt});
        for (Reading& reading : series.readings) {
            reading.origin = options.origin;
        }
    }
    if (extent.first <= extent.last) {
        add_stages(lot, options, history);
    }
    for (CollectedSeries& series : lot.series) {
        if (series.readings.empty()) {
            continue;
        }
        if (is_air(options, series.probe)) {
            history.air.push_back({series.probe, std::move(series.readings)});
        } else {
            history.points.push_back({series.probe, std::move(series.readings)});
        }
    }
    if (history.points.empty()) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("lot {} has no reading in the food{}", in_quotes(lot.name),
                                         history.air.empty() ? "" : ", only air"),
                     .where = options.file_name,
                     .fix = "give readings of a probe in the food: air proves nothing about it"}};
    }
    const Stage last = history.stages.back().stage;
    if (!history.end && (last == Stage::cooking || last == Stage::reheating)) {
        history.closes = std::max(extent.last, history.stages.back().from);
    }
    name_units(history);
    return history;
}

} // namespace

std::vector<LotHistory> lots_of(Collected collected, const LotsOptions& options) {
    check_options(collected, options);
    share_air(collected, options);
    choose_lots(collected, options);
    std::vector<LotHistory> lots;
    for (CollectedLot& lot : collected.lots) {
        lots.push_back(history_of(std::move(lot), options));
    }
    return lots;
}

} // namespace holdwarden::intake

#include "fields.hpp"
#include "layout.hpp"
#include "repeated_hour.hpp"
#include "row_feed.hpp"
#include "times.hpp"
#include "values.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/intake/csv.hpp>
#include <holdwarden/records/reading.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <unordered_map>

namespace holdwarden::intake {
namespace {

constexpr std::size_t kBatch = 1024;
constexpr std::size_t kLongestName = 200;
constexpr std::uint32_t kNoSeries = static_cast<std::uint32_t>(-1);

/// What is remembered of one probe of one lot while the file goes by.
struct Series {
    std::string lot;
    std::string probe;
    Instant last;
    bool any = false;
    std::uint32_t clock = 0;
    std::uint32_t followed_by = 0; ///< the series whose row came next the last time
};

/// What a stage cell says.
struct StageCell {
    std::optional<Stage> stage;
    std::optional<Outcome> outcome;
    bool known = true;
};

/// A row's time: an instant, or one of an hour that the clocks showed twice.
struct TakenTime {
    Instant at;
    std::optional<HeldTime> held;
};

class Reader {
public:
    Reader(const Source& source, const CsvOptions& options, RowSink& sink)
        : options_{options}, sink_{sink}, feed_{source, options.longest_row_bytes}, fields_{','},
          times_{options.time_format, options.zone},
          repeated_{options.repeated_hour, options.most_held_rows, options.zone,
                    RepeatedHours::Outlet{[this](const Row& row) { deliver(row); },
                                          [this](const HeldRow& held, const std::string& reason) {
                                              refuse({held.row.line, held.text, reason});
                                          }}} {
        batch_.reserve(kBatch);
    }

    Summary read() {
        read_header_line();
        RawRow row;
        while (feed_.next(row)) {
            take(row);
        }
        repeated_.finish(file_in_order_);
        flush();
        add_notes();
        return std::move(summary_);
    }

private:
    void read_header_line();
    void take(const RawRow& row);
    void take_long(const RawRow& raw, const TakenTime& time);
    void take_wide(const RawRow& raw, const TakenTime& time);
    StageCell stage_of();
    std::uint32_t series_of(std::string_view lot, std::string_view probe, std::uint32_t clock);
    std::uint32_t find_series(std::string_view lot, std::string_view probe, std::uint32_t clock);
    std::uint32_t clock_of_lot(std::string_view lot);
    void accept(const RawRow& raw, Row& row, const TakenTime& time);
    void deliver(const Row& row);
    void refuse(const Reject& reject);
    void refuse(const RawRow& row, std::string reason) {
        refuse({row.line, for_display(row.text, kShown), std::move(reason)});
    }
    void flush();
    void add_notes();

    static constexpr std::size_t kShown = 200;

    const CsvOptions& options_;
    RowSink& sink_;
    RowFeed feed_;
    Fields fields_;
    Layout layout_;
    Times times_;
    RepeatedHours repeated_;
    Summary summary_;
    std::vector<Row> batch_;

    std::vector<Series> series_;
    std::unordered_map<std::string, std::uint32_t> series_by_name_;
    std::string key_;
    std::uint32_t last_series_ = kNoSeries;
    std::unordered_map<std::string, std::uint32_t> clock_by_lot_; ///< wide form
    std::vector<bool> clock_late_; ///< whether a row of that clock came late
    std::string stage_text_;       ///< the last stage cell, and what it said
    StageCell stage_cell_;
    Instant file_last_ = Instant::from_unix_ms(INT64_MIN);
    bool file_in_order_ = true;
    bool last_row_open_ = false;
};

void Reader::read_header_line() {
    const auto fail = [&](std::string what, std::string fix) {
        return Error{ErrorKind::bad_input,
                     {.what = std::move(what), .where = options_.name, .fix = std::move(fix)}};
    };
    RawRow row;
    bool first = true;
    for (;;) {
        if (!feed_.next(row)) {
            throw fail("the file is empty", "give a CSV file with a header line");
        }
        if (first && (row.text.starts_with("\xFF\xFE") || row.text.starts_with("\xFE\xFF"))) {
            throw fail("the file is UTF-16", "save it as UTF-8");
        }
        if (first && row.text.starts_with("\xEF\xBB\xBF")) {
            row.text.remove_prefix(3);
        }
        first = false;
        if (!trimmed(row.text).empty()) {
            break;
        }
    }
    const std::string where = fmt::format("{}:{}", options_.name, row.line);
    if (row.problem != nullptr) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("the header line cannot be read: {}", row.problem),
                     .where = where,
                     .fix = "give a CSV file in UTF-8 with a header line"}};
    }
    if (row.text.find('\r') != std::string_view::npos) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the lines end in a bare carriage return",
                     .where = where,
                     .fix = "save the file with line ends LF or CRLF"}};
    }
    char separator = ',';
    try {
        separator = options_.separator ? *options_.separator : separator_of(row.text);
    } catch (const Error& error) {
        throw error.at(where);
    }
    feed_.set_separator(separator);
    fields_ = Fields{separator};
    if (const char* problem = fields_.cut(row)) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("the header line cannot be read: {}", problem),
                     .where = where,
                     .fix = "quote names as RFC 4180 asks"}};
    }
    layout_ = read_header(fields_, options_);
    summary_.has_stage_column = layout_.stage != Layout::kNone;
    summary_.has_lot_column = layout_.lot != Layout::kNone;
    summary_.notes = layout_.notes;
}

void Reader::take(const RawRow& row) {
    if (row.problem != nullptr) {
        ++summary_.rows;
        refuse(row, row.problem);
        return;
    }
    const char* problem = fields_.cut(row);
    if (problem == nullptr && fields_.size() == 1 && fields_[0].empty()) {
        return; // a blank line
    }
    last_row_open_ = !row.has_line_end;
    ++summary_.rows;
    if (problem != nullptr) {
        refuse(row, problem);
        return;
    }
    if (fields_.size() != layout_.columns) {
        bool blank = true;
        for (std::size_t i = 0; i < fields_.size(); ++i) {
            blank = blank && fields_[i].empty();
        }
        if (blank) {
            --summary_.rows;
            return;
        }
        refuse(row, row.has_line_end
                        ? fmt::format("the row has {} fields and the header {}", fields_.size(),
                                      layout_.columns)
                        : fmt::format("the file ends within this row: it has {} of {} fields",
                                      fields_.size(), layout_.columns));
        return;
    }
    const std::string_view time_text = fields_[layout_.time];
    if (time_text.empty()) {
        bool blank = true;
        for (std::size_t i = 0; i < fields_.size(); ++i) {
            blank = blank && fields_[i].empty();
        }
        if (blank) {
            --summary_.rows; // separators alone, as spreadsheets write empty rows
            return;
        }
    }
    TakenTime time;
    if (const auto at = times_.read_quickly(time_text)) {
        time.at = *at;
    } else {
        const ReadTime read = times_.read(time_text);
        if (const auto* bad = std::get_if<BadTime>(&read)) {
            refuse(row, bad->reason);
            return;
        }
        if (const auto* held = std::get_if<HeldTime>(&read)) {
            time.held = *held;
        } else {
            time.at = std::get<Instant>(read);
        }
    }
    if (layout_.wide) {
        take_wide(row, time);
    } else {
        take_long(row, time);
    }
}

void Reader::take_long(const RawRow& raw, const TakenTime& time) {
    Row row;
    row.line = raw.line;
    if (layout_.stage != Layout::kNone) {
        const StageCell cell = stage_of();
        if (!cell.known) {
            refuse(raw, fmt::format("'{}' is no stage; the stages are listed by: holdwarden codes",
                                    for_display(fields_[layout_.stage], 60)));
            return;
        }
        row.stage = cell.stage;
        row.outcome = cell.outcome;
    }
    const std::string_view text = fields_[layout_.value];
    std::optional<Scale> scale = layout_.scale;
    if (layout_.scale_column != Layout::kNone && !fields_[layout_.scale_column].empty()) {
        scale = scale_named(fields_[layout_.scale_column]);
        if (!scale) {
            refuse(raw, fmt::format("'{}' is not a scale; write F or C",
                                    for_display(fields_[layout_.scale_column], 60)));
            return;
        }
    }
    const auto quick =
        scale ? quick_thousandths(text, options_.decimal_comma ? ',' : '.') : std::nullopt;
    if (quick && records::plausible(Temperature::of_thousandths(*quick, *scale))) {
        row.value = Temperature::of_thousandths(*quick, *scale);
    } else if (text.empty() && row.outcome) {
        row.has_value = false;
    } else {
        ReadValue value = read_value(text, scale, options_.decimal_comma);
        if (!value.value) {
            refuse(raw, std::move(value.reason));
            return;
        }
        row.value = *value.value;
    }
    const std::string_view probe =
        layout_.probe == Layout::kNone ? std::string_view{"core"} : fields_[layout_.probe];
    if (probe.empty() && row.has_value) {
        refuse(raw, "the row names no probe");
        return;
    }
    const std::string_view lot =
        layout_.lot == Layout::kNone ? std::string_view{} : fields_[layout_.lot];
    row.series = series_of(lot, probe, kNoSeries);
    if (row.series == kNoSeries) {
        refuse(raw, "the file names more probes than any sensible one, or one with too long a "
                    "name; is the probe column right?");
        return;
    }
    accept(raw, row, time);
}

void Reader::take_wide(const RawRow& raw, const TakenTime& time) {
    Row row;
    row.line = raw.line;
    if (layout_.stage != Layout::kNone) {
        const StageCell cell = stage_of();
        if (!cell.known) {
            refuse(raw, fmt::format("'{}' is no stage; the stages are listed by: holdwarden codes",
                                    for_display(fields_[layout_.stage], 60)));
            return;
        }
        row.stage = cell.stage;
        row.outcome = cell.outcome;
    }
    const std::string_view lot =
        layout_.lot == Layout::kNone ? std::string_view{} : fields_[layout_.lot];
    const std::uint32_t clock = clock_of_lot(lot);
    bool any = false;
    const auto to_series = [&](std::string_view probe) {
        row.series = clock == kNoSeries ? kNoSeries : series_of(lot, probe, clock);
        if (row.series == kNoSeries) {
            refuse(raw, "the file names more lots than any sensible one, or one with too long a "
                        "name; is the lot column right?");
            return false;
        }
        return true;
    };
    for (const Layout::Cell& cell : layout_.cells) {
        const std::string_view text = fields_[cell.column];
        if (text.empty()) {
            continue;
        }
        ReadValue value;
        const auto quick = quick_thousandths(text, options_.decimal_comma ? ',' : '.');
        if (quick && records::plausible(Temperature::of_thousandths(*quick, cell.scale))) {
            value.value = Temperature::of_thousandths(*quick, cell.scale);
        } else {
            value = read_value(text, cell.scale, options_.decimal_comma);
        }
        if (!value.value) {
            refuse(raw, fmt::format("probe '{}': {}", for_display(cell.probe, 60), value.reason));
            continue;
        }
        row.value = *value.value;
        if (!to_series(cell.probe)) {
            return;
        }
        any = true;
        accept(raw, row, time);
    }
    if (!any && (row.stage || row.outcome)) {
        row.has_value = false; // a change of stage noted without a reading
        if (to_series("")) {
            accept(raw, row, time);
        }
    }
}

StageCell Reader::stage_of() {
    const std::string_view text = fields_[layout_.stage];
    if (text != stage_text_) {
        stage_text_.assign(text);
        stage_cell_ = StageCell{};
        if (!text.empty()) {
            stage_cell_.stage = stage_named(text);
            stage_cell_.outcome = outcome_named(text);
            if (stage_cell_.outcome && !ends_food(*stage_cell_.outcome)) {
                stage_cell_.outcome.reset(); // a file follows one lot
            }
            stage_cell_.known = stage_cell_.stage || stage_cell_.outcome;
        }
    }
    return stage_cell_;
}

std::uint32_t Reader::series_of(std::string_view lot, std::string_view probe, std::uint32_t clock) {
    if (last_series_ != kNoSeries) {
        const std::uint32_t guess = series_[last_series_].followed_by;
        if (series_[guess].probe == probe && series_[guess].lot == lot) {
            return last_series_ = guess;
        }
    }
    const std::uint32_t found = find_series(lot, probe, clock);
    if (found != kNoSeries) {
        if (last_series_ != kNoSeries) {
            series_[last_series_].followed_by = found;
        }
        last_series_ = found;
    }
    return found;
}

std::uint32_t Reader::find_series(std::string_view lot, std::string_view probe,
                                  std::uint32_t clock) {
    key_.assign(lot);
    key_ += '\n';
    key_ += probe;
    const auto found = series_by_name_.find(key_);
    if (found != series_by_name_.end()) {
        return found->second;
    }
    if (series_.size() >= options_.most_series || lot.size() > kLongestName ||
        probe.size() > kLongestName) {
        return kNoSeries;
    }
    const auto index = static_cast<std::uint32_t>(series_.size());
    Series fresh;
    fresh.lot = lot;
    fresh.probe = probe;
    fresh.clock = clock == kNoSeries ? index : clock;
    series_.push_back(std::move(fresh));
    series_by_name_.emplace(key_, index);
    clock_late_.resize(std::max<std::size_t>(clock_late_.size(), series_.back().clock + 1));
    flush(); // so that the sink hears of a series between the batches it belongs between
    sink_.series(index, series_.back().lot, series_.back().probe);
    return index;
}

std::uint32_t Reader::clock_of_lot(std::string_view lot) {
    key_.assign(lot);
    const auto found = clock_by_lot_.find(key_);
    if (found != clock_by_lot_.end()) {
        return found->second;
    }
    if (clock_by_lot_.size() >= options_.most_series || lot.size() > kLongestName) {
        return kNoSeries;
    }
    const auto clock = static_cast<std::uint32_t>(clock_by_lot_.size());
    clock_by_lot_.emplace(key_, clock);
    return clock;
}

void Reader::accept(const RawRow& raw, Row& row, const TakenTime& time) {
    const std::uint32_t clock = series_[row.series].clock;
    if (time.held) {
        repeated_.hold(
            clock,
            {row, *time.held, for_display(raw.text, kShown), std::string{fields_[layout_.time]}},
            !clock_late_[clock]);
        return;
    }
    row.at = time.at;
    if (repeated_.holds_any()) {
        repeated_.leave(clock, row.at, file_in_order_);
    }
    file_in_order_ = file_in_order_ && row.at >= file_last_;
    file_last_ = row.at;
    deliver(row);
}

void Reader::deliver(const Row& row) {
    Series& series = series_[row.series];
    if (series.any && row.at < series.last) {
        ++summary_.out_of_order;
        clock_late_[series.clock] = true;
    }
    series.any = true;
    series.last = row.at;
    ++summary_.accepted;
    batch_.push_back(row);
    if (batch_.size() == kBatch) {
        flush();
    }
}

void Reader::refuse(const Reject& reject) {
    ++summary_.rejected;
    sink_.reject(reject);
}

void Reader::flush() {
    if (!batch_.empty()) {
        sink_.rows(batch_);
        batch_.clear();
    }
}

void Reader::add_notes() {
    if (repeated_.placed_by_order() > 0) {
        summary_.notes.push_back(
            fmt::format("the clocks showed an hour twice: {} readings in it were placed by the "
                        "order of their rows",
                        repeated_.placed_by_order()));
    }
    if (times_.leap_seconds() > 0) {
        summary_.notes.push_back(fmt::format(
            "{} times with second 60 were taken as the following second", times_.leap_seconds()));
    }
    if (times_.beyond_rules() > 0) {
        summary_.notes.push_back(
            fmt::format("{} times lie past 2037, where the zone's changes of the clocks are not "
                        "known: their local time may be an hour off",
                        times_.beyond_rules()));
    }
    if (last_row_open_) {
        summary_.notes.emplace_back("the last row has no line end; if the file was cut off, its "
                                    "last value may be short");
    }
}

} // namespace

Summary read_csv(const Source& source, const CsvOptions& options, RowSink& sink) {
    return Reader{source, options, sink}.read();
}

} // namespace holdwarden::intake

#include "plain_file.hpp"

#include <holdwarden/base/folder.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/seal/file_digest.hpp>
#include <holdwarden/seal/merkle.hpp>
#include <holdwarden/seal/packet_records.hpp>
#include <holdwarden/seal/table_csv.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <memory>

namespace holdwarden::seal {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kLongestLine = 64U << 20U;

Error bad_line(std::uint64_t line, const std::string& what) {
    return Error{ErrorKind::bad_input,
                 {.what = what,
                  .where = fmt::format("line {}", line),
                  .fix = "ask for the packet again, and keep this one as it is"}};
}

/// Lines with their ends. The last must have one: else it was cut off.
class Lines {
public:
    explicit Lines(const fs::path& file) : file_{file} {}

    bool next(std::string& line) {
        line.clear();
        for (;;) {
            const std::size_t end = buffer_.find('\n', at_);
            if (end != std::string::npos) {
                line += buffer_.substr(at_, end + 1 - at_);
                at_ = end + 1;
                ++number_;
                return true;
            }
            line += buffer_.substr(at_);
            if (line.size() > kLongestLine) {
                throw bad_line(number_ + 1, "is longer than any line of a packet");
            }
            buffer_.resize(std::size_t{1} << 16U);
            buffer_.resize(file_.read(buffer_));
            at_ = 0;
            if (buffer_.empty()) {
                if (!line.empty()) {
                    throw bad_line(number_ + 1, "is cut off");
                }
                return false;
            }
        }
    }
    std::uint64_t number() const noexcept { return number_; }

private:
    PlainFile file_;
    std::string buffer_;
    std::size_t at_ = 0;
    std::uint64_t number_ = 0;
};

template <class Work>
void at_line(const Lines& lines, Work work) {
    try {
        work();
    } catch (const Error& error) {
        if (error.text().where.starts_with("line ")) {
            throw;
        }
        throw bad_line(lines.number(), error.text().what);
    }
}

const LeafField* field(const HistoryRow& row, std::string_view name) {
    for (const LeafField& one : row) {
        if (one.name == name) {
            return &one;
        }
    }
    return nullptr;
}

std::int64_t integer(const HistoryRow& row, std::string_view name) {
    const LeafField* found = field(row, name);
    const auto* value = found == nullptr ? nullptr : std::get_if<std::int64_t>(&found->value);
    return value == nullptr ? 0 : *value;
}

std::string text(const HistoryRow& row, std::string_view name) {
    const LeafField* found = field(row, name);
    const auto* value = found == nullptr ? nullptr : std::get_if<std::string>(&found->value);
    return value == nullptr ? std::string{} : *value;
}

/// "-18", "141.2": thousandths as a decimal number.
std::string decimal(std::int64_t thousandths) {
    const std::int64_t size = thousandths < 0 ? -thousandths : thousandths;
    std::string number =
        fmt::format("{}{}.{:03}", thousandths < 0 ? "-" : "", size / 1000, size % 1000);
    number.erase(number.find_last_not_of('0') + 1);
    if (number.ends_with('.')) {
        number.pop_back();
    }
    return number;
}

/// 16 bytes as docs/formats/history.md says.
std::string reading_bytes(const PacketReading& reading) {
    constexpr unsigned kInstantBits = 42;
    std::string bytes(16, '\0');
    std::uint64_t key = (static_cast<std::uint64_t>(reading.probe) << kInstantBits) +
                        static_cast<std::uint64_t>(reading.at.unix_ms());
    auto value = static_cast<std::uint64_t>(reading.steps);
    for (std::size_t i = 8; i-- > 0; key >>= 8U, value >>= 8U) {
        bytes[i] = static_cast<char>(key & 0xFFU);
        bytes[i + 8] = static_cast<char>(value & 0xFFU);
    }
    return bytes;
}

class Check {
public:
    Check(const fs::path& folder, const std::optional<Checkpoint>& checkpoint)
        : folder_{folder}, checkpoint_{checkpoint} {}

    RecordsReport run() {
        attempt(kTablesFolder, [&] { headings(); });
        attempt(kHistoryFile, [&] {
            read_history(folder_ / kHistoryFile, [&](const HistoryLeaf& leaf) { take(leaf); });
        });
        attempt(kReadingsFile, [&] {
            read_readings(folder_ / kReadingsFile, lines_,
                          [&](const PacketReading& reading) { take(reading); });
        });
        batches();
        for (auto& [table, csv] : tables_) {
            const std::string name = fmt::format("{}/{}.csv", kTablesFolder, table);
            attempt(name, [&, &made = csv] {
                if (digest_file(folder_ / name).sha256 != made.stream->finish()) {
                    problem(name + " is not what the records say");
                }
            });
        }
        report_.root = tree_.root();
        report_.leaves = tree_.size();
        if (checkpoint_ &&
            (checkpoint_->size != tree_.size() || checkpoint_->root != tree_.root())) {
            problem(std::string{kHistoryFile} + " does not come to the root that was signed");
        }
        return std::move(report_);
    }

private:
    struct Table {
        std::vector<std::string> columns;
        std::unique_ptr<Sha256Stream> stream;
    };
    struct Batch {
        std::int64_t count = 0;
        Sha256 sha256{};
        std::int64_t found = 0;
        std::unique_ptr<Sha256Stream> stream = std::make_unique<Sha256Stream>();
    };

    void problem(std::string what) {
        constexpr std::size_t kMost = 20;
        if (report_.problems.size() < kMost) {
            report_.problems.push_back(std::move(what));
        }
    }

    void attempt(const std::string& name, const std::function<void()>& work) {
        try {
            work();
        } catch (const Error& error) {
            const std::string& where = error.text().where;
            problem(name + (where.starts_with("line ") ? ", " + where : "") + " " +
                    error.text().what);
        }
    }

    void headings() {
        std::error_code code;
        for (const fs::path name : names_in(folder_ / kTablesFolder, code)) {
            if (name.extension() != ".csv" || name == "dictionary.csv") {
                continue;
            }
            std::string line;
            Lines lines{folder_ / kTablesFolder / name};
            lines.next(line);
            Table table; // whole, or not there: the heading may be unreadable
            table.columns = columns_of_heading(line);
            table.stream = std::make_unique<Sha256Stream>();
            table.stream->add(csv_heading(table.columns));
            tables_[name.stem().string()] = std::move(table);
        }
    }

    void take(const HistoryLeaf& leaf) {
        if (leaf.number != tree_.size() + 1) {
            throw Error{ErrorKind::bad_input,
                        {.what = "is not the leaf that comes next", .where = "", .fix = ""}};
        }
        tree_.add(leaf.hash);
        if (!leaf.left_out.empty()) {
            ++report_.left_out;
            return;
        }
        if (leaf_hash(leaf_data(leaf)) != leaf.hash) {
            problem(fmt::format("leaf {} of the history ({} {}) is not the record that its hash "
                                "stands for",
                                leaf.number, leaf.what, leaf.ref));
        }
        lines_.add(leaf);
        if (!leaf.own.empty()) {
            tabulate(leaf.own);
        }
        for (const HistoryRow& row : leaf.rows) {
            tabulate(row);
        }
        if (leaf.what == "batch") {
            Batch& batch = batches_[leaf.ref];
            batch.count = leaf.readings;
            batch.sha256 = leaf.readings_sha256;
        }
    }

    void tabulate(const HistoryRow& row) {
        const auto found = tables_.find(table_of(row));
        if (found == tables_.end()) {
            problem("there is no table of the records of a kind that the history has");
            return;
        }
        found->second.stream->add(csv_line(found->second.columns, row));
    }

    void take(const PacketReading& reading) {
        const auto batch = batches_.find(reading.batch);
        if (batch == batches_.end()) {
            throw Error{ErrorKind::bad_input,
                        {.what = "belongs to no batch that is here", .where = "", .fix = ""}};
        }
        batch->second.stream->add(reading_bytes(reading));
        ++batch->second.found;
        ++report_.readings;
    }

    void batches() {
        for (auto& [id, batch] : batches_) {
            if (batch.found != batch.count || batch.stream->finish() != batch.sha256) {
                problem(
                    fmt::format("the readings of batch {} are not those that were written", id));
            }
        }
    }

    const fs::path& folder_;
    const std::optional<Checkpoint>& checkpoint_;
    RecordsReport report_;
    TreeFrontier tree_;
    ReadingLines lines_;
    std::map<std::string, Table> tables_;
    std::map<std::int64_t, Batch> batches_;
};

} // namespace

void ReadingLines::add(const HistoryLeaf& leaf) {
    if (leaf.what == "batch" && leaf.left_out.empty()) {
        batches_[leaf.ref] = {.step = integer(leaf.own, "step"), .scale = text(leaf.own, "scale")};
    }
    for (const HistoryRow& row : leaf.rows) {
        if (table_of(row) == "probe") {
            probes_[integer(row, "id")] = text(row, "name");
        }
    }
}

std::string ReadingLines::heading() {
    return "batch,probe,probe_name,time_utc,value,scale,at,steps\r\n";
}

std::string ReadingLines::line(const PacketReading& reading) const {
    const auto batch = batches_.find(reading.batch);
    constexpr std::int64_t kMost = std::int64_t{1} << 31U;
    if (batch == batches_.end() || reading.steps > kMost || reading.steps < -kMost ||
        batch->second.step > kMost || batch->second.step < 1) {
        throw Error{ErrorKind::bad_input,
                    {.what = "belongs to no batch that is here", .where = "", .fix = ""}};
    }
    const auto probe = probes_.find(reading.probe);
    return fmt::format("{},{},{},{},{},{},{},{}\r\n", reading.batch, reading.probe,
                       probe == probes_.end() ? std::string{} : csv_text(probe->second),
                       to_utc_text(reading.at), decimal(reading.steps * batch->second.step),
                       csv_text(batch->second.scale), reading.at.unix_ms(), reading.steps);
}

PacketReading parse_reading_line(const std::string& line, const ReadingLines& lines) {
    const auto number = [&](std::string_view digits) {
        std::int64_t n = 0;
        const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), n);
        if (error != std::errc{} || end != digits.data() + digits.size()) {
            throw Error{ErrorKind::bad_input,
                        {.what = "is no reading's line", .where = "", .fix = ""}};
        }
        return n;
    };
    std::string_view rest = line;
    while (rest.ends_with('\n') || rest.ends_with('\r')) {
        rest.remove_suffix(1);
    }
    const auto first = [&] {
        const std::size_t end = std::min(rest.find(','), rest.size());
        const std::int64_t n = number(rest.substr(0, end));
        rest.remove_prefix(std::min(end + 1, rest.size()));
        return n;
    };
    const auto last = [&] {
        const std::size_t begin = rest.rfind(',') + 1; // npos + 1 is 0
        const std::int64_t n = number(rest.substr(begin));
        rest.remove_suffix(rest.size() - (begin == 0 ? 0 : begin - 1));
        return n;
    };
    PacketReading reading;
    reading.batch = first();
    reading.probe = first();
    reading.steps = last();
    const std::int64_t at = last();
    constexpr std::int64_t kLastInstant = (std::int64_t{1} << 42U) - 1;
    if (at < 0 || at > kLastInstant) {
        throw Error{ErrorKind::bad_input, {.what = "has no usable time", .where = "", .fix = ""}};
    }
    reading.at = Instant::from_unix_ms(at);
    if (lines.line(reading) != line) {
        throw Error{ErrorKind::bad_input,
                    {.what = "does not say the same in all its columns", .where = "", .fix = ""}};
    }
    return reading;
}

void read_history(const fs::path& file, const std::function<void(const HistoryLeaf&)>& each) {
    Lines lines{file};
    for (std::string line; lines.next(line);) {
        at_line(lines, [&] { each(parse_history_line(line)); });
    }
}

void read_readings(const fs::path& file, const ReadingLines& lines,
                   const std::function<void(const PacketReading&)>& each) {
    Lines all{file};
    std::string line;
    if (!all.next(line) || line != ReadingLines::heading()) {
        throw bad_line(1, "is not the heading of readings");
    }
    while (all.next(line)) {
        at_line(all, [&] { each(parse_reading_line(line, lines)); });
    }
}

RecordsReport check_records(const fs::path& folder, const std::optional<Checkpoint>& checkpoint) {
    return Check{folder, checkpoint}.run();
}

} // namespace holdwarden::seal

#include "packet_files.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/seal/packet_records.hpp>
#include <holdwarden/seal/table_csv.hpp>

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>

namespace holdwarden::cli {
namespace {

namespace fs = std::filesystem;

const seal::LeafField* field(const seal::HistoryRow& row, std::string_view name) {
    const auto found = std::find_if(row.begin(), row.end(),
                                    [&](const seal::LeafField& f) { return f.name == name; });
    return found == row.end() ? nullptr : &*found;
}

std::int64_t integer(const seal::HistoryRow& row, std::string_view name) {
    const seal::LeafField* found = field(row, name);
    const auto* value = found == nullptr ? nullptr : std::get_if<std::int64_t>(&found->value);
    return value == nullptr ? 0 : *value;
}

void widen(std::optional<Instant>& first, std::optional<Instant>& last, Instant at) {
    first = first ? std::min(*first, at) : at;
    last = last ? std::max(*last, at) : at;
}

/// The unit of a column, by the schema's habit of naming.
std::string unit_of(const store::ExportedColumn& column) {
    const std::string& name = column.name;
    if (column.type == "TEXT" || column.type == "text") {
        return "text";
    }
    if (column.type == "BLOB" || column.type == "blob") {
        return "bytes, hexadecimal";
    }
    if (name == "at" || name.ends_with("_at")) {
        return "milliseconds since 1970-01-01T00:00:00Z";
    }
    if (name.ends_with("_on") || name == "day") {
        return "days since 1970-01-01";
    }
    for (const auto& [ending, unit] : {std::pair{"_ms", "milliseconds"},
                                       {"_s", "seconds"},
                                       {"_um", "micrometres"},
                                       {"_g", "grams"},
                                       {"_pa", "pascals"}}) {
        if (name.ends_with(ending)) {
            return unit;
        }
    }
    if (name == "id" || name == "entry" || !column.refers_to.empty()) {
        return "number of a record";
    }
    for (const char* temperature : {"value", "accuracy", "display_step", "setting"}) {
        if (name == temperature) {
            return "thousandths of a degree of the scale beside it";
        }
    }
    return "number; see meaning";
}

class Records {
public:
    Records(const fs::path& folder, store::HistoryExport& history)
        : folder_{folder}, history_{history} {
        std::string dictionary = "table,column,type,unit,refers_to,meaning\r\n";
        for (const store::ExportedTable& table : history.tables()) {
            std::vector<std::string> columns;
            for (const store::ExportedColumn& column : table.columns) {
                columns.push_back(column.name);
                dictionary += fmt::format("{},{},{},{},{},{}\r\n", table.name, column.name,
                                          column.type, seal::csv_text(unit_of(column)),
                                          column.refers_to, seal::csv_text(column.meaning));
            }
            auto& [names, file] =
                tables_
                    .try_emplace(table.name, columns,
                                 folder / seal::kTablesFolder / (table.name + ".csv"))
                    .first->second;
            file.write(seal::csv_heading(names));
            records_.rows[table.name] = 0;
        }
        dictionary += "readings,batch,,number of a record,batch,the batch it was written in\r\n"
                      "readings,probe,,number of a record,probe,the thermometer\r\n"
                      "readings,probe_name,,text,,its name\r\n"
                      "readings,time_utc,,RFC 3339,,when it was taken\r\n"
                      "readings,value,,degrees of the scale beside it,,as it was measured\r\n"
                      "readings,scale,,F or C,,\r\n"
                      "readings,at,,milliseconds since 1970-01-01T00:00:00Z,,when it was taken\r\n"
                      "readings,steps,,steps of the batch,,value in thousandths divided by the "
                      "batch's step\r\n";
        write_own_file(folder / seal::kTablesFolder / "dictionary.csv", dictionary);
    }

    PacketRecords write() {
        OwnFile lines{folder_ / seal::kHistoryFile};
        history_.leaves([&](const seal::HistoryLeaf& leaf) {
            lines.write(seal::to_json_line(leaf) + "\n");
            take(leaf);
        });
        lines.close();
        OwnFile readings{folder_ / seal::kReadingsFile};
        readings.write(seal::ReadingLines::heading());
        history_.readings([&](const store::ExportedReading& reading) {
            readings.write(reading_lines_.line({.batch = reading.batch,
                                                .probe = reading.probe,
                                                .at = reading.at,
                                                .steps = reading.steps}));
            ++records_.readings;
            widen(records_.first_reading, records_.last_reading, reading.at);
        });
        readings.close();
        for (auto& [name, table] : tables_) {
            table.second.close();
        }
        for (auto& [import, file] : rejected_) {
            file.close();
        }
        return std::move(records_);
    }

private:
    void take(const seal::HistoryLeaf& leaf) {
        ++records_.leaves;
        if (!leaf.left_out.empty()) {
            ++records_.left_out;
            return;
        }
        reading_lines_.add(leaf);
        if (!leaf.own.empty()) {
            tabulate(leaf.own);
        }
        for (const seal::HistoryRow& row : leaf.rows) {
            tabulate(row);
            if (leaf.what == "reject") {
                keep_raw(row);
            }
        }
        if (leaf.what == "entry") {
            widen(records_.first_entry, records_.last_entry,
                  Instant::from_unix_ms(integer(leaf.own, "entered_at")));
        }
    }

    void tabulate(const seal::HistoryRow& row) {
        const std::string table = seal::table_of(row);
        auto& [columns, file] = tables_.at(table);
        file.write(seal::csv_line(columns, row));
        ++records_.rows[table];
    }

    /// The rejected row as it stood in the source.
    void keep_raw(const seal::HistoryRow& row) {
        const std::int64_t import = integer(row, "import");
        auto& file =
            rejected_
                .try_emplace(import, folder_ / "rejected" / fmt::format("import-{}.raw", import))
                .first->second;
        const seal::LeafField* text = field(row, "text");
        const auto* bytes = text == nullptr ? nullptr : std::get_if<seal::LeafBytes>(&text->value);
        file.write((bytes == nullptr ? std::string{} : bytes->bytes) + "\n");
    }

    const fs::path& folder_;
    store::HistoryExport& history_;
    PacketRecords records_;
    seal::ReadingLines reading_lines_;
    std::map<std::string, std::pair<std::vector<std::string>, OwnFile>> tables_;
    std::map<std::int64_t, OwnFile> rejected_;
};

} // namespace

OwnFile::OwnFile(fs::path file) : file_{std::move(file)} {
    std::error_code code;
    fs::create_directories(file_.parent_path(), code);
    const int handle = ::open(file_.c_str(), O_CREAT | O_EXCL | O_WRONLY | O_CLOEXEC, 0600);
    if (handle < 0) {
        fail(errno);
    }
    ::close(handle);
    out_.open(file_, std::ios::binary);
    if (!out_) {
        fail(errno);
    }
}

void OwnFile::fail(int reason) const {
    throw Error{ErrorKind::store,
                {.what = fmt::format("cannot be written: {}", std::strerror(reason)),
                 .where = for_display(file_.string()),
                 .fix = "see whether its folder may be written to and has room"}};
}

void OwnFile::write(std::string_view bytes) {
    out_.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    if (!out_) {
        fail(errno);
    }
}

void OwnFile::close() {
    out_.close();
    if (!out_) {
        fail(errno);
    }
}

void write_own_file(const fs::path& file, std::string_view bytes) {
    OwnFile out{file};
    out.write(bytes);
    out.close();
}

PacketRecords write_records(const fs::path& folder, store::HistoryExport& history) {
    return Records{folder, history}.write();
}

} // namespace holdwarden::cli

// Random changes of a real store behind the program's back. The short form runs with the suite;
// HOLDWARDEN_TAMPERINGS and HOLDWARDEN_SEED make it longer or different.
#include "amended.hpp"
#include "night.hpp"

#include <catch2/catch.hpp>

#include <cstdlib>
#include <random>
#include <vector>

using namespace fixture;

namespace {

struct Column {
    std::string table;
    std::string name;
};

/// What sqlite3 answers to a query: rows of texts.
std::vector<std::vector<std::string>> ask(const fs::path& file, const std::string& sql) {
    sqlite3* handle = nullptr;
    sqlite3_open(file.c_str(), &handle);
    std::vector<std::vector<std::string>> rows;
    sqlite3_exec(
        handle, sql.c_str(),
        [](void* into, int n, char** values, char**) {
            std::vector<std::string> row;
            for (int i = 0; i < n; ++i) {
                row.emplace_back(values[i] == nullptr ? "" : values[i]);
            }
            static_cast<std::vector<std::vector<std::string>>*>(into)->push_back(std::move(row));
            return 0;
        },
        &rows, nullptr);
    sqlite3_close(handle);
    return rows;
}

/// The key columns that tell a table's rows apart.
std::string key_of(const std::string& table) {
    return table == "reading" ? "key" : table == "conflict" ? "probe, at, value, scale" : "id";
}

class Tamperer {
public:
    Tamperer(const fs::path& file, unsigned seed) : random_{seed} {
        for (const auto& row :
             ask(file, "select m.name, c.name from sqlite_schema m join pragma_table_info(m.name) "
                       "c where m.type = 'table' order by 1, c.cid")) {
            if (count(file, row[0]) == 0) {
                continue; // nothing in it to tamper with
            }
            columns_.push_back({row[0], row[1]});
            if (tables_.empty() || tables_.back() != row[0]) {
                tables_.push_back(row[0]);
            }
        }
    }

    /// One statement that changes one thing in `file`.
    std::string next(const fs::path& file) {
        const std::string& table = tables_[below(tables_.size())];
        const std::string some_row =
            "(" + key_of(table) + ") = (select " + key_of(table) + " from " + table + " order by " +
            key_of(table) + " limit 1 offset " + std::to_string(below(count(file, table))) + ")";
        switch (below(5)) {
        case 0:
            return "delete from " + table + " where " + some_row;
        case 1:
            return added(table, some_row);
        case 2:
            return swapped(file, table);
        default:
            return flipped(file, table, some_row);
        }
    }

private:
    std::size_t below(std::size_t n) { return n == 0 ? 0 : random_() % n; }

    static std::size_t count(const fs::path& file, const std::string& table) {
        return static_cast<std::size_t>(
            std::stoul(ask(file, "select count(*) from " + table)[0][0]));
    }

    std::vector<std::string> columns_of(const std::string& table) const {
        std::vector<std::string> names;
        for (const Column& column : columns_) {
            if (column.table == table) {
                names.push_back(column.name);
            }
        }
        return names;
    }

    /// A copy of a row under new keys.
    std::string added(const std::string& table, const std::string& row) {
        std::string into;
        std::string from;
        for (const std::string& name : columns_of(table)) {
            const bool unique = name == "id" || name == "key" || name == "entry" ||
                                (table == "conflict" && name == "value") || name == "import" ||
                                name == "placement" || name == "lot" || name == "from_at";
            const bool text = name == "name";
            into += (into.empty() ? "" : ", ") + name;
            from += (from.empty() ? "" : ", ") + name +
                    (text     ? " || 'x'"
                     : unique ? " + " + std::to_string(1 + below(1000))
                              : "");
        }
        return "insert into " + table + " (" + into + ") select " + from + " from " + table +
               " where " + row;
    }

    /// Two rows change places: each gets the other's key.
    std::string swapped(const fs::path& file, const std::string& table) {
        if (table == "conflict") {
            return "update conflict set probe = probe + 1";
        }
        const std::string key = key_of(table);
        const auto rows = ask(file, "select " + key + " from " + table + " order by 1");
        const std::string a = rows[below(rows.size())][0];
        const std::string b = rows[below(rows.size())][0];
        const auto move = [&](const std::string& from, const std::string& to) {
            return "update " + table + " set " + key + " = " + to + " where " + key + " = " + from +
                   ";";
        };
        return move(a, "-1") + move(b, a) + move("-1", b);
    }

    /// One bit of one value.
    std::string flipped(const fs::path& file, const std::string& table, const std::string& row) {
        const auto names = columns_of(table);
        const std::string& name = names[below(names.size())];
        const auto facts = ask(file, "select typeof(" + name + "), hex(" + name + "), coalesce(" +
                                         name + ", 0) from " + table + " where " + row);
        const std::string& type = facts[0][0];
        std::string value;
        if (type == "integer") {
            value = std::to_string(static_cast<std::int64_t>(
                static_cast<std::uint64_t>(std::stoll(facts[0][2])) ^ (1ULL << below(40))));
        } else if (type == "null") {
            value = "1";
        } else if (facts[0][1].empty()) {
            value = type == "text" ? "'x'" : "x'00'";
        } else {
            std::string digits = facts[0][1];
            const std::size_t at = below(digits.size() / 2) * 2;
            const unsigned byte =
                static_cast<unsigned>(std::stoul(digits.substr(at, 2), nullptr, 16)) ^
                (1U << below(8));
            const char* kDigits = "0123456789abcdef";
            digits[at] = kDigits[byte >> 4U];
            digits[at + 1] = kDigits[byte & 15U];
            value = "x'" + digits + "'";
            value = type == "text" ? "cast(" + value + " as text)" : value;
        }
        return "update " + table + " set " + name + " = " + value + " where " + row;
    }

    std::mt19937 random_;
    std::vector<Column> columns_;
    std::vector<std::string> tables_;
};

unsigned number_from(const char* variable, unsigned otherwise) {
    const char* text = std::getenv(variable);
    return text == nullptr ? otherwise : static_cast<unsigned>(std::stoul(text));
}

} // namespace

TEST_CASE("no tampering behind the program's back is missed") {
    // Flipped bits, removed, added and exchanged rows, in every table, with the schema put back as
    // it was. What matters is that `verify` or the opening of the store says something each time.
    const unsigned wanted = number_from("HOLDWARDEN_TAMPERINGS", 120);
    const unsigned seed = number_from("HOLDWARDEN_SEED", 20261101);
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    {
        const auto store = make(file);
        write_night(*store);
        write_corrections(*store);
    }
    REQUIRE(first_problem(file).empty());
    const std::string before = dump(file);

    Tamperer tamperer{file, seed};
    const fs::path copy = folder / "copy.db";
    std::size_t done = 0;
    for (unsigned tried = 0; done < wanted; ++tried) {
        REQUIRE(tried < 20 * wanted + 100);
        fs::copy_file(file, copy, fs::copy_options::overwrite_existing);
        const std::string sql = tamperer.next(copy);
        // Refused by the tables themselves (a key taken twice), or nothing changed: try another.
        if (!behind_its_back(copy, sql).empty() || dump(copy) == before) {
            continue;
        }
        ++done;
        INFO("seed " << seed << ", try " << tried << ": " << sql);
        CHECK_FALSE(first_problem(copy).empty());
    }
}

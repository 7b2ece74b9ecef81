#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/seal/encoding.hpp>
#include <holdwarden/seal/history_lines.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cmath>

namespace holdwarden::seal {
namespace {

using Json = nlohmann::ordered_json;

Error bad(std::string what) {
    return Error{ErrorKind::bad_input,
                 {.what = std::move(what),
                  .where = "",
                  .fix = "ask for the packet again, and keep this one as it is"}};
}

template <class... Kinds>
struct Cases : Kinds... {
    using Kinds::operator()...;
};
template <class... Kinds>
Cases(Kinds...) -> Cases<Kinds...>;

std::span<const std::uint8_t> as_bytes(std::string_view text) {
    return {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()};
}

void put(LeafWriter& writer, const LeafField& field) {
    std::visit(
        Cases{[&](const LeafBytes& value) { writer.add_bytes(field.name, as_bytes(value.bytes)); },
              [&](const std::string& value) { writer.add(field.name, std::string_view{value}); },
              [&](auto value) { writer.add(field.name, value); }},
        field.value);
}

void put(LeafWriter& writer, const HistoryRow& row) {
    for (const LeafField& field : row) {
        put(writer, field);
    }
}

std::string bytes_of(const HistoryRow& row) {
    LeafWriter writer;
    put(writer, row);
    return writer.bytes();
}

/// Over each row: its length in 8 bytes, big-endian, then its bytes.
Sha256 rows_digest(const std::vector<HistoryRow>& rows) {
    Sha256Stream stream;
    for (const HistoryRow& row : rows) {
        const std::string bytes = bytes_of(row);
        std::string length(8, '\0');
        std::uint64_t rest = bytes.size();
        for (std::size_t i = 8; i-- > 0; rest >>= 8U) {
            length[i] = static_cast<char>(rest & 0xFFU);
        }
        stream.add(length);
        stream.add(bytes);
    }
    return stream.finish();
}

std::vector<HistoryRow> taken_apart(const std::vector<std::string>& rows) {
    std::vector<HistoryRow> all;
    for (const std::string& row : rows) {
        all.push_back(read_leaf(row));
    }
    return all;
}

Json as_json(const LeafField& field) {
    return std::visit(
        Cases{[](const LeafBytes& value) {
                  return Json{{"hex", hex(as_bytes(value.bytes))}};
              },
              [](const std::string& value) {
                  return is_utf8(value) ? Json(value) : Json{{"text_hex", hex(as_bytes(value))}};
              },
              [](double value) {
                  return std::isfinite(value) ? Json(value)
                                              : Json{{"real", value > 0 ? "inf" : "-inf"}};
              },
              [](std::int64_t value) { return Json(value); }},
        field.value);
}

Json as_json(const HistoryRow& row) {
    Json object = Json::object();
    for (const LeafField& field : row) {
        object[field.name] = as_json(field);
    }
    return object;
}

Json as_json(const std::vector<HistoryRow>& rows) {
    Json list = Json::array();
    for (const HistoryRow& row : rows) {
        list.push_back(as_json(row));
    }
    return list;
}

std::string bytes_in(const Json& value) {
    const auto bytes = value.is_string() ? from_hex(value.get_ref<const std::string&>())
                                         : std::optional<std::string>{};
    if (!bytes) {
        throw bad("holds bytes that are not hexadecimal");
    }
    return *bytes;
}

LeafField field_from(const std::string& name, const Json& value) {
    if (name.empty() || name.size() > 255) {
        throw bad("holds a field with no usable name");
    }
    if (value.is_number_integer() && !value.is_number_unsigned()) {
        return {name, value.get<std::int64_t>()};
    }
    if (value.is_number_unsigned()) {
        const auto n = value.get<std::uint64_t>();
        if (n > static_cast<std::uint64_t>(INT64_MAX)) {
            throw bad("holds a number that no column holds");
        }
        return {name, static_cast<std::int64_t>(n)};
    }
    if (value.is_number_float()) {
        return {name, value.get<double>()};
    }
    if (value.is_string()) {
        return {name, value.get<std::string>()};
    }
    if (value.is_object() && value.size() == 1) {
        const auto only = value.begin();
        const std::string& kind = only.key();
        const Json& inner = only.value();
        if (kind == "hex") {
            return {name, LeafBytes{bytes_in(inner)}};
        }
        if (kind == "text_hex") {
            return {name, bytes_in(inner)};
        }
        if (kind == "real" && (inner == "inf" || inner == "-inf")) {
            return {name, inner == "inf" ? HUGE_VAL : -HUGE_VAL};
        }
    }
    throw bad("holds a value of no known kind in '" + for_display(name, 60) + "'");
}

HistoryRow row_from(const Json& object) {
    if (!object.is_object()) {
        throw bad("holds a row that is no object");
    }
    HistoryRow row;
    for (const auto& [name, value] : object.items()) {
        row.push_back(field_from(name, value));
    }
    if (table_of(row).empty()) {
        throw bad("holds a row without its table");
    }
    return row;
}

std::vector<HistoryRow> rows_from(const Json& list) {
    if (!list.is_array()) {
        throw bad("holds rows that are no list");
    }
    std::vector<HistoryRow> rows;
    for (const Json& row : list) {
        rows.push_back(row_from(row));
    }
    return rows;
}

const Json& at(const Json& object, const char* key) {
    const auto found = object.find(key);
    if (found == object.end()) {
        throw bad(std::string{"lacks '"} + key + "'");
    }
    return *found;
}

std::int64_t integer_at(const Json& object, const char* key) {
    const LeafField field = field_from(key, at(object, key));
    if (const auto* value = std::get_if<std::int64_t>(&field.value)) {
        return *value;
    }
    throw bad(std::string{"holds no whole number in '"} + key + "'");
}

std::string text_at(const Json& object, const char* key) {
    const Json& value = at(object, key);
    if (!value.is_string()) {
        throw bad(std::string{"holds no text in '"} + key + "'");
    }
    return value.get<std::string>();
}

Sha256 digest_at(const Json& object, const char* key) {
    const auto digest = sha256_from_hex(text_at(object, key));
    if (!digest) {
        throw bad(std::string{"holds no digest in '"} + key + "'");
    }
    return *digest;
}

/// The same key twice in one object would be read one way here and another way elsewhere.
Json parsed(std::string_view line) {
    constexpr int kDeepest = 6;
    std::vector<std::vector<std::string>> keys;
    const auto watch = [&](int depth, Json::parse_event_t event, Json& value) {
        if (depth > kDeepest) {
            throw bad("is nested too deeply");
        }
        if (event == Json::parse_event_t::object_start) {
            keys.emplace_back();
        } else if (event == Json::parse_event_t::object_end) {
            keys.pop_back();
        } else if (event == Json::parse_event_t::key) {
            const auto& key = value.get_ref<const std::string&>();
            if (std::find(keys.back().begin(), keys.back().end(), key) != keys.back().end()) {
                throw bad("says '" + for_display(key, 60) + "' twice");
            }
            keys.back().push_back(key);
        }
        return true;
    };
    try {
        return Json::parse(line, watch);
    } catch (const Json::exception&) {
        throw bad("is not JSON");
    }
}

} // namespace

std::string table_of(const HistoryRow& row) {
    if (row.empty() || row.front().name != "table") {
        return {};
    }
    const auto* name = std::get_if<std::string>(&row.front().value);
    return name == nullptr ? std::string{} : *name;
}

HistoryLeaf leaf_of_entry(std::uint64_t number, std::int64_t ref, std::string_view data) {
    HistoryLeaf leaf{.number = number,
                     .what = "entry",
                     .ref = ref,
                     .hash = {},
                     .left_out = {},
                     .own = {},
                     .rows = {},
                     .readings = 0,
                     .readings_sha256 = {}};
    const std::vector<LeafField> fields = read_leaf(data);
    for (auto field = fields.begin() + (fields.empty() ? 0 : 1); field != fields.end(); ++field) {
        const auto* bytes = std::get_if<LeafBytes>(&field->value);
        if (field->name == "row" && bytes != nullptr) {
            leaf.rows.push_back(read_leaf(bytes->bytes));
        } else {
            leaf.own.push_back(*field);
        }
    }
    return leaf;
}

HistoryLeaf leaf_of_batch(std::uint64_t number, std::int64_t ref, std::string_view data,
                          const std::vector<std::string>& rows) {
    HistoryLeaf leaf{.number = number,
                     .what = "batch",
                     .ref = ref,
                     .hash = {},
                     .left_out = {},
                     .own = {},
                     .rows = taken_apart(rows),
                     .readings = 0,
                     .readings_sha256 = {}};
    const std::vector<LeafField> fields = read_leaf(data);
    // leaf, the row, readings, readings-sha256, conflicts, conflicts-sha256
    constexpr std::size_t kAround = 5;
    if (fields.size() < kAround) {
        throw bad("is no batch's leaf");
    }
    leaf.own.assign(fields.begin() + 1, fields.end() - (kAround - 1));
    const auto* count = std::get_if<std::int64_t>(&fields[fields.size() - 4].value);
    const auto* digest = std::get_if<LeafBytes>(&fields[fields.size() - 3].value);
    if (count == nullptr || digest == nullptr ||
        digest->bytes.size() != leaf.readings_sha256.size()) {
        throw bad("is no batch's leaf");
    }
    leaf.readings = *count;
    std::copy(digest->bytes.begin(), digest->bytes.end(), leaf.readings_sha256.begin());
    return leaf;
}

HistoryLeaf leaf_of_rejects(std::uint64_t number, std::int64_t ref,
                            const std::vector<std::string>& rows) {
    return {.number = number,
            .what = "reject",
            .ref = ref,
            .hash = {},
            .left_out = {},
            .own = {},
            .rows = taken_apart(rows),
            .readings = 0,
            .readings_sha256 = {}};
}

std::string leaf_data(const HistoryLeaf& leaf) {
    LeafWriter writer;
    writer.add("leaf", static_cast<std::int64_t>(leaf.number));
    put(writer, leaf.own);
    const auto count = static_cast<std::int64_t>(leaf.rows.size());
    if (leaf.what == "entry") {
        for (const HistoryRow& row : leaf.rows) {
            writer.add_bytes("row", as_bytes(bytes_of(row)));
        }
    } else if (leaf.what == "batch") {
        writer.add("readings", leaf.readings);
        writer.add_bytes("readings-sha256", leaf.readings_sha256);
        writer.add("conflicts", count);
        writer.add_bytes("conflicts-sha256", rows_digest(leaf.rows));
    } else {
        writer.add("rejects", count);
        writer.add_bytes("rejects-sha256", rows_digest(leaf.rows));
    }
    return writer.bytes();
}

std::string to_json_line(const HistoryLeaf& leaf) {
    Json line{
        {"leaf", leaf.number}, {"what", leaf.what}, {"ref", leaf.ref}, {"hash", hex(leaf.hash)}};
    if (!leaf.left_out.empty()) {
        line["left_out"] = leaf.left_out;
    } else if (leaf.what == "entry") {
        line["entry"] = as_json(leaf.own);
        line["rows"] = as_json(leaf.rows);
    } else if (leaf.what == "batch") {
        line["batch"] = as_json(leaf.own);
        line["readings"] = leaf.readings;
        line["readings_sha256"] = hex(leaf.readings_sha256);
        line["conflicts"] = as_json(leaf.rows);
    } else {
        line["rejects"] = as_json(leaf.rows);
    }
    return line.dump();
}

HistoryLeaf parse_history_line(std::string_view line) {
    const Json object = parsed(line);
    if (!object.is_object()) {
        throw bad("is no object");
    }
    HistoryLeaf leaf;
    const std::int64_t number = integer_at(object, "leaf");
    leaf.number = static_cast<std::uint64_t>(std::max<std::int64_t>(number, 0));
    leaf.what = text_at(object, "what");
    leaf.ref = integer_at(object, "ref");
    leaf.hash = digest_at(object, "hash");
    std::size_t keys = 5;
    if (object.contains("left_out")) {
        leaf.left_out = text_at(object, "left_out");
        if (leaf.left_out.empty()) {
            throw bad("does not say why its record is left out");
        }
    } else if (leaf.what == "entry") {
        leaf.own = row_from(at(object, "entry"));
        leaf.rows = rows_from(at(object, "rows"));
        keys = 6;
    } else if (leaf.what == "batch") {
        leaf.own = row_from(at(object, "batch"));
        leaf.rows = rows_from(at(object, "conflicts"));
        leaf.readings = integer_at(object, "readings");
        leaf.readings_sha256 = digest_at(object, "readings_sha256");
        keys = 8;
    } else if (leaf.what == "reject") {
        leaf.rows = rows_from(at(object, "rejects"));
    } else {
        throw bad("stands for '" + for_display(leaf.what, 60) + "', which is nothing known");
    }
    if (object.size() != keys) {
        throw bad("holds more than such a line does");
    }
    return leaf;
}

} // namespace holdwarden::seal

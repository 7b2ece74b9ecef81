#pragma once

#include <nlohmann/json.hpp>

#include <string>
#include <vector>

namespace holdwarden::test {

/// Checks `value` against a JSON Schema (draft 2020-12), as far as this program's schemas go: type,
/// const, enum, properties, required, additionalProperties, items, anyOf, minimum, pattern and
/// $ref into $defs. An unknown keyword is a fault of the schema and is listed too. Empty: it fits.
std::vector<std::string> schema_faults(const nlohmann::json& schema, const nlohmann::json& value);

} // namespace holdwarden::test

#pragma once

#include <holdwarden/cli/store_use.hpp>

#include <optional>
#include <string>

namespace holdwarden::cli {

/// The options of a command that takes a temperature a person read.
struct TypedArguments {
    std::string point;
    std::string probe;
    std::string watched;

    void declare(Arguments& arguments);
};

/// The reading that the options and `value` describe. Throws Error.
records::TypedReading typed_reading(const TypedArguments& arguments, const OpenStore& store,
                                    records::Target target, Instant at, const std::string& value);

/// The thermometer meant when none is named: HOLDWARDEN_PROBE, else the one used last by hand within
/// a day, else the only one that is in no food and no unit; empty: none can be told.
std::string usual_probe(const OpenStore& store, const Context& context);

/// "140 °F at 2026-11-01 01:30 -06:00 by hand-1", watched time included.
std::string shown(const records::TypedReading& reading, const OpenStore& store,
                  const std::string& probe);

/// What to say of an entry beside itself: nothing, or that it was there already, or that another
/// value is on record for that instant.
std::string remark(records::Added added);

} // namespace holdwarden::cli

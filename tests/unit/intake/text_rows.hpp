#pragma once

#include <holdwarden/intake/collect.hpp>

#include <sstream>
#include <string>

namespace holdwarden::intake {

/// Reads a CSV text through the collector.
inline Collected read_text(const std::string& text, const CsvOptions& options = {}) {
    std::istringstream in{text};
    return collect_csv(stream_source(in), options);
}

inline CsvOptions in_zone(const std::string& zone) {
    CsvOptions options;
    options.zone = Zone::named(zone);
    return options;
}

} // namespace holdwarden::intake

#pragma once
// Pieces of JSON that several plans share. Private to src/cli.

#include <holdwarden/heat/range.hpp>

#include <nlohmann/json.hpp>

#include <optional>
#include <vector>

namespace holdwarden::cli {

inline nlohmann::ordered_json json_of(const std::optional<Span>& span) {
    return span ? nlohmann::ordered_json(span->in_seconds()) : nlohmann::ordered_json(nullptr);
}

inline nlohmann::ordered_json json_of(const heat::SpanBand& band) {
    return {{"earliest_s", json_of(band.low)},
            {"middle_s", json_of(band.middle)},
            {"latest_s", json_of(band.high)},
            {"share_happening", band.share_happening}};
}

inline nlohmann::ordered_json json_of(const std::vector<heat::CelsiusBand>& bands) {
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const heat::CelsiusBand& band : bands) {
        list.push_back({{"low_c", band.low.degrees},
                        {"middle_c", band.middle.degrees},
                        {"high_c", band.high.degrees}});
    }
    return list;
}

inline nlohmann::ordered_json json_of(const std::vector<Span>& times) {
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const Span at : times) {
        list.push_back(at.in_seconds());
    }
    return list;
}

} // namespace holdwarden::cli

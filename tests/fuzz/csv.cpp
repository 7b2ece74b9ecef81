#include "target.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/intake/lots.hpp>

#include <algorithm>
#include <cstring>

using namespace holdwarden;
using fuzz::require;

// The first byte chooses the options, the second how large the pieces are in which the file comes.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const Zone denver = Zone::named("America/Denver");
    if (size < 2) {
        return 0;
    }
    const unsigned choice = data[0];
    const std::size_t piece = 1U + data[1];
    std::string_view rest = fuzz::text_of(data + 2, size - 2);
    intake::CsvOptions options;
    options.decimal_comma = (choice & 1U) != 0;
    if ((choice & 2U) == 0) {
        options.zone = denver;
    }
    if ((choice & 4U) != 0) {
        options.scale = Scale::fahrenheit;
    }
    if ((choice & 8U) != 0) {
        options.time_format = (choice & 16U) != 0 ? "unix-ms" : "%d.%m.%Y %H:%M";
    }
    options.longest_row_bytes = (choice & 32U) != 0 ? 64 : 65'536;
    options.most_held_rows = 8;
    options.most_series = 4;
    const intake::Source source = [&](char* into, std::size_t room) {
        const std::size_t n = std::min({room, piece, rest.size()});
        std::memcpy(into, rest.data(), n);
        rest.remove_prefix(n);
        return n;
    };
    try {
        intake::Collected got = intake::collect_csv(source, options);
        std::uint64_t kept = 0;
        for (const auto& lot : got.lots) {
            for (const auto& series : lot.series) {
                kept += series.readings.size();
                require(std::ranges::is_sorted(series.readings, {}, &records::Reading::at),
                        "a series ascends by time");
                for (const auto& r : series.readings) {
                    require(records::plausible(r.value), "an implausible reading is rejected");
                }
            }
        }
        require(kept <= got.summary.accepted, "no reading is made up");
        require(got.rejects.size() <= got.summary.rejected, "every reject is counted");
        intake::LotsOptions lots;
        if (!got.summary.has_stage_column) {
            lots.stage = Stage::hot_holding;
        }
        intake::lots_of(std::move(got), lots);
    } catch (const Error&) { // refused
    }
    return 0;
}

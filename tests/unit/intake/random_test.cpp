// Properties that hold for any bytes. The generator is seeded, so that a failure repeats.
#include "text_rows.hpp"

#include <holdwarden/base/error.hpp>

#include <catch2/catch.hpp>

#include <cstring>
#include <random>

using namespace holdwarden;
using namespace holdwarden::intake;

namespace {

const std::string kHeader = "time,probe,temp_f,stage\n";
const std::string kGood = kHeader + "2026-11-01T00:00:00Z,core,140.5,hot-holding\n"
                                    "2026-11-01 01:30,\"fl\"\"at\",139,\n"
                                    "2026-11-01 01:10:30,\"a\nb\",-4.25,cooling\r\n"
                                    "2026-11-01T07:00:00-06:00,core,,served\n";

std::string mangled(std::mt19937& random) {
    static const char kRaw[] = "\0\n\r\",;\t0:-.TZ \xC2\xB0\xFF"
                               "af";
    static const std::string kBytes{kRaw, sizeof kRaw - 1};
    std::string text = kGood;
    std::uniform_int_distribution<int> edits{1, 12};
    for (int n = edits(random); n > 0; --n) {
        const std::size_t at =
            std::uniform_int_distribution<std::size_t>{0, text.size() - 1}(random);
        const char byte =
            kBytes[std::uniform_int_distribution<std::size_t>{0, kBytes.size() - 1}(random)];
        switch (std::uniform_int_distribution<int>{0, 3}(random)) {
        case 0:
            text[at] = byte;
            break;
        case 1:
            text.insert(at, 1, byte);
            break;
        case 2:
            text.erase(at, 1);
            break;
        default:
            text.insert(at, text.substr(at, 40));
        }
    }
    return text;
}

struct ReadBack {
    Collected collected;
    bool refused = false;
};

ReadBack read_in_pieces(const std::string& text, std::size_t piece) {
    CsvOptions options = in_zone("America/Denver");
    options.longest_row_bytes = 120;
    std::size_t at = 0;
    const Source source = [&](char* into, std::size_t room) {
        const std::size_t n = std::min({room, piece, text.size() - at});
        std::memcpy(into, text.data() + at, n);
        at += n;
        return n;
    };
    try {
        return {collect_csv(source, options), false};
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::bad_input);
        return {{}, true};
    }
}

} // namespace

TEST_CASE("any bytes are read or refused, every row is accounted for, however they arrive",
          "[intake]") {
    std::mt19937 random{20261101};
    for (int i = 0; i < 3000; ++i) {
        const std::string text = mangled(random);
        INFO("case " << i);
        const ReadBack whole = read_in_pieces(text, text.size());
        const ReadBack pieces = read_in_pieces(text, 7);
        REQUIRE(whole.refused == pieces.refused);
        const Summary& s = whole.collected.summary;
        if (text.starts_with(kHeader)) { // long form: a row is one reading
            REQUIRE(s.rows == s.accepted + s.rejected + s.duplicates);
        }
        REQUIRE(s.rows == pieces.collected.summary.rows);
        REQUIRE(s.accepted == pieces.collected.summary.accepted);
        REQUIRE(whole.collected.rejects.size() == s.rejected);
        for (std::size_t r = 0; r < whole.collected.rejects.size(); ++r) {
            REQUIRE(whole.collected.rejects[r].line == pieces.collected.rejects[r].line);
            REQUIRE(whole.collected.rejects[r].reason == pieces.collected.rejects[r].reason);
        }
    }
}

// Reading a file through keepers: what waits is bounded, and nothing comes out otherwise than by
// reading it whole.
#include "text_rows.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <random>

using namespace holdwarden;
using namespace holdwarden::intake;
using records::Reading;

namespace {

/// Keeps everything, and sees that it comes in order.
class Everything final : public records::Keeper {
public:
    void begin(Stage /*stage*/) override {}
    void add(const Reading& reading) override {
        REQUIRE((all_.empty() || all_.back().at <= reading.at));
        all_.push_back(reading);
    }
    std::vector<Reading>& kept() override { return all_; }

private:
    std::vector<Reading> all_;
};

records::KeeperMaker everything() {
    return [] { return std::make_unique<Everything>(); };
}

Collected through_keepers(const std::string& text) {
    std::istringstream in{text};
    return collect_csv(stream_source(in), {}, everything());
}

/// Two probes, a reading each second; now and then a repeat, a second value, or a row that is up to
/// a minute late.
std::string long_file(int seconds) {
    std::minstd_rand draw{11};
    std::string text = "time,probe,temp_f\n";
    for (int s = 0; s < seconds; ++s) {
        for (const char* probe : {"p1", "p2"}) {
            const bool late = draw() % 50 == 0;
            const int at = std::max(0, late ? s - static_cast<int>(draw() % 60) : s);
            const auto row = [&](int tenths) {
                return fmt::format("{}T{:02}:{:02}:{:02}Z,{},{}.{}\n",
                                   at < 86'400 ? "2026-11-01" : "2026-11-02", at / 3600 % 24,
                                   at / 60 % 60, at % 60, probe, tenths / 10, tenths % 10);
            };
            text += row(1450 + at % 7);
            text += draw() % 200 == 0 ? row(1450 + at % 7) : "";
            text += draw() % 300 == 0 ? row(1390) : "";
        }
    }
    return text;
}

} // namespace

TEST_CASE("a long file comes out of its keepers as it is read whole") {
    const std::string text = long_file(120'000);
    const Collected whole = read_text(text);
    const Collected kept = through_keepers(text);
    REQUIRE_FALSE(kept.late);
    CHECK(kept.summary.rows == whole.summary.rows);
    CHECK(kept.summary.accepted == whole.summary.accepted);
    CHECK(kept.summary.duplicates == whole.summary.duplicates);
    CHECK(kept.summary.duplicates > 1000);
    CHECK(kept.summary.conflicts == whole.summary.conflicts);
    REQUIRE(kept.lots.size() == 1);
    for (std::size_t i = 0; i < 2; ++i) {
        CHECK(kept.lots[0].series[i].readings == whole.lots[0].series[i].readings);
    }
}

TEST_CASE("a row that comes too late to be put where it belongs is told") {
    std::string text = long_file(100'000);
    CHECK_FALSE(through_keepers(text).late);
    text += "2026-11-01T00:10:00Z,p2,141.0\n";
    CHECK(through_keepers(text).late);
}

TEST_CASE("a file with a stage column is not given to keepers by halves") {
    std::string text = "time,probe,temp_f,stage\n";
    for (int s = 0; s < 80'000; ++s) {
        text += fmt::format("2026-11-01T{:02}:{:02}:{:02}Z,p1,145.0,{}\n", s / 3600, s / 60 % 60,
                            s % 60, s == 0 ? "hot-holding" : "");
    }
    const Collected got = through_keepers(text);
    CHECK_FALSE(got.late);
    CHECK(got.lots[0].series[0].readings.size() == 80'000);
}

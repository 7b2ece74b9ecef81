// What one more reading costs: taking it in, and judging the lot anew, while a hold, and a cooling,
// grow from a thousand readings to ten million. Beside it: judging the whole record (up to a
// million).
#include <holdwarden/codes/load.hpp>
#include <holdwarden/judge/condense.hpp>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <random>
#include <string>

using namespace holdwarden;

namespace {

constexpr Instant kFrom = Instant::from_unix_s(1'793'512'800);

template <class Work>
double seconds(Work work) {
    const auto begin = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

records::LotHistory one_stage(Stage entered) {
    records::LotHistory lot;
    lot.name = "lot";
    lot.probes = {{"p", std::nullopt, std::nullopt}};
    records::StageEntry stage;
    stage.stage = entered;
    stage.from = kFrom;
    lot.stages.push_back(stage);
    lot.points.push_back({"core", {}});
    return lot;
}

/// Every ten seconds: food held at 150 °F, or drawn from 150 to 37 °F with a time constant of two
/// hours; a few tenths of noise.
records::Reading reading(Stage stage, std::size_t i, std::minstd_rand& noise) {
    const double hours = static_cast<double>(i) / 360.0;
    const double f = stage == Stage::cooling ? 37.0 + 113.0 * std::exp(-hours / 2.0) : 150.0;
    records::Reading r;
    r.at = kFrom + Span::seconds(static_cast<std::int64_t>(i) * 10);
    r.value = Temperature::of_thousandths(
        100 * (static_cast<std::int32_t>(f * 10.0) + static_cast<std::int32_t>(noise() % 9) - 4),
        Scale::fahrenheit);
    r.line = static_cast<std::uint32_t>(i + 1);
    return r;
}

void grow(Stage stage, const codes::Pack& pack) {
    judge::Settings settings;
    judge::Condensing how{settings};
    how.add(pack, FoodKind::other_tcs);
    judge::Condenser condenser{how};
    condenser.begin(stage);
    records::LotHistory lot = one_stage(stage);
    records::LotHistory whole = lot;
    std::minstd_rand noise{7};
    std::size_t taken = 0;
    std::printf("%12s %10s %18s %20s %22s\n", stage == Stage::cooling ? "cooling" : "hold", "kept",
                "taking one in, ns", "judging anew, us", "the whole record, us");
    for (std::size_t size = 1000; size <= 10'000'000; size *= 10) {
        const std::size_t more = size - taken;
        const double adding = seconds([&] {
            for (; taken < size; ++taken) {
                const records::Reading r = reading(stage, taken, noise);
                condenser.add(r);
                if (size <= 1'000'000) {
                    whole.points[0].readings.push_back(r);
                }
            }
        });
        settings.as_of = kFrom + Span::seconds(static_cast<std::int64_t>(size) * 10);
        constexpr int kTimes = 200;
        std::size_t findings = 0;
        const double judging = seconds([&] {
            for (int i = 0; i < kTimes; ++i) {
                lot.points[0].readings = condenser.kept();
                judge::mark_suspects(lot);
                findings += judge::judge_lot(lot, pack, settings).findings.size();
            }
        });
        double all = 0;
        if (size <= 1'000'000) {
            all = seconds([&] {
                judge::mark_suspects(whole);
                findings += judge::judge_lot(whole, pack, settings).findings.size();
            });
        }
        std::printf("%12zu %10zu %18.0f %20.1f %22.0f%s\n", size, lot.points[0].readings.size(),
                    adding / static_cast<double>(more) * 1e9, judging / kTimes * 1e6, all * 1e6,
                    findings == 0 ? "?" : "");
    }
}

} // namespace

int main() {
    const codes::Pack pack =
        codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/us-fda-2022.toml");
    for (const Stage stage : {Stage::hot_holding, Stage::cooling}) {
        grow(stage, pack);
    }
    return 0;
}

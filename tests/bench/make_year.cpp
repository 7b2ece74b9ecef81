// Makes the store of a busy kitchen: 20 probes with a reading each 10 seconds, a new lot a day for
// each. Usage: make_year FILE DAYS
// [SECONDS] (365 days: 63 million readings; SECONDS between two of one probe, 10). See
// docs/performance.md.
#include <holdwarden/store/open.hpp>

#include <cstdio>
#include <cstdlib>
#include <random>
#include <string>
#include <vector>

using namespace holdwarden;

namespace {

constexpr int kProbes = 20;
/// 2025-10-01T06:00:00Z: midnight at the Larkspur Yard Smokehouse.
constexpr Instant kFirst = Instant::from_unix_s(1'759'298'400);
constexpr Span kDay = Span::hours(24);

records::Stamp stamp(Instant at) {
    return {.entered_at = at, .by = "RK"};
}

/// Half of the probes sit in food that is cooked, rests and is held hot; half in food held cold.
bool is_hot(int probe) {
    return probe % 2 == 0;
}

void open_lot(records::Store& store, records::ProbeId probe, int number, int day) {
    const Instant from = kFirst + Span::hours(24 * day);
    const auto lot =
        store.open_lot({.name = "lot-" + std::to_string(number) + "-" + std::to_string(day),
                        .food = FoodKind::whole_cut,
                        .opened_at = from},
                       stamp(from));
    const auto enter = [&](Stage stage, int hour) {
        const Instant at = from + Span::hours(hour);
        store.enter_stage({.lot = lot, .stage = stage, .from = at}, stamp(at));
    };
    if (is_hot(number)) {
        enter(Stage::cooking, 0);
        enter(Stage::resting, 6);
        enter(Stage::hot_holding, 8);
    } else {
        enter(Stage::cold_holding, 0);
    }
    const Instant to = from + kDay;
    store.place({.probe = probe, .target = records::LotPoint{lot}, .from = from, .to = to},
                stamp(to));
    store.end_lot(lot, Outcome::served, to, stamp(to));
}

/// In tenths of a degree Fahrenheit.
int shown(int number, int second, std::minstd_rand& noise) {
    const int shake = static_cast<int>(noise() % 5) - 2;
    if (!is_hot(number)) {
        return 365 + shake;
    }
    const int cooked = 400 + second * 1630 / (6 * 3600); // 40 to 203 °F in six hours
    return (second < 6 * 3600 ? cooked : std::max(1500, 2030 - (second - 6 * 3600) / 20)) + shake;
}

} // namespace

int main(int argc, char** argv) {
    if (argc < 3) {
        std::fprintf(stderr, "usage: make_year FILE DAYS [SECONDS]\n");
        return 2;
    }
    const int days = std::atoi(argv[2]);
    const int step = argc > 3 ? std::atoi(argv[3]) : 10;
    const std::string schema = std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/sql";
    const auto opened = store::create(
        {.file = argv[1], .migrations = schema, .access = store::Access::write},
        {.name = "Larkspur Yard Smokehouse",
         .zone = "America/Denver",
         .altitude = records::Altitude{1'609'344'000, records::AltitudeUnit::feet},
         .scale = Scale::fahrenheit},
        {.from = kFirst, .code = "us-fda-2022", .largest_interval = Span::hours(2)}, stamp(kFirst));
    records::Store& store = *opened.store;
    std::vector<records::ProbeId> probes;
    for (int i = 0; i < kProbes; ++i) {
        probes.push_back(store.add_probe({.name = "P" + std::to_string(i)}, stamp(kFirst)));
    }
    store.atomically([&] {
        for (int day = 0; day < days; ++day) {
            for (int i = 0; i < kProbes; ++i) {
                open_lot(store, probes[static_cast<std::size_t>(i)], i, day);
            }
        }
    });
    std::minstd_rand noise{7};
    const auto import = store.begin_import({.name = "year.csv", .sha256 = {1}, .bytes = 1},
                                           stamp(kFirst + Span::hours(24 * days)));
    std::uint64_t rows = 0;
    for (int second = 0; second < days * 86'400; second += step) {
        for (int i = 0; i < kProbes; ++i, ++rows) {
            import->add({.probe = probes[static_cast<std::size_t>(i)],
                         .at = kFirst + Span::seconds(second),
                         .value = Temperature::of_thousandths(
                             shown(i, second % 86'400, noise) * 100, Scale::fahrenheit)});
        }
    }
    const auto counts = import->finish(rows, 0);
    std::printf("%llu readings in %d lots\n", static_cast<unsigned long long>(counts.added),
                days * kProbes);
    return 0;
}

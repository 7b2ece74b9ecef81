#include <holdwarden/records/lives.hpp>

#include <algorithm>
#include <iterator>

namespace holdwarden::records {
namespace {

constexpr Instant kBeginning = Instant::from_unix_ms(INT64_MIN);

bool same_stage(const StageEntry& a, const StageEntry& b) {
    return a.stage == b.stage && a.from == b.from && a.unit == b.unit && a.setting == b.setting &&
           a.oven == b.oven && a.form == b.form;
}

bool same_date(const std::optional<LocalDate>& a, const std::optional<LocalDate>& b) {
    return a.has_value() == b.has_value() && (!a || day_number(*a) == day_number(*b));
}

/// Whether two lives give a judgement the same to go by.
bool tell_the_same(const Life& a, const Life& b) {
    const LotHistory& x = a.history;
    const LotHistory& y = b.history;
    const auto same_points = [](const PointSeries& p, const PointSeries& q) {
        return p.point == q.point && p.readings == q.readings;
    };
    const auto same_air = [](const AirSeries& p, const AirSeries& q) {
        return p.unit == q.unit && p.readings == q.readings;
    };
    return a.only_from == b.only_from && x.food == y.food && x.cut == y.cut &&
           x.made_from_ambient == y.made_from_ambient && same_date(x.made_on, y.made_on) &&
           std::ranges::equal(x.stages, y.stages, same_stage) &&
           std::ranges::equal(x.points, y.points, same_points) &&
           std::ranges::equal(x.air, y.air, same_air);
}

/// Appends, in order of time; a reading that both hold is there once.
void append(std::vector<Reading>& into, const std::vector<Reading>& more) {
    if (!into.empty() && !more.empty() && more.front().at > into.back().at) {
        into.insert(into.end(), more.begin(), more.end());
        return;
    }
    for (const Reading& r : more) {
        // Not equal_range: clang 14, which builds the fuzzers, cannot read its result.
        const auto first = std::ranges::lower_bound(into, r.at, {}, &Reading::at);
        const auto last = std::ranges::upper_bound(into, r.at, {}, &Reading::at);
        if (std::find(first, last, r) == last) {
            into.insert(last, r);
        }
    }
}

template <class Series>
void join(std::vector<Series>& into, const std::vector<Series>& more, std::string Series::*name) {
    for (const Series& series : more) {
        const auto same =
            std::ranges::find_if(into, [&](const Series& s) { return s.*name == series.*name; });
        if (same == into.end()) {
            into.push_back(series);
        } else {
            append(same->readings, series.readings);
        }
    }
}

/// The instant the sources became the lot: its own first stage; nullopt while it has none.
std::optional<Instant> merged_at(const LotHistory& lot) {
    return lot.stages.empty() ? std::nullopt : std::optional{lot.stages.front().from};
}

std::optional<Instant> earlier(std::optional<Instant> a, std::optional<Instant> b) {
    return a && b ? std::min(*a, *b) : a ? a : b;
}

/// `life` goes on as `lot`.
Life carried_on(Life life, const LotHistory& lot) {
    LotHistory& h = life.history;
    const auto at = merged_at(lot);
    h.name = lot.name;
    h.description = lot.description;
    // Not the mass: it was cooked as heavy as it was, and heavier roasts have milder ovens.
    h.end = lot.end;
    h.closes = lot.closes;
    h.probes = lot.probes;
    h.cut = earlier(h.cut, lot.cut);
    if (h.food != lot.food) {
        h.cut = earlier(h.cut, at);
    }
    if (lot.made_on && (!h.made_on || day_number(*lot.made_on) < day_number(*h.made_on))) {
        h.made_on = lot.made_on;
    }
    h.stages.insert(h.stages.end(), lot.stages.begin(), lot.stages.end());
    join(h.points, lot.points, &PointSeries::point);
    join(h.air, lot.air, &AirSeries::unit);
    if (at) {
        life.spells.push_back({lot.name, *at});
    }
    return life;
}

void add_new(std::vector<Life>& lives, Life life) {
    if (std::ranges::none_of(lives, [&](const Life& l) { return tell_the_same(l, life); })) {
        lives.push_back(std::move(life));
    }
}

} // namespace

std::optional<Instant> first_stage(const LotHistory& lot) {
    std::optional<Instant> first = merged_at(lot);
    for (const LotHistory& source : lot.sources) {
        first = earlier(first, first_stage(source));
    }
    return first;
}

std::optional<Instant> first_cook(const LotHistory& lot) {
    const auto own = std::ranges::find(lot.stages, Stage::cooking, &StageEntry::stage);
    std::optional<Instant> first =
        own == lot.stages.end() ? std::nullopt : std::optional{own->from};
    for (const LotHistory& source : lot.sources) {
        first = earlier(first, first_cook(source));
    }
    return first;
}

std::vector<Life> lives_of(const LotHistory& lot) {
    if (lot.sources.empty()) {
        return {{.history = lot, .spells = {{lot.name, kBeginning}}, .only_from = {}}};
    }
    std::vector<Life> lives;
    for (const LotHistory& source : lot.sources) {
        for (Life& life : lives_of(source)) {
            const bool other_food = life.history.food != lot.food;
            Life joined = carried_on(std::move(life), lot);
            if (other_food && merged_at(lot)) {
                Life as_merged = joined;
                as_merged.history.food = lot.food;
                as_merged.only_from = merged_at(lot);
                add_new(lives, std::move(joined));
                add_new(lives, std::move(as_merged));
            } else {
                add_new(lives, std::move(joined));
            }
        }
    }
    return lives;
}

const std::string& lot_at(const Life& life, Instant at) {
    const auto next = std::ranges::upper_bound(life.spells, at, {}, &Life::Spell::from);
    return next == life.spells.begin() ? next->lot : std::prev(next)->lot;
}

} // namespace holdwarden::records

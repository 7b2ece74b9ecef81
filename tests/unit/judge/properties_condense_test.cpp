// A condensed record is judged as the whole one is, word for word: incremental judging stands on
// this. The whole record's judgement is the reference; what it must be is the other tests' matter.
#include "random_lots.hpp"

#include <holdwarden/judge/condense.hpp>

#include <fmt/format.h>

using namespace holdwarden;
using namespace holdwarden::test;
using records::LotHistory;
using records::Reading;

namespace {

void add(std::string& text, const std::optional<Instant>& at) {
    text += at ? std::to_string(ms_of(*at)) : "-";
    text += ' ';
}
void add(std::string& text, const std::optional<Span>& span) {
    text += span ? std::to_string(span->ms()) : "-";
    text += ' ';
}
void add(std::string& text, const judge::SpanBracket& b) {
    add(text, b.earliest);
    add(text, b.estimate);
    add(text, b.latest);
}
void add(std::string& text, const Reading& r) {
    text += fmt::format("[{} {} p{} l{} w{} o{} s{} {}]", ms_of(r.at), to_text(r.value), r.probe,
                        r.line, r.watched_s, static_cast<int>(r.origin), r.suspect,
                        static_cast<unsigned>(r.left_out));
}

/// Every field of a judgement.
std::string all_of(const LotJudgement& j) {
    std::string text = fmt::format("{}\n", to_words(j.overall));
    add(text, j.below_hot_limit);
    add(text, j.between_limits);
    for (const Finding& f : j.findings) {
        text += fmt::format("\n{} {} {} {} {} {}: {} counts {} missed {} | {} | {} | {} ",
                            f.requirement, f.option, to_name(f.stage), ms_of(f.stage_from), f.point,
                            f.clause, to_words(f.verdict), f.counts, f.acts_as_missed, f.limit.text,
                            f.reason, f.settle);
        add(text, f.elapsed);
        add(text, f.worst_so_far);
        for (const auto& e : f.excursions) {
            text += "\n  excursion ";
            add(text, e.from.earliest);
            add(text, e.from.latest);
            add(text, e.to.earliest);
            add(text, e.to.latest);
            add(text, e.length);
            text += fmt::format("{} {} {}", to_text(e.worst), ms_of(e.worst_at), e.degree_minutes);
        }
        for (const auto& g : f.gaps) {
            text += fmt::format("\n  gap {} {}", ms_of(g.from), ms_of(g.to));
        }
        text += f.margin.temperature ? to_text(*f.margin.temperature) : "-";
        add(text, f.margin.time);
        text += f.conformity ? fmt::format("conformity {}", f.conformity->probability) : "";
        for (const Reading& r : f.evidence) {
            add(text, r);
        }
        for (const std::string& note : f.notes) {
            text += "\n  note " + note;
        }
    }
    for (const judge::Flag& flag : j.flags) {
        text += fmt::format("\nflag {} {}", flag.finding, flag.id);
        add(text, flag.by);
    }
    for (const judge::CookNote& cook : j.cooks) {
        text += fmt::format("\ncook {} {}", cook.point, cook.lethality.log_reductions);
    }
    for (const std::string& note : j.notes) {
        text += "\nnote " + note;
    }
    return text;
}

/// Readings as loggers take them: close together, mostly steady, now and then stuck, silent, out of
/// the food, below a limit, or two values at once.
class Logged {
public:
    /// Something odd about one reading in `odd`; `calm`: close together and steady, as most are.
    Logged(Scale scale, double degrees_f, int odd, bool calm)
        : scale_{scale}, now_f_{degrees_f}, odd_{odd}, calm_{calm} {}

    std::vector<Reading> during(int from_s, int to_s, std::uint32_t probe) {
        std::vector<Reading> readings;
        const int step = calm_ ? 30 : *rc::gen::element(10, 60, 60, 180, 600);
        const int digits = calm_ ? 100 : *rc::gen::element(100, 100, 100, 10, 500, 1);
        const double shake = calm_ ? 0.3 : *rc::gen::element(0.0, 0.2, 0.6, 1.5);
        int mood = 0;
        for (int s = from_s + whole(0, 2) * whole(0, step); s < to_s; s += step) {
            if (--mood < 0) {
                mood = whole(3, 160);
                drift_f_ = calm_ ? 0.0 : *rc::gen::element(0.0, 0.0, 0.0, 0.01, -0.01, -0.05, 0.06);
                held_ = whole(0, 3) == 0;
                s += whole(0, 12) == 0 ? whole(0, 9000) : 0;
                if (s >= to_s) {
                    break;
                }
            }
            if (towards_f_) {
                now_f_ += (*towards_f_ - now_f_) * step / lag_s_;
            }
            now_f_ = std::clamp(now_f_ + drift_f_, 20.0, 200.0);
            const double f = held_ ? now_f_ : now_f_ + between(-shake, shake);
            drift_f_ = held_ ? 0.0 : drift_f_;
            const double spike = whole(0, odd_) == 0 ? between(-20, 20) : 0.0;
            const int times = whole(0, odd_) == 0 ? 2 : 1;
            for (int i = 0; i < times; ++i) {
                Reading r;
                r.at = moment(std::int64_t{s} * 1000);
                r.value = Temperature::of_thousandths(
                    static_cast<std::int32_t>(
                        std::floor(fahrenheit_in(scale_, f + spike - i) * 1000 / digits)) *
                        digits,
                    whole(0, odd_) == 0 ? other() : scale_);
                if (!records::plausible(r.value)) {
                    continue;
                }
                r.probe = whole(0, odd_) == 0 ? 1 : probe;
                r.line = static_cast<std::uint32_t>(readings.size() + 1);
                r.origin = whole(0, odd_) == 0 ? records::Origin::typed : records::Origin::logged;
                readings.push_back(r);
            }
        }
        return readings;
    }
    double& now_f() { return now_f_; }
    /// Where the food is drawn to, as by a cook or a chill; nullopt: it stays where it is.
    void towards(std::optional<double> degrees_f, double lag_s) {
        towards_f_ = degrees_f;
        lag_s_ = lag_s;
    }

private:
    Scale other() const { return scale_ == Scale::celsius ? Scale::fahrenheit : Scale::celsius; }
    Scale scale_;
    double now_f_;
    int odd_;
    bool calm_;
    double drift_f_ = 0;
    bool held_ = false;
    std::optional<double> towards_f_;
    double lag_s_ = 1;
};

/// What a stage does to the food: a cook or a reheat draws it up past the tables' rows, a chill
/// down past the windows' figures, slower or faster.
std::optional<double> drawn_to(Stage stage) {
    switch (stage) {
    case Stage::cooking:
    case Stage::initial_heating:
    case Stage::reheating:
        return between(128, 215);
    case Stage::cooling:
        return between(28, 75);
    default:
        return std::nullopt;
    }
}

/// Up to four stages, mostly holds, at one or two points.
LotHistory any_logged_lot() {
    constexpr std::array<Stage, 20> kStages{
        Stage::hot_holding, Stage::hot_holding,     Stage::hot_holding,  Stage::resting,
        Stage::resting,     Stage::cold_holding,    Stage::cold_holding, Stage::cold_holding,
        Stage::frozen,      Stage::thawing,         Stage::cold_holding, Stage::cooking,
        Stage::cooking,     Stage::cooling,         Stage::cooling,      Stage::reheating,
        Stage::reheating,   Stage::initial_heating, Stage::preparing,    Stage::time_control};
    constexpr std::array<FoodKind, 3> kFoods{FoodKind::other_tcs, FoodKind::intact_roast,
                                             FoodKind::whole_cut};
    LotHistory lot;
    lot.name = "lot";
    lot.food = *rc::gen::elementOf(kFoods);
    lot.raw_mass_g = 3000;
    lot.probes = {{"p0", std::nullopt, std::nullopt}, {"p1", std::nullopt, std::nullopt}};
    const Scale scale = *rc::gen::element(Scale::fahrenheit, Scale::celsius);
    const int points = whole(1, 3);
    const bool calm = whole(0, 3) > 0;
    std::vector<Logged> loggers;
    for (int p = 0; p < points; ++p) {
        lot.points.push_back({"point " + std::to_string(p), {}});
        loggers.emplace_back(scale, 140.0, calm ? 3000 : *rc::gen::element(60, 400, 3000), calm);
    }
    int second = 0;
    const int stages = whole(1, 5);
    for (int s = 0; s < stages; ++s) {
        records::StageEntry entry;
        entry.stage = *rc::gen::elementOf(kStages);
        entry.from = moment(std::int64_t{second} * 1000);
        if (entry.stage == Stage::cooking) {
            entry.oven = OvenKind::still_dry;
            entry.setting = Temperature::of_degrees(350, Scale::fahrenheit);
        }
        lot.stages.push_back(entry);
        const bool cold = entry.stage == Stage::cold_holding || entry.stage == Stage::frozen ||
                          entry.stage == Stage::thawing || entry.stage == Stage::cooling;
        const int length = *rc::gen::element(600, 6 * 3600, 12 * 3600);
        for (std::size_t p = 0; p < loggers.size(); ++p) {
            if (s == 0 || whole(0, 2) == 0) {
                loggers[p].now_f() =
                    cold ? between(30, calm ? 38 : 41) : between(calm ? 148 : 134, 165);
            }
            const auto drawn = drawn_to(entry.stage);
            if (drawn && whole(0, 4) > 0) {
                loggers[p].now_f() =
                    entry.stage == Stage::cooling ? between(110, 180) : between(33, 140);
            }
            loggers[p].towards(drawn, between(1200, 9000));
            auto more = loggers[p].during(second, second + std::min(length, 3600 * 12),
                                          static_cast<std::uint32_t>(p));
            if (more.size() > 800) {
                more.resize(800);
            }
            auto& into = lot.points[p].readings;
            into.insert(into.end(), more.begin(), more.end());
        }
        second += length;
    }
    if (*rc::gen::arbitrary<bool>()) {
        lot.end = records::LotEnd{Outcome::served, moment(std::int64_t{second} * 1000), ""};
    }
    std::erase_if(lot.points, [](const auto& p) { return p.readings.empty(); });
    return lot;
}

/// The same, condensed as it would have been while the readings came in; `peek`: looked at between
/// any two.
LotHistory condensed(const LotHistory& lot, const judge::Condensing& how, bool peek) {
    LotHistory shorter = lot;
    for (auto& series : shorter.points) {
        judge::Condenser condenser{how};
        std::size_t next = 0;
        for (const Reading& r : series.readings) {
            while (next < lot.stages.size() && lot.stages[next].from <= r.at) {
                condenser.begin(lot.stages[next++].stage);
            }
            condenser.add(r);
            if (peek) {
                RC_ASSERT(condenser.kept().back().at == r.at);
            }
        }
        series.readings = condenser.kept();
    }
    return shorter;
}

std::size_t readings_of(const LotHistory& lot) {
    std::size_t n = 0;
    for (const auto& series : lot.points) {
        n += series.readings.size();
    }
    return n;
}

judge::Settings any_settings(const LotHistory& lot) {
    judge::Settings settings = as_of(last_of(lot));
    settings.largest_interval =
        *rc::gen::element(Span::hours(2), Span::hours(1), Span::minutes(15), Span::minutes(2));
    if (whole(0, 3) == 0) {
        settings.rule = judge::DecisionRule::guarded;
        settings.tolerance = TemperatureDelta::of_thousandths(
            *rc::gen::element(500, 1000), *rc::gen::element(Scale::fahrenheit, Scale::celsius));
    }
    return settings;
}

const codes::Pack& any_pack() {
    static const std::vector<codes::Pack> packs = [] {
        std::vector<codes::Pack> loaded;
        for (const char* id : {"us-fda-2022", "us-fsis", "uk-england", "au-3.2.2", "fr-2009"}) {
            loaded.push_back(codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} +
                                              "/schema/codes/" + id + ".toml"));
        }
        return loaded;
    }();
    return packs[static_cast<std::size_t>(whole(0, static_cast<int>(packs.size())))];
}

} // namespace

TEST_CASE("a condensed record is judged word for word as the whole one") {
    std::size_t whole_size = 0;
    std::size_t condensed_size = 0;
    int held = 0;
    int cases = 0;
    rc::prop(property_name(), [&] {
        LotHistory lot = any_logged_lot();
        RC_PRE(!lot.points.empty());
        const judge::Settings settings = any_settings(lot);
        const codes::Pack& code = any_pack();
        judge::Condensing how{settings};
        how.add(code, lot.food);
        LotHistory shorter = condensed(lot, how, *rc::gen::arbitrary<bool>());
        judge::mark_suspects(lot);
        judge::mark_suspects(shorter);
        ++cases;
        if (!judge::links_hold(shorter, settings)) {
            return;
        }
        ++held;
        whole_size += readings_of(lot);
        condensed_size += readings_of(shorter);
        const std::string expected = all_of(judge::judge_lot(lot, code, settings));
        const std::string got = all_of(judge::judge_lot(shorter, code, settings));
        if (expected != got) {
            RC_LOG() << code.id << "\n"
                     << described(shorter) << "\nWHOLE\n"
                     << expected << "\n\nCONDENSED\n"
                     << got << "\n";
        }
        RC_ASSERT(expected == got);
    });
    // Guards the test itself: were nothing condensed, nothing would be compared.
    INFO(held << " of " << cases << " held; " << whole_size << " to " << condensed_size);
    CHECK(held * 2 > cases);
    CHECK(condensed_size * 2 < whole_size); // what breaks limits in a hold stays whole
}

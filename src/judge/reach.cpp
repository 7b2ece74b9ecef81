// Reaching and keeping a temperature: cooking, roasts, the rows of a reheat.
#include "internal/rules.hpp"
#include "messages.hpp"

#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::judge {

using records::Origin;
using records::Reading;

namespace {

/// A typed reading serves rows up to this: a hand probe stays in until it settles (common practice,
/// no source).
constexpr Span kTypedReadingServes = Span::seconds(17);

Span watched(const Reading& r) noexcept {
    return Span::seconds(r.watched_s);
}

/// How long one reading alone vouches for.
Span vouches_for(const Reading& r) noexcept {
    if (r.watched_s != 0) {
        return watched(r);
    }
    return r.origin == Origin::typed ? kTypedReadingServes : Span{};
}

/// A run of readings at or above, and how long it vouches for.
struct Run {
    Span length;
    Reading first;
    Reading last;
    Reading coldest;
};

struct RowResult {
    bool reached = false;             ///< a trusted reading at or above
    bool maybe = false;               ///< a reading at or above that is suspect or inside the band
    Span longer;                      ///< longest stretch the readings do not rule out
    std::optional<Run> shorter;       ///< longest unbroken run, first to last reading
    std::optional<Reading> hottest;   ///< of the trusted readings at or above
    std::optional<Instant> kept_from; ///< the first reading of the first run that was long enough
};

/// Walks a series once; between two readings below lies a stretch, in it runs.
class TimeAtOrAbove {
public:
    TimeAtOrAbove(const StageSpan& stage, Span keep)
        : stage_{stage}, keep_{keep}, stretch_from_{stage.from} {}

    void below(const Reading& r) {
        end_stretch(r.at);
        stretch_from_ = r.at;
    }

    void unsure() {
        in_stretch_ = true;
        result_.maybe = true;
        run_.reset();
    }

    void at_or_above(const Reading& r) {
        in_stretch_ = true;
        result_.reached = true;
        const bool broken = run_ && r.left_out == 0 &&
                            r.at - run_->last.at > std::max(kLongestGapInRun, watched(run_->last));
        if (!run_ || broken) {
            run_ = Run{Span{}, r, r, r};
        }
        run_->last = r;
        if (physical_order(r.value, run_->coldest.value) < 0) {
            run_->coldest = r;
        }
        if (!result_.hottest || physical_order(r.value, result_.hottest->value) > 0) {
            result_.hottest = r;
        }
        run_->length = std::max(r.at - run_->first.at, vouches_for(r));
        if (!best_ || run_->length > best_->length) {
            best_ = run_;
        }
        if (!enough_from_ && run_->length >= keep_) {
            enough_from_ = run_->first.at;
        }
    }

    RowResult done() {
        end_stretch(stage_.to);
        return result_;
    }

private:
    /// `until`: the reading below that ends the stretch, or the stage's end.
    void end_stretch(Instant until) {
        if (in_stretch_) {
            result_.longer = std::max(result_.longer, until - stretch_from_);
        }
        if (best_) {
            // A watched or typed time lies before its reading or after it, and cannot reach past
            // readings that show the food below, nor out of the stage.
            const Instant at = best_->last.at;
            const Span most = std::max(at - stretch_from_, until - at);
            best_->length = std::min(best_->length, std::max(at - best_->first.at, most));
        }
        if (best_ && best_->length >= keep_ && !result_.kept_from) {
            result_.kept_from = enough_from_;
        }
        if (best_ && (!result_.shorter || best_->length > result_.shorter->length)) {
            result_.shorter = best_;
        }
        in_stretch_ = false;
        run_.reset();
        best_.reset();
        enough_from_.reset();
    }

    const StageSpan& stage_;
    Span keep_;
    Instant stretch_from_;
    bool in_stretch_ = false;
    std::optional<Run> run_;
    std::optional<Run> best_;            ///< of this stretch
    std::optional<Instant> enough_from_; ///< of this stretch
    RowResult result_;
};

RowResult time_at_or_above(const Case& c, const codes::TableRow& row, Readings readings,
                           const StageSpan& stage) {
    TimeAtOrAbove walk{stage, row.keep};
    for (std::size_t i = 0; i < readings.size();) {
        const Reading& first = readings[i];
        switch (c.says_instant(readings, i, row.at)) {
        case Says::wrong:
            walk.below(first);
            break;
        case Says::unsure:
            walk.unsure();
            break;
        case Says::right:
            walk.at_or_above(first);
            break;
        }
    }
    return walk.done();
}

/// The reading that a row's margin is of: the coldest of its longest run; the hottest where the row
/// is to be reached only, or kept no longer than one typed reading stands for.
std::optional<Reading> telling_of(const codes::TableRow& row, const RowResult& r) {
    if (row.keep <= kTypedReadingServes) {
        return r.hottest;
    }
    return r.shorter ? std::optional{r.shorter->coldest} : std::nullopt;
}

/// Of several rows that are met, the one met by the widest margin.
struct Telling {
    const codes::TableRow* row = nullptr;
    std::optional<Reading> reading{};
    std::int32_t margin = 0;

    void take(const codes::TableRow& met, const std::optional<Reading>& by) {
        if (by) {
            const std::int32_t here = met.at.clearance(by->value).in(Scale::celsius).thousandths();
            if (row == nullptr || here > margin) {
                row = &met;
                reading = by;
                margin = here;
            }
        }
    }
};

std::optional<Reading> hottest_trusted(Readings readings) {
    std::optional<Reading> hottest;
    for (const Reading& r : readings) {
        if (!r.suspect && (!hottest || physical_order(r.value, hottest->value) > 0)) {
            hottest = r;
        }
    }
    return hottest;
}

} // namespace

Dwell judge_rows(const Case& c, const std::vector<codes::TableRow>& rows, Readings readings,
                 const StageSpan& stage) {
    Dwell best;
    Telling surest;
    bool possible = false;
    for (const codes::TableRow& row : rows) {
        const RowResult r = time_at_or_above(c, row, readings, stage);
        const Span shorter = r.shorter ? r.shorter->length : Span{};
        const bool enough = r.reached && shorter >= row.keep;
        if (enough) {
            surest.take(row, telling_of(row, r));
        }
        if (best.verdict == Verdict::met) {
            continue; // the first row that is met speaks; only the margin may be of another
        }
        const bool may_do = (r.reached || r.maybe) && r.longer >= row.keep;
        possible = possible || may_do;
        const bool nearer =
            best.row == nullptr || (r.reached && shorter > best.kept.earliest.value_or(Span{}));
        if (enough || nearer) {
            best.row = &row;
            best.kept = {shorter, std::nullopt, r.longer};
            best.evidence.clear();
            if (r.shorter) {
                best.evidence = {r.shorter->first, r.shorter->last};
            }
            best.telling = telling_of(row, r);
            best.telling_row = &row;
        }
        if (enough) {
            best.verdict = Verdict::met;
            best.kept_from = r.kept_from;
        }
    }
    if (best.verdict == Verdict::met) {
        best.telling = surest.reading;
        best.telling_row = surest.row;
        return best;
    }
    best.telling = best.telling ? best.telling : hottest_trusted(readings);
    best.verdict = stage.running ? Verdict::open : possible ? Verdict::not_shown : Verdict::not_met;
    if (best.evidence.empty() && !readings.empty()) {
        best.evidence.push_back(
            *std::ranges::max_element(readings, [](const Reading& a, const Reading& b) {
                return physical_order(a.value, b.value) < 0;
            }));
    }
    return best;
}

void tell_margin(const Case& c, Finding& f, const Dwell& dwell) {
    if (dwell.telling) {
        const codes::TemperatureLimit& at = dwell.telling_row->at;
        f.margin.temperature = at.clearance(dwell.telling->value);
        f.conformity = c.conformity(*dwell.telling, at);
    }
}

std::string would_show_kept(const codes::TableRow& row) {
    const std::string at = row.at.to_text();
    const std::string apart = to_text(kLongestGapInRun);
    if (row.keep == Span{}) {
        return fmt::format(msg::reading_would_have, at);
    }
    return row.keep <= kLongestGapInRun
               ? fmt::format(msg::two_readings_would_have, at, to_text(row.keep), apart)
               : fmt::format(msg::readings_over_would_have, at, apart, to_text(row.keep));
}

namespace {

std::string row_text(const codes::TableRow& row) {
    return row.keep == Span{} ? row.at.to_text()
                              : fmt::format(msg::kept_for, row.at.to_text(), to_text(row.keep));
}

std::string rows_text(const std::vector<codes::TableRow>& rows) {
    const std::string text = row_text(rows.front());
    if (rows.size() > 1) {
        return rows.size() == 2 ? fmt::format(msg::row_or_one, text)
                                : fmt::format(msg::row_or_many, text, rows.size() - 1);
    }
    return text;
}

std::string reading_text(const Case& c, const Reading& r) {
    return fmt::format(msg::value_at, to_text(r.value), c.clock(r.at));
}

void describe(const Case& c, Finding& f, const Dwell& dwell, Readings readings) {
    if (readings.empty()) {
        f.verdict = f.verdict == Verdict::open ? Verdict::open : Verdict::not_shown;
        f.reason = msg::not_read_in_stage;
        f.settle = fmt::format(msg::reading_would_have, row_text(*dwell.row));
        return;
    }
    const Reading& hottest =
        *std::ranges::max_element(readings, [](const Reading& a, const Reading& b) {
            return physical_order(a.value, b.value) < 0;
        });
    switch (f.verdict) {
    case Verdict::met:
        f.reason =
            dwell.row->keep == Span{}
                ? fmt::format(msg::row_reached, dwell.row->at.to_text(),
                              reading_text(c, dwell.evidence.front()))
                : fmt::format(msg::row_kept, dwell.row->at.figure_text(hottest.value.scale()),
                              c.clock(dwell.evidence.front().at), c.clock(dwell.evidence.back().at),
                              to_text(*dwell.kept.earliest), to_text(dwell.row->keep));
        break;
    case Verdict::open:
        f.reason = fmt::format(msg::not_there_yet, reading_text(c, hottest));
        f.settle = fmt::format(msg::reading_will, row_text(*dwell.row));
        break;
    case Verdict::not_met:
        f.reason = fmt::format(msg::no_row_kept, reading_text(c, hottest));
        break;
    default:
        f.reason = fmt::format(msg::row_not_shown, to_text(dwell.kept.earliest.value_or(Span{})),
                               to_text(dwell.kept.latest.value_or(Span{})),
                               dwell.row->at.figure_text(hottest.value.scale()),
                               to_text(dwell.row->keep), reading_text(c, hottest));
        f.settle = would_show_kept(*dwell.row);
        f.acts_as_missed = true;
    }
    tell_margin(c, f, dwell);
}

Finding table_finding(const Case& c, const codes::Requirement& requirement,
                      const std::vector<codes::TableRow>& rows, const StageSpan& stage,
                      const Case::Series& series) {
    Finding f = start_finding(requirement, stage, series.point);
    const Readings readings = between(series.readings, stage.from, stage.to);
    const Dwell dwell = judge_rows(c, rows, readings, stage);
    f.verdict = dwell.verdict;
    f.limit = figure_of(dwell.row->at);
    f.limit.text = rows_text(rows);
    f.limit.within = dwell.row->keep;
    f.elapsed = dwell.kept;
    for (const Reading& r : dwell.evidence) {
        add_evidence(f, r);
    }
    describe(c, f, dwell, readings);
    settle_evidence(f);
    return f;
}

/// The series with a reading in the stage; all of them, or one nameless, if none has.
std::vector<Case::Series> series_in(const Case& c, const StageSpan& stage) {
    std::vector<Case::Series> found;
    for (const Case::Series& series : c.series()) {
        if (!between(series.readings, stage.from, stage.to).empty()) {
            found.push_back(series);
        }
    }
    if (found.empty()) {
        found.push_back({"", {}});
    }
    return found;
}

struct OvenVerdict {
    Verdict verdict;
    std::string why;
};

/// What the oven's air readings say of one condition: once warmed up, it must stay. Warming up may
/// take the largest interval, and silences longer than it prove nothing: a late glance is no oven.
OvenVerdict judge_air(const Case& c, const codes::TemperatureLimit& limit, Readings air,
                      const StageSpan& stage) {
    const auto right = [&](const Reading& r) { return c.says(r, limit) == Says::right; };
    const auto wrong = [&](const Reading& r) { return limit.side(r.value) == codes::Side::wrong; };
    const auto first = std::ranges::find_if(air, right);
    const Instant warm_by = stage.from + c.settings().largest_interval;
    const auto late = std::find_if(air.begin(), air.end(), [&](const Reading& r) {
        return wrong(r) && (r.at > warm_by || (first != air.end() && r.at >= first->at));
    });
    if (late != air.end()) {
        return {Verdict::not_met,
                fmt::format(msg::oven_air_read, reading_text(c, *late), limit.to_text())};
    }
    if (first == air.end() && std::ranges::any_of(air, wrong)) {
        return {Verdict::not_met,
                fmt::format(msg::oven_air_never, limit.to_text(), reading_text(c, air.back()))};
    }
    Instant last = stage.from;
    bool silent = air.size() < 2;
    for (const Reading& r : air) {
        if (right(r)) {
            silent = silent || r.at - last > c.settings().largest_interval;
            last = r.at;
        }
    }
    if (silent || stage.to - last > c.settings().largest_interval) {
        return {Verdict::not_shown,
                fmt::format(msg::oven_air_silent, to_text(c.settings().largest_interval))};
    }
    return {Verdict::met, ""};
}

/// Whether some row of this kind of oven fits every weight a roast can have.
bool fits_any_weight(const codes::TableRule& rule, OvenKind kind) {
    std::vector<std::pair<std::int64_t, std::int64_t>> weights;
    for (const codes::OvenRow& row : rule.ovens) {
        if (row.oven == kind) {
            weights.emplace_back(row.from_g.value_or(0), row.below_g.value_or(INT64_MAX));
        }
    }
    std::ranges::sort(weights);
    std::int64_t below = 0;
    for (const auto& [from, to] : weights) {
        below = from <= below ? std::max(below, to) : below;
    }
    return below == INT64_MAX;
}

/// The oven condition that goes with a roast table, for the cook at hand.
OvenVerdict judge_oven(const Case& c, const codes::TableRule& rule, const StageSpan& stage) {
    if (rule.ovens.empty()) {
        return {Verdict::met, ""};
    }
    const records::StageEntry& entry = *stage.entry;
    if (!entry.oven) {
        return {Verdict::not_shown, msg::oven_kind_unknown};
    }
    OvenVerdict result{Verdict::not_shown, msg::oven_row_lacking};
    bool any = false;
    for (const codes::OvenRow& row : rule.ovens) {
        const auto& mass = c.lot().raw_mass_g;
        const bool other_weight =
            mass && ((row.from_g && *mass < *row.from_g) || (row.below_g && *mass >= *row.below_g));
        if (row.oven != *entry.oven || other_weight) {
            continue; // an unknown weight must satisfy every row of the kind
        }
        OvenVerdict one{Verdict::not_shown, msg::oven_not_recorded};
        const Readings air = c.air_of(stage);
        if (!air.empty()) {
            one = judge_air(c, row.air, air, stage);
        } else if (entry.setting) {
            one = row.air.side(*entry.setting) == codes::Side::right
                      ? OvenVerdict{Verdict::met, ""}
                      : OvenVerdict{Verdict::not_met,
                                    fmt::format(msg::oven_set_too_low, to_text(*entry.setting),
                                                to_words(row.oven), row.air.to_text())};
        }
        if (!any || one.verdict > result.verdict) {
            result = one;
        }
        any = true;
    }
    const bool any_weight = c.lot().raw_mass_g || fits_any_weight(rule, *entry.oven);
    if (!any_weight && result.verdict == Verdict::met) {
        return {Verdict::not_shown, msg::oven_weight_unknown};
    }
    return result;
}

} // namespace

Verdict with_oven(const Case& c, const codes::TableRule& rule, const StageSpan& stage,
                  Verdict rows) {
    const Verdict oven = judge_oven(c, rule, stage).verdict;
    if (oven == Verdict::met || rows == Verdict::open) {
        return rows;
    }
    // While it goes on, the oven may still be mended and a row be kept with it.
    return stage.running ? Verdict::open : worse(rows, oven);
}

std::string oven_lacks(const Case& c, const codes::TableRule& rule, const StageSpan& stage) {
    const OvenVerdict oven = judge_oven(c, rule, stage);
    return oven.verdict == Verdict::met ? "" : oven.why;
}

void add_oven(const Case& c, const codes::TableRule& rule, const StageSpan& stage, Finding& f) {
    const OvenVerdict oven = judge_oven(c, rule, stage);
    if (!oven.why.empty()) {
        f.notes.push_back(fmt::format(msg::oven_condition, oven.why));
    }
    if (oven.verdict != Verdict::met && f.verdict != Verdict::open) {
        const bool kept = f.verdict == Verdict::met;
        f.verdict = with_oven(c, rule, stage, f.verdict);
        f.reason += " " + either(kept, msg::row_without_oven, msg::row_needs_oven, oven.why);
        f.acts_as_missed = f.acts_as_missed || f.verdict == Verdict::not_shown;
        if (kept) { // the food's temperature is not what is missing
            f.margin.temperature.reset();
            f.conformity.reset();
        }
    }
}

namespace {

/// A cook with the rests that follow it at once, while the roast is whole.
StageSpan with_rest(const Case& c, const StageSpan& cook) {
    StageSpan whole = cook;
    for (const StageSpan& stage : c.stages()) {
        const bool cut = c.lot().cut && *c.lot().cut <= stage.from;
        if (stage.stage == Stage::resting && stage.from == whole.to && !whole.running && !cut) {
            whole.to = stage.to;
            whole.running = stage.running;
        }
    }
    return whole;
}

} // namespace

void judge_cooking(const Case& c, const StageSpan& stage, std::vector<Finding>& findings) {
    for (const Case::Series& series : series_in(c, stage)) {
        for (const std::string_view id : {"cooking", "cooking-roast"}) {
            if (id == "cooking-roast" && c.cut_by(stage)) {
                continue; // the row is for a roast in one piece
            }
            for (const codes::Requirement* requirement : c.pack().find(id, c.lot().food)) {
                const auto* rule = std::get_if<codes::TableRule>(&requirement->rule);
                if (rule == nullptr || rule->rows.empty()) {
                    continue;
                }
                const StageSpan held = rule->rest_counts ? with_rest(c, stage) : stage;
                Finding f = table_finding(c, *requirement, rule->rows, held, series);
                add_oven(c, *rule, stage, f);
                findings.push_back(std::move(f));
            }
        }
    }
}

bool cook_met(const std::vector<Finding>& findings, const StageSpan& stage) {
    for (const char* id : {"cooking", "cooking-roast"}) {
        // Of alternatives one will do; worst_of would want all of them.
        const bool met = std::ranges::any_of(findings, [&](const Finding& f) {
            return f.requirement == id && f.stage == stage.stage && f.stage_from == stage.from &&
                   f.verdict == Verdict::met;
        });
        const bool missed = std::ranges::any_of(findings, [&](const Finding& f) {
            return f.requirement == id && f.stage == stage.stage && f.stage_from == stage.from &&
                   f.option.empty() && f.verdict != Verdict::met;
        });
        if (met && !missed) {
            return true;
        }
    }
    return false;
}

RoastCook roast_cook(const Case& c, const std::vector<Finding>& findings) {
    if (c.lot().food != FoodKind::intact_roast) {
        return {};
    }
    RoastCook result{false, msg::no_cook_on_record, {}};
    for (const StageSpan& stage : c.stages()) {
        if (stage.stage != Stage::cooking) {
            continue;
        }
        const auto verdict = Case::worst_of(findings, "cooking-roast", stage);
        if (verdict && *verdict == Verdict::met) {
            return {true, "", stage.to};
        }
        for (const Finding& f : findings) {
            if (f.requirement == "cooking-roast" && f.verdict != Verdict::met) {
                result.why = f.reason;
            }
        }
    }
    return result;
}

RoastCook roast_in(const Case& c, const RoastCook& roast, const StageSpan& stage) {
    if (roast.earned && stage.from < roast.until) {
        return {false, msg::no_cook_on_record, {}};
    }
    if (!roast.earned || !c.cut_by(stage)) {
        return roast;
    }
    return {false, fmt::format(msg::was_cut, c.day_and_clock(*c.lot().cut)), {}};
}

} // namespace holdwarden::judge

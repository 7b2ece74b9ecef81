#include "internal/case.hpp"

#include <holdwarden/base/time_text.hpp>
#include <holdwarden/judge/conformity.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>

namespace holdwarden::judge {

using records::Reading;

namespace {

constexpr auto kAt = [](const Reading& r) { return r.at; };

Readings up_to(Readings readings, Instant last) noexcept {
    const auto end = std::ranges::upper_bound(readings, last, {}, kAt);
    return readings.first(static_cast<std::size_t>(end - readings.begin()));
}

bool holds_by_time(const codes::Pack& pack, FoodKind food) {
    return std::ranges::any_of(pack.requirements, [&](const codes::Requirement& r) {
        return r.covers(food) && std::holds_alternative<codes::TimeControlRule>(r.rule);
    });
}

} // namespace

Case::Case(const records::LotHistory& lot, const codes::Pack& pack, const Settings& settings)
    : lot_{lot}, pack_{pack}, settings_{settings} {
    if (lot.end && lot.end->at <= settings.as_of) {
        end_ = lot.end;
    }
    for (std::size_t i = 0; i < lot.stages.size() && lot.stages[i].from <= now(); ++i) {
        StageSpan span{lot.stages[i].stage, lot.stages[i].from, now(), !end_, &lot.stages[i]};
        const bool has_next = i + 1 < lot.stages.size() && lot.stages[i + 1].from <= now();
        if (has_next) {
            span.to = lot.stages[i + 1].from;
            span.running = false;
        } else if (!end_ && lot.closes && *lot.closes <= settings.as_of) {
            span.to = *lot.closes;
            span.running = false;
        }
        assert(span.from <= span.to);
        if (span.stage == Stage::time_control && !holds_by_time(pack, lot.food)) {
            span.stage = Stage::preparing; // to this code it is nothing else
        }
        // What being whole earned ends with the cut: the hold before it and the hold after it are
        // two.
        if (is_hot_hold(span.stage) && lot.cut && span.from < *lot.cut && *lot.cut < span.to) {
            StageSpan whole = span;
            whole.to = *lot.cut;
            whole.running = false;
            stages_.push_back(whole);
            span.from = *lot.cut;
        }
        stages_.push_back(span);
    }
    for (const records::PointSeries& point : lot.points) {
        assert(std::ranges::is_sorted(point.readings, {}, kAt));
        const Readings readings = up_to(point.readings, settings.as_of);
        if (!readings.empty()) {
            series_.push_back({point.point, readings});
        }
    }
}

Readings Case::air_of(const StageSpan& stage) const noexcept {
    for (const records::AirSeries& air : lot_.air) {
        if (air.unit == stage.entry->unit) {
            return between(air.readings, stage.from, stage.to);
        }
    }
    return {};
}

bool Case::cut_by(const StageSpan& stage) const noexcept {
    return lot_.cut &&
           (*lot_.cut <= stage.from || (!is_hot_hold(stage.stage) && *lot_.cut < stage.to));
}

Says Case::says(const Reading& reading, const codes::TemperatureLimit& limit) const noexcept {
    if (limit.side(reading.value) == codes::Side::wrong) {
        return Says::wrong;
    }
    if (reading.suspect) {
        return Says::unsure;
    }
    if (settings_.rule == DecisionRule::guarded) {
        const auto width = band(reading);
        if (!width || !limit.clears(reading.value, *width)) {
            return Says::unsure;
        }
    }
    return Says::right;
}

bool Case::surely_wrong(const Reading& reading,
                        const codes::TemperatureLimit& limit) const noexcept {
    if (reading.suspect || limit.side(reading.value) == codes::Side::right) {
        return false;
    }
    if (settings_.rule == DecisionRule::as_read) {
        return true;
    }
    const auto width = band(reading);
    return width && -limit.clearance(reading.value).thousandths() >
                        width->in(reading.value.scale()).thousandths();
}

std::optional<TemperatureDelta> Case::band(const Reading& reading) const noexcept {
    const records::Probe* probe = probe_of(reading);
    return probe != nullptr && probe->accuracy ? probe->accuracy : settings_.tolerance;
}

Says Case::says_instant(Readings readings, std::size_t& i,
                        const codes::TemperatureLimit& limit) const noexcept {
    const Instant at = readings[i].at;
    Says worst = Says::right;
    for (; i < readings.size() && readings[i].at == at; ++i) {
        worst = std::max(worst, says(readings[i], limit));
    }
    return worst;
}

std::optional<Verdict> Case::worst_of(const std::vector<Finding>& findings, std::string_view id,
                                      const StageSpan& stage) {
    std::optional<Verdict> worst;
    for (const Finding& finding : findings) {
        if (finding.requirement == id && finding.stage_from == stage.from &&
            finding.stage == stage.stage) {
            worst = worst ? worse(*worst, finding.verdict) : finding.verdict;
        }
    }
    return worst;
}

std::optional<Conformity> Case::conformity(const Reading& reading,
                                           const codes::TemperatureLimit& limit) const noexcept {
    const auto accuracy = band(reading);
    if (!accuracy || accuracy->thousandths() == 0) {
        return std::nullopt;
    }
    const records::Probe* probe = probe_of(reading);
    const Scale scale = reading.value.scale();
    const StandardUncertainty u =
        combined({*accuracy, probe == nullptr ? std::nullopt : probe->display_step,
                  probe == nullptr ? std::nullopt : probe->correction_within},
                 scale);
    const TemperatureDelta clearance = limit.clearance(reading.value);
    return Conformity{probability_of_conformity(clearance, u),
                      TemperatureDelta::of_thousandths(
                          static_cast<std::int32_t>(std::ceil(u.degrees * 1000)), scale),
                      zone_of(clearance, u)};
}

const records::Probe* Case::probe_of(const Reading& reading) const noexcept {
    return reading.probe < lot_.probes.size() ? &lot_.probes[reading.probe] : nullptr;
}

std::string Case::clock(Instant at) const {
    // In the repeated hour the offset tells the two passes apart.
    const Zone& zone = settings_.zone;
    const bool twice = std::holds_alternative<Twice>(zone.resolve(zone.wall(at)));
    return twice ? fmt::format("{} {}", clock_text(at, zone), zone.abbreviation(at))
                 : clock_text(at, zone);
}

std::string Case::day_and_clock(Instant at) const {
    return fmt::format("{} {}", to_text(date_of(settings_.zone.wall(at))), clock(at));
}

Readings between(Readings readings, Instant from, Instant to) noexcept {
    const auto first = std::ranges::lower_bound(readings, from, {}, kAt);
    const auto last = std::ranges::upper_bound(readings, to, {}, kAt);
    return first < last ? Readings{first, last} : Readings{};
}

std::size_t count_of(Readings readings) noexcept {
    std::size_t count = readings.size();
    for (const Reading& r : readings) {
        count += r.left_out;
    }
    return count;
}

Readings before(Readings readings, Instant until) noexcept {
    const auto end = std::ranges::lower_bound(readings, until, {}, kAt);
    return readings.first(static_cast<std::size_t>(end - readings.begin()));
}

Readings after(Readings readings, Instant since) noexcept {
    const auto first = std::ranges::upper_bound(readings, since, {}, kAt);
    return readings.subspan(static_cast<std::size_t>(first - readings.begin()));
}

const StageSpan* done_before(const std::vector<StageSpan>& stages, std::size_t i) noexcept {
    while (i > 0) {
        if (stages[--i].stage != Stage::preparing) {
            return &stages[i];
        }
    }
    return nullptr;
}

bool is_hot_hold(Stage stage) noexcept {
    return stage == Stage::resting || stage == Stage::hot_holding;
}

bool is_cold(Stage stage) noexcept {
    return stage == Stage::cooling || stage == Stage::cold_holding || stage == Stage::frozen ||
           stage == Stage::thawing;
}

bool further_out(const Reading& a, const Reading& b,
                 const codes::TemperatureLimit& limit) noexcept {
    return limit.clearance(a.value).in(Scale::celsius).thousandths() <
           limit.clearance(b.value).in(Scale::celsius).thousandths();
}

const codes::TemperatureLimit* hold_limit(const codes::Requirement* requirement) noexcept {
    const auto* rule =
        requirement == nullptr ? nullptr : std::get_if<codes::HoldRule>(&requirement->rule);
    return rule == nullptr ? nullptr : &rule->limit;
}

const codes::TemperatureLimit* hold_limit(const Case& c, std::string_view id) noexcept {
    return hold_limit(c.pack().find_one(id, c.lot().food));
}

std::optional<Instant> interpolated(const Reading& a, const Reading& b,
                                    const codes::TemperatureLimit& limit) noexcept {
    const auto figure = limit.printed(a.value.scale());
    if (a.value.scale() != b.value.scale() || !figure || a.value == b.value) {
        return std::nullopt;
    }
    const double share = static_cast<double>(figure->thousandths() - a.value.thousandths()) /
                         static_cast<double>(b.value.thousandths() - a.value.thousandths());
    const double ms = share * static_cast<double>((b.at - a.at).ms());
    return a.at + Span::milliseconds(static_cast<std::int64_t>(ms + 0.5));
}

LimitFigure figure_of(const codes::TemperatureLimit& limit) {
    LimitFigure figure;
    figure.text = limit.to_text();
    figure.fahrenheit = limit.printed(Scale::fahrenheit);
    figure.celsius = limit.printed(Scale::celsius);
    figure.hot_side = limit.wants_hot();
    return figure;
}

Finding start_finding(const codes::Requirement& requirement, const StageSpan& stage,
                      const std::string& point) {
    Finding finding;
    finding.requirement = requirement.id;
    finding.clause = requirement.clause;
    finding.option = requirement.option;
    finding.stage = stage.stage;
    finding.stage_from = stage.from;
    finding.point = point;
    return finding;
}

void add_evidence(Finding& finding, const Reading& reading) {
    finding.evidence.push_back(reading);
    finding.evidence.back().left_out = 0;
    finding.evidence.back().flat = 0;
}

void settle_evidence(Finding& finding) {
    auto& list = finding.evidence;
    std::ranges::stable_sort(list, {}, kAt);
    list.erase(std::unique(list.begin(), list.end()), list.end());
    constexpr std::size_t kMost = 8;
    if (list.size() > kMost) {
        list.erase(list.begin() + kMost / 2, list.end() - kMost / 2);
    }
}

} // namespace holdwarden::judge

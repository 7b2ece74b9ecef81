#include "internal/hypotheses.hpp"

#include "messages.hpp"

#include <holdwarden/base/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

namespace holdwarden::judge {
namespace {

using records::LotHistory;
using records::Reading;
using Kind = Hypotheses::Kind;

std::optional<TemperatureDelta> amount(const CorrectedReading& reading, Kind kind) {
    const auto of = [](const std::optional<PointCorrection>& one) {
        return one ? std::optional{one->correction} : std::nullopt;
    };
    std::optional<TemperatureDelta> own;
    switch (kind) {
    case Kind::by_last:
        own = of(reading.by_last);
        break;
    case Kind::by_next:
        own = of(reading.by_next);
        break;
    case Kind::by_failed:
        own = of(reading.by_failed);
        break;
    case Kind::agreed:
        break;
    }
    return own ? own : reading.agreed;
}

/// Every series of a lot, of the food and of air.
template <class Lot, class Do>
void each_series(Lot& lot, Do work) {
    for (auto& series : lot.points) {
        work(series.readings);
    }
    for (auto& series : lot.air) {
        work(series.readings);
    }
}

TemperatureDelta half_of(TemperatureDelta step) noexcept {
    return TemperatureDelta::of_thousandths((step.thousandths() + 1) / 2, step.scale());
}

std::string degrees(std::int32_t thousandths, Scale scale) {
    return to_text(TemperatureDelta::of_thousandths(thousandths, scale));
}

std::string amount_text(const Shifted& shifted) {
    const std::string least = degrees(shifted.amounts.front(), shifted.scale);
    const std::string most = degrees(shifted.amounts.back(), shifted.scale);
    return least == most ? least : least + " to " + most;
}

using Key = std::tuple<std::string_view, std::string_view, std::string_view, Stage, Instant,
                       std::string_view>;
Key key_of(const Finding& f) {
    return {f.requirement, f.source, f.option, f.stage, f.stage_from, f.point};
}

/// What a finding does to the lot's verdict.
Verdict effect(const Finding& f) {
    return f.counts ? f.verdict : Verdict::ended;
}

/// The reason of a finding, with what it was judged by.
std::string led_by(Kind kind, const Shifted& shifted, const std::string& reason) {
    const std::string who = listed(shifted.probes);
    switch (kind) {
    case Kind::by_last:
        return fmt::format(msg::by_check_before, who, amount_text(shifted), reason);
    case Kind::by_next:
        return fmt::format(msg::by_check_after, who, amount_text(shifted), reason);
    case Kind::by_failed:
        return fmt::format(msg::by_failed_check, who, amount_text(shifted), reason);
    case Kind::agreed:
        break;
    }
    return reason;
}

/// A failed check casts doubt; it does not prove a miss.
void weaken(Finding& finding) {
    finding.acts_as_missed = finding.verdict == Verdict::not_met || finding.acts_as_missed;
    finding.verdict = Verdict::not_shown;
    finding.reason += std::string{" "} + msg::when_not_known;
}

/// Of the chances by what was read and by what a check says the lower one is told.
void take_lower_chance(Finding& into, const Finding& other) {
    if (into.conformity && other.conformity &&
        other.conformity->probability < into.conformity->probability) {
        into.conformity = other.conformity;
    }
}

bool worse_than(Verdict a, Verdict b) {
    return a != b && worse(a, b) == a;
}

} // namespace

Hypotheses::Hypotheses(const LotHistory& lot) : lot_{lot} {
    for (std::size_t i = 0; i < lot.probes.size(); ++i) {
        sessions_.push_back(calibrations(lot.probes[i]));
        if (!sessions_.back().empty()) {
            checked_.push_back(i);
        }
    }
}

std::optional<Shifted> Hypotheses::shifted(Kind kind, std::optional<std::size_t> probe) const {
    if (checked_.empty()) {
        return std::nullopt;
    }
    std::optional<Shifted> moved;
    bool own = kind == Kind::agreed; // moved by more than what all hypotheses share
    std::vector<bool> by_whom(lot_.probes.size());
    LotHistory lot = lot_;
    const auto move = [&](Reading& reading) {
        if (reading.probe >= sessions_.size() || sessions_[reading.probe].empty()) {
            return;
        }
        const CorrectedReading known =
            corrected(reading, lot_.probes[reading.probe], sessions_[reading.probe]);
        const bool meant = !probe || *probe == reading.probe;
        const auto shift = amount(known, meant ? kind : Kind::agreed);
        if (!shift || shift->thousandths() == 0) {
            return;
        }
        own = own || (meant && shift != known.agreed);
        reading.value = holdwarden::shifted(reading.value, *shift);
        by_whom[reading.probe] = true;
        if (!moved) {
            moved.emplace(Shifted{.lot = {},
                                  .probes = {},
                                  .amounts = {shift->thousandths(), shift->thousandths()},
                                  .scale = shift->scale()});
        }
        const std::int32_t here = shift->in(moved->scale).thousandths();
        moved->amounts.front() = std::min(moved->amounts.front(), here);
        moved->amounts.back() = std::max(moved->amounts.back(), here);
    };
    each_series(lot,
                [&](std::vector<Reading>& readings) { std::ranges::for_each(readings, move); });
    if (!moved || !own) {
        return std::nullopt;
    }
    for (std::size_t i = 0; i < by_whom.size(); ++i) {
        if (by_whom[i]) {
            moved->probes.push_back(for_display(lot_.probes[i].name));
            records::Probe& known = lot.probes[i];
            if (known.display_step) {
                known.correction_within = half_of(*known.display_step);
            }
        }
    }
    moved->lot = std::move(lot);
    return moved;
}

std::vector<Hypotheses::Hypothesis> Hypotheses::others() const {
    std::vector<Hypothesis> all;
    for (const Kind kind : {Kind::by_last, Kind::by_next, Kind::by_failed}) {
        std::vector<std::optional<std::size_t>> whose(checked_.begin(), checked_.end());
        if (checked_.size() > 1) {
            whose.emplace_back(); // all of them
        }
        for (const auto& probe : whose) {
            if (auto one = shifted(kind, probe)) {
                all.push_back({kind, std::move(*one)});
            }
        }
    }
    return all;
}

void put_back(std::vector<Finding>& findings, const LotHistory& shifted, const LotHistory& raw) {
    const auto restore = [&](Reading& reading, const std::vector<Reading>& moved,
                             const std::vector<Reading>& read) {
        const auto first =
            std::ranges::lower_bound(moved, reading.at, {}, [](const Reading& r) { return r.at; });
        for (auto at = first; at != moved.end() && at->at == reading.at; ++at) {
            if (*at == reading) {
                reading = read[static_cast<std::size_t>(at - moved.begin())];
                return true;
            }
        }
        return false;
    };
    const auto restore_anywhere = [&](Reading& reading) {
        for (std::size_t i = 0; i < raw.points.size(); ++i) {
            if (restore(reading, shifted.points[i].readings, raw.points[i].readings)) {
                return;
            }
        }
    };
    for (Finding& finding : findings) {
        std::ranges::for_each(finding.evidence, restore_anywhere);
    }
}

void add_hypothesis(LotJudgement& into, Kind kind, const Shifted& shifted,
                    std::vector<Finding> findings) {
    std::vector<bool> used(into.findings.size());
    for (Finding& other : findings) {
        other.reason = led_by(kind, shifted, other.reason);
        std::size_t i = 0;
        while (i < used.size() && (used[i] || key_of(into.findings[i]) != key_of(other))) {
            ++i;
        }
        const bool known = i < used.size();
        const Verdict so_far = known ? effect(into.findings[i]) : Verdict::met;
        if (known) {
            used[i] = true;
            take_lower_chance(into.findings[i], other);
        }
        if (!worse_than(effect(other), so_far)) {
            continue;
        }
        if (kind == Kind::by_failed) {
            const bool undoes =
                worse_than(effect(other), Verdict::open) && worse_than(Verdict::not_shown, so_far);
            if (!undoes) {
                continue;
            }
            weaken(other);
        }
        if (known) {
            into.findings[i] = std::move(other);
        } else {
            into.findings.push_back(std::move(other));
        }
    }
}

} // namespace holdwarden::judge

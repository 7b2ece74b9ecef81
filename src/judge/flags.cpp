// What a finding asks people to do: the pack's advice, chosen by the worst case.
#include "internal/intervals.hpp"
#include "internal/rules.hpp"
#include "messages.hpp"

#include <holdwarden/base/time_text.hpp>
#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::judge {

namespace {

/// The worst-case time a row of advice is chosen by; nullopt: unknown.
std::optional<Span> worst_case_time(const Finding& f, const LotJudgement& j) {
    if (f.requirement == "hot-holding" || f.requirement == "hot-holding-roast") {
        return j.below_hot_limit.latest;
    }
    if (!f.excursions.empty() || !f.gaps.empty()) {
        std::vector<Interval> unsafe;
        for (const Excursion& e : f.excursions) {
            unsafe.push_back({*e.from.earliest, *e.to.latest});
        }
        for (const Gap& g : f.gaps) {
            unsafe.push_back({g.from, g.to});
        }
        return covered_by(unsafe);
    }
    if (f.worst_so_far) {
        return f.worst_so_far;
    }
    return f.elapsed.latest;
}

std::optional<Temperature> worst_value(const Finding& f) {
    if (f.excursions.empty()) {
        return std::nullopt;
    }
    const auto worst = std::ranges::max_element(f.excursions, {}, [&](const Excursion& e) {
        const double degrees = e.worst.in_celsius();
        return f.limit.hot_side ? -degrees : degrees;
    });
    return worst->worst;
}

} // namespace

std::string flag_id(const Finding& f) {
    return fmt::format("{}@{}{}{}", f.requirement, to_utc_text(f.stage_from),
                       f.point.empty() ? "" : "/", f.point);
}

std::vector<Flag> flags_for(const Case& c, const LotJudgement& j) {
    std::vector<Flag> flags;
    for (std::size_t i = 0; i < j.findings.size(); ++i) {
        const Finding& f = j.findings[i];
        const bool asks =
            f.counts && (f.verdict == Verdict::not_met || f.verdict == Verdict::not_shown);
        if (!asks) {
            continue;
        }
        const bool as_unproven = f.verdict == Verdict::not_shown && !f.acts_as_missed;
        const auto time = worst_case_time(f, j);
        const codes::Advice* advice =
            c.pack().advice_for(f.requirement, as_unproven, time, worst_value(f));
        if (advice == nullptr) {
            advice = c.pack().advice_for(f.requirement, !as_unproven, time, worst_value(f));
        }
        Flag flag;
        flag.finding = i;
        flag.id = flag_id(f);
        flag.planned = advice != nullptr && advice->planned;
        if (f.verdict == Verdict::not_shown && f.acts_as_missed) {
            flag.act.push_back(msg::act_as_missed);
        }
        if (c.end() && !ends_food(c.end()->outcome)) {
            flag.act = {fmt::format(msg::act_where_it_went, to_words(c.end()->outcome),
                                    c.day_and_clock(c.end()->at))};
            flag.source = msg::common_practice;
        } else if (c.end()) {
            flag.act = {fmt::format(msg::act_tell_person_in_charge, to_words(c.end()->outcome),
                                    c.day_and_clock(c.end()->at)),
                        msg::act_find_cause};
            flag.source = msg::common_practice;
        } else if (advice != nullptr) {
            flag.act.insert(flag.act.end(), advice->act.begin(), advice->act.end());
            flag.source = advice->source;
        } else {
            flag.act.push_back(msg::act_set_aside);
            flag.source = msg::common_practice;
        }
        flags.push_back(std::move(flag));
    }
    return flags;
}

} // namespace holdwarden::judge

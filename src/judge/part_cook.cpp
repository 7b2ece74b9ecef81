// Cooking in two steps: a first heating that is broken off on purpose, cooling, and the full cook
// that must follow before anybody is served.
#include "internal/rules.hpp"
#include "messages.hpp"

#include <holdwarden/base/time_text.hpp>
#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::judge {

namespace {

/// What became of the food right after a first heating.
enum class Next {
    nothing_yet, ///< it is still being heated
    cooled,      ///< cooling, or straight into the cold
    gone,        ///< its life on record ended there
    elsewhere,   ///< something else was done with it
};

Next next_after(const Case& c, std::size_t i) {
    if (i + 1 < c.stages().size()) {
        const Stage next = c.stages()[i + 1].stage;
        return next == Stage::cooling || next == Stage::cold_holding || next == Stage::frozen
                   ? Next::cooled
                   : Next::elsewhere;
    }
    return c.stages()[i].running ? Next::nothing_yet : Next::gone;
}

/// How long the food was heated in part up to the end of stage `i`: first heatings with no full
/// cook between them add up.
Span heated_in_part(const Case& c, std::size_t i, const std::vector<Finding>& findings) {
    Span heated;
    for (std::size_t k = 0; k <= i; ++k) {
        const StageSpan& stage = c.stages()[k];
        if (stage.stage == Stage::initial_heating) {
            heated += stage.to - stage.from;
        } else if (stage.stage == Stage::cooking && cook_met(findings, stage)) {
            heated = Span{};
        }
    }
    return heated;
}

bool is_first_heating(const Case& c, std::size_t i) {
    return i < c.stages().size() && c.stages()[i].stage == Stage::initial_heating;
}

/// When the first heating began that stage `i` ends. Entered again at once, as where the food was
/// moved to another unit, it goes on.
Instant heating_began(const Case& c, std::size_t i) {
    while (i > 0 && is_first_heating(c, i - 1)) {
        --i;
    }
    return c.stages()[i].from;
}

Finding first_heating(const Case& c, const codes::Requirement& requirement,
                      const codes::WindowRule& rule, std::size_t i, Span heated) {
    const StageSpan& stage = c.stages()[i];
    const Instant began = heating_began(c, i);
    const Next next = next_after(c, i);
    Finding f = start_finding(requirement, stage, "");
    const std::string allowed = to_text(rule.within.span);
    f.limit.text = rule.within.figure_included
                       ? fmt::format(msg::limit_first_heating_within, allowed)
                       : fmt::format(msg::limit_first_heating_less_than, allowed);
    f.limit.within = rule.within.span;
    f.limit.time_included = rule.within.figure_included;
    f.elapsed = {heated, std::nullopt, heated};
    f.margin.time = rule.within.span - heated;
    const std::string times = fmt::format(msg::heated_from_to, c.clock(began), c.clock(stage.to),
                                          to_text(heated), allowed);
    if (!rule.within.allows(heated)) {
        f.verdict = Verdict::not_met;
        f.reason = times;
        return f;
    }
    switch (next) {
    case Next::nothing_yet:
        f.verdict = Verdict::open;
        f.reason = fmt::format(msg::heated_since, c.clock(began), to_text(heated), allowed);
        f.settle =
            fmt::format(msg::cooling_by_settles, c.clock(c.now() + (rule.within.span - heated)));
        break;
    case Next::cooled:
        f.verdict = Verdict::met;
        f.reason = times;
        break;
    case Next::gone:
        f.verdict = Verdict::ended;
        f.reason = times;
        break;
    case Next::elsewhere:
        f.verdict = Verdict::not_met;
        f.reason = fmt::format(msg::not_cooled_at_once, to_words(c.stages()[i + 1].stage),
                               c.clock(stage.to));
        break;
    }
    return f;
}

bool cooked_later(const Case& c, std::size_t i) {
    return std::any_of(c.stages().begin() + static_cast<std::ptrdiff_t>(i), c.stages().end(),
                       [](const StageSpan& s) { return s.stage == Stage::cooking; });
}

/// Food heated in part only: the full cook is still to come, or it never came.
Finding missing_cook(const Case& c, const codes::Requirement& requirement, const StageSpan& stage) {
    Finding f = start_finding(requirement, stage, "");
    f.limit.text = requirement.says;
    f.notes.emplace_back(msg::first_heating_cooks_nothing);
    if (!c.end()) {
        f.verdict = Verdict::open;
        f.reason = msg::no_full_cook_yet;
        f.settle = msg::full_cook_settles;
    } else if (c.end()->outcome == Outcome::served) {
        f.verdict = Verdict::not_met;
        f.reason = fmt::format(msg::served_half_cooked, c.day_and_clock(c.end()->at));
    } else {
        f.verdict = Verdict::ended;
        f.reason = fmt::format(msg::gone_half_cooked, to_words(c.end()->outcome),
                               c.day_and_clock(c.end()->at));
    }
    return f;
}

} // namespace

void judge_part_cook(const Case& c, std::vector<Finding>& findings) {
    const codes::Requirement* heating = c.pack().find_one("initial-heating", c.lot().food);
    const auto* rule =
        heating == nullptr ? nullptr : std::get_if<codes::WindowRule>(&heating->rule);
    std::vector<Finding> found;
    for (std::size_t i = 0; i < c.stages().size(); ++i) {
        if (!is_first_heating(c, i) || is_first_heating(c, i + 1)) {
            continue; // the last entry of a heating tells of all of it
        }
        if (rule != nullptr) {
            found.push_back(first_heating(c, *heating, *rule, i, heated_in_part(c, i, findings)));
        }
        if (!cooked_later(c, i)) {
            for (const codes::Requirement* cook : c.pack().find("cooking", c.lot().food)) {
                found.push_back(missing_cook(c, *cook, c.stages()[i]));
            }
        }
    }
    findings.insert(findings.end(), std::make_move_iterator(found.begin()),
                    std::make_move_iterator(found.end()));
}

bool cook_in_full(const Case& c, std::size_t i, const std::vector<Finding>& findings) {
    if (c.stages()[i].stage != Stage::cooking || !cook_met(findings, c.stages()[i])) {
        return false;
    }
    for (std::size_t k = i; k-- > 0;) {
        if (c.stages()[k].stage == Stage::initial_heating) {
            return true;
        }
        if (c.stages()[k].stage == Stage::cooking && cook_met(findings, c.stages()[k])) {
            return false;
        }
    }
    return false;
}

std::optional<Instant> first_heated(const Case& c, std::size_t before) noexcept {
    std::optional<Instant> began;
    for (std::size_t k = before; k-- > 0;) {
        const Stage stage = c.stages()[k].stage;
        if (stage == Stage::initial_heating) {
            began = c.stages()[k].from;
        } else if (stage == Stage::cooking || stage == Stage::reheating || is_hot_hold(stage) ||
                   stage == Stage::time_control) {
            return std::nullopt;
        }
    }
    return began;
}

} // namespace holdwarden::judge

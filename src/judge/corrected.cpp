// What people said of readings, and what was amended, as it bears on the verdicts: the judging
// itself is the caller's.
#include "internal/case.hpp"
#include "internal/rules.hpp"
#include "messages.hpp"

#include <holdwarden/judge/judge.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <vector>

namespace holdwarden::judge {
namespace {

using records::Amendment;
using records::LotHistory;
using records::MarkKind;
using records::Reading;
using records::ReadingMark;
using Judging = std::function<LotJudgement(const LotHistory&)>;

enum class Leaving {
    all,           ///< leave out every reading that is set aside
    verified_only, ///< leave out those a second person verified
};

bool left_out(const ReadingMark* mark, Leaving leaving) noexcept {
    return mark != nullptr && mark->kind == MarkKind::set_aside &&
           (leaving == Leaving::all || !mark->verified_by.empty());
}

/// The history without the readings that are set aside; what is suspect is found anew, since a
/// wrong reading may have put its neighbours under suspicion.
void leave_out(const LotHistory& marked, Leaving leaving, LotHistory& rest) {
    for (records::PointSeries& point : rest.points) {
        std::erase_if(point.readings, [&](const Reading& reading) {
            return left_out(mark_on(marked, rest, point.point, reading), leaving);
        });
        for (Reading& reading : point.readings) {
            reading.suspect = false;
        }
    }
    for (records::AirSeries& air : rest.air) {
        std::erase_if(air.readings, [&](const Reading& reading) {
            return left_out(mark_on(marked, rest, air.unit, reading), leaving);
        });
    }
    for (LotHistory& source : rest.sources) {
        leave_out(marked, leaving, source);
    }
}

LotHistory without(const LotHistory& lot, Leaving leaving) {
    LotHistory rest = lot;
    leave_out(lot, leaving, rest);
    mark_suspects(rest);
    return rest;
}

/// How many readings each mark decides about (the last mark on a reading does).
void count_marks(const LotHistory& marked, const LotHistory& lot, Instant as_of,
                 std::vector<std::size_t>& counts) {
    const auto count = [&](const std::string& series, const std::vector<Reading>& readings) {
        for (const Reading& reading : readings) {
            if (const ReadingMark* mark = mark_on(marked, lot, series, reading);
                mark != nullptr && reading.at <= as_of) {
                ++counts[static_cast<std::size_t>(mark - marked.marks.data())];
            }
        }
    };
    for (const records::PointSeries& point : lot.points) {
        count(point.point, point.readings);
    }
    for (const records::AirSeries& air : lot.air) {
        count(air.unit, air.readings);
    }
    for (const LotHistory& source : lot.sources) {
        count_marks(marked, source, as_of, counts);
    }
}

std::vector<std::size_t> readings_of_marks(const LotHistory& lot, Instant as_of) {
    std::vector<std::size_t> counts(lot.marks.size());
    count_marks(lot, lot, as_of, counts);
    return counts;
}

bool same_question(const Finding& a, const Finding& b) {
    return a.through == b.through && a.requirement == b.requirement && a.source == b.source &&
           a.option == b.option && a.stage == b.stage && a.stage_from == b.stage_from &&
           a.point == b.point;
}

/// The finding of `others` that answers what `findings[index]` does: where several ask the same (a
/// cooling begun anew), by their order.
const Finding* answer_to(const std::vector<Finding>& findings, std::size_t index,
                         const std::vector<Finding>& others) {
    const auto asks_it = [&](const Finding& f) { return same_question(f, findings[index]); };
    auto before = std::count_if(findings.begin(),
                                findings.begin() + static_cast<std::ptrdiff_t>(index), asks_it);
    for (const Finding& other : others) {
        if (asks_it(other) && before-- == 0) {
            return &other;
        }
    }
    return nullptr;
}

/// Takes over `from`'s flags on its finding `old_index` for finding `index` of `into`.
void take_flags(LotJudgement& into, std::size_t index, const LotJudgement& from,
                std::size_t old_index) {
    std::erase_if(into.flags, [&](const Flag& flag) { return flag.finding == index; });
    for (Flag flag : from.flags) {
        if (flag.finding == old_index) {
            flag.finding = index;
            into.flags.push_back(std::move(flag));
        }
    }
}

/// Each finding as the worse of the two has it, with a note on the other.
LotJudgement worse_of_each(LotJudgement recorded, const LotJudgement& aside) {
    const std::size_t shared = recorded.findings.size();
    for (std::size_t i = 0; i < shared; ++i) {
        const Finding* other = answer_to(recorded.findings, i, aside.findings);
        Finding& now = recorded.findings[i];
        if (other == nullptr || other->verdict == now.verdict) {
            continue;
        }
        if (worse(other->verdict, now.verdict) == other->verdict) {
            const Verdict was = now.verdict;
            now = *other;
            now.notes.push_back(fmt::format(msg::left_out_worse, to_words(was)));
            take_flags(recorded, i, aside, static_cast<std::size_t>(other - aside.findings.data()));
        } else {
            now.notes.push_back(fmt::format(msg::as_recorded_worse, to_words(other->verdict)));
        }
    }
    const std::vector<Finding> of_record = recorded.findings;
    for (std::size_t i = 0; i < aside.findings.size(); ++i) {
        if (answer_to(aside.findings, i, of_record) == nullptr) {
            recorded.findings.push_back(aside.findings[i]);
            take_flags(recorded, recorded.findings.size() - 1, aside, i);
        }
    }
    recorded.overall = worse(recorded.overall, aside.overall);
    if (recorded.house_overall && aside.house_overall) {
        recorded.house_overall = worse(*recorded.house_overall, *aside.house_overall);
    } else if (aside.house_overall) {
        recorded.house_overall = aside.house_overall;
    }
    return recorded;
}

void note_marks(const LotHistory& lot, const std::vector<std::size_t>& counts, Instant as_of,
                LotJudgement& j) {
    for (std::size_t i = 0; i < lot.marks.size(); ++i) {
        if (counts[i] == 0) {
            continue;
        }
        const ReadingMark& mark = lot.marks[i];
        const bool one = counts[i] == 1;
        if (mark.kind == MarkKind::confirmed) {
            j.notes.push_back(
                either(one, msg::confirmed_one, msg::confirmed_many, counts[i], mark.by, mark.why));
        } else if (mark.verified_by.empty()) {
            j.notes.push_back(
                either(one, msg::set_aside_one, msg::set_aside_many, counts[i], mark.by, mark.why));
        } else {
            j.notes.push_back(either(one, msg::set_aside_verified_one, msg::set_aside_verified_many,
                                     counts[i], mark.by, mark.why, mark.verified_by));
        }
        const auto later = std::ranges::count_if(
            mark.came_later, [&](const records::Shown& s) { return s.at <= as_of; });
        if (later > 0) {
            j.notes.push_back(
                either(later == 1, msg::came_later_one, msg::came_later_many, later, mark.by));
        }
    }
}

LotJudgement judge_with_marks(const LotHistory& lot, const Settings& settings,
                              const Judging& judge) {
    if (lot.marks.empty()) {
        return judge(lot);
    }
    const std::vector<std::size_t> counts = readings_of_marks(lot, settings.as_of);
    std::size_t aside = 0;
    bool verified = true;
    for (std::size_t i = 0; i < lot.marks.size(); ++i) {
        if (lot.marks[i].kind == MarkKind::set_aside && counts[i] > 0) {
            aside += counts[i];
            verified = verified && !lot.marks[i].verified_by.empty();
        }
    }
    LotJudgement j;
    if (aside == 0) {
        j = judge(lot);
    } else {
        // A history outlives the judgement of it: rules keep references while they judge.
        const LotHistory rest = without(lot, Leaving::all);
        LotJudgement left = judge(rest);
        const LotJudgement whole = judge(lot);
        const SetAside both{.as_recorded = whole.overall,
                            .left_out = left.overall,
                            .verified = verified,
                            .readings = aside};
        if (verified) {
            for (std::size_t i = 0; i < left.findings.size(); ++i) {
                Finding& finding = left.findings[i];
                const Finding* other = answer_to(left.findings, i, whole.findings);
                if (other != nullptr && other->verdict != finding.verdict) {
                    finding.notes.push_back(
                        fmt::format(msg::with_set_aside, to_words(other->verdict)));
                }
            }
            j = std::move(left);
        } else {
            const LotHistory recorded = without(lot, Leaving::verified_only);
            j = worse_of_each(judge(recorded), left);
        }
        j.set_aside = both;
    }
    note_marks(lot, counts, settings.as_of, j);
    return j;
}

/// An amended reading among those that decide.
void note_evidence(const Case& c, const LotHistory& lot, Finding& finding) {
    for (const Reading& reading : finding.evidence) {
        for (const Amendment& made : lot.amendments) {
            const auto value =
                std::ranges::find(made.changes, "value", &records::FactChange::field);
            if (made.of != Amendment::Of::reading || !made.stands || made.voided ||
                reading.origin != records::Origin::typed || made.at != reading.at ||
                made.value != reading.value ||
                (!finding.point.empty() && made.point != finding.point)) {
                continue;
            }
            const std::string at = c.day_and_clock(reading.at);
            finding.notes.push_back(value == made.changes.end()
                                        ? fmt::format(msg::reading_amended, at, made.by, made.why)
                                        : fmt::format(msg::reading_amended_value, at, value->now,
                                                      value->was, made.by, made.why));
        }
    }
}

void note_amendments(const LotHistory& lot, const Settings& settings, const LotJudgement& first,
                     LotJudgement& j) {
    const codes::Pack no_code; // for the times only
    const Case c{lot, no_code, settings};
    for (std::size_t i = 0; i < j.findings.size(); ++i) {
        Finding& finding = j.findings[i];
        note_evidence(c, lot, finding);
        const Finding* was = answer_to(j.findings, i, first.findings);
        if (was != nullptr && was->verdict != finding.verdict) {
            finding.notes.push_back(fmt::format(msg::amended_decide, to_words(was->verdict)));
        }
    }
    j.as_first_recorded = first.overall;
    j.notes.push_back(either(first.overall == j.overall, msg::amended_same, msg::amended_other,
                             either(lot.amendments.size() == 1, msg::amendment_one,
                                    msg::amendment_many, lot.amendments.size()),
                             to_words(first.overall)));
}

} // namespace

const ReadingMark* mark_on(const LotHistory& lot, const LotHistory& life, std::string_view series,
                           const Reading& reading) noexcept {
    const auto last =
        std::find_if(lot.marks.rbegin(), lot.marks.rend(),
                     [&](const ReadingMark& mark) { return covers(mark, life, series, reading); });
    return last == lot.marks.rend() ? nullptr : &*last;
}

const ReadingMark* mark_on(const LotHistory& lot, std::string_view series,
                           const Reading& reading) noexcept {
    return mark_on(lot, lot, series, reading);
}

LotJudgement judge_as_told(const LotHistory& lot, const Settings& settings, const Judging& judge) {
    LotJudgement j = judge_with_marks(lot, settings, judge);
    if (lot.first_recorded != nullptr) {
        LotHistory first = *lot.first_recorded;
        mark_suspects(first);
        note_amendments(lot, settings, judge_with_marks(first, settings, judge), j);
    }
    return j;
}

} // namespace holdwarden::judge

// A merged lot takes the worst clock, the earliest day 1 and the most reheats of its sources: it is
// judged once as each of them lived it, and of each finding the worst is kept.
#include "internal/merged.hpp"

#include "messages.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/records/lives.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>
#include <tuple>

namespace holdwarden::judge {

namespace {

/// What makes findings of several lives the same question.
using Question =
    std::tuple<std::string, std::string, std::string, Stage, Instant, std::string, std::string>;

Question question_of(const Finding& f) {
    return {f.through, f.requirement, f.option, f.stage, f.stage_from, f.point, f.source};
}

/// Whether `a` weighs more than `b`: what counts before what does not, then the verdict, then the
/// longer worst case, then the smaller margin.
bool weighs_more(const Finding& a, const Finding& b) {
    const auto longest = [](const Finding& f) {
        return std::max(f.elapsed.latest.value_or(Span{}), f.worst_so_far.value_or(Span{}));
    };
    const auto margin = [](const Finding& f) {
        return f.margin.time ? f.margin.time->ms() : INT64_MAX;
    };
    return std::tuple{a.counts, a.verdict, a.acts_as_missed, longest(a), -margin(a)} >
           std::tuple{b.counts, b.verdict, b.acts_as_missed, longest(b), -margin(b)};
}

struct Kept {
    Finding finding;
    std::optional<Flag> flag;
    std::string life; ///< the first lot of the life it comes from
    bool differs = false;
};

/// The finding of one life joins those of the others.
void keep(std::map<Question, Kept>& all, Kept one) {
    const Question question = question_of(one.finding);
    const auto found = all.find(question);
    if (found == all.end()) {
        all.emplace(question, std::move(one));
        return;
    }
    Kept& other = found->second;
    const bool differs = other.differs || other.finding.verdict != one.finding.verdict;
    if (weighs_more(one.finding, other.finding)) {
        other = std::move(one);
    }
    other.differs = differs;
}

void take_worst(SpanBracket& total, const SpanBracket& one) {
    const auto longer = [](std::optional<Span> a, std::optional<Span> b) {
        return a && b ? std::max(*a, *b) : a ? a : b;
    };
    total.earliest = longer(total.earliest, one.earliest);
    total.latest = longer(total.latest, one.latest);
}

void add_new(std::vector<std::string>& notes, const std::vector<std::string>& more) {
    for (const std::string& note : more) {
        if (std::ranges::find(notes, note) == notes.end()) {
            notes.push_back(note);
        }
    }
}

/// "Merged from brisket-1 and beans-2: ..."
std::string merged_note(const records::LotHistory& lot) {
    std::vector<std::string> names;
    for (const records::LotHistory& source : lot.sources) {
        names.push_back(source.name);
    }
    return fmt::format(msg::merged_from, listed(names));
}

} // namespace

LotJudgement judge_merged(const records::LotHistory& lot, const codes::Pack& pack,
                          const Settings& settings, const Part& part) {
    LotJudgement all;
    all.lot = lot.name;
    all.food = lot.food;
    all.overall = Verdict::ended;
    all.notes.push_back(merged_note(lot));
    std::map<Question, Kept> kept;
    for (const records::Life& life : records::lives_of(lot)) {
        LotJudgement one = judge_life(life.history, pack, settings, part);
        if (part.whole()) {
            note_nothing_judged(one);
        }
        all.judged_by = one.judged_by;
        std::ranges::move(one.cooks, std::back_inserter(all.cooks));
        for (std::size_t i = 0; i < one.findings.size(); ++i) {
            Kept found{one.findings[i], {}, life.spells.front().lot};
            if (life.only_from && found.finding.stage_from < *life.only_from) {
                continue;
            }
            const std::string& in = records::lot_at(life, found.finding.stage_from);
            found.finding.through = in == lot.name ? "" : in;
            const auto flag = std::ranges::find(one.flags, i, &Flag::finding);
            if (flag != one.flags.end()) {
                found.flag = *flag;
            }
            keep(kept, std::move(found));
        }
        if (one.findings.empty()) {
            all.overall = worse(all.overall, one.overall);
        }
        take_worst(all.below_hot_limit, one.below_hot_limit);
        take_worst(all.between_limits, one.between_limits);
        add_new(all.notes, one.notes);
    }
    for (auto& [question, k] : kept) {
        Finding& f = k.finding;
        if (!f.through.empty()) {
            f.notes.push_back(fmt::format(msg::began_before_merging, f.through));
        } else if (k.differs) {
            f.notes.push_back(fmt::format(msg::worst_of_sources, k.life));
        }
        if (k.flag) {
            k.flag->id = f.through.empty() ? k.flag->id : f.through + "/" + k.flag->id;
        }
    }
    std::vector<Kept> ordered;
    for (auto& [question, k] : kept) {
        ordered.push_back(std::move(k));
    }
    std::ranges::stable_sort(ordered, {}, [](const Kept& k) { return k.finding.stage_from; });
    for (Kept& k : ordered) {
        if (k.finding.counts) {
            all.overall = worse(all.overall, k.finding.verdict);
        }
        if (k.flag) {
            k.flag->finding = all.findings.size();
            all.flags.push_back(std::move(*k.flag));
        }
        all.findings.push_back(std::move(k.finding));
    }
    return all;
}

} // namespace holdwarden::judge

// How long food was out of temperature control.
#include "internal/time_out.hpp"

#include <algorithm>

namespace holdwarden::judge {

namespace {

/// Walks one outing; what ends it is left for the caller to go on from.
class Walk {
public:
    Walk(const Case& c, std::size_t first, bool counts_cooks)
        : stages_{c.stages()}, counts_cooks_{counts_cooks}, next_{first} {
        out_.from = stages_[first].from;
        while (next_ < stages_.size() && goes_on(stages_[next_])) {
            take(next_++);
        }
        if (next_ < stages_.size()) {
            out_.back = &stages_[next_];
        }
    }

    std::size_t next() const noexcept { return next_; }
    const Outing& outing() const noexcept { return out_; }

private:
    /// A cook goes on to the plate, by way of a rest; any other stage is a return.
    bool goes_on(const StageSpan& stage) const noexcept {
        return stage.stage == Stage::time_control || stage.stage == Stage::preparing ||
               stage.stage == Stage::cooking || (stage.stage == Stage::resting && cooked_);
    }

    void take(std::size_t i) {
        const StageSpan& stage = stages_[i];
        if (stage.stage == Stage::time_control) {
            if (!in_spell_) {
                out_.spells_from.push_back(stage.from);
                out_.spell_from = stage.from;
            }
            in_spell_ = true;
            out_.entries.push_back(i);
        } else if (stage.stage == Stage::cooking) {
            in_spell_ = false;
        }
        // `preparing` between a cook and a rest cooks nothing, and undoes no cook.
        cooked_ = stage.stage == Stage::cooking || (cooked_ && stage.stage != Stage::time_control);
        const bool counted = in_spell_ || counts_cooks_;
        if (counted) {
            out_.counted += stage.to - stage.from;
            out_.to = stage.to;
        }
        out_.running = counted && stage.running;
    }

    const std::vector<StageSpan>& stages_;
    bool counts_cooks_;
    std::size_t next_;
    Outing out_;
    bool in_spell_ = false;
    bool cooked_ = false;
};

} // namespace

bool counts_cooks(const codes::TimeControlRule& rule) noexcept {
    return !rule.return_within && !rule.one_spell;
}

std::vector<Outing> outings_of(const Case& c, bool counts_cooks) {
    std::vector<Outing> outings;
    for (std::size_t i = 0; i < c.stages().size();) {
        if (c.stages()[i].stage != Stage::time_control) {
            ++i;
            continue;
        }
        const Walk walk{c, i, counts_cooks};
        outings.push_back(walk.outing());
        i = walk.next();
    }
    return outings;
}

FormAsked form_asked(const Case& c) {
    FormAsked asked{.any_six = false, .all_six = true};
    for (const StageSpan& stage : c.stages()) {
        if (stage.stage == Stage::time_control) {
            const bool six = stage.entry->form == records::TimeControlForm::six_hours;
            asked.any_six = asked.any_six || six;
            asked.all_six = asked.all_six && six;
        }
    }
    asked.all_six = asked.all_six && asked.any_six;
    return asked;
}

bool still_out(const Case& c) {
    const std::vector<Outing> outings = outings_of(c, true);
    return !outings.empty() && outings.back().back == nullptr;
}

Span time_out(const std::vector<Outing>& outings) {
    Span sum;
    for (const Outing& outing : outings) {
        sum += outing.counted;
    }
    return sum;
}

} // namespace holdwarden::judge

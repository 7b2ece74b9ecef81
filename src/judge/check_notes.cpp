// What is said of readings whose thermometer had no check in date.
#include "internal/hypotheses.hpp"
#include "messages.hpp"

#include <holdwarden/base/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <string>

namespace holdwarden::judge {
namespace {

using records::Probe;
using records::Reading;

/// Why a reading's thermometer is not vouched for.
struct Trouble {
    enum class Kind { none, no_check, not_before, failed, due };
    Kind kind = Kind::none;
    const Probe* probe = nullptr;
    const records::CheckPoint* check = nullptr;       ///< the one that failed
    const records::OverdueStretch* overdue = nullptr; ///< when the next one was due

    friend bool operator==(const Trouble&, const Trouble&) noexcept = default;
};

Trouble trouble_of(const Case& c, const Reading& reading) {
    using enum Trouble::Kind;
    const Probe* probe = c.probe_of(reading);
    if (probe == nullptr || (!probe->checks_kept && !probe->last_check)) {
        return {.kind = no_check, .probe = probe};
    }
    if (!probe->checks_kept) {
        return {};
    }
    const records::CheckPoint* last = nullptr;
    for (const auto& check : probe->checks) {
        last = check.at <= reading.at ? &check : last;
    }
    if (last == nullptr) {
        return {.kind = not_before, .probe = probe};
    }
    if (!last->usable) {
        return {.kind = failed, .probe = probe, .check = last};
    }
    for (const records::OverdueStretch& stretch : probe->overdue) {
        if (stretch.from < reading.at && (!stretch.to || reading.at < *stretch.to)) {
            return {.kind = due, .probe = probe, .overdue = &stretch};
        }
    }
    return {};
}

/// Empty where there is none.
std::string in_words(const Case& c, const Trouble& trouble) {
    switch (trouble.kind) {
    case Trouble::Kind::none:
        break;
    case Trouble::Kind::no_check:
        return msg::no_check_on_record;
    case Trouble::Kind::not_before:
        return fmt::format(msg::not_checked_before, for_display(trouble.probe->name));
    case Trouble::Kind::failed:
        return fmt::format(msg::check_had_failed, for_display(trouble.probe->name),
                           trouble.check->method, c.day_and_clock(trouble.check->at));
    case Trouble::Kind::due:
        return fmt::format(msg::check_was_due, for_display(trouble.probe->name),
                           c.day_and_clock(trouble.overdue->from));
    }
    return "";
}

void add_once(std::vector<std::string>& notes, const std::string& note) {
    if (!note.empty() && std::ranges::find(notes, note) == notes.end()) {
        notes.push_back(note);
    }
}

/// The readings a finding speaks of: those of its point, or of every point, during its stage.
template <class Do>
void each_reading(const Case& c, const Finding& f, Do work) {
    for (const StageSpan& stage : c.stages()) {
        if (stage.stage != f.stage || stage.from != f.stage_from) {
            continue;
        }
        for (const Case::Series& series : c.series()) {
            if (f.point.empty() || f.point == series.point) {
                std::ranges::for_each(between(series.readings, stage.from, stage.to), work);
            }
        }
    }
    std::ranges::for_each(f.evidence, work);
}

} // namespace

void note_checks(const Case& c, LotJudgement& j) {
    const bool kept = std::ranges::any_of(c.lot().probes, &Probe::checks_kept);
    for (Finding& f : j.findings) {
        Trouble before; // most readings have what the one before them had
        const auto note = [&](const Reading& reading) {
            const Trouble trouble = trouble_of(c, reading);
            if (trouble != before) {
                add_once(f.notes, in_words(c, trouble));
                before = trouble;
            }
        };
        if (kept) {
            each_reading(c, f, note);
        } else {
            std::ranges::for_each(f.evidence, note);
        }
    }
    if (!kept) {
        return;
    }
    std::map<const Probe*, std::size_t> by_probe;
    for (const Case::Series& series : c.series()) {
        for (const Reading& reading : series.readings) {
            const Trouble trouble = trouble_of(c, reading);
            if (trouble.probe != nullptr) {
                by_probe[trouble.probe] += count_of({&reading, 1});
            }
        }
    }
    std::map<std::string, std::size_t> unvouched;
    for (const auto& [probe, count] : by_probe) {
        unvouched[for_display(probe->name)] += count;
    }
    for (const auto& [name, count] : unvouched) {
        j.notes.push_back(either(count == 1, msg::unchecked_reading_one,
                                 msg::unchecked_reading_many, count, name));
    }
}

} // namespace holdwarden::judge

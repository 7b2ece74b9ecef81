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

/// Why a reading's thermometer is not vouched for; empty: it is, or it is of a file.
std::string trouble_of(const Case& c, const Reading& reading) {
    const Probe* probe = c.probe_of(reading);
    if (probe == nullptr || (!probe->checks_kept && !probe->last_check)) {
        return msg::no_check_on_record;
    }
    if (!probe->checks_kept) {
        return "";
    }
    const std::string name = for_display(probe->name);
    const records::CheckPoint* last = nullptr;
    for (const auto& check : probe->checks) {
        last = check.at <= reading.at ? &check : last;
    }
    if (last == nullptr) {
        return fmt::format(msg::not_checked_before, name);
    }
    if (!last->usable) {
        return fmt::format(msg::check_had_failed, name, last->method, c.day_and_clock(last->at));
    }
    for (const records::OverdueStretch& stretch : probe->overdue) {
        if (stretch.from < reading.at && (!stretch.to || reading.at < *stretch.to)) {
            return fmt::format(msg::check_was_due, name, c.day_and_clock(stretch.from));
        }
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
        const auto note = [&](const Reading& reading) {
            add_once(f.notes, trouble_of(c, reading));
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
    std::map<std::string, std::size_t> unvouched;
    for (const Case::Series& series : c.series()) {
        for (const Reading& reading : series.readings) {
            const Probe* probe = c.probe_of(reading);
            if (probe != nullptr && !trouble_of(c, reading).empty()) {
                unvouched[for_display(probe->name)] += count_of({&reading, 1});
            }
        }
    }
    for (const auto& [name, count] : unvouched) {
        j.notes.push_back(either(count == 1, msg::unchecked_reading_one,
                                 msg::unchecked_reading_many, count, name));
    }
}

} // namespace holdwarden::judge

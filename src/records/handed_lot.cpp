// The text of a handed lot: each kind of line is described once, for writing and for reading.
#include "handed_lot_lines.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/base/zone.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/records/handing.hpp>

#include <algorithm>
#include <array>
#include <utility>

namespace holdwarden::records {
namespace {

constexpr int kDeepest = 16; ///< merges of merges, and first records: more than a kitchen makes
constexpr std::string_view kEnd = "end-lot";

template <class T>
T plain_blank() {
    return T{};
}

CheckPoint blank_check() {
    return {.at = {},
            .shown_found = Temperature::of_thousandths(0, Scale::celsius),
            .truth = Temperature::of_thousandths(0, Scale::celsius),
            .shown_left = {},
            .method = {}};
}

/// The fields of a line, in the order in which they are named.
template <class Lines>
class Fields {
public:
    explicit Fields(Lines& lines) : lines_{lines} {}

    void text(std::string& value) { lines_.text(value); }

    void flag(bool& value) {
        std::int64_t number = value ? 1 : 0;
        integer(number, 0, 1);
        value = number == 1;
    }

    template <class Integer>
    void integer(Integer& value, std::int64_t least, std::int64_t most) {
        auto number = static_cast<std::int64_t>(value);
        lines_.integer(number);
        if constexpr (Lines::kReads) {
            if (number < least || number > most) {
                lines_.fail(fmt::format("{} is not in {} to {}", number, least, most));
            }
        }
        value = static_cast<Integer>(number);
    }

    void time(Instant& value) {
        std::int64_t ms = value.unix_ms();
        // What held before anything was said holds from the beginning of time.
        integer(ms, INT64_MIN, kLatestMs);
        value = Instant::from_unix_ms(ms);
    }

    void span(Span& value) {
        std::int64_t ms = value.ms();
        integer(ms, 1, kLatestMs);
        value = Span::milliseconds(ms);
    }

    template <class Degrees>
    void degrees(Degrees& value) {
        auto thousandths = static_cast<std::int64_t>(value.thousandths());
        integer(thousandths, -10'000'000, 10'000'000);
        bool fahrenheit = value.scale() == Scale::fahrenheit;
        word(fahrenheit,
             std::array<std::pair<bool, std::string_view>, 2>{{{true, "F"}, {false, "C"}}});
        value = Degrees::of_thousandths(static_cast<std::int32_t>(thousandths),
                                        fahrenheit ? Scale::fahrenheit : Scale::celsius);
        if constexpr (Lines::kReads && std::is_same_v<Degrees, Temperature>) {
            if (!plausible(value)) {
                lines_.fail("a temperature is outside the range that is judged");
            }
        }
    }

    template <class Value, std::size_t N>
    void word(Value& value, const std::array<std::pair<Value, std::string_view>, N>& words) {
        std::string name;
        for (const auto& [one, as_text] : words) {
            if (one == value) {
                name = as_text;
            }
        }
        lines_.text(name);
        if constexpr (Lines::kReads) {
            const auto found =
                std::ranges::find(words, name, [](const auto& pair) { return pair.second; });
            if (found == words.end()) {
                lines_.fail("'" + for_display(name, 40) + "' is not known here");
            }
            value = found->first;
        }
    }

    template <class Word>
    void named(Word& value, std::optional<Word> (*read)(std::string_view) noexcept) {
        std::string name{to_name(value)};
        lines_.text(name);
        if constexpr (Lines::kReads) {
            const auto found = read(name);
            if (!found) {
                lines_.fail("'" + for_display(name, 40) + "' is not known here");
            }
            value = *found;
        }
    }

    /// An empty field, or what `field` says; of degrees the scale's field goes with it.
    template <class Value, class Field>
    void maybe(std::optional<Value>& value, Value blank, Field field, int fields = 1) {
        if constexpr (Lines::kReads) {
            if (lines_.skip_empty()) {
                for (int more = 1; more < fields; ++more) {
                    if (!lines_.skip_empty()) {
                        lines_.fail("half a value");
                    }
                }
                value.reset();
                return;
            }
            value = blank;
            field(*value);
        } else {
            if (value) {
                field(*value);
                return;
            }
            for (int more = 0; more < fields; ++more) {
                lines_.nothing();
            }
        }
    }
    void maybe_time(std::optional<Instant>& value) {
        maybe(value, Instant{}, [&](Instant& at) { time(at); });
    }
    template <class Degrees>
    void maybe_degrees(std::optional<Degrees>& value) {
        maybe(
            value, Degrees::of_thousandths(0, Scale::celsius), [&](Degrees& d) { degrees(d); }, 2);
    }
    void maybe_integer(std::optional<std::int64_t>& value, std::int64_t least, std::int64_t most) {
        maybe(value, std::int64_t{0}, [&](std::int64_t& n) { integer(n, least, most); });
    }

    template <class T, class Describe, class After>
    void many(std::string_view kind, std::vector<T>& list, Describe describe, After after) {
        lines_.many(kind, list, plain_blank<T>, describe, after);
    }
    template <class T, class Describe>
    void many(std::string_view kind, std::vector<T>& list, Describe describe) {
        many(kind, list, describe, [](T& /*one*/) {});
    }

    void rules(std::vector<RulesThere>& list) {
        many(
            "rules", list,
            [&](RulesThere& r) {
                time(r.from);
                text(r.code);
                text(r.title);
                text(r.sha256);
                span(r.largest_interval);
            },
            [&](RulesThere& r) {
                many("house", r.house, [&](HouseLimitThere& h) {
                    text(h.requirement);
                    maybe_degrees(h.at);
                    maybe(h.within, Span{}, [&](Span& s) { span(s); });
                    time(h.since);
                    text(h.who);
                    text(h.why);
                    text(h.variance);
                });
            });
    }

    void readings(std::vector<Reading>& list) {
        many("r", list, [&](Reading& r) {
            time(r.at);
            degrees(r.value);
            integer(r.probe, 0, 10'000);
            integer(r.watched_s, 0, 65'535);
            origin(r.origin);
        });
    }

    void origin(Origin& value) {
        word(value, std::array<std::pair<Origin, std::string_view>, 2>{
                        {{Origin::logged, "logged"}, {Origin::typed, "typed"}}});
    }

    void probes(std::vector<Probe>& list) {
        many(
            "probe", list,
            [&](Probe& p) {
                text(p.name);
                maybe_degrees(p.accuracy);
                maybe_time(p.last_check);
                maybe_degrees(p.display_step);
                flag(p.checks_kept);
            },
            [&](Probe& p) {
                lines_.many(
                    "check", p.checks, blank_check,
                    [&](CheckPoint& c) {
                        time(c.at);
                        degrees(c.shown_found);
                        degrees(c.truth);
                        maybe_degrees(c.shown_left);
                        flag(c.passed);
                        flag(c.usable);
                        text(c.method);
                    },
                    [](CheckPoint& /*c*/) {});
                many("overdue", p.overdue, [&](OverdueStretch& o) {
                    time(o.from);
                    maybe_time(o.to);
                });
            });
    }

    void life(LotHistory& h) {
        std::vector<std::int64_t> lots;
        for (const LotId lot : h.told_from) {
            lots.push_back(lot.value());
        }
        many("of-lot", lots, [&](std::int64_t& lot) { integer(lot, INT64_MIN, INT64_MAX); });
        h.told_from.clear();
        for (const std::int64_t lot : lots) {
            h.told_from.push_back(LotId::of(lot));
        }
        many("stage", h.stages, [&](StageEntry& s) {
            named(s.stage, stage_named);
            time(s.from);
            text(s.unit);
            maybe_degrees(s.setting);
            maybe(s.oven, OvenKind::still_dry, [&](OvenKind& o) { named(o, oven_named); });
            word(s.form,
                 std::array<std::pair<TimeControlForm, std::string_view>, 2>{
                     {{TimeControlForm::four_hours, "4h"}, {TimeControlForm::six_hours, "6h"}}});
            text(s.by);
        });
        many(
            "point", h.points, [&](PointSeries& p) { text(p.point); },
            [&](PointSeries& p) { readings(p.readings); });
        many(
            "air", h.air, [&](AirSeries& a) { text(a.unit); },
            [&](AirSeries& a) { readings(a.readings); });
    }

    void mark(ReadingMark& m) {
        word(m.kind, std::array<std::pair<MarkKind, std::string_view>, 2>{
                         {{MarkKind::confirmed, "confirmed"}, {MarkKind::set_aside, "set-aside"}}});
        integer(m.id, 0, INT64_MAX);
        origin(m.origin);
        integer(m.probe, 0, 10'000);
        time(m.from);
        time(m.to);
        text(m.series);
        std::optional<std::int64_t> lot = m.lot ? std::optional{m.lot->value()} : std::nullopt;
        maybe_integer(lot, INT64_MIN, INT64_MAX);
        m.lot = lot ? std::optional{LotId::of(*lot)} : std::nullopt;
        maybe_degrees(m.value);
        time(m.made_at);
        text(m.by);
        text(m.why);
        text(m.verified_by);
        maybe_time(m.verified_at);
    }

    void corrections(LotHistory& h) {
        many(
            "amendment", h.amendments,
            [&](Amendment& a) {
                word(a.of, std::array<std::pair<Amendment::Of, std::string_view>, 5>{
                               {{Amendment::Of::reading, "reading"},
                                {Amendment::Of::stage, "stage"},
                                {Amendment::Of::end, "end"},
                                {Amendment::Of::lot, "lot"},
                                {Amendment::Of::placement, "placement"}}});
                text(a.subject);
                text(a.point);
                maybe_time(a.at);
                maybe_degrees(a.value);
                flag(a.voided);
                flag(a.stands);
                time(a.made_at);
                text(a.by);
                text(a.why);
            },
            [&](Amendment& a) {
                many("change", a.changes, [&](FactChange& c) {
                    text(c.field);
                    text(c.was);
                    text(c.now);
                    maybe_time(c.was_at);
                    maybe_time(c.now_at);
                });
            });
        many(
            "mark", h.marks, [&](ReadingMark& m) { mark(m); },
            [&](ReadingMark& m) {
                many("came-later", m.came_later, [&](Shown& s) {
                    time(s.at);
                    degrees(s.value);
                });
            });
        many("remark", h.remarks, [&](EntryRemark& r) {
            text(r.subject);
            text(r.point);
            maybe_degrees(r.value);
            time(r.happened_at);
            time(r.entered_at);
            flag(r.late);
            text(r.by);
            text(r.taken_by);
            text(r.why_late);
            text(r.paper);
        });
    }

    void history(LotHistory& h, int depth) {
        if constexpr (Lines::kReads) {
            if (depth > kDeepest) {
                lines_.fail("its lots lie in each other too deep");
            }
        }
        lines_.line("lot", [&] {
            text(h.name);
            text(h.description);
            named(h.food, food_named);
            maybe_integer(h.raw_mass_g, 1, INT64_MAX);
            flag(h.made_from_ambient);
            std::optional<std::int64_t> day =
                h.made_on ? std::optional{day_number(*h.made_on)} : std::nullopt;
            maybe_integer(day, 0, kLatestMs / 86'400'000);
            h.made_on = day ? std::optional{date_from_day_number(*day)} : std::nullopt;
            maybe_time(h.cut);
        });
        probes(h.probes);
        life(h);
        corrections(h);
        many(
            "came-from", h.came_from,
            [&](CameFrom& c) {
                text(c.kitchen);
                text(c.zone);
                time(c.handed_on);
                time(c.taken_in);
                text(c.sha256);
                text(c.signer);
            },
            [&](CameFrom& c) { rules(c.rules); });
        many(
            "source", h.sources, [](LotHistory& /*s*/) {},
            [&](LotHistory& s) { history(s, depth + 1); });
        std::vector<LotHistory> first;
        if (h.first_recorded) {
            first.push_back(*h.first_recorded);
        }
        many(
            "first-recorded", first, [](LotHistory& /*f*/) {},
            [&](LotHistory& f) { history(f, depth + 1); });
        if constexpr (Lines::kReads) {
            if (first.size() > 1) {
                lines_.fail("it was first recorded twice");
            }
            if (!first.empty()) {
                h.first_recorded = std::make_shared<const LotHistory>(std::move(first.front()));
            }
        }
        lines_.line(kEnd, [] {});
    }

    void stamp(Stamp& s) {
        time(s.entered_at);
        text(s.by);
        text(s.taken_by);
        text(s.why_late);
    }

    void answers(HandedLot& lot) {
        many("action", lot.actions, [&](ActionThere& a) {
            integer(a.id, 1, INT64_MAX);
            maybe_integer(a.supersedes, 1, INT64_MAX);
            Action& f = a.facts;
            text(f.flag);
            text(f.deviation);
            time(f.at);
            text(f.person);
            text(f.done);
            std::string unit = f.amount ? f.amount->unit : "";
            std::optional<std::int64_t> much =
                f.amount ? std::optional{f.amount->thousandths} : std::nullopt;
            maybe_integer(much, 1, INT64_MAX);
            text(unit);
            f.amount = much ? std::optional{Amount{*much, unit}} : std::nullopt;
            maybe(f.disposition, Disposition::held,
                  [&](Disposition& d) { named(d, disposition_named); });
            maybe_time(f.shown_from);
            text(f.cause);
            text(f.control);
            text(f.prevention);
            text(f.held_apart);
            text(f.acceptability);
            text(f.reassessment);
            text(f.why);
            stamp(a.stamp);
        });
        many("verification", lot.verifications, [&](VerificationThere& v) {
            integer(v.action, 1, INT64_MAX);
            flag(v.accepted);
            text(v.note);
            text(v.alone);
            stamp(v.stamp);
        });
    }

    void whole(HandedLot& lot) {
        lines_.line(kHandedLotFormat, [] {});
        lines_.line("from", [&] {
            text(lot.from);
            text(lot.zone);
        });
        lines_.line("to", [&] { text(lot.to); });
        lines_.line("at", [&] {
            time(lot.at);
            text(lot.by);
        });
        rules(lot.rules);
        lines_.line("held-in", [&] {
            maybe_integer(lot.thickness_um, 1, INT64_MAX);
            text(lot.container);
        });
        history(lot.history, 0);
        many("placed", lot.placements, [&](PlacedThere& p) {
            text(p.probe);
            text(p.point);
            time(p.from);
            maybe_time(p.to);
        });
        answers(lot);
    }

private:
    Lines& lines_;
};

Error wrong(const std::string& why) {
    return Error{ErrorKind::bad_input,
                 {.what = "is no handed lot that can be used: " + why,
                  .where = "",
                  .fix = "ask the kitchen it came from to hand it on again"}};
}

void check_readings(const std::vector<Reading>& readings, std::size_t probes, Instant last) {
    for (const Reading& r : readings) {
        if (r.probe >= probes) {
            throw wrong("a reading is of a thermometer that it does not name");
        }
        if (r.at > last || r.at.unix_ms() < 0) {
            throw wrong("a reading is not of the time before it was handed on");
        }
    }
    if (!std::ranges::is_sorted(readings, {}, &Reading::at)) {
        throw wrong("its readings are not in the order of time");
    }
}

void check_rules(const std::vector<RulesThere>& rules) {
    if (rules.empty() || !std::ranges::is_sorted(rules, {}, &RulesThere::from)) {
        throw wrong("it does not say by what it was judged");
    }
}

void check_kitchens(const std::vector<CameFrom>& kitchens, Instant last) {
    Instant before = Instant::from_unix_ms(INT64_MIN);
    for (const CameFrom& from : kitchens) {
        check_name("kitchen", from.kitchen);
        check_rules(from.rules);
        if (from.taken_in < before || from.handed_on > from.taken_in || from.taken_in > last) {
            throw wrong("its kitchens are not in the order of time");
        }
        before = from.taken_in;
    }
}

/// What the rest of the program relies on.
void check_history(const LotHistory& h, std::size_t probes, Instant last) {
    check_name("lot", h.name);
    Instant before = Instant::from_unix_ms(-1);
    for (const StageEntry& s : h.stages) {
        if (s.from <= before || s.from > last) {
            throw wrong("its stages are not in the order of time");
        }
        before = s.from;
    }
    check_kitchens(h.came_from, last);
    if (h.cut && *h.cut > last) {
        throw wrong("it was cut after it was handed on");
    }
    for (const PointSeries& p : h.points) {
        check_name("point", p.point);
        check_readings(p.readings, probes, last);
    }
    for (const AirSeries& a : h.air) {
        check_readings(a.readings, probes, last);
    }
    for (const Probe& p : h.probes) {
        if (!std::ranges::is_sorted(p.checks, {}, &CheckPoint::at) ||
            !std::ranges::is_sorted(p.overdue, {}, &OverdueStretch::from)) {
            throw wrong("a thermometer's checks are not in the order of time");
        }
    }
    for (const ReadingMark& m : h.marks) {
        if (m.origin == Origin::logged && m.probe >= probes) {
            throw wrong("a mark is on a thermometer that it does not name");
        }
        if (!std::ranges::is_sorted(m.came_later, {}, &Shown::at)) {
            throw wrong("what came in after a mark is not in the order of time");
        }
    }
    for (const LotHistory& source : h.sources) {
        check_history(source, probes, last);
    }
    if (h.first_recorded) {
        check_history(*h.first_recorded, h.first_recorded->probes.size(), last);
    }
}

void check(const HandedLot& lot) {
    check_name("kitchen", lot.from);
    // What says nothing is no reason to refuse the lot.
    check_text("kitchen", trimmed(lot.to));
    check_text("container", trimmed(lot.container));
    check_rules(lot.rules);
    Zone::named(lot.zone);
    if (lot.at.unix_ms() < 0) {
        throw wrong("it was handed on before 1970");
    }
    check_history(lot.history, lot.history.probes.size(), lot.at);
}

} // namespace

std::string to_text(const HandedLot& lot) {
    LineWriter lines;
    HandedLot copy = lot; // the description names each field to change, for reading
    Fields<LineWriter>{lines}.whole(copy);
    return lines.take();
}

HandedLot handed_lot_from_text(std::string_view text) {
    const std::string_view first = text.substr(0, std::min(text.find('\n'), std::size_t{80}));
    const std::string_view stem = kHandedLotFormat.substr(0, kHandedLotFormat.rfind('/') + 1);
    if (first.starts_with(stem) && first != kHandedLotFormat) {
        throw Error{
            ErrorKind::conflict,
            {.what = "is of a newer form than this program reads: " + for_display(first, 60),
             .where = "",
             .fix = "install the holdwarden that the other kitchen uses"}};
    }
    LineReader lines{text};
    HandedLot lot;
    Fields<LineReader>{lines}.whole(lot);
    if (!lines.done()) {
        lines.fail("it goes on where it should end");
    }
    check(lot);
    if (to_text(lot) != text) {
        throw wrong("it is not written as holdwarden writes it");
    }
    return lot;
}

} // namespace holdwarden::records

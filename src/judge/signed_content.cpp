#include <holdwarden/base/time_text.hpp>
#include <holdwarden/judge/signed_content.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <initializer_list>
#include <iterator>

namespace holdwarden::judge {
namespace {

using records::Action;

/// One line: fields with a tab between them. Backslash, tab, line feed and carriage return are
/// written \\, \t, \n, \r, so that different fields never give the same line.
void line(std::string& text, std::initializer_list<std::string_view> fields) {
    bool first = true;
    for (const std::string_view field : fields) {
        text += first ? "" : "\t";
        first = false;
        for (const char c : field) {
            switch (c) {
            case '\\':
                text += "\\\\";
                break;
            case '\t':
                text += "\\t";
                break;
            case '\n':
                text += "\\n";
                break;
            case '\r':
                text += "\\r";
                break;
            default:
                text += c;
            }
        }
    }
    text += '\n';
}

std::string number(std::int64_t value) {
    return fmt::format("{}", value);
}

std::string time(const std::optional<Instant>& at) {
    return at ? to_utc_text(*at) : "";
}

template <class Degrees>
std::string degrees(const std::optional<Degrees>& value) {
    return value ? fmt::format("{} {}", value->thousandths(),
                               value->scale() == Scale::fahrenheit ? "F" : "C")
                 : "";
}

template <class Word>
std::string word(const std::optional<Word>& value) {
    return value ? std::string{to_name(*value)} : "";
}

const char* yes(bool value) {
    return value ? "1" : "0";
}

void add_readings(std::string& text, const std::vector<records::Reading>& readings,
                  const records::LotHistory& lot) {
    for (const records::Reading& r : readings) {
        line(text, {"reading", to_utc_text(r.at), degrees(std::optional{r.value}),
                    r.probe < lot.probes.size() ? lot.probes[r.probe].name : "",
                    r.origin == records::Origin::typed ? "typed" : "logged", number(r.watched_s),
                    yes(r.suspect)});
    }
}

void add_records(std::string& text, const records::LotHistory& lot) {
    line(text, {"lot", lot.name, lot.description, to_name(lot.food),
                lot.raw_mass_g ? number(*lot.raw_mass_g) : "", yes(lot.made_from_ambient),
                lot.made_on ? to_text(*lot.made_on) : ""});
    for (const records::StageEntry& s : lot.stages) {
        line(text,
             {"stage", to_name(s.stage), to_utc_text(s.from), s.unit, degrees(s.setting),
              word(s.oven), s.form == records::TimeControlForm::six_hours ? "6h" : "4h", s.by});
    }
    if (lot.end) {
        line(text, {"end", to_name(lot.end->outcome), to_utc_text(lot.end->at), lot.end->by});
    }
    for (const records::Probe& p : lot.probes) {
        line(text,
             {"probe", p.name, degrees(p.accuracy), time(p.last_check), degrees(p.display_step)});
    }
    for (const records::PointSeries& point : lot.points) {
        line(text, {"point", point.point});
        add_readings(text, point.readings, lot);
    }
    for (const records::AirSeries& air : lot.air) {
        line(text, {"air", air.unit});
        add_readings(text, air.readings, lot);
    }
}

void add_judgement(std::string& text, const LotJudgement& judged) {
    line(text, {"judged", to_name(judged.overall)});
    for (const Finding& f : judged.findings) {
        line(text, {"finding", f.requirement, f.source, f.clause, to_name(f.stage),
                    to_utc_text(f.stage_from), f.point, to_name(f.verdict), yes(f.counts),
                    yes(f.acts_as_missed), f.limit.text, f.reason});
        for (const std::string& note : f.notes) {
            line(text, {"note", note});
        }
    }
    for (const Flag& flag : judged.flags) {
        line(text, {"flag", flag.id});
        for (const std::string& act : flag.act) {
            line(text, {"act", act});
        }
    }
    for (const std::string& note : judged.notes) {
        line(text, {"note", note});
    }
}

void add_answers(std::string& text, std::span<const records::StoredAction> actions,
                 std::span<const records::StoredVerification> verifications) {
    for (const records::StoredAction& stored : actions) {
        const Action& a = stored.facts;
        line(text, {"action",
                    number(stored.id.value()),
                    a.flag,
                    a.deviation,
                    to_utc_text(a.at),
                    a.person,
                    a.done,
                    a.amount ? records::to_text(*a.amount) : "",
                    word(a.disposition),
                    time(a.shown_from),
                    a.cause,
                    a.control,
                    a.prevention,
                    a.held_apart,
                    a.acceptability,
                    a.reassessment,
                    a.supersedes ? number(a.supersedes->value()) : "",
                    a.why,
                    to_utc_text(stored.stamp.entered_at),
                    stored.stamp.by});
    }
    for (const records::StoredVerification& v : verifications) {
        line(text, {"verification", number(v.facts.action.value()), yes(v.facts.accepted),
                    v.facts.note, v.facts.alone, to_utc_text(v.stamp.entered_at), v.stamp.by});
    }
}

} // namespace

std::string signed_content(const records::LotHistory& lot, const LotJudgement& judged,
                           std::span<const records::StoredAction> actions,
                           std::span<const records::StoredVerification> verifications) {
    std::string text;
    line(text, {"holdwarden-signed-lot/1"});
    add_records(text, lot);
    add_judgement(text, judged);
    add_answers(text, actions, verifications);
    return text;
}

std::string signed_content(Instant from, Instant to, std::vector<SignedLot> lots) {
    std::ranges::sort(lots, {}, &SignedLot::name);
    std::string text;
    line(text, {"holdwarden-signed-period/1"});
    line(text, {"period", to_utc_text(from), to_utc_text(to)});
    for (const SignedLot& lot : lots) {
        line(text, {"lot", lot.name, lot.sha256});
    }
    return text;
}

} // namespace holdwarden::judge

// The shape is fixed by schema/json/holdwarden-check-1.schema.json: every key is always there, null
// where it does not apply or is not known.
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/check_result.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <ostream>

namespace holdwarden::cli {
namespace {

using Json = nlohmann::ordered_json;

class Printer {
public:
    explicit Printer(const CheckResult& result) : result_{result} {}

    Json document() const;

private:
    Json time(Instant at) const {
        return result_.zone_named ? to_rfc3339(at, result_.settings.zone) : to_utc_text(at);
    }
    template <class T>
    Json time(const std::optional<T>& at) const {
        return at ? time(*at) : Json{};
    }
    Json brackets(const judge::InstantBracket& bracket) const {
        return {{"earliest", time(bracket.earliest)}, {"latest", time(bracket.latest)}};
    }
    Json lot(const CheckedLot& lot) const;
    Json finding(const CheckedLot& lot, const judge::Finding& finding) const;
    Json excursion(const judge::Excursion& excursion) const;
    Json evidence(const CheckedLot& lot, const records::Reading& reading) const;
    Json cook(const judge::CookNote& note) const;
    Json flag(const judge::Flag& flag) const;
    Json amendment(const records::Amendment& made) const;
    Json mark(const CheckedLot& lot, const records::ReadingMark& made) const;
    Json remark(const records::EntryRemark& made) const;
    Json intake() const;

    const CheckResult& result_;
};

/// 139.5, not 139500 and not "139.5": a thousandth of a degree is exact in a double's shortest
/// decimal.
double degrees(std::int32_t thousandths) {
    return thousandths / 1000.0;
}

std::string letter_text(Scale scale) {
    return std::string{letter(scale)};
}

Json seconds(Span span) {
    return span.ms() % 1000 == 0 ? Json(span.ms() / 1000) : Json(span.in_seconds());
}

Json seconds(const std::optional<Span>& span) {
    return span ? seconds(*span) : Json{};
}

Json temperature(Temperature t) {
    return {{"value", degrees(t.thousandths())}, {"scale", letter_text(t.scale())}};
}

Json spans(const judge::SpanBracket& bracket) {
    return {{"earliest", seconds(bracket.earliest)},
            {"estimate", seconds(bracket.estimate)},
            {"latest", seconds(bracket.latest)}};
}

Json spans_or_null(const judge::SpanBracket& bracket) {
    const bool any = bracket.earliest || bracket.estimate || bracket.latest;
    return any ? spans(bracket) : Json{};
}

Json limit(const judge::LimitFigure& limit) {
    const auto figure = [](const std::optional<Temperature>& t) {
        return t ? Json(degrees(t->thousandths())) : Json{};
    };
    return {{"text", limit.text},
            {"fahrenheit", figure(limit.fahrenheit)},
            {"celsius", figure(limit.celsius)},
            {"right_side", limit.hot_side ? "above" : "below"},
            {"within_s", seconds(limit.within)},
            {"within_included", limit.within ? Json(limit.time_included) : Json{}}};
}

Json margin(const judge::Margin& margin) {
    if (!margin.temperature && !margin.time) {
        return {};
    }
    Json json = Json::object();
    if (margin.temperature) {
        json["value"] = degrees(margin.temperature->thousandths());
        json["scale"] = letter_text(margin.temperature->scale());
    }
    if (margin.time) {
        json["seconds"] = seconds(*margin.time);
    }
    return json;
}

/// At most three digits, as in the text, and never a certainty: 0.999 says "or more", 0.001 "or
/// less".
double chance(double probability) {
    return std::clamp(std::round(probability * 1000) / 1000, 0.001, 0.999);
}

Json conformity(const std::optional<judge::Conformity>& c) {
    if (!c) {
        return {};
    }
    return {{"probability", chance(c->probability)},
            {"expanded_uncertainty",
             {{"value", degrees(2 * c->standard_uncertainty.thousandths())},
              {"scale", letter_text(c->standard_uncertainty.scale())}}},
            {"outcome", judge::to_words(c->zone)}};
}

std::string probe_name(const CheckedLot& lot, const records::Reading& reading) {
    return reading.probe < lot.lot.probes.size() ? lot.lot.probes[reading.probe].name : "";
}

Json Printer::excursion(const judge::Excursion& e) const {
    return {{"from", brackets(e.from)},     {"to", brackets(e.to)},
            {"seconds", spans(e.length)},   {"worst", temperature(e.worst)},
            {"worst_at", time(e.worst_at)}, {"degree_minutes", e.degree_minutes}};
}

Json Printer::evidence(const CheckedLot& lot, const records::Reading& r) const {
    return {{"time", time(r.at)},
            {"probe", probe_name(lot, r)},
            {"value", degrees(r.value.thousandths())},
            {"scale", letter_text(r.value.scale())},
            {"line", r.line == 0 ? Json{} : Json(r.line)},
            {"origin", r.origin == records::Origin::typed ? "typed" : "logged"},
            {"suspect", r.suspect}};
}

Json Printer::finding(const CheckedLot& lot, const judge::Finding& f) const {
    Json json = {{"requirement", f.requirement},
                 {"source", f.source},
                 {"code", f.code},
                 {"clause", f.clause},
                 {"stage", to_name(f.stage)},
                 {"stage_from", time(f.stage_from)},
                 {"point", f.point.empty() ? Json{} : Json(f.point)},
                 {"verdict", judge::to_name(f.verdict)},
                 {"counts", f.counts},
                 {"acts_as_missed", f.acts_as_missed},
                 {"limit", limit(f.limit)},
                 {"reason", f.reason},
                 {"elapsed_s", spans_or_null(f.elapsed)},
                 {"excursions", Json::array()},
                 {"gaps", Json::array()},
                 {"margin", margin(f.margin)},
                 {"conformity", conformity(f.conformity)},
                 {"evidence", Json::array()},
                 {"settle", f.settle.empty() ? Json{} : Json(f.settle)},
                 {"notes", f.notes}};
    for (const judge::Excursion& e : f.excursions) {
        json["excursions"].push_back(excursion(e));
    }
    for (const judge::Gap& gap : f.gaps) {
        json["gaps"].push_back({{"from", time(gap.from)}, {"to", time(gap.to)}});
    }
    for (const records::Reading& reading : f.evidence) {
        json["evidence"].push_back(evidence(lot, reading));
    }
    return json;
}

Json Printer::cook(const judge::CookNote& note) const {
    Json rows = Json::array();
    for (const judge::RowKept& row : note.rows) {
        rows.push_back(
            {{"at", row.at}, {"asked_s", seconds(row.asked)}, {"longest_s", seconds(row.longest)}});
    }
    const auto tenth = [](double x) { return std::round(x * 10) / 10; };
    return {{"stage_from", time(note.stage_from)},
            {"point", note.point},
            {"rows", std::move(rows)},
            {"log_reductions", tenth(note.lethality.log_reductions)},
            {"equivalent_minutes_at_140f", tenth(note.lethality.equivalent_minutes_at_140f)}};
}

Json Printer::flag(const judge::Flag& flag) const {
    return {{"finding", flag.finding},
            {"id", flag.id},
            {"act", flag.act},
            {"by", time(flag.by)},
            {"source", flag.source}};
}

Json text_or_null(const std::string& text) {
    return text.empty() ? Json{} : Json(text);
}

Json Printer::amendment(const records::Amendment& made) const {
    static constexpr std::array kOf{"reading", "stage", "end", "lot", "placement"};
    Json json = {{"of", kOf.at(static_cast<std::size_t>(made.of))},
                 {"subject", made.subject},
                 {"at", time(made.at)},
                 {"void", made.voided},
                 {"stands", made.stands},
                 {"changes", Json::array()},
                 {"made_at", time(made.made_at)},
                 {"by", made.by},
                 {"why", made.why}};
    for (const records::FactChange& change : made.changes) {
        json["changes"].push_back(
            {{"field", change.field},
             {"was", change.was_at ? time(change.was_at) : text_or_null(change.was)},
             {"now", change.now_at ? time(change.now_at) : text_or_null(change.now)}});
    }
    return json;
}

Json Printer::mark(const CheckedLot& lot, const records::ReadingMark& made) const {
    const bool typed = made.origin == records::Origin::typed;
    const auto& probes = lot.lot.probes;
    return {
        {"mark", made.id},
        {"says", made.kind == records::MarkKind::confirmed ? "confirmed" : "set-aside"},
        {"point", typed ? Json(made.series) : Json{}},
        {"probe", typed || made.probe >= probes.size() ? Json{} : Json(probes[made.probe].name)},
        {"from", time(made.from)},
        {"to", time(made.to)},
        {"made_at", time(made.made_at)},
        {"by", made.by},
        {"why", made.why},
        {"verified_by", text_or_null(made.verified_by)},
        {"verified_at", time(made.verified_at)}};
}

Json Printer::remark(const records::EntryRemark& made) const {
    return {{"subject", made.subject},
            {"happened_at", time(made.happened_at)},
            {"entered_at", time(made.entered_at)},
            {"late", made.late},
            {"by", text_or_null(made.by)},
            {"taken_by", text_or_null(made.taken_by)},
            {"why_late", text_or_null(made.why_late)},
            {"paper", text_or_null(made.paper)}};
}

Json code(const judge::JudgedBy& by) {
    return {{"id", by.id},
            {"title", by.title},
            {"edition", by.edition},
            {"largest_interval_s", seconds(by.largest_interval)}};
}

Json verdict(const std::optional<judge::Verdict>& verdict) {
    return verdict ? Json(judge::to_name(*verdict)) : Json{};
}

Json Printer::lot(const CheckedLot& lot) const {
    Json json = {{"lot", lot.judgement.lot},
                 {"food", to_name(lot.judgement.food)},
                 {"overall", judge::to_name(lot.judgement.overall)},
                 {"house_overall", verdict(lot.judgement.house_overall)},
                 {"judged_by", Json::array()},
                 {"findings", Json::array()},
                 {"flags", Json::array()},
                 {"below_hot_limit_s", spans_or_null(lot.judgement.below_hot_limit)},
                 {"between_limits_s", spans_or_null(lot.judgement.between_limits)},
                 {"cooks", Json::array()},
                 {"notes", lot.judgement.notes},
                 {"set_aside", nullptr},
                 {"as_first_recorded", lot.judgement.as_first_recorded
                                           ? Json(judge::to_name(*lot.judgement.as_first_recorded))
                                           : Json{}},
                 {"amendments", Json::array()},
                 {"marks", Json::array()},
                 {"entry_remarks", Json::array()}};
    if (const auto& aside = lot.judgement.set_aside) {
        json["set_aside"] = {{"as_recorded", judge::to_name(aside->as_recorded)},
                             {"left_out", judge::to_name(aside->left_out)},
                             {"verified", aside->verified},
                             {"readings", aside->readings}};
    }
    for (const records::Amendment& made : lot.lot.amendments) {
        json["amendments"].push_back(amendment(made));
    }
    for (const records::ReadingMark& made : lot.lot.marks) {
        json["marks"].push_back(mark(lot, made));
    }
    for (const records::EntryRemark& made : lot.lot.remarks) {
        json["entry_remarks"].push_back(remark(made));
    }
    for (const judge::CookNote& note : lot.judgement.cooks) {
        json["cooks"].push_back(cook(note));
    }
    for (const judge::JudgedBy& by : lot.judgement.judged_by) {
        json["judged_by"].push_back(code(by));
        json["judged_by"].back()["from"] = time(by.from);
    }
    for (const judge::Finding& f : lot.judgement.findings) {
        json["findings"].push_back(finding(lot, f));
    }
    for (const judge::Flag& f : lot.judgement.flags) {
        json["flags"].push_back(flag(f));
    }
    return json;
}

Json Printer::intake() const {
    if (!result_.file) {
        return {};
    }
    const intake::Summary& s = result_.file->summary;
    Json json = {{"file", result_.file->name},
                 {"rows", s.rows},
                 {"accepted", s.accepted},
                 {"rejected", s.rejected},
                 {"out_of_order", s.out_of_order},
                 {"duplicates", s.duplicates},
                 {"conflicts", s.conflicts},
                 {"rejects", Json::array()},
                 {"notes", s.notes}};
    for (const intake::Reject& reject : result_.file->rejects) {
        json["rejects"].push_back(
            {{"line", reject.line}, {"reason", reject.reason}, {"text", reject.text}});
    }
    return json;
}

Json Printer::document() const {
    const judge::Settings& settings = result_.settings;
    const std::vector<judge::JudgedBy> by = judged_by(result_);
    const bool one = by.size() == 1;
    std::string cautions;
    for (const auto& [id, pack] : result_.packs) {
        cautions += (cautions.empty() ? "" : " ") + pack.caution;
    }
    Json json = {{"format", "holdwarden-check/1"},
                 {"code", one ? Json{{"id", by.front().id},
                                     {"title", by.front().title},
                                     {"edition", by.front().edition}}
                              : Json{}},
                 {"decision_rule", judge::to_name(settings.rule)},
                 {"tolerance", nullptr},
                 {"largest_interval_s", one ? seconds(by.front().largest_interval) : Json{}},
                 {"as_of", time(settings.as_of)},
                 {"zone", result_.zone_named ? Json(settings.zone.name()) : Json{}},
                 {"overall", judge::to_name(overall(result_))},
                 {"house_overall", verdict(house_overall(result_))},
                 {"lots", Json::array()},
                 {"intake", intake()},
                 {"caution", cautions}};
    if (settings.tolerance) {
        json["tolerance"] = {{"value", degrees(settings.tolerance->thousandths())},
                             {"scale", letter_text(settings.tolerance->scale())}};
    }
    for (const CheckedLot& checked : result_.lots) {
        json["lots"].push_back(lot(checked));
    }
    return json;
}

} // namespace

void print_check_json(std::ostream& out, const CheckResult& result) {
    // Names come from files: bytes that are not UTF-8 are replaced rather than thrown about.
    out << Printer{result}.document().dump(2, ' ', false, Json::error_handler_t::replace) << "\n";
}

void print_checks_json(std::ostream& out, const std::vector<CheckResult>& results) {
    judge::Verdict all = judge::Verdict::ended;
    Json checks = Json::array();
    for (const CheckResult& result : results) {
        all = judge::worse(all, overall(result));
        checks.push_back(Printer{result}.document());
    }
    const Json answer{{"format", "holdwarden-checks/1"},
                      {"overall", judge::to_name(all)},
                      {"checks", std::move(checks)}};
    out << answer.dump(2, ' ', false, Json::error_handler_t::replace) << "\n";
}

} // namespace holdwarden::cli

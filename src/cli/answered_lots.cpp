#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/answered_lots.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <tuple>

namespace holdwarden::cli {
namespace {

using judge::AnsweredFlag;
using judge::AnswerState;
using Json = nlohmann::ordered_json;

constexpr std::size_t kShortestHandle = 3;

bool wants_answer(const FlagOf& f) {
    return f.flag->state <= AnswerState::incomplete;
}

std::string choices(const std::vector<FlagOf>& flags) {
    std::vector<std::string> named;
    for (const FlagOf& f : flags) {
        named.push_back(fmt::format("{} ({})", f.handle(), for_display(flag_words(f), 80)));
    }
    return listed(named);
}

Error several(const std::string& text, const std::vector<FlagOf>& fitting) {
    return Error{
        ErrorKind::conflict,
        {.what = fmt::format("'{}' may mean {} flags", for_display(text, 60), fitting.size()),
         .where = "",
         .fix = "name one of " + choices(fitting)}};
}

std::vector<FlagOf> with_handle(const std::vector<AnsweredLot>& lots, const std::string& text) {
    std::vector<FlagOf> fitting;
    if (text.size() < kShortestHandle) {
        return fitting;
    }
    for (const FlagOf& f : flags_in_order(lots)) {
        if (f.handle().starts_with(text)) {
            fitting.push_back(f);
        }
    }
    return fitting;
}

FlagOf flag_of_lot(const AnsweredLot& lot, const std::string& of_lot) {
    std::vector<FlagOf> fitting;
    for (const AnsweredFlag& flag : lot.record.answers) {
        const FlagOf f{&lot, &flag};
        if (of_lot.empty() ? wants_answer(f) : flag.id.starts_with(of_lot)) {
            fitting.push_back(f);
        }
    }
    const std::string name = lot.record.history.name;
    if (fitting.empty()) {
        throw Error{ErrorKind::not_found,
                    {.what = of_lot.empty() ? "no flag of this lot waits for an answer"
                                            : fmt::format("no flag of this lot is called '{}'",
                                                          for_display(of_lot, 60)),
                     .where = "lot '" + name + "'",
                     .fix = "see `holdwarden flags " + name +
                            "`; what no limit tells is entered with --deviation"}};
    }
    if (fitting.size() > 1) {
        throw several(of_lot.empty() ? name : of_lot, fitting);
    }
    return fitting.front();
}

Json maybe_time(const std::optional<Instant>& at, const Zone& zone) {
    return at ? Json(to_rfc3339(*at, zone)) : Json{};
}

Json action_json(const records::StoredAction& stored, const Zone& zone) {
    const records::Action& a = stored.facts;
    return {{"action", stored.id.value()},
            {"at", to_rfc3339(a.at, zone)},
            {"person", a.person},
            {"entered", to_rfc3339(stored.stamp.entered_at, zone)},
            {"by", stored.stamp.by},
            {"done", a.done},
            {"amount", a.amount ? Json(records::to_text(*a.amount)) : Json{}},
            {"disposition", a.disposition ? Json(records::to_name(*a.disposition)) : Json{}},
            {"shown_from", maybe_time(a.shown_from, zone)},
            {"cause", a.cause},
            {"control", a.control},
            {"prevention", a.prevention},
            {"deviation", a.deviation},
            {"held_apart", a.held_apart},
            {"acceptability", a.acceptability},
            {"reassessment", a.reassessment},
            {"supersedes", a.supersedes ? Json(a.supersedes->value()) : Json{}},
            {"why", a.why}};
}

} // namespace

std::vector<AnsweredLot> answered_lots(const OpenStore& store, const Context& context,
                                       const std::vector<records::LotId>& lots) {
    LotJudge judge{store, context, store.now()};
    std::vector<AnsweredLot> all;
    for (const records::LotId lot : lots) {
        all.push_back({.id = lot, .record = judge.record(lot)});
    }
    return all;
}

std::vector<records::LotId> all_lots(const OpenStore& store) {
    std::vector<records::LotId> ids;
    for (const auto& lot : store->lots()) {
        ids.push_back(lot.id);
    }
    return ids;
}

std::string FlagOf::handle() const {
    return judge::handle(lot->record.history.name, flag->id);
}

const judge::Flag* FlagOf::raised() const {
    return flag->flag ? &lot->record.judged.flags[*flag->flag] : nullptr;
}

const judge::Finding* FlagOf::finding() const {
    const judge::Flag* of = raised();
    return of == nullptr ? nullptr : &lot->record.judged.findings[of->finding];
}

std::vector<FlagOf> flags_in_order(const std::vector<AnsweredLot>& lots) {
    std::vector<FlagOf> all;
    for (const AnsweredLot& lot : lots) {
        for (const AnsweredFlag& flag : lot.record.answers) {
            all.push_back({&lot, &flag});
        }
    }
    std::ranges::stable_sort(all, {}, [](const FlagOf& f) {
        const judge::Finding* finding = f.finding();
        return std::tuple{f.flag->state, !f.flag->overdue,
                          finding != nullptr && finding->verdict != judge::Verdict::not_met};
    });
    return all;
}

FlagOf flag_named(const std::vector<AnsweredLot>& lots, const std::string& flag,
                  const std::string& of_lot) {
    const auto named = [&](const AnsweredLot& lot) { return lot.record.history.name == flag; };
    auto lot = std::ranges::find_if(lots, named);
    if (lot == lots.end() && of_lot.empty()) {
        const std::vector<FlagOf> fitting = with_handle(lots, flag);
        if (fitting.size() > 1) {
            throw several(flag, fitting);
        }
        if (fitting.size() == 1) {
            return fitting.front();
        }
    }
    if (lot == lots.end()) {
        std::vector<AnsweredLot>::const_iterator found = lots.end();
        for (auto it = lots.begin(); it != lots.end(); ++it) {
            if (it->record.history.name.starts_with(flag)) {
                lot = found == lots.end() ? it : lots.end();
                found = it;
            }
        }
    }
    if (lot == lots.end()) {
        throw Error{ErrorKind::not_found,
                    {.what = fmt::format("'{}' names no flag and no lot", for_display(flag, 60)),
                     .where = "",
                     .fix = "`holdwarden flags` lists the flags"}};
    }
    return flag_of_lot(*lot, of_lot);
}

std::string flag_words(const FlagOf& f) {
    const judge::Finding* finding = f.finding();
    std::string words = f.lot->record.history.name + ": ";
    if (finding == nullptr) {
        const auto& first = f.flag->actions.front().facts;
        return words + (first.deviation.empty() ? f.flag->id : first.deviation);
    }
    return words + fmt::format("{}{} {}{} ({}{}{})", finding->source == "house" ? "house " : "",
                               finding->requirement, judge::to_words(finding->verdict),
                               finding->acts_as_missed ? ", treated as not met" : "",
                               to_name(finding->stage), finding->point.empty() ? "" : ", ",
                               finding->point);
}

std::string state_words(const AnsweredFlag& flag) {
    return std::string{judge::to_words(flag.state)} + (flag.overdue ? ", overdue" : "");
}

std::string missing_words(const AnsweredFlag& flag, const OpenStore& store) {
    std::string words;
    for (const judge::Missing& m : flag.missing) {
        words += (words.empty() ? "" : "; ") + for_display(m.says, 600);
        words += m.at ? " (" + store.shown(*m.at) + ")" : "";
    }
    return words;
}

std::string action_words(const records::StoredAction& action, const OpenStore& store) {
    const records::Action& a = action.facts;
    const std::int64_t id = action.id.value(); // below zero: of the kitchen it came from
    std::string words = fmt::format("action {}{}, {}, {}: {}", id < 0 ? -id : id,
                                    id < 0 ? " there" : "", store.shown(a.at), a.person, a.done);
    if (a.amount || a.disposition) {
        words += fmt::format("; {}{}{}", a.amount ? records::to_text(*a.amount) : "",
                             a.amount && a.disposition ? " " : "",
                             a.disposition ? records::to_words(*a.disposition) : "");
    }
    if (!action.stamp.by.empty() && action.stamp.by != a.person) {
        words += " (entered by " + action.stamp.by + ")";
    }
    return words;
}

Json flag_json(const FlagOf& f, const Zone& zone) {
    const judge::Finding* finding = f.finding();
    const judge::Flag* raised = f.raised();
    const bool any = finding != nullptr;
    Json json{{"lot", f.lot->record.history.name},
              {"handle", f.handle()},
              {"flag", f.flag->id},
              {"state", judge::to_name(f.flag->state)},
              {"overdue", f.flag->overdue},
              {"due", to_rfc3339(f.flag->due, zone)},
              {"planned", f.flag->planned},
              {"requirement", any ? Json(finding->requirement) : Json{}},
              {"source", any ? Json(finding->source) : Json{}},
              {"clause", any ? Json(finding->clause) : Json{}},
              {"verdict", any ? Json(judge::to_name(finding->verdict)) : Json{}},
              {"stage", any ? Json(to_name(finding->stage)) : Json{}},
              {"point", any && !finding->point.empty() ? Json(finding->point) : Json{}},
              {"reason", any ? Json(finding->reason) : Json{}},
              {"act", raised != nullptr ? Json(raised->act) : Json::array()},
              {"advice_source", raised != nullptr ? Json(raised->source) : Json{}},
              {"missing", Json::array()},
              {"actions", Json::array()},
              {"verifications", Json::array()}};
    for (const judge::Missing& m : f.flag->missing) {
        json["missing"].push_back(
            {{"field", m.field}, {"says", m.says}, {"at", maybe_time(m.at, zone)}});
    }
    for (const records::StoredAction& action : f.flag->actions) {
        json["actions"].push_back(action_json(action, zone));
    }
    for (const records::StoredVerification& v : f.flag->verified) {
        json["verifications"].push_back({{"action", v.facts.action.value()},
                                         {"by", v.stamp.by},
                                         {"at", to_rfc3339(v.stamp.entered_at, zone)},
                                         {"accepted", v.facts.accepted},
                                         {"note", v.facts.note},
                                         {"alone", v.facts.alone}});
    }
    return json;
}

} // namespace holdwarden::cli

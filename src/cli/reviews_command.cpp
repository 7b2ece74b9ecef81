#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/lot_judge.hpp>
#include <holdwarden/cli/signed_lots.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <charconv>
#include <ostream>
#include <tuple>

namespace holdwarden::cli {
namespace {

using Json = nlohmann::ordered_json;
using sheets::SignatureLine;

struct ReviewsOptions {
    StoreArguments store;
    std::vector<std::string> lots;
    bool due = false;
    std::string content;
    std::string format;
};

struct RuleOptions {
    StoreArguments store;
    std::string name;
    std::string days;
    std::string working_days;
    std::string source;
    std::string from;
};

/// One lot, its signatures, and when its review falls due.
struct Row {
    std::string lot;
    std::vector<SignatureLine> signatures;
    std::optional<Instant> due{};
    bool reviewed = false;
    bool overdue = false;
    std::vector<std::string> not_ready{};
};

std::vector<Row> rows_of(const ReviewsOptions& o, const OpenStore& store, const Context& context) {
    std::vector<records::Recorded<records::LotId, records::Lot>> lots;
    for (const std::string& name : o.lots) {
        lots.push_back(records::lot_named(*store, name));
    }
    lots = o.lots.empty() ? store->lots() : lots;
    SignedContent contents{store, context};
    LotJudge judge{store, context, store.now()};
    const auto rules = store->answers().review_rules();
    std::vector<Row> rows;
    for (const auto& lot : lots) {
        const sheets::LotRecord record = judge.record(lot.id);
        Row row{.lot = lot.facts.name, .signatures = contents.under(lot.id)};
        row.reviewed = reviewed(row.signatures);
        const Instant made = made_at(record.history, lot.facts.opened_at);
        if (const auto rule = records::review_rule_at(rules, made)) {
            row.due = records::review_due(*rule, made, store.zone());
        }
        row.overdue = !row.reviewed && row.due && store.now() > *row.due;
        row.not_ready = not_ready(record, row.signatures);
        if (!o.due || !row.reviewed) {
            rows.push_back(std::move(row));
        }
    }
    std::ranges::stable_sort(rows, {}, [](const Row& row) {
        return std::tuple{row.reviewed, !row.overdue, row.due.value_or(Instant{})};
    });
    return rows;
}

std::string signature_words(const SignatureLine& s, const OpenStore& store) {
    std::string words =
        fmt::format("signature {}: {} by {} at {}{}", s.number, records::to_name(s.meaning), s.name,
                    store.shown(s.at), s.of_period ? ", under its period" : "");
    words += s.stands ? "" : ", SUPERSEDED until signed again";
    words += s.alone.empty() ? "" : "; " + s.alone;
    words += s.unready.empty() ? "" : "; not ready: " + s.unready;
    return words;
}

void print_text(const std::vector<Row>& rows, const OpenStore& store, std::ostream& out) {
    if (rows.empty()) {
        out << "No lot waits for a review.\n";
    }
    for (const Row& row : rows) {
        out << row.lot << ": " << (row.reviewed ? "reviewed" : "not reviewed");
        if (!row.reviewed && row.due) {
            out << (row.overdue ? ", OVERDUE since " : ", due by ") << store.shown(*row.due);
        }
        out << "\n";
        for (const SignatureLine& s : row.signatures) {
            out << "  " << for_display(signature_words(s, store), 2000) << "\n";
        }
        out << "  " << (row.not_ready.empty() ? "ready to be released" : "not ready: ")
            << fmt::format("{}", fmt::join(row.not_ready, "; ")) << "\n";
    }
    if (store->answers().review_rules().empty()) {
        out << "No rule says when reviews fall due; adopt one: holdwarden review-rule\n";
    }
}

Json signature_json(const SignatureLine& s, const Zone& zone) {
    return {{"signature", s.number},
            {"meaning", records::to_name(s.meaning)},
            {"name", s.name},
            {"at", to_rfc3339(s.at, zone)},
            {"under", s.of_period ? "period" : "lot"},
            {"stands", s.stands},
            {"alone", s.alone},
            {"not_ready", s.unready},
            {"sha256", s.sha256}};
}

void print_json(const std::vector<Row>& rows, const OpenStore& store, std::ostream& out) {
    Json lots = Json::array();
    for (const Row& row : rows) {
        Json signatures = Json::array();
        for (const SignatureLine& s : row.signatures) {
            signatures.push_back(signature_json(s, store.zone()));
        }
        lots.push_back({{"lot", row.lot},
                        {"reviewed", row.reviewed},
                        {"due", row.due ? Json(to_rfc3339(*row.due, store.zone())) : Json{}},
                        {"overdue", row.overdue},
                        {"ready", row.not_ready.empty()},
                        {"not_ready", row.not_ready},
                        {"signatures", signatures}});
    }
    out << Json{{"format", "holdwarden-reviews/1"},
                {"as_of", to_rfc3339(store.now(), store.zone())},
                {"lots", lots}}
               .dump(2)
        << "\n";
}

template <class Number>
Number number_of(const std::string& text, const char* option, const char* example) {
    Number number = 0;
    const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (code != std::errc{} || end != text.data() + text.size()) {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("{} '{}' is no number", option, for_display(text, 60)),
                     .where = "",
                     .fix = fmt::format("give one such as {}", example)}};
    }
    return number;
}

int print_content(const ReviewsOptions& o, const OpenStore& store, Context& context) {
    const auto number = number_of<std::int64_t>(o.content, "--content", "3");
    for (const records::StoredSignature& stored : store->answers().signatures()) {
        if (stored.id.value() == number) {
            context.out << SignedContent{store, context}.of(stored.facts);
            return kDone;
        }
    }
    throw Error{ErrorKind::not_found,
                {.what = fmt::format("there is no signature {}", number),
                 .where = "--content",
                 .fix = "`holdwarden reviews` shows the numbers"}};
}

int run_reviews(const ReviewsOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    if (!o.content.empty()) {
        return print_content(o, store, context);
    }
    const std::vector<Row> rows = rows_of(o, store, context);
    (json ? print_json : print_text)(rows, store, context.out);
    return kDone;
}

std::string rule_words(unsigned days, bool working_days, std::string_view source) {
    return fmt::format("{} {}{} after the record was made ({})", days,
                       working_days ? "working " : "", days == 1 ? "day" : "days", source);
}

/// The rule that the options name.
records::ReviewRule rule_of(const RuleOptions& o) {
    if (!o.name.empty()) {
        std::vector<std::string> names;
        for (const records::NamedReviewRule& rule : records::all_review_rules()) {
            if (rule.name == o.name) {
                return {.from = {},
                        .days = rule.days,
                        .working_days = rule.working_days,
                        .source = std::string{rule.source}};
            }
            names.emplace_back(rule.name);
        }
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("'{}' is no rule", for_display(o.name, 60)),
                     .where = "",
                     .fix = "give one of " + listed(names) +
                            ", or --days or --working-days with --source"}};
    }
    const bool working = !o.working_days.empty();
    const auto days =
        number_of<unsigned>(working ? o.working_days : o.days, "the number of days", "7");
    if (days > 3650) {
        throw Error{ErrorKind::usage,
                    {.what = "a review within ten years is no review",
                     .where = "",
                     .fix = "give fewer days"}};
    }
    return {.from = {}, .days = days, .working_days = working, .source = o.source};
}

int list_rules(const OpenStore& store, std::ostream& out) {
    const auto rules = store->answers().review_rules();
    out << (rules.empty() ? "No rule adopted.\n" : "Adopted:\n");
    for (const records::ReviewRule& rule : rules) {
        out << "  from " << store.shown(rule.from) << ": "
            << rule_words(rule.days, rule.working_days, rule.source) << "\n";
    }
    out << "Published:\n";
    for (const records::NamedReviewRule& rule : records::all_review_rules()) {
        out << "  " << rule.name << ": " << rule_words(rule.days, rule.working_days, rule.source)
            << "; " << rule.note << "\n";
    }
    return kDone;
}

int run_rule(const RuleOptions& o, Context& context) {
    const int said = int{!o.name.empty()} + int{!o.days.empty()} + int{!o.working_days.empty()};
    if (said > 1) {
        throw Error{ErrorKind::usage,
                    {.what = "a rule is given in one way",
                     .where = "",
                     .fix = "give its name, or --days, or --working-days"}};
    }
    if (said == 0) {
        return list_rules(OpenStore{o.store, context, store::Access::read}, context.out);
    }
    records::ReviewRule rule = rule_of(o);
    const OpenStore store{o.store, context, store::Access::write};
    rule.from = store.time(o.from, "--from");
    store->answers().set(rule, store.stamp());
    context.out << "From " << store.shown(rule.from) << ", a record is reviewed within "
                << rule_words(rule.days, rule.working_days, rule.source) << ".\n";
    return kDone;
}

} // namespace

std::vector<Command> reviews_commands() {
    const auto list = std::make_shared<ReviewsOptions>();
    const auto rule = std::make_shared<RuleOptions>();
    return {
        {.name = "reviews",
         .help = "List signatures, whether they stand, and which reviews are due",
         .declare =
             [list](Arguments& arguments) {
                 arguments.rest("lot", list->lots, "Lots, or the beginnings of their names (all)");
                 arguments.flag("--due", list->due, "Only lots whose record waits for a review");
                 arguments.option("--content", list->content,
                                  "Print what this signature is under, as it is now");
                 list->store.declare_reading(arguments);
                 arguments.option("--format", list->format, "text or json");
                 arguments.example("holdwarden reviews --due");
             },
         .run = [list](Context& context) { return run_reviews(*list, context); }},
        {.name = "review-rule",
         .help = "Say by when records are reviewed, or list the rules",
         .declare =
             [rule](Arguments& arguments) {
                 arguments.may("rule", rule->name, "A published one: 21-cfr-117");
                 arguments.option("--days", rule->days, "A rule of your own: calendar days");
                 arguments.option("--working-days", rule->working_days,
                                  "A rule of your own: days from Monday to Friday");
                 arguments.option("--source", rule->source, "Who asks for it: \"house rule\"");
                 arguments.option("--from", rule->from, "From when it holds (now)");
                 rule->store.declare_writing(arguments);
                 arguments.example("holdwarden review-rule 21-cfr-117 --by MT");
             },
         .run = [rule](Context& context) { return run_rule(*rule, context); }}};
}

} // namespace holdwarden::cli

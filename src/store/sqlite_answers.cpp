#include "books.hpp"
#include "rows.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/records/entry_rules.hpp>

#include <algorithm>

namespace holdwarden::store {

using namespace records;

namespace {

Error refused(ErrorKind kind, std::string what, std::string fix) {
    return Error{kind, {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

Error superseded() {
    return refused(ErrorKind::conflict, "the action was superseded by a later one",
                   "see `holdwarden flags` for the one that stands");
}

/// What a signature or a verification must say: who, and why alone if so.
void check_signer(const Stamp& stamp, std::string_view what) {
    if (trimmed(stamp.by).empty()) {
        throw refused(ErrorKind::bad_input, "nobody is named who " + std::string{what} + " this",
                      "give --by with your name or initials");
    }
}

std::string text_at(const Statement& row, int column) {
    return std::string{row.text(column)};
}

/// What the kitchen it came from did about the lot, numbered below zero: nothing here adds to it.
std::vector<StoredAction> actions_there(LotId lot, const HandedLot& there) {
    std::vector<StoredAction> all;
    for (const ActionThere& one : there.actions) {
        StoredAction action{.id = ActionId::of(-one.id),
                            .facts = one.facts,
                            .entry = EntryId::of(0),
                            .stamp = one.stamp};
        action.facts.lot = lot;
        action.facts.person = as_of_kitchen(one.facts.person, there.from);
        action.stamp.by = as_of_kitchen(one.stamp.by, there.from);
        if (one.supersedes) {
            action.facts.supersedes = ActionId::of(-*one.supersedes);
        }
        all.push_back(std::move(action));
    }
    return all;
}

std::vector<StoredVerification> verifications_there(const HandedLot& there) {
    std::vector<StoredVerification> all;
    for (const VerificationThere& one : there.verifications) {
        StoredVerification verification{.id = VerificationId::of(0),
                                        .facts = {.action = ActionId::of(-one.action),
                                                  .accepted = one.accepted,
                                                  .note = one.note,
                                                  .alone = one.alone},
                                        .entry = EntryId::of(0),
                                        .stamp = one.stamp};
        verification.stamp.by = as_of_kitchen(one.stamp.by, there.from);
        all.push_back(std::move(verification));
    }
    return all;
}

constexpr std::string_view kActions =
    "select a.id, a.lot, a.flag, a.deviation, a.at, a.person, a.done, a.amount, a.amount_unit, "
    "a.disposition, a.shown_from, a.cause, a.control, a.prevention, a.held_apart, "
    "a.acceptability, a.reassessment, a.supersedes, a.why, e.id, e.entered_at, p.name "
    "from corrective_action a join entry e on e.id = a.entry left join person p on p.id = e.by "
    "where a.lot = ? order by a.id";

} // namespace

void SqliteAnswers::check_successor(const Action& action) const {
    if (!action.supersedes) {
        return;
    }
    const auto all = actions(action.lot);
    const auto earlier = std::ranges::find(all, *action.supersedes, &StoredAction::id);
    if (earlier == all.end() || earlier->facts.flag != action.flag) {
        throw refused(ErrorKind::conflict, "the action that it follows answers another flag",
                      "see `holdwarden flags`");
    }
    const bool again = std::ranges::any_of(
        all, [&](const StoredAction& a) { return a.facts.supersedes == action.supersedes; });
    if (again) {
        throw superseded();
    }
}

ActionId SqliteAnswers::add(const Action& action, const Stamp& stamp) {
    std::int64_t id = 0;
    store_.atomically([&] {
        check_action(action);
        check_not_future("the action", action.at, stamp.entered_at,
                         Zone::named(store_.site().zone));
        check_successor(action);
        const auto& amount = action.amount;
        store_.database().run(
            "insert into corrective_action (entry, lot, flag, deviation, at, person, done, amount, "
            "amount_unit, disposition, shown_from, cause, control, prevention, held_apart, "
            "acceptability, reassessment, supersedes, why) "
            "values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            store_.enter("corrective_action", stamp), action.lot.value(), action.flag,
            action.deviation, action.at.unix_ms(), action.person, action.done,
            amount ? std::optional{amount->thousandths} : std::nullopt,
            amount ? std::optional<std::string_view>{amount->unit} : std::nullopt,
            maybe_name(action.disposition),
            action.shown_from ? std::optional{action.shown_from->unix_ms()} : std::nullopt,
            action.cause, action.control, action.prevention, action.held_apart,
            action.acceptability, action.reassessment,
            // One of another kitchen is no row here: this one stands beside it.
            action.supersedes && action.supersedes->value() > 0
                ? std::optional{action.supersedes->value()}
                : std::nullopt,
            action.why);
        id = store_.database().last_id();
    });
    return ActionId::of(id);
}

std::vector<StoredAction> SqliteAnswers::actions(LotId lot) const {
    Statement row{store_.database(), kActions};
    const auto there = store_.books_->parts.told_there(lot);
    std::vector<StoredAction> all =
        there ? actions_there(lot, *there) : std::vector<StoredAction>{};
    for (bool more = row.run(lot.value()); more; more = row.step()) {
        Action action{.lot = LotId::of(row.integer(1)),
                      .flag = text_at(row, 2),
                      .deviation = text_at(row, 3),
                      .at = instant_at(row, 4),
                      .person = text_at(row, 5),
                      .done = text_at(row, 6),
                      .disposition = maybe_word_at(row, 9, disposition_named),
                      .cause = text_at(row, 11),
                      .control = text_at(row, 12),
                      .prevention = text_at(row, 13),
                      .held_apart = text_at(row, 14),
                      .acceptability = text_at(row, 15),
                      .reassessment = text_at(row, 16),
                      .why = text_at(row, 18)};
        if (!row.is_null(7)) {
            action.amount = Amount{.thousandths = row.integer(7), .unit = text_at(row, 8)};
        }
        if (!row.is_null(10)) {
            action.shown_from = instant_at(row, 10);
        }
        if (!row.is_null(17)) {
            action.supersedes = ActionId::of(row.integer(17));
        }
        all.push_back(recorded(row, 19, ActionId::of(row.integer(0)), std::move(action)));
    }
    return all;
}

VerificationId SqliteAnswers::verify(const Verification& verification, const Stamp& stamp) {
    std::int64_t id = 0;
    store_.atomically([&] {
        check_signer(stamp, "verifies");
        check_text("note", verification.note);
        check_text("reason", verification.alone);
        Statement row{store_.database(),
                      "select a.person, p.name, "
                      "exists (select 1 from corrective_action where supersedes = a.id) "
                      "from corrective_action a join entry e on e.id = a.entry "
                      "left join person p on p.id = e.by where a.id = ?"};
        if (!row.run(verification.action.value())) {
            throw refused(ErrorKind::not_found, "there is no such action",
                          "see `holdwarden flags`");
        }
        if (row.integer(2) != 0) {
            throw superseded();
        }
        const bool own = row.text(0) == stamp.by || row.text(1) == stamp.by;
        if (own && trimmed(verification.alone).empty()) {
            throw refused(ErrorKind::bad_input,
                          "'" + for_display(stamp.by) +
                              "' did or entered this action, and nobody verifies their own",
                          "let a second person verify it");
        }
        if (!verification.accepted && trimmed(verification.note).empty()) {
            throw refused(ErrorKind::bad_input, "an action found wanting needs a reason",
                          "say what is wrong with --note");
        }
        row.reset();
        store_.database().run("insert into verification (entry, action, accepted, note, alone) "
                              "values (?, ?, ?, ?, ?)",
                              store_.enter("verification", stamp), verification.action.value(),
                              std::int64_t{verification.accepted}, verification.note,
                              own ? std::string_view{verification.alone} : std::string_view{});
        id = store_.database().last_id();
    });
    return VerificationId::of(id);
}

std::vector<StoredVerification> SqliteAnswers::verifications(LotId lot) const {
    Statement row{store_.database(),
                  "select v.id, v.action, v.accepted, v.note, v.alone, e.id, e.entered_at, p.name "
                  "from verification v join corrective_action a on a.id = v.action "
                  "join entry e on e.id = v.entry left join person p on p.id = e.by "
                  "where a.lot = ? order by v.id"};
    const auto there = store_.books_->parts.told_there(lot);
    std::vector<StoredVerification> all =
        there ? verifications_there(*there) : std::vector<StoredVerification>{};
    for (bool more = row.run(lot.value()); more; more = row.step()) {
        all.push_back(recorded(row, 5, VerificationId::of(row.integer(0)),
                               Verification{.action = ActionId::of(row.integer(1)),
                                            .accepted = row.integer(2) != 0,
                                            .note = text_at(row, 3),
                                            .alone = text_at(row, 4)}));
    }
    return all;
}

SignatureId SqliteAnswers::sign(const Signature& signature, const Stamp& stamp) {
    std::int64_t id = 0;
    store_.atomically([&] {
        check_signer(stamp, "signs");
        check_text("name", signature.name);
        check_text("reason", signature.alone);
        check_text("reason", signature.unready);
        if (trimmed(signature.name).empty()) {
            throw refused(ErrorKind::bad_input, "the signer's name in print is not said",
                          "give --by");
        }
        if (signature.from > signature.to) {
            throw refused(ErrorKind::bad_input, "the period signed ends before it begins",
                          "give --from and --to in their order");
        }
        store_.database().run(
            "insert into signature (entry, lot, from_at, to_at, meaning, name, sha256, alone, "
            "unready) values (?, ?, ?, ?, ?, ?, ?, ?, ?)",
            store_.enter("signature", stamp),
            signature.lot ? std::optional{signature.lot->value()} : std::nullopt,
            signature.from.unix_ms(), signature.to.unix_ms(), to_name(signature.meaning),
            signature.name, Blob{signature.sha256}, signature.alone, signature.unready);
        id = store_.database().last_id();
    });
    return SignatureId::of(id);
}

std::vector<StoredSignature> SqliteAnswers::signatures() const {
    Statement row{store_.database(),
                  "select s.id, s.lot, s.from_at, s.to_at, s.meaning, s.name, s.sha256, s.alone, "
                  "s.unready, e.id, e.entered_at, p.name from signature s "
                  "join entry e on e.id = s.entry left join person p on p.id = e.by order by s.id"};
    std::vector<StoredSignature> all;
    for (bool more = row.run(); more; more = row.step()) {
        Signature signature{.from = instant_at(row, 2),
                            .to = instant_at(row, 3),
                            .meaning = word_at(row, 4, meaning_named),
                            .name = text_at(row, 5),
                            .alone = text_at(row, 7),
                            .unready = text_at(row, 8)};
        if (!row.is_null(1)) {
            signature.lot = LotId::of(row.integer(1));
        }
        const Blob digest = row.blob(6);
        std::copy_n(digest.begin(), std::min(digest.size(), signature.sha256.size()),
                    signature.sha256.begin());
        all.push_back(recorded(row, 9, SignatureId::of(row.integer(0)), std::move(signature)));
    }
    return all;
}

void SqliteAnswers::set(const ReviewRule& rule, const Stamp& stamp) {
    store_.atomically([&] {
        if (trimmed(rule.source).empty()) {
            throw refused(ErrorKind::bad_input, "who asks for the review is not said",
                          "give the rule's source, such as \"house rule\"");
        }
        check_text("source", rule.source);
        store_.database().run("insert into review_rule (entry, from_at, days, working_days, "
                              "source) values (?, ?, ?, ?, ?)",
                              store_.enter("review_rule", stamp), rule.from.unix_ms(),
                              std::int64_t{rule.days}, std::int64_t{rule.working_days},
                              rule.source);
    });
}

std::vector<ReviewRule> SqliteAnswers::review_rules() const {
    Statement row{store_.database(),
                  "select from_at, days, working_days, source from review_rule order by id"};
    std::vector<ReviewRule> all;
    for (bool more = row.run(); more; more = row.step()) {
        all.push_back({.from = instant_at(row, 0),
                       .days = static_cast<unsigned>(row.integer(1)),
                       .working_days = row.integer(2) != 0,
                       .source = text_at(row, 3)});
    }
    return all;
}

std::vector<std::string> SqliteAnswers::makers(LotId lot) const {
    // An import's readings belong to the lot through the probes that were placed in it.
    Statement row{store_.database(),
                  "with mine (entry) as ("
                  "  select entry from lot where id = ?1"
                  "  union all select entry from stage_entry where lot = ?1"
                  "  union all select entry from lot_end where lot = ?1"
                  "  union all select entry from placement where lot = ?1"
                  "  union all select l.entry from lift l join placement m on m.id = l.placement"
                  "    where m.lot = ?1"
                  "  union all select entry from typed_reading where lot = ?1"
                  "  union all select entry from corrective_action where lot = ?1"
                  "  union all select entry from batch where id in ("
                  "    select r.batch from placement m left join lift l on l.placement = m.id"
                  "    join reading r on r.key >= m.probe * 4398046511104 + m.from_at"
                  "      and r.key < m.probe * 4398046511104 + coalesce(l.at, 4398046511103)"
                  "    where m.lot = ?1)"
                  ") select p.name from person p where p.id in (select e.by from entry e "
                  "join mine on mine.entry = e.id) "
                  "union select person from corrective_action where lot = ?1 order by 1"};
    std::vector<std::string> names;
    for (bool more = row.run(lot.value()); more; more = row.step()) {
        names.push_back(text_at(row, 0));
    }
    return names;
}

} // namespace holdwarden::store

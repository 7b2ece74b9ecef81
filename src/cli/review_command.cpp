#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/lot_judge.hpp>
#include <holdwarden/cli/sheet_material.hpp>
#include <holdwarden/cli/sign.hpp>
#include <holdwarden/cli/signed_lots.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/sheets/local_times.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <ostream>

namespace holdwarden::cli {
namespace {

using records::Meaning;
using records::Role;

constexpr std::array<Role, 2> kMayReview{Role::person_in_charge, Role::reviewer};

struct ReviewOptions {
    StoreArguments store;
    SignArguments sign;
    std::string lot;
    std::string night;
    std::string from;
    std::string to;
    std::string meaning;
    std::string same_person;
};

struct ReleaseOptions {
    StoreArguments store;
    SignArguments sign;
    std::string lot;
    std::string same_person;
    std::string not_ready;
};

Error wrong_usage(std::string what, std::string fix) {
    return Error{ErrorKind::usage, {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

Meaning meaning_of(const std::string& text) {
    if (text.empty()) {
        return Meaning::reviewed;
    }
    const auto meaning = records::meaning_named(text);
    if (!meaning || *meaning == Meaning::released) {
        throw wrong_usage(fmt::format("--meaning '{}' is not known", for_display(text, 60)),
                          "give made, reviewed, approved or verified; a lot is released with "
                          "`holdwarden release`");
    }
    return *meaning;
}

/// What is signed: a lot, or every lot of a period.
struct Under {
    std::optional<records::LotId> lot;
    Instant from;
    Instant to;
    std::string words;
};

Under lot_meant(const OpenStore& store, const std::string& name) {
    const auto lot = records::lot_named(*store, name);
    return {.lot = lot.id,
            .from = lot.facts.opened_at,
            .to = std::max(store.now(), lot.facts.opened_at),
            .words = "lot " + lot.facts.name};
}

Under period_meant(const ReviewOptions& o, const OpenStore& store) {
    Under under{.lot = {}, .from = {}, .to = store.now(), .words = {}};
    if (!o.night.empty()) {
        const auto night = parse_date(o.night);
        if (!night) {
            throw wrong_usage(fmt::format("--night '{}' is not a date", for_display(o.night, 60)),
                              "give the date on which the night begins, such as 2026-10-31");
        }
        const sheets::Period period = sheets::night_of(*night, store.zone());
        under.from = period.from;
        under.to = std::min(under.to, period.to);
        under.words = "the night of " + to_text(*night);
    } else {
        under.from = store.time(o.from, "--from");
        under.to = o.to.empty() ? under.to : std::min(under.to, store.time(o.to, "--to"));
        under.words = store.shown(under.from) + " to " + store.shown(under.to);
    }
    if (under.from >= under.to) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the time to be signed has not begun, or ends before it begins",
                     .where = o.night.empty() ? "--from" : "--night",
                     .fix = "name a time that is past"}};
    }
    return under;
}

Under what_is_meant(const ReviewOptions& o, const OpenStore& store) {
    const int named = int{!o.lot.empty()} + int{!o.night.empty()} + int{!o.from.empty()};
    if (named != 1 || (!o.to.empty() && o.from.empty())) {
        throw wrong_usage(named == 0 ? "nothing is named that is reviewed"
                                     : "a lot, a night and a period do not go together",
                          "give a lot, or --night DATE, or --from and --to");
    }
    return o.lot.empty() ? period_meant(o, store) : lot_meant(store, o.lot);
}

/// 9 CFR 417.5(c): by one who did not make the records, where practicable. What a sheet prints when
/// it is one who did; "" otherwise.
std::string alone_words(const OpenStore& store, const Under& under,
                        const std::string& same_person) {
    std::vector<records::LotId> lots;
    if (under.lot) {
        lots.push_back(*under.lot);
    } else {
        lots = lots_between(store, under.from, under.to);
    }
    std::string words;
    for (const records::LotId lot : lots) {
        for (const std::string& maker : store->answers().makers(lot)) {
            if (!same_person.empty()) {
                const auto site = records::one_person_at(store->people(), store.now());
                const auto may = records::may_verify(maker, store.stamp().by, site);
                if (may.answer != records::MayVerify::Answer::yes) {
                    words = "signed by one who made entries in it: " + same_person;
                }
                continue;
            }
            const std::string found = check_may_verify(store, maker, store.stamp().by, under.words);
            words = words.empty() ? found : words;
        }
    }
    return words;
}

records::SignatureId enter(const OpenStore& store, const Under& under, Meaning meaning,
                           const records::Person& signer, const std::string& content,
                           const std::string& alone, const std::string& unready) {
    return store->answers().sign({.lot = under.lot,
                                  .from = under.from,
                                  .to = under.to,
                                  .meaning = meaning,
                                  .name = printed_name(signer),
                                  .sha256 = seal::sha256(content),
                                  .alone = alone,
                                  .unready = unready},
                                 store.stamp());
}

void tell(const OpenStore& store, records::SignatureId id, const Under& under, Meaning meaning,
          const std::string& name, const std::string& content, const std::string& alone,
          Context& context) {
    context.out << "Signature " << id.value() << ": " << for_display(under.words) << " "
                << to_name(meaning) << " by " << for_display(name) << " at "
                << store.shown(store.now()) << (alone.empty() ? "" : " (" + alone + ")")
                << ".\nSHA-256 of what was signed: " << seal::hex(seal::sha256(content)) << "\n";
}

int run_review(const ReviewOptions& o, Context& context) {
    const Meaning meaning = meaning_of(o.meaning);
    const OpenStore store{o.store, context, store::Access::write};
    const Under under = what_is_meant(o, store);
    const bool made = meaning == Meaning::made;
    const std::string alone = made ? "" : alone_words(store, under, o.same_person);
    SignedContent contents{store, context};
    const std::string content = under.lot ? contents.of_lot(*under.lot, under.to)
                                          : contents.of_period(under.from, under.to);
    const auto signer =
        sign(store, o.sign, fmt::format("{}: {}", to_name(meaning), under.words),
             made ? std::span<const Role>{} : std::span<const Role>{kMayReview}, context);
    const auto id = enter(store, under, meaning, signer.facts, content, alone, "");
    tell(store, id, under, meaning, printed_name(signer.facts), content, alone, context);
    return kDone;
}

int run_release(const ReleaseOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    const Under under = lot_meant(store, o.lot);
    SignedContent contents{store, context};
    LotJudge judge{store, context, store.now()};
    const auto reasons = not_ready(judge.record(*under.lot), contents.under(*under.lot));
    if (!reasons.empty() && trimmed(o.not_ready).empty()) {
        throw Error{ErrorKind::conflict,
                    {.what = fmt::format("it is not ready: {}", fmt::join(reasons, "; ")),
                     .where = under.words,
                     .fix = "answer, verify and review first; or release it all the same with "
                            "--not-ready REASON, which stays on record and prints"}};
    }
    const std::string unready =
        reasons.empty()
            ? ""
            : fmt::format("{}; released although {}", o.not_ready, fmt::join(reasons, "; "));
    const std::string alone = alone_words(store, under, o.same_person);
    const std::string content = contents.of_lot(*under.lot, under.to);
    const auto signer = sign(store, o.sign, "released: " + under.words, kMayReview, context);
    const auto id = enter(store, under, Meaning::released, signer.facts, content, alone,
                          for_display(unready, records::kLongestText - 20));
    tell(store, id, under, Meaning::released, printed_name(signer.facts), content, alone, context);
    if (!unready.empty()) {
        context.out << "It was not ready: " << for_display(unready, 600) << ".\n";
    }
    return kDone;
}

void declare_review(ReviewOptions& o, Arguments& arguments) {
    arguments.may("lot", o.lot, "The lot, or the beginning of its name");
    arguments.option("--night", o.night, "All lots of the night that begins on this date at noon");
    arguments.option("--from", o.from, "All lots of the time from this");
    arguments.option("--to", o.to, "Up to this (now)");
    arguments.option("--meaning", o.meaning, "made, reviewed, approved or verified (reviewed)");
    arguments.option("--same-person", o.same_person,
                     "Why one who made entries in it signs it: prints on every sheet");
    o.sign.declare(arguments);
    o.store.declare_writing(arguments);
    arguments.example("holdwarden review brisket-1 --by MT");
    arguments.example("holdwarden review --night 2026-10-31 --by MT");
}

void declare_release(ReleaseOptions& o, Arguments& arguments) {
    arguments.need("lot", o.lot, "The lot, or the beginning of its name");
    arguments.option("--not-ready", o.not_ready,
                     "Why it is released although it is not ready: prints on every sheet");
    arguments.option("--same-person", o.same_person,
                     "Why one who made entries in it signs it: prints on every sheet");
    o.sign.declare(arguments);
    o.store.declare_writing(arguments);
    arguments.example("holdwarden release brisket-1 --by MT");
}

} // namespace

std::vector<Command> review_commands() {
    const auto review = std::make_shared<ReviewOptions>();
    const auto release = std::make_shared<ReleaseOptions>();
    return {{.name = "review",
             .help = "Sign that a lot, a night or a period was looked through",
             .declare = [review](Arguments& arguments) { declare_review(*review, arguments); },
             .run = [review](Context& context) { return run_review(*review, context); }},
            {.name = "release",
             .help = "Sign that a lot may go: only when it is reviewed and its flags are closed",
             .declare = [release](Arguments& arguments) { declare_release(*release, arguments); },
             .run = [release](Context& context) { return run_release(*release, context); }}};
}

} // namespace holdwarden::cli

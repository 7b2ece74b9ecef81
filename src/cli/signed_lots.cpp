#include <holdwarden/cli/lot_judge.hpp>
#include <holdwarden/cli/sheet_material.hpp>
#include <holdwarden/cli/signed_lots.hpp>
#include <holdwarden/judge/signed_content.hpp>
#include <holdwarden/store/pin_reset.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::cli {

using records::LotId;
using records::Meaning;
using sheets::SignatureLine;

namespace {

/// The last reset of the signer's PIN before the signature.
std::optional<sheets::PinResetNote> pin_reset_before(const OpenStore& store,
                                                     const records::Stamp& signed_by) {
    std::optional<sheets::PinResetNote> last;
    for (const store::PinReset& reset : store::pin_resets(*store)) {
        if (reset.person == signed_by.by && reset.stamp.entered_at <= signed_by.entered_at) {
            last = {.at = reset.stamp.entered_at, .by = reset.stamp.by, .why = reset.why};
        }
    }
    return last;
}

bool ended_by(const OpenStore& store, LotId lot, Instant to) {
    const auto end = store->end(lot);
    return end && end->at <= to;
}

} // namespace

std::string SignedContent::of_lot(LotId lot, Instant to) const {
    // What had ended is judged as of now: a check that fails later counts. What went on is judged
    // as of the signature: readings that came later are not signed.
    LotJudge judge{store_, context_, ended_by(store_, lot, to) ? store_.now() : to};
    const sheets::LotRecord record = judge.record(lot);
    const auto actions = store_->answers().actions(lot);
    const auto verifications = store_->answers().verifications(lot);
    return judge::signed_content(record.history, record.judged, actions, verifications);
}

const seal::Sha256& SignedContent::lot_digest(LotId lot, Instant to) {
    const Instant until = ended_by(store_, lot, to) ? Instant{} : to;
    auto found = digests_.find({lot, until});
    if (found == digests_.end()) {
        found = digests_.emplace(std::pair{lot, until}, seal::sha256(of_lot(lot, to))).first;
    }
    return found->second;
}

std::string SignedContent::of_period(Instant from, Instant to) {
    std::vector<judge::SignedLot> lots;
    const auto all = store_->lots();
    for (const LotId id : lots_between(store_, from, to)) {
        const auto lot = std::ranges::find(all, id, [](const auto& l) { return l.id; });
        lots.push_back({.name = lot->facts.name, .sha256 = seal::hex(lot_digest(id, to))});
    }
    return judge::signed_content(from, to, std::move(lots));
}

std::string SignedContent::of(const records::Signature& signature) {
    return signature.lot ? of_lot(*signature.lot, signature.to)
                         : of_period(signature.from, signature.to);
}

bool SignedContent::stands(const records::Signature& signature) {
    return (signature.lot ? lot_digest(*signature.lot, signature.to)
                          : seal::sha256(of(signature))) == signature.sha256;
}

SignatureLine SignedContent::line_of(const records::StoredSignature& stored) {
    const records::Signature& s = stored.facts;
    return {.number = stored.id.value(),
            .name = s.name,
            .meaning = s.meaning,
            .at = stored.stamp.entered_at,
            .stands = stands(s),
            .of_period = !s.lot,
            .alone = s.alone,
            .unready = s.unready,
            .sha256 = seal::hex(s.sha256),
            .pin_reset = pin_reset_before(store_, stored.stamp)};
}

std::vector<SignatureLine> SignedContent::under(LotId lot) {
    const auto end = store_->end(lot);
    std::vector<SignatureLine> lines;
    for (const records::StoredSignature& stored : store_->answers().signatures()) {
        const records::Signature& s = stored.facts;
        const bool own = s.lot == lot;
        const bool of_its_time = !s.lot && end && end->at < s.to && end->at >= s.from;
        if (own || of_its_time) {
            lines.push_back(line_of(stored));
        }
    }
    return lines;
}

std::vector<SignatureLine> SignedContent::under(Instant from, Instant to) {
    std::vector<SignatureLine> lines;
    for (const records::StoredSignature& stored : store_->answers().signatures()) {
        if (!stored.facts.lot && stored.facts.from == from && stored.facts.to <= to) {
            lines.push_back(line_of(stored));
        }
    }
    return lines;
}

bool reviewed(const std::vector<SignatureLine>& signatures) {
    return std::ranges::any_of(signatures, [](const SignatureLine& s) {
        return s.stands && (s.meaning == Meaning::reviewed || s.meaning == Meaning::approved ||
                            s.meaning == Meaning::verified);
    });
}

std::vector<std::string> not_ready(const sheets::LotRecord& record,
                                   const std::vector<SignatureLine>& signatures) {
    std::vector<std::string> reasons;
    const auto& findings = record.judged.findings;
    if (std::ranges::none_of(findings, &judge::Finding::counts)) {
        reasons.emplace_back("nothing recorded of it could be judged");
    }
    for (const judge::Finding& f : findings) {
        if (f.counts && f.verdict == judge::Verdict::open) {
            reasons.push_back(fmt::format("{} is open: its time has not run out", f.requirement));
        }
    }
    for (const judge::AnsweredFlag& flag : record.answers) {
        if (flag.state < judge::AnswerState::closed) {
            reasons.push_back(fmt::format("flag {} ({}) is {}",
                                          judge::handle(record.history.name, flag.id), flag.id,
                                          judge::to_words(flag.state)));
        }
    }
    if (!reviewed(signatures)) {
        const bool once = std::ranges::any_of(
            signatures, [](const SignatureLine& s) { return s.meaning == Meaning::reviewed; });
        reasons.emplace_back(once ? "its record was changed since it was reviewed"
                                  : "its record was not reviewed");
    }
    return reasons;
}

std::vector<sheets::ReviewDue> reviews_due(const OpenStore& store, const Context& context) {
    SignedContent contents{store, context};
    const auto rules = store->answers().review_rules();
    std::vector<sheets::ReviewDue> waiting;
    for (const auto& lot : store->lots()) {
        const records::LotHistory history = store->lot_history(lot.id, store.now());
        if (history.stages.empty() || reviewed(contents.under(lot.id))) {
            continue;
        }
        sheets::ReviewDue review{.lot = lot.facts.name};
        const Instant made = made_at(history, lot.facts.opened_at);
        if (const auto rule = records::review_rule_at(rules, made)) {
            review.due = records::review_due(*rule, made, store.zone());
            review.overdue = store.now() > *review.due;
        }
        waiting.push_back(std::move(review));
    }
    std::ranges::stable_sort(waiting, {}, [](const sheets::ReviewDue& r) {
        return std::pair{!r.overdue, r.due.value_or(Instant{})};
    });
    return waiting;
}

Instant made_at(const records::LotHistory& history, Instant opened) {
    if (history.end) {
        return history.end->at;
    }
    Instant last = opened;
    for (const records::StageEntry& stage : history.stages) {
        last = std::max(last, stage.from);
    }
    for (const records::PointSeries& point : history.points) {
        last = point.readings.empty() ? last : std::max(last, point.readings.back().at);
    }
    return last;
}

} // namespace holdwarden::cli

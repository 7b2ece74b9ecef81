// What must hold of marks and amendments whatever the record: docs/how-limits-are-read.md,
// "Readings that people set aside or confirm".
#include "random_lots.hpp"

using namespace holdwarden;
using namespace holdwarden::test;
using records::LotHistory;

namespace {

int harshness(Verdict v) {
    return v == Verdict::ended ? static_cast<int>(Verdict::met) : static_cast<int>(v);
}

/// Up to three stretches of the lot set aside; each verified or not as `verified` says.
std::vector<records::ReadingMark> some_marks(const LotHistory& lot, bool verified) {
    std::vector<records::ReadingMark> marks;
    const auto all = (last_of(lot) - lot.stages.front().from).ms() / 60'000;
    const int count = whole(1, 4);
    for (int i = 0; i < count; ++i) {
        const int from = whole(0, static_cast<int>(all) + 1);
        records::ReadingMark mark;
        mark.kind = records::MarkKind::set_aside;
        mark.id = i + 1;
        mark.from = at(from);
        mark.to = at(from + whole(0, 90));
        mark.by = "RK";
        mark.why = "drawn";
        mark.verified_by = verified ? "MM" : "";
        marks.push_back(mark);
    }
    return marks;
}

LotJudgement judged(const LotHistory& lot) {
    return judge::judge_lot(lot, fda(), as_of(last_of(lot)));
}

void no_milder(const LotJudgement& before, const LotJudgement& after) {
    const auto first = by_key(before);
    const auto second = by_key(after);
    for (const auto& [key, f] : first) {
        const auto found = second.find(key);
        RC_ASSERT(found != second.end());
        RC_LOG() << described(*f) << " then " << described(*found->second);
        RC_ASSERT(harshness(found->second->verdict) >= harshness(f->verdict));
    }
    RC_ASSERT(harshness(after.overall) >= harshness(before.overall));
}

} // namespace

TEST_CASE("setting aside what nobody verified never makes a verdict milder") {
    rc::prop(property_name(), [] {
        LotHistory lot = any_lot();
        judge::mark_suspects(lot);
        const LotJudgement before = judged(lot);
        lot.marks = some_marks(lot, false);
        no_milder(before, judged(lot));
    });
}

TEST_CASE("what a second person verified is judged as if it had never been read") {
    rc::prop(property_name(), [] {
        LotHistory lot = any_lot();
        judge::mark_suspects(lot);
        LotHistory never = lot;
        lot.marks = some_marks(lot, true);
        for (records::PointSeries& point : never.points) {
            std::erase_if(point.readings, [&](const records::Reading& reading) {
                return std::ranges::any_of(lot.marks, [&](const records::ReadingMark& mark) {
                    return reading.origin == records::Origin::logged && mark.from <= reading.at &&
                           reading.at <= mark.to;
                });
            });
            for (records::Reading& reading : point.readings) {
                reading.suspect = false;
            }
        }
        judge::mark_suspects(never);
        // Asked at the same instant: where the last reading is set aside, time has gone on.
        const LotJudgement without = judge::judge_lot(never, fda(), as_of(last_of(lot)));
        const LotJudgement with = judged(lot);
        RC_ASSERT(with.overall == without.overall);
        RC_ASSERT(with.findings.size() == without.findings.size());
        for (std::size_t i = 0; i < with.findings.size(); ++i) {
            RC_ASSERT(with.findings[i].verdict == without.findings[i].verdict);
        }
        // And the record with them is shown beside it.
        lot.marks.clear();
        if (with.set_aside) {
            RC_ASSERT(with.set_aside->as_recorded == judged(lot).overall);
        }
    });
}

TEST_CASE("a record amended and amended back is judged as it was") {
    rc::prop(property_name(), [] {
        LotHistory lot = any_lot();
        judge::mark_suspects(lot);
        const LotJudgement before = judged(lot);
        lot.first_recorded = std::make_shared<const LotHistory>(lot);
        lot.amendments.resize(2);
        const LotJudgement after = judged(lot);
        RC_ASSERT(after.overall == before.overall);
        RC_ASSERT(after.as_first_recorded == before.overall);
        RC_ASSERT(after.findings.size() == before.findings.size());
        for (std::size_t i = 0; i < after.findings.size(); ++i) {
            RC_ASSERT(after.findings[i].verdict == before.findings[i].verdict);
            RC_ASSERT(after.findings[i].notes == before.findings[i].notes);
        }
    });
}

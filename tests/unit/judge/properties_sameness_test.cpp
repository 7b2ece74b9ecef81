// What must not change a verdict: when the night was, where its clocks stood, in what order and how
// often its rows came, which thermometer took them.
#include "random_lots.hpp"

#include <holdwarden/intake/lots.hpp>

#include <sstream>

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

/// Dates of date marking are local days, so they alone may change with a shift.
bool is_dated(const Finding& f) {
    return f.requirement == "date-mark";
}

Verdict overall_of_times(const LotJudgement& judged) {
    std::vector<Finding> findings;
    std::ranges::copy_if(judged.findings, std::back_inserter(findings),
                         [](const Finding& f) { return !is_dated(f); });
    return judge::overall(findings);
}

void same_lengths(const judge::SpanBracket& a, const judge::SpanBracket& b) {
    RC_ASSERT(a.earliest == b.earliest);
    RC_ASSERT(a.latest == b.latest);
    RC_ASSERT(a.estimate == b.estimate);
}

/// The same verdicts and lengths, `b` being later by `shift`.
void same(const LotJudgement& a, const LotJudgement& b, Span shift = {}) {
    RC_ASSERT(overall_of_times(a) == overall_of_times(b));
    RC_ASSERT((a.findings.size() == b.findings.size() || shift != Span{}));
    const auto first = by_key(a);
    const auto second = by_key(b, shift);
    for (const auto& [key, f] : first) {
        if (is_dated(*f)) {
            continue;
        }
        RC_LOG() << described(*f);
        RC_ASSERT(second.contains(key));
        const Finding& g = *second.at(key);
        RC_LOG() << "or: " << described(g);
        RC_ASSERT(f->verdict == g.verdict);
        RC_ASSERT(f->counts == g.counts);
        RC_ASSERT(f->acts_as_missed == g.acts_as_missed);
        same_lengths(f->elapsed, g.elapsed);
        RC_ASSERT(f->excursions.size() == g.excursions.size());
        for (std::size_t i = 0; i < f->excursions.size(); ++i) {
            same_lengths(f->excursions[i].length, g.excursions[i].length);
            RC_ASSERT(f->excursions[i].worst == g.excursions[i].worst);
        }
    }
    same_lengths(a.below_hot_limit, b.below_hot_limit);
}

records::LotHistory shifted_by(records::LotHistory lot, Span by) {
    for (auto& s : lot.stages) {
        s.from = s.from + by;
    }
    for (auto& p : lot.points) {
        for (auto& r : p.readings) {
            r.at = r.at + by;
        }
    }
    if (lot.end) {
        lot.end->at = lot.end->at + by;
    }
    return lot;
}

} // namespace

TEST_CASE(
    "a night later, or on the night the clocks change, the same record gets the same verdicts") {
    rc::prop(property_name(), [] {
        const auto lot = any_lot();
        // The clocks of America/Denver go back 14 h after the start of a test's lot, forward 133
        // days later.
        const Span by =
            *rc::gen::arbitrary<bool>()
                ? Span::minutes(whole(-24 * 60, 24 * 60))
                : Span::milliseconds(86'400'000LL * whole(-700, 700) + whole(0, 86'400'000));
        const auto now = last_of(lot);
        RC_LOG() << described(lot) << "shifted by " << to_text(by) << "\n";
        same(judge::judge_lot(lot, fda(), as_of(now)),
             judge::judge_lot(shifted_by(lot, by), fda(), as_of(now + by)), by);
    });
}

TEST_CASE("the zone changes no verdict but those of dates", "[TIM-2]") {
    rc::prop(property_name(), [] {
        const auto lot = any_lot();
        auto settings = as_of(last_of(lot));
        const auto here = judge::judge_lot(lot, fda(), settings);
        settings.zone = Zone::named(
            *rc::gen::element(std::string{"UTC"}, std::string{"Asia/Kathmandu"},
                              std::string{"Pacific/Apia"}, std::string{"Australia/Lord_Howe"}));
        same(here, judge::judge_lot(lot, fda(), settings));
    });
}

TEST_CASE("which thermometer read a point changes nothing, as long as they are equally good") {
    rc::prop(property_name(), [] {
        auto lot = any_lot();
        const auto now = last_of(lot);
        const auto one = judge::judge_lot(lot, fda(), as_of(now));
        lot.probes.push_back(lot.probes.front());
        lot.probes.back().name = "p2";
        for (auto& p : lot.points) {
            for (auto& r : p.readings) {
                r.probe = *rc::gen::arbitrary<bool>() ? 1U : 0U;
            }
        }
        same(one, judge::judge_lot(lot, fda(), as_of(now)));
    });
}

TEST_CASE("rows in any order, in two pieces, or imported twice make the same record") {
    rc::prop(property_name(), [] {
        auto lot = any_lot();
        lot.end.reset();
        std::vector<std::string> rows;
        Scale scale = Scale::celsius;
        for (const auto& p : lot.points) {
            for (const auto& r : p.readings) {
                Stage stage = lot.stages.front().stage;
                for (const auto& s : lot.stages) {
                    stage = s.from <= r.at ? s.stage : stage;
                }
                scale = r.value.scale();
                std::ostringstream row;
                row << r.at.unix_ms() << "," << p.point << "," << number_text(r.value) << ","
                    << to_name(stage) << "\n";
                rows.push_back(row.str());
            }
        }
        RC_PRE(!rows.empty());
        const auto judged = [&](const std::vector<std::string>& order) {
            std::string text = "time,probe,temp,stage\n";
            for (const auto& row : order) {
                text += row;
            }
            std::istringstream in{text};
            intake::CsvOptions csv;
            csv.time_format = "unix-ms";
            csv.scale = scale;
            intake::LotsOptions lots;
            lots.food = lot.food;
            const auto made =
                intake::lots_of(intake::collect_csv(intake::stream_source(in), csv), lots);
            RC_ASSERT(made.size() == 1U);
            std::size_t readings = 0;
            for (const auto& p : made.front().points) {
                readings += p.readings.size();
            }
            RC_ASSERT(readings == rows.size());
            return judge::judge_lot(made.front(), fda(), as_of(last_of(lot)));
        };
        // By time, as a logger writes; the points in the order of their first rows.
        auto sorted = rows;
        std::ranges::stable_sort(sorted, {},
                                 [](const std::string& row) { return std::stoll(row); });
        const auto plain = judged(sorted);
        same(plain, judged(rows));

        auto any_order = rows;
        for (std::size_t i = any_order.size(); i > 1; --i) {
            std::swap(any_order[i - 1],
                      any_order[static_cast<std::size_t>(whole(0, static_cast<int>(i)))]);
        }
        same(plain, judged(any_order));

        auto pieces = sorted; // the later half of the night comes first
        std::ranges::rotate(pieces, pieces.begin() + whole(0, static_cast<int>(pieces.size())));
        same(plain, judged(pieces));

        auto twice = any_order;
        twice.insert(twice.end(), sorted.begin(), sorted.end());
        same(plain, judged(twice));
    });
}

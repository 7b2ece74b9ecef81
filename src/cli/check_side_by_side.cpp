// One record under several codes: a row for each requirement, a column for each code.
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/check_result.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/judge/marks.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

namespace holdwarden::cli {
namespace {

using judge::Verdict;

std::string cell(const std::optional<Verdict>& verdict) {
    return verdict ? fmt::format("{} {}", judge::mark(*verdict), to_words(*verdict)) : "-";
}

/// The worst that counts for one requirement; nullopt: this code did not judge it.
std::optional<Verdict> verdict_for(const CheckedLot& lot, std::string_view requirement) {
    std::optional<Verdict> worst;
    for (const judge::Finding& f : lot.judgement.findings) {
        if (f.counts && f.source == "code" && f.requirement == requirement) {
            worst = worst ? judge::worse(*worst, f.verdict) : f.verdict;
        }
    }
    return worst;
}

std::vector<std::vector<std::string>> rows_of(const std::vector<CheckResult>& results,
                                              std::size_t lot) {
    std::vector<std::vector<std::string>> rows{{""}, {"all together"}};
    for (const CheckResult& result : results) {
        const CheckedLot& checked = result.lots[lot];
        rows[0].push_back(checked.judgement.judged_by.back().id);
        rows[1].push_back(cell(checked.judgement.overall));
    }
    for (const std::string_view id : codes::requirement_ids()) {
        std::vector<std::string> row{std::string{id}};
        bool any = false;
        for (const CheckResult& result : results) {
            const auto verdict = verdict_for(result.lots[lot], id);
            any = any || verdict.has_value();
            row.push_back(cell(verdict));
        }
        if (any) {
            rows.push_back(std::move(row));
        }
    }
    return rows;
}

} // namespace

void print_checks_text(std::ostream& out, const std::vector<CheckResult>& results) {
    out << "One record under several codes, each judged by itself. A dash: that code has no such\n"
           "limit, or this record no such stage. A code's silence is no approval.\n";
    for (std::size_t i = 0; i < results.front().lots.size(); ++i) {
        out << "\nLot " << for_display(results.front().lots[i].judgement.lot, 60) << "\n"
            << table(rows_of(results, i));
    }
    for (const CheckResult& result : results) {
        const auto by = judged_by(result);
        out << "\n---- " << (by.empty() ? std::string{} : by.back().id) << " ----\n\n";
        print_check_text(out, result);
    }
}

} // namespace holdwarden::cli

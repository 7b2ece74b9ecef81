#include <holdwarden/base/time_text.hpp>
#include <holdwarden/records/signature.hpp>

#include <algorithm>
#include <array>

namespace holdwarden::records {
namespace {

constexpr std::array<Meaning, 5> kMeanings{Meaning::made, Meaning::reviewed, Meaning::approved,
                                           Meaning::verified, Meaning::released};
constexpr std::array<std::string_view, 5> kNames{"made", "reviewed", "approved", "verified",
                                                 "released"};

// The periods are from memory; 21 CFR 113.100 was seen.
constexpr std::array<NamedReviewRule, 4> kRules{{
    {"21-cfr-117", 7, true, "21 CFR 117.165(a)(4) (from memory)",
     "monitoring and corrective-action records; later only with a written reason"},
    {"21-cfr-120", 7, false, "21 CFR 120.11 (from memory)", "juice"},
    {"21-cfr-123", 7, false, "21 CFR 123.8 (from memory)", "fish and fishery products"},
    {"21-cfr-113", 1, true, "21 CFR 113.100", "low-acid canned food; also before release"},
}};

/// Monday to Friday. 1970-01-01 was a Thursday.
bool is_working_day(std::int64_t day) noexcept {
    const std::int64_t weekday = (day % 7 + 7 + 3) % 7; // 0: Monday
    return weekday < 5;
}

} // namespace

std::string_view to_name(Meaning meaning) noexcept {
    return kNames[static_cast<std::size_t>(meaning)];
}

std::optional<Meaning> meaning_named(std::string_view name) noexcept {
    const auto* const found = std::find(kNames.begin(), kNames.end(), name);
    if (found == kNames.end()) {
        return std::nullopt;
    }
    return kMeanings[static_cast<std::size_t>(found - kNames.begin())];
}

std::span<const Meaning> all_meanings() noexcept {
    return kMeanings;
}

std::span<const NamedReviewRule> all_review_rules() noexcept {
    return kRules;
}

std::optional<ReviewRule> review_rule_at(std::span<const ReviewRule> rules, Instant at) {
    const ReviewRule* best = nullptr;
    const ReviewRule* first = nullptr;
    for (const ReviewRule& rule : rules) {
        if (first == nullptr || rule.from < first->from) {
            first = &rule;
        }
        if (rule.from <= at && (best == nullptr || rule.from >= best->from)) {
            best = &rule;
        }
    }
    best = best == nullptr ? first : best;
    return best == nullptr ? std::nullopt : std::optional{*best};
}

Instant review_due(const ReviewRule& rule, Instant made, const Zone& zone) {
    std::int64_t day = day_number(date_of(zone.wall(made)));
    unsigned left = rule.days;
    while (left > 0) {
        ++day;
        if (!rule.working_days || is_working_day(day)) {
            --left;
        }
    }
    return start_of(date_from_day_number(day + 1), zone);
}

} // namespace holdwarden::records

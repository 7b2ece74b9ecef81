#include "messages.hpp"

#include <holdwarden/judge/finding.hpp>
#include <holdwarden/judge/judge.hpp>

namespace holdwarden::judge {

std::string_view to_words(Verdict verdict) noexcept {
    switch (verdict) {
    case Verdict::ended:
        return msg::verdict_ended;
    case Verdict::met:
        return msg::verdict_met;
    case Verdict::open:
        return msg::verdict_open;
    case Verdict::not_shown:
        return msg::verdict_not_shown;
    case Verdict::not_met:
        return msg::verdict_not_met;
    }
    return "";
}

std::string_view to_name(Verdict verdict) noexcept {
    switch (verdict) {
    case Verdict::ended:
        return "ended";
    case Verdict::met:
        return "met";
    case Verdict::open:
        return "open";
    case Verdict::not_shown:
        return "not-shown";
    case Verdict::not_met:
        return "not-met";
    }
    return "";
}

std::string_view to_name(DecisionRule rule) noexcept {
    return rule == DecisionRule::as_read ? "as-read" : "guarded";
}

Verdict worse(Verdict a, Verdict b) noexcept {
    return a < b ? b : a; // the enumeration ascends from what does not count to the worst
}

Verdict overall(const std::vector<Finding>& findings) noexcept {
    if (findings.empty()) {
        return Verdict::not_shown;
    }
    Verdict verdict = Verdict::ended;
    for (const Finding& finding : findings) {
        if (finding.counts) {
            verdict = worse(verdict, finding.verdict);
        }
    }
    return verdict;
}

} // namespace holdwarden::judge

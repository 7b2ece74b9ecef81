#include <holdwarden/base/time_text.hpp>
#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::judge {
namespace {

/// How many times over a row's time was kept.
double share(const RowKept& row) noexcept {
    return row.asked > Span{} ? row.longest.in_seconds() / row.asked.in_seconds() : 0.0;
}

} // namespace

std::string conformity_text(const Conformity& c) {
    // Neither certainty is ever claimed.
    const std::string chance = c.probability > 0.999   ? "more than 0.999"
                               : c.probability < 0.001 ? "less than 0.001"
                                                       : fmt::format("{:.3f}", c.probability);
    const double expanded = 2.0 * c.standard_uncertainty.thousandths() / 1000.0;
    return fmt::format("{} that it truly lies on the right side (normal error, U = ± {:.1f} {} "
                       "with k = 2: {}). It informs and never judges.",
                       chance, expanded, sign(c.standard_uncertainty.scale()), to_words(c.zone));
}

std::string cook_text(const CookNote& note) {
    std::string rows = "No row of the roast table was reached and kept.";
    if (!note.rows.empty()) {
        const RowKept& best = *std::ranges::max_element(note.rows, {}, share);
        rows = fmt::format("The longest unbroken time by the roast table: {} at {} ({} asked).",
                           to_text(best.longest), best.at, to_text(best.asked));
    }
    return fmt::format("{} A separate claim: integrated over the readings from 130 °F up, {:.1f} "
                       "log10 of Salmonella, as {:.1f} min at 140 °F (a line through the table's "
                       "own figures). Both are for a process authority; neither is a verdict.",
                       rows, note.lethality.log_reductions,
                       note.lethality.equivalent_minutes_at_140f);
}

} // namespace holdwarden::judge

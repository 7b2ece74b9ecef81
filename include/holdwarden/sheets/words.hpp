#pragma once

#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/judge/finding.hpp>
#include <holdwarden/judge/judge.hpp>

#include <string>
#include <string_view>

// The names sheets give to things. Everything that came from outside (names, reasons, rows of a
// file) passes through `shown` before it enters a sheet.
namespace holdwarden::sheets {

/// `text` with control characters, overrides of writing direction and ill-formed bytes made
/// visible; one with right-to-left letters is isolated (Unicode FSI ... PDI, UAX #9), so that it
/// does not turn the figures around it.
std::string shown(std::string_view text);

/// "Hot holding", "Cooling, first window"; an unknown id comes back as it is.
std::string requirement_title(std::string_view id);
/// "hot holding", "time as a public health control".
std::string stage_title(Stage stage);
/// What an entry was about, in the catalogue's words where the store writes one of a few forms
/// (a stage, an end, "lot", "core reading", "probe p5 placed"), else as it is, made safe to show.
std::string subject_title(std::string_view subject);
/// "intact roast", "other food".
std::string food_title(FoodKind food);
/// "not met", "served", "convection oven".
std::string verdict_title(judge::Verdict verdict);
std::string outcome_title(Outcome outcome);
std::string oven_title(OvenKind oven);
/// What the decision rule means, as a sentence part.
std::string rule_words(judge::DecisionRule rule);

/// "139.5 °F", the scale's own figure as measured.
std::string reading_text(const records::Reading& reading);

/// "1 h 35 min to 2 h 5 min (estimate 1 h 50 min)"; "" when nothing is known.
std::string bracket_text(const judge::SpanBracket& bracket);
/// "4.2 °F inside the limit", "3.6 °F outside the limit", "12 min inside the time", "1 h 5 min
/// outside the time"; "" when there is none.
std::string margin_text(const judge::Margin& margin);

/// "2 lots", "1 lot".
std::string counted(std::size_t n, std::string_view one, std::string_view many);

/// `text` with a capital letter in front, if it begins with an ASCII letter.
std::string capitalised(std::string text);

} // namespace holdwarden::sheets

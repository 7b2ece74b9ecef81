#pragma once

#include <holdwarden/judge/finding.hpp>

#include <string>
#include <string_view>

namespace holdwarden::judge {

/// "Hot holding", "Cooling, first window"; "" for an id that is none of a requirement.
std::string_view requirement_words(std::string_view id) noexcept;

// What stages, ends and ovens are called in sentences and on sheets: "hot holding", "handed on",
// "still dry oven".
std::string_view to_words(Stage stage) noexcept;
std::string_view to_words(Outcome outcome) noexcept;
std::string_view to_words(OvenKind oven) noexcept;

// What a check and a sheet say alike of figures that inform and never judge.

/// "0.945 that it truly lies on the right side (normal error, U = ± 1 °F with k = 2: conditional
/// pass); informs, never judges". At most three digits.
std::string conformity_text(const Conformity& conformity);

/// The two claims of a cook, and that neither is a verdict.
std::string cook_text(const CookNote& note);

} // namespace holdwarden::judge

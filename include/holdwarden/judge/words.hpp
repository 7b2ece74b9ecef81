#pragma once

#include <holdwarden/judge/finding.hpp>

#include <string>

namespace holdwarden::judge {

// What a check and a sheet say alike of figures that inform and never judge.

/// "0.945 that it truly lies on the right side (normal error, U = ± 1 °F with k = 2: conditional
/// pass); informs, never judges". At most three digits.
std::string conformity_text(const Conformity& conformity);

/// The two claims of a cook, and that neither is a verdict.
std::string cook_text(const CookNote& note);

} // namespace holdwarden::judge

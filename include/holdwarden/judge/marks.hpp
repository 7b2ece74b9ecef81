#pragma once

#include <holdwarden/judge/finding.hpp>

#include <string_view>

namespace holdwarden::judge {

/// A mark of our own to stand beside the verdict's words (UTF-8, one column wide), never instead of
/// them: how full the square is says how full the proof is; a miss has a shape of its own. The
/// shapes read apart in black and white: met a full square, not shown a half, open an empty one,
/// not met a full triangle pointing down, ended a bar.
std::string_view mark(Verdict verdict) noexcept;

} // namespace holdwarden::judge

#pragma once

// The small language of the examples in docs/how-limits-are-read.md.
//
// A fenced block whose info string is `holdwarden-example` holds one record. Its lines are read in
// order and each expectation judges what stands above it, so that a record may grow between two
// expectations. Blank lines and what follows a `#` are left out. MIN is a time in minutes from the
// start, decimals allowed.
//
// clang-format off
//   food KIND               intact-roast, poultry, ...; other-tcs if not said
//   code ID                 a pack of schema/codes; us-fda-2022 if not said
//   stage NAME @MIN         the lot enters the stage
//   oven KIND TEMP          how the stage's unit heats, and what it is set to: still-dry 350F
//   mass GRAMS              the raw mass
//   form six-hours          the stage claims the six-hour form of time control
//   made-from-ambient       made from ingredients at room temperature
//   point NAME              the rows below are read at this point of the food; core if not said
//   MIN TEMP                a reading, 12.5 57.2C; `typed` or `watched SECONDS` may follow
//   ends MIN served         or discarded
//   closes MIN              the last stage is over then, as at the end of a file
//   as-of MIN               the expectations below judge as of then; else the last reading or end
//   max-gap MIN             the largest interval; 120 if not said
//   house REQUIREMENT FIGURE @MIN  a limit of the house, a temperature (140F) or a time (4h), in force
//                           from then on
//   guarded DELTA           what is below takes the guarded rule with this accuracy: guarded 1F
//   as-read                 back to the as-read rule
//   => REQUIREMENT VERDICT  the worst verdict of the findings of that requirement: met, not met,
//                           not shown, open, ended; `none` if there is no such finding
//   => REQUIREMENT@MIN VERDICT   only the finding of the stage entered then
//   => house/REQUIREMENT VERDICT  the finding of the house's limit
//   => overall VERDICT      the lot's, by the code alone
// clang-format on

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::test {

struct DocExample {
    int line = 0; ///< 1-based line of the block's first line inside the fence
    std::vector<std::string> lines;
};

/// The example blocks of a Markdown text, in order. Throws std::runtime_error when a fence stays
/// open.
std::vector<DocExample> doc_examples(std::string_view markdown);

struct DocCheck {
    int line = 0;
    std::string expected; ///< "cooling-total: not shown"
    std::string got;
};

/// Runs one example: what each `=>` line expects and what the judge says. Throws std::runtime_error
/// with the line's number for a line it cannot read, or when nothing is expected.
std::vector<DocCheck> run_example(const DocExample& example, const std::filesystem::path& packs);

} // namespace holdwarden::test

#pragma once

// A lot's readings as its thermometers' checks say they should have been. Each way of correcting
// them is judged; how the verdicts come together stands in docs/how-limits-are-read.md.

#include "case.hpp"

#include <holdwarden/judge/correction.hpp>

#include <optional>
#include <string>
#include <vector>

namespace holdwarden::judge {

/// A lot with some readings moved. Series and readings keep their places.
struct Shifted {
    records::LotHistory lot;
    std::vector<std::string> probes;   ///< whose readings were moved
    std::vector<std::int32_t> amounts; ///< smallest and largest, thousandths of `scale`
    Scale scale = Scale::celsius;
};

class Hypotheses {
public:
    enum class Kind { agreed, by_last, by_next, by_failed };

    /// `lot` must outlive it.
    explicit Hypotheses(const records::LotHistory& lot);

    /// What both neighbouring checks agree on; nullopt: no reading is moved by that.
    std::optional<Shifted> agreed() const { return shifted(Kind::agreed, std::nullopt); }

    struct Hypothesis {
        Kind kind;
        Shifted shifted;
    };
    /// Every other way to correct, for each probe alone and for all of them together; those that
    /// move nothing are left out.
    std::vector<Hypothesis> others() const;

private:
    std::optional<Shifted> shifted(Kind kind, std::optional<std::size_t> probe) const;

    const records::LotHistory& lot_;
    std::vector<std::vector<Calibration>> sessions_; ///< per probe
    std::vector<std::size_t> checked_;               ///< probes that have any
};

/// Puts the values that were read back into the evidence of findings judged on `shifted`.
void put_back(std::vector<Finding>& findings, const records::LotHistory& shifted,
              const records::LotHistory& raw);

/// Adds what judging a hypothesis gave: each finding becomes the worse of the two; one by a failed
/// check becomes at worst `not shown`.
void add_hypothesis(LotJudgement& into, Hypotheses::Kind kind, const Shifted& shifted,
                    std::vector<Finding> findings);

/// Notes on findings whose readings come from thermometers without a check in date, and on the lot
/// how many those are.
void note_checks(const Case& c, LotJudgement& judgement);

} // namespace holdwarden::judge

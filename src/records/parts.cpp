#include <holdwarden/base/error.hpp>
#include <holdwarden/records/parts.hpp>

#include <algorithm>
#include <array>
#include <cstdlib>

namespace holdwarden::records {
namespace {

constexpr std::array<std::string_view, 4> kForms{"whole", "sliced", "pulled", "portioned"};

} // namespace

std::string_view to_name(PartForm form) noexcept {
    return kForms[static_cast<std::size_t>(form)];
}

std::optional<PartForm> part_form_named(std::string_view name) noexcept {
    const auto found = std::find(kForms.begin(), kForms.end(), name);
    if (found == kForms.end()) {
        return std::nullopt;
    }
    return static_cast<PartForm>(found - kForms.begin());
}

std::optional<Mass> left_over(std::optional<Mass> of, std::span<const std::optional<Mass>> parts,
                              std::span<const Loss> losses) {
    const auto unweighed = std::ranges::count_if(parts, [](const auto& p) { return !p; });
    if (!of || unweighed > 1) {
        return std::nullopt;
    }
    std::int64_t rest = of->grams;
    for (const auto& part : parts) {
        rest -= part ? part->grams : 0;
    }
    for (const Loss& loss : losses) {
        rest -= loss.amount.grams;
    }
    const auto rounding = static_cast<std::int64_t>(1 + parts.size() + losses.size());
    if (std::abs(rest) <= rounding) {
        return Mass{0};
    }
    if (rest < 0) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the amounts come to " + to_text(Mass{of->grams - rest}) +
                             ", more than the " + to_text(*of) + " there was",
                     .where = "",
                     .fix = "correct an amount, or give what was weighed before with --of"}};
    }
    return Mass{rest};
}

} // namespace holdwarden::records

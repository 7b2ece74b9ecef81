#include <holdwarden/judge/receiving.hpp>

#include <fmt/format.h>

namespace holdwarden::judge {
namespace {

ReceiptFinding frozen(const records::Receipt& receipt, const codes::ReceivingRule& rule) {
    ReceiptFinding finding{
        .verdict = Verdict::not_shown, .rule = &rule, .reason = {}, .margin = {}};
    if (!receipt.frozen_solid) {
        finding.reason = "nobody said whether it was found frozen or thawed";
        return finding;
    }
    if (!*receipt.frozen_solid) {
        finding.verdict = Verdict::not_met;
        finding.reason = "it was found thawed";
        return finding;
    }
    // Water freezes at 0 °C; food holds less water than that and freezes below.
    const Temperature freezing = Temperature::of_degrees(0, Scale::celsius);
    if (receipt.value && physical_order(*receipt.value, freezing) > 0) {
        finding.reason =
            fmt::format("it was said to be frozen solid, but {} was read", to_text(*receipt.value));
        return finding;
    }
    finding.verdict = Verdict::met;
    finding.reason = "it was found frozen solid";
    return finding;
}

} // namespace

ReceiptFinding judge_receipt(const records::Receipt& receipt, const codes::Receiving& pack) {
    const codes::ReceivingRule* rule = pack.of(receipt.as);
    if (rule == nullptr) {
        return {.verdict = std::nullopt,
                .rule = nullptr,
                .reason = receipt.as == ReceivedAs::other
                              ? "no temperature is asked for"
                              : fmt::format("{} says nothing here about food received {}",
                                            pack.pack, to_name(receipt.as)),
                .margin = {}};
    }
    if (!rule->limit) {
        return frozen(receipt, *rule);
    }
    if (!receipt.value) {
        return {.verdict = Verdict::not_shown,
                .rule = rule,
                .reason = "its temperature was not measured",
                .margin = {}};
    }
    const bool right = rule->limit->side(*receipt.value) == codes::Side::right;
    return {.verdict = right ? Verdict::met : Verdict::not_met,
            .rule = rule,
            .reason = fmt::format("{} was read; the limit is {}", to_text(*receipt.value),
                                  rule->limit->to_text()),
            .margin = rule->limit->clearance(*receipt.value)};
}

AirNote note_air(Temperature value, bool hot, const codes::Pack& pack) {
    const codes::Requirement* requirement =
        pack.find_one(hot ? "hot-holding" : "cold-holding", FoodKind::other_tcs);
    if (requirement == nullptr) {
        return {.side = std::nullopt,
                .words = fmt::format("{} has no limit for {} food here", pack.id,
                                     hot ? "hot-held" : "cold-held")};
    }
    const codes::TemperatureLimit& limit = std::get<codes::HoldRule>(requirement->rule).limit;
    const codes::Side side = limit.side(value);
    return {.side = side,
            .words = side == codes::Side::right
                         ? fmt::format("The air is on the right side of the limit for food, {} "
                                       "({}). Air is no proof of what food is at.",
                                       limit.to_text(), requirement->clause)
                         : fmt::format("The air is on the wrong side of the limit for food, {} "
                                       "({}). Measure the food itself now.",
                                       limit.to_text(), requirement->clause)};
}

} // namespace holdwarden::judge

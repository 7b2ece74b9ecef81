#include "messages.hpp"

#include <holdwarden/judge/receiving.hpp>

#include <fmt/format.h>

namespace holdwarden::judge {
namespace {

std::string_view words_of(ReceivedAs as) noexcept {
    return as == ReceivedAs::hot      ? msg::received_hot
           : as == ReceivedAs::frozen ? msg::received_frozen
                                      : msg::received_cold;
}

ReceiptFinding frozen(const records::Receipt& receipt, const codes::ReceivingRule& rule) {
    ReceiptFinding finding{
        .verdict = Verdict::not_shown, .rule = &rule, .reason = {}, .margin = {}};
    if (!receipt.frozen_solid) {
        finding.reason = msg::receipt_state_unknown;
        return finding;
    }
    if (!*receipt.frozen_solid) {
        finding.verdict = Verdict::not_met;
        finding.reason = msg::receipt_thawed;
        return finding;
    }
    // Water freezes at 0 °C; food holds less water than that and freezes below.
    const Temperature freezing = Temperature::of_degrees(0, Scale::celsius);
    if (receipt.value && physical_order(*receipt.value, freezing) > 0) {
        finding.reason = fmt::format(msg::receipt_frozen_but, to_text(*receipt.value));
        return finding;
    }
    finding.verdict = Verdict::met;
    finding.reason = msg::receipt_frozen;
    return finding;
}

} // namespace

ReceiptFinding judge_receipt(const records::Receipt& receipt, const codes::Receiving& pack) {
    const codes::ReceivingRule* rule = pack.of(receipt.as);
    if (rule == nullptr) {
        return {.verdict = std::nullopt,
                .rule = nullptr,
                .reason = receipt.as == ReceivedAs::other
                              ? msg::receipt_not_asked
                              : fmt::format(msg::receipt_no_rule, pack.pack, words_of(receipt.as)),
                .margin = {}};
    }
    if (!rule->limit) {
        return frozen(receipt, *rule);
    }
    if (!receipt.value) {
        return {.verdict = Verdict::not_shown,
                .rule = rule,
                .reason = msg::receipt_not_measured,
                .margin = {}};
    }
    const bool right = rule->limit->side(*receipt.value) == codes::Side::right;
    return {.verdict = right ? Verdict::met : Verdict::not_met,
            .rule = rule,
            .reason =
                fmt::format(msg::receipt_read, to_text(*receipt.value), rule->limit->to_text()),
            .margin = rule->limit->clearance(*receipt.value)};
}

AirNote note_air(Temperature value, bool hot, const codes::Pack& pack) {
    const codes::Requirement* requirement =
        pack.find_one(hot ? "hot-holding" : "cold-holding", FoodKind::other_tcs);
    if (requirement == nullptr) {
        return {.side = std::nullopt,
                .words = either(hot, msg::air_no_hot_limit, msg::air_no_cold_limit, pack.id)};
    }
    const codes::TemperatureLimit& limit = std::get<codes::HoldRule>(requirement->rule).limit;
    const codes::Side side = limit.side(value);
    return {.side = side,
            .words = side == codes::Side::right
                         ? fmt::format(msg::air_right_side, limit.to_text(), requirement->clause)
                         : fmt::format(msg::air_wrong_side, limit.to_text(), requirement->clause)};
}

} // namespace holdwarden::judge

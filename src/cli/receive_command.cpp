#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/day_use.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <fmt/format.h>

#include <ostream>

namespace holdwarden::cli {
namespace {

struct ReceiveOptions {
    StoreArguments store;
    std::string product;
    std::string value;
    std::string supplier;
    std::string supplier_lot;
    std::string as;
    std::string found;
    std::string amount;
    std::string reason;
    std::string note;
    std::string probe;
    std::string at;
    std::string instead_of;
    std::string why;
    bool refused = false;
};

Error wrong_usage(std::string what, std::string fix) {
    return Error{ErrorKind::usage, {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

ReceivedAs as_word(const std::string& text) {
    if (text.empty()) {
        return ReceivedAs::cold;
    }
    const auto as = received_as_named(text);
    if (!as) {
        throw wrong_usage(fmt::format("--as '{}' is not known", for_display(text, 60)),
                          "give cold, hot, frozen or other");
    }
    return *as;
}

std::optional<bool> found_word(const std::string& text) {
    if (text.empty()) {
        return std::nullopt;
    }
    if (text != "frozen" && text != "thawed") {
        throw wrong_usage(fmt::format("--found '{}' is not known", for_display(text, 60)),
                          "give frozen or thawed");
    }
    return text == "frozen";
}

records::Receipt receipt_of(const ReceiveOptions& o, const OpenStore& store) {
    records::Receipt receipt{.at = store.time(o.at),
                             .supplier = o.supplier,
                             .supplier_lot = o.supplier_lot,
                             .product = o.product,
                             .as = as_word(o.as),
                             .frozen_solid = found_word(o.found),
                             .accepted = !o.refused,
                             .reason = o.reason,
                             .note = o.note,
                             .why = o.why};
    if (!o.value.empty()) {
        receipt.value = store.temperature(o.value, "the temperature");
    }
    if (!o.probe.empty()) {
        receipt.probe = records::probe_named(*store, o.probe).id;
    }
    if (!o.amount.empty()) {
        receipt.amount = amount_of(o.amount, "--amount");
    }
    if (!o.instead_of.empty()) {
        receipt.instead_of = records::ReceiptId::of(record_number(o.instead_of, "--instead-of"));
    }
    return receipt;
}

int run_receive(const ReceiveOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    const records::Receipt receipt = receipt_of(o, store);
    records::check_receipt(receipt);
    const codes::Receiving pack = receiving_at(store, context, receipt.at);
    const judge::ReceiptFinding finding = judge::judge_receipt(receipt, pack);
    if (finding.verdict == judge::Verdict::not_met && receipt.accepted &&
        trimmed(receipt.reason).empty()) {
        throw Error{ErrorKind::conflict,
                    {.what = fmt::format("this misses the limit for food received {}: {} ({})",
                                         to_name(receipt.as), finding.reason, finding.rule->clause),
                     .where = "",
                     .fix = "send it back and add --refused --reason \"...\"; or, where your code "
                            "lets it in, say with --reason why"}};
    }
    const records::ReceiptId id = store->day_book().add(receipt, store.stamp());
    context.out << fmt::format("Receipt {}: {}", id.value(), receipt.product);
    if (receipt.amount) {
        context.out << ", " << to_text(*receipt.amount);
    }
    context.out << " from " << receipt.supplier
                << (receipt.supplier_lot.empty() ? ", no lot mark"
                                                 : ", lot " + receipt.supplier_lot)
                << ", " << to_name(receipt.as);
    if (receipt.value) {
        context.out << ", " << to_text(*receipt.value);
    }
    context.out << ", at " << store.shown(receipt.at)
                << (receipt.accepted ? ": taken in" : ": refused")
                << (receipt.reason.empty() ? "" : ", " + receipt.reason)
                << store.entered(receipt.at) << ".\n"
                << finding_line(finding) << "\n";
    return kDone;
}

} // namespace

std::vector<Command> receive_commands() {
    const auto o = std::make_shared<ReceiveOptions>();
    return {{.name = "receive",
             .help = "Enter a delivery: what came from whom, how warm, taken in or refused",
             .declare =
                 [o](Arguments& a) {
                     a.need("product", o->product, "What was delivered");
                     a.may("temperature", o->value,
                           "Of the food: 38F, 3C; a bare number is in the site's scale");
                     a.option("--supplier", o->supplier, "Who delivered it");
                     a.option("--supplier-lot", o->supplier_lot, "The supplier's own lot mark");
                     a.option("--as", o->as,
                              "How it is to arrive: cold, hot, frozen or other (cold)");
                     a.option("--found", o->found, "Frozen food was found frozen, or thawed");
                     a.option("--amount", o->amount, "10kg, 2cases");
                     a.flag("--refused", o->refused, "It was sent back; --reason says why");
                     a.option("--reason", o->reason,
                              "Why it was refused, or taken in although it missed a limit");
                     a.option("--note", o->note, "State of the packages, vehicle");
                     a.option("--probe", o->probe, "Which thermometer");
                     a.option("--at", o->at, "When (now)");
                     a.option("--instead-of", o->instead_of,
                              "The number of the receipt that this one puts right");
                     a.option("--why", o->why, "What was wrong with that one");
                     o->store.declare_writing(a);
                     a.example("holdwarden receive \"brisket flats\" 38F --supplier \"Yard Farms\" "
                               "--supplier-lot 4411 --amount 40kg --by RK");
                 },
             .run = [o](Context& context) { return run_receive(*o, context); }}};
}

} // namespace holdwarden::cli

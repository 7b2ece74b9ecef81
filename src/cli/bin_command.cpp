#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/day_use.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <fmt/format.h>

#include <ostream>

namespace holdwarden::cli {
namespace {

struct BinOptions {
    StoreArguments store;
    std::string what;
    std::string amount;
    std::string reason;
    std::string at;
    std::string instead_of;
    std::string why;
    bool product = false;
};

int run_bin(const BinOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    records::Waste waste{.at = store.time(o.at),
                         .amount = amount_of(o.amount, "the amount"),
                         .reason = o.reason,
                         .why = o.why};
    std::string shown = o.what;
    bool lives = false;
    if (o.product) {
        waste.product = o.what;
    } else {
        try {
            const auto lot = records::lot_named(*store, o.what);
            waste.lot = lot.id;
            shown = "lot " + lot.facts.name;
            lives = !store->end(lot.id);
        } catch (const Error& error) {
            if (error.kind() != ErrorKind::not_found) {
                throw;
            }
            ErrorText text = error.text();
            text.fix = "name a lot, or add --product for food that was none";
            throw Error{ErrorKind::not_found, std::move(text)};
        }
    }
    if (!o.instead_of.empty()) {
        waste.instead_of = records::WasteId::of(record_number(o.instead_of, "--instead-of"));
    }
    const records::WasteId id = store->day_book().add(waste, store.stamp());
    context.out << fmt::format("Bin {}: {} of {} at {}: {}", id.value(), to_text(waste.amount),
                               shown, store.shown(waste.at), waste.reason)
                << store.entered(waste.at) << ".\n";
    if (lives) {
        context.out << "The lot goes on; if nothing is left of it, end it with: holdwarden stage "
                    << o.what << " discarded\n";
    }
    return kDone;
}

} // namespace

std::vector<Command> bin_commands() {
    const auto o = std::make_shared<BinOptions>();
    return {{.name = "bin",
             .help = "Enter what was thrown away: of which lot or product, how much, why",
             .declare =
                 [o](Arguments& a) {
                     a.need("lot", o->what,
                            "The lot, or the beginning of its name (a product with --product)");
                     a.need("amount", o->amount, "2kg, 4lb, 1pan");
                     a.option("--reason", o->reason, "Why");
                     a.flag("--product", o->product, "The name is that of food that was no lot");
                     a.option("--at", o->at, "When (now)");
                     a.option("--instead-of", o->instead_of,
                              "The number of the entry that this one puts right");
                     a.option("--why", o->why, "What was wrong with that one");
                     o->store.declare_writing(a);
                     a.example("holdwarden bin brisket-1 2kg --reason \"dried out\" --by RK");
                 },
             .run = [o](Context& context) { return run_bin(*o, context); }}};
}

} // namespace holdwarden::cli

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/records/day_book.hpp>
#include <holdwarden/records/entry_rules.hpp>

namespace holdwarden::records {
namespace {

Error refused(std::string what, std::string fix) {
    return Error{ErrorKind::bad_input,
                 {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

void need(std::string_view what, std::string_view text, const char* fix) {
    if (trimmed(text).empty()) {
        throw refused(std::string{what} + " is not said", fix);
    }
    check_text(what, text);
}

void check_putting_right(bool instead, std::string_view why) {
    check_text("reason of the change", why);
    if (instead == trimmed(why).empty()) {
        throw refused(instead ? "an entry that puts another right needs to say why"
                              : "a reason for a change is given, but no entry that it changes",
                      instead ? "add --why"
                              : "name the entry with --instead-of, or leave --why out");
    }
}

} // namespace

std::string_view to_name(PaperKind kind) noexcept {
    switch (kind) {
    case PaperKind::time_control_procedure:
        return "time-control-procedure";
    case PaperKind::cooling_method:
        return "cooling-method";
    case PaperKind::other:
        return "other";
    }
    return "";
}

std::optional<PaperKind> paper_kind_named(std::string_view name) noexcept {
    for (const PaperKind kind : kPaperKinds) {
        if (to_name(kind) == name) {
            return kind;
        }
    }
    return std::nullopt;
}

void check_receipt(const Receipt& receipt) {
    need("the product", receipt.product, "say what was delivered");
    need("the supplier", receipt.supplier, "say who delivered it with --supplier");
    check_text("supplier's lot", receipt.supplier_lot);
    check_text("reason", receipt.reason);
    check_text("note", receipt.note);
    if (receipt.value) {
        check_plausible(*receipt.value);
    }
    if (receipt.probe && !receipt.value) {
        throw refused("a thermometer is named, but no temperature", "give the temperature it read");
    }
    if (receipt.frozen_solid && receipt.as != ReceivedAs::frozen) {
        throw refused("only food that is to arrive frozen is found frozen or thawed",
                      "add --as frozen, or leave --found out");
    }
    if (!receipt.accepted && trimmed(receipt.reason).empty()) {
        throw refused("a delivery that was refused needs a reason", "say why with --reason");
    }
    check_putting_right(receipt.instead_of.has_value(), receipt.why);
}

void check_waste(const Waste& waste) {
    if (!waste.lot) {
        need("the product", waste.product, "say what was thrown away");
    }
    check_text("product", waste.product);
    need("the reason", waste.reason, "say why it was thrown away with --reason");
    if (waste.amount.thousandths <= 0) {
        throw refused("an amount is more than nothing", "give how much, such as 2kg or \"1 pan\"");
    }
    check_text("unit of the amount", waste.amount.unit);
    check_putting_right(waste.instead_of.has_value(), waste.why);
}

void check_paper(const Paper& paper) {
    check_name("paper", paper.name);
    need("the title", paper.title, "give it with --title");
    if (trimmed(paper.text).empty()) {
        throw refused("the paper's text is empty", "write it into the file first");
    }
    if (paper.text.size() > kLongestPaper) {
        throw refused("the paper is longer than " + std::to_string(kLongestPaper) + " bytes",
                      "shorten it, or keep it as several papers");
    }
    for (std::size_t from = 0, line = 1; from < paper.text.size(); ++line) {
        const std::size_t end = std::min(paper.text.find('\n', from), paper.text.size());
        std::string text = paper.text.substr(from, end - from);
        std::erase(text, '\t');
        if (for_display(text, kLongestPaper) != text) {
            throw refused("line " + std::to_string(line) +
                              " of the paper holds control characters, direction marks or bytes "
                              "that are not UTF-8",
                          "save it as plain text in UTF-8");
        }
        from = end + 1;
    }
}

} // namespace holdwarden::records

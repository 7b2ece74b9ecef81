#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/cli/day_use.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/judge/marks.hpp>

#include <fmt/format.h>

#include <charconv>

namespace holdwarden::cli {

codes::Pack pack_at(const OpenStore& store, const Context& context, Instant at) {
    const auto settings = store->settings();
    return load_named_pack(context, records::settings_at(settings, at).code.value_or(kDefaultPack));
}

codes::Receiving receiving_of_pack(const Context& context, const std::string& id_or_path) {
    const bool path = id_or_path.find('/') != std::string::npos || id_or_path.ends_with(".toml");
    return codes::load_receiving(path ? std::filesystem::path{id_or_path}
                                      : pack_folder(context) / (id_or_path + ".toml"));
}

std::string receiving_text(const codes::Receiving& receiving) {
    std::string text = receiving.rules.empty() ? "" : "\nReceiving\n";
    for (const codes::ReceivingRule& rule : receiving.rules) {
        text += fmt::format("\n  received {}   {}\n", to_name(rule.as), rule.clause);
        text += folded(rule.says, 4);
        if (rule.limit) {
            text += folded("limit    " + rule.limit->to_text(), 4);
        }
        text += folded("known    " + status_in_words(rule.status), 4);
    }
    return text;
}

codes::Receiving receiving_at(const OpenStore& store, const Context& context, Instant at) {
    const auto settings = store->settings();
    return receiving_of_pack(context,
                             records::settings_at(settings, at).code.value_or(kDefaultPack));
}

std::optional<bool> holds_hot(records::UnitKind kind) noexcept {
    switch (kind) {
    case records::UnitKind::cabinet:
    case records::UnitKind::insulated_chest:
        return true;
    case records::UnitKind::walk_in:
    case records::UnitKind::blast_chiller:
        return false;
    case records::UnitKind::smoker:
    case records::UnitKind::oven:
        break;
    }
    return std::nullopt;
}

std::string finding_line(const judge::ReceiptFinding& finding) {
    if (!finding.verdict) {
        return "Not judged: " + finding.reason + ".";
    }
    return fmt::format("{} {}: {} ({}; {}).", judge::mark(*finding.verdict),
                       judge::to_words(*finding.verdict), finding.reason, finding.rule->clause,
                       status_in_words(finding.rule->status));
}

std::int64_t record_number(const std::string& text, const char* option) {
    std::int64_t number = 0;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), number);
    if (read.ec != std::errc{} || read.ptr != text.data() + text.size() || number < 1) {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("'{}' is no entry's number", for_display(text, 60)),
                     .where = option,
                     .fix = "give the number that `holdwarden day` shows"}};
    }
    return number;
}

records::Amount amount_of(const std::string& text, const char* option) {
    try {
        return records::parse_amount(text);
    } catch (const Error& error) {
        throw error.at(option);
    }
}

} // namespace holdwarden::cli

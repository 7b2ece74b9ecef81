#include <holdwarden/base/error.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/records/answers.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <algorithm>
#include <array>
#include <utility>

namespace holdwarden::records {
namespace {

constexpr std::array<Disposition, 5> kDispositions{Disposition::reheated, Disposition::cooled_again,
                                                   Disposition::served, Disposition::discarded,
                                                   Disposition::held};
constexpr std::array<std::string_view, 5> kNames{"reheated", "cooled-again", "served", "discarded",
                                                 "held"};
constexpr std::array<std::string_view, 5> kWords{"reheated", "cooled again", "served", "discarded",
                                                 "held for decision"};

Error refused(ErrorKind kind, std::string what, std::string fix) {
    return Error{kind, {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

/// The texts of an action, with what each is called.
struct TextField {
    const char* what;
    std::string Action::*text;
};
constexpr std::array<TextField, 8> kTexts{{{"what was done", &Action::done},
                                           {"deviation", &Action::deviation},
                                           {"cause", &Action::cause},
                                           {"control", &Action::control},
                                           {"prevention", &Action::prevention},
                                           {"held apart", &Action::held_apart},
                                           {"acceptability", &Action::acceptability},
                                           {"reassessment", &Action::reassessment}}};

/// Fills in what was said earlier; whether something is said otherwise.
bool take_text(const std::string& earlier, std::string& now) {
    if (now.empty()) {
        now = earlier;
    }
    return !earlier.empty() && now != earlier;
}

template <class T>
bool take(const std::optional<T>& earlier, std::optional<T>& now) {
    if (!now) {
        now = earlier;
    }
    return earlier && now != earlier;
}

} // namespace

std::string_view to_name(Disposition disposition) noexcept {
    return kNames[static_cast<std::size_t>(disposition)];
}

std::string_view to_words(Disposition disposition) noexcept {
    return kWords[static_cast<std::size_t>(disposition)];
}

std::optional<Disposition> disposition_named(std::string_view name) noexcept {
    const auto* const found = std::find(kNames.begin(), kNames.end(), name);
    if (found == kNames.end()) {
        return std::nullopt;
    }
    return kDispositions[static_cast<std::size_t>(found - kNames.begin())];
}

std::span<const Disposition> all_dispositions() noexcept {
    return kDispositions;
}

Amount parse_amount(std::string_view text) {
    const std::string_view all = trimmed(text);
    const auto end = std::min(all.find_first_not_of("0123456789."), all.size());
    const auto thousandths = parse_thousandths(all.substr(0, end));
    const std::string_view unit = trimmed(all.substr(end));
    const bool counted = !unit.empty() && unit.find_first_of("0123456789.,") == unit.npos;
    if (!thousandths || *thousandths <= 0 || !counted) {
        throw refused(ErrorKind::bad_input, "amount '" + for_display(text, 60) + "' cannot be read",
                      "write how much and of what: 5.4 kg, 12 lb, 2 pans");
    }
    check_name("unit", unit);
    return {.thousandths = *thousandths, .unit = std::string{unit}};
}

std::string to_text(const Amount& amount) {
    std::string number = std::to_string(amount.thousandths / 1000);
    if (const auto rest = amount.thousandths % 1000; rest != 0) {
        const std::string digits = std::to_string(1000 + rest).substr(1);
        number += "." + digits.substr(0, digits.find_last_not_of('0') + 1);
    }
    return number + " " + amount.unit;
}

Action continued(const StoredAction& earlier, Action action) {
    const Action& was = earlier.facts;
    action.lot = was.lot;
    action.flag = was.flag;
    action.at = action.at == Instant{} ? was.at : action.at;
    bool otherwise = action.at != was.at;
    otherwise |= take_text(was.person, action.person);
    otherwise |= take(was.amount, action.amount);
    otherwise |= take(was.disposition, action.disposition);
    otherwise |= take(was.shown_from, action.shown_from);
    for (const TextField& field : kTexts) {
        otherwise |= take_text(was.*field.text, action.*field.text);
    }
    if (otherwise && trimmed(action.why).empty()) {
        throw refused(ErrorKind::usage, "something said earlier is said otherwise now",
                      "say why with --why; what was said stays readable");
    }
    action.supersedes = earlier.id;
    return action;
}

std::vector<const StoredAction*> current(std::span<const StoredAction> actions) {
    std::vector<const StoredAction*> standing;
    for (const StoredAction& action : actions) {
        const bool superseded = std::ranges::any_of(actions, [&](const StoredAction& other) {
            return other.facts.supersedes == action.id;
        });
        if (!superseded) {
            standing.push_back(&action);
        }
    }
    return standing;
}

void check_action(const Action& action) {
    if (action.flag.empty()) {
        throw refused(ErrorKind::bad_input, "the action answers no flag",
                      "name one; `holdwarden flags` lists them");
    }
    check_text("flag", action.flag);
    if (action.person.empty()) {
        throw refused(ErrorKind::bad_input, "nobody is named who did it",
                      "give --by, or --done-by for somebody else");
    }
    check_name("person", action.person);
    if (trimmed(action.done).empty()) {
        throw refused(ErrorKind::bad_input, "what was done is not said", "say it with --done");
    }
    for (const TextField& field : kTexts) {
        check_text(field.what, action.*field.text);
    }
    check_text("reason", action.why);
    if (action.amount) {
        if (action.amount->thousandths <= 0) {
            throw refused(ErrorKind::bad_input, "the amount is not above 0",
                          "say how much of the food is concerned: 5.4 kg, 2 pans");
        }
        check_name("unit", action.amount->unit);
    }
}

} // namespace holdwarden::records

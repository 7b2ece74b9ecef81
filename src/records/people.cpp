#include <holdwarden/base/text.hpp>
#include <holdwarden/records/people.hpp>

#include <algorithm>
#include <array>

namespace holdwarden::records {
namespace {

constexpr std::array<Role, 3> kRoles{Role::logger, Role::person_in_charge, Role::reviewer};
constexpr std::array<std::string_view, 3> kRoleNames{"logger", "person-in-charge", "reviewer"};

std::string folded(std::string_view name) {
    std::string text{trimmed(name)};
    for (char& c : text) {
        c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
    return text;
}

} // namespace

std::string_view to_name(Role role) noexcept {
    return kRoleNames[static_cast<std::size_t>(role)];
}

std::optional<Role> role_named(std::string_view name) noexcept {
    const auto* const found = std::find(kRoleNames.begin(), kRoleNames.end(), name);
    if (found == kRoleNames.end()) {
        return std::nullopt;
    }
    return kRoles[static_cast<std::size_t>(found - kRoleNames.begin())];
}

std::span<const Role> all_roles() noexcept {
    return kRoles;
}

bool Person::has(Role role) const noexcept {
    return std::find(roles.begin(), roles.end(), role) != roles.end();
}

std::optional<Recorded<PersonId, Person>> person_named(const People& people,
                                                       std::string_view name) {
    const auto all = people.list();
    std::optional<Recorded<PersonId, Person>> near;
    std::size_t nearly = 0;
    for (const auto& person : all) {
        if (person.facts.name == name) {
            return person;
        }
        if (folded(person.facts.name) == folded(name)) {
            near.emplace(person);
            ++nearly;
        }
    }
    if (nearly != 1) {
        near.reset();
    }
    return near;
}

Span pin_wait(std::span<const PinAttempt> attempts) {
    constexpr int kFree = 4;
    std::int64_t minutes = 1;
    int wrong = 0;
    for (auto attempt = attempts.rbegin(); attempt != attempts.rend() && !attempt->right;
         ++attempt) {
        if (++wrong > kFree + 1) {
            minutes = std::min<std::int64_t>(minutes * 2, 15);
        }
    }
    return wrong > kFree ? Span::minutes(minutes) : Span{};
}

MayVerify may_verify(std::string_view maker, std::string_view verifier,
                     const std::optional<Recorded<EntryId, OnePersonSite>>& site) {
    using Answer = MayVerify::Answer;
    const std::string by = folded(verifier);
    const std::string made = folded(maker);
    if (by.empty()) {
        return {.answer = Answer::verifier_not_said, .words = "nobody is named as verifying"};
    }
    if (!made.empty() && made != by) {
        return {.answer = Answer::yes, .words = {}};
    }
    if (site && site->facts.alone) {
        std::string words = "not verified by a second person: the site is set to one person";
        words += site->stamp.by.empty() ? "" : " (set by " + for_display(site->stamp.by) + ")";
        return {.answer = Answer::alone, .words = words + ": " + for_display(site->facts.why, 500)};
    }
    return made.empty()
               ? MayVerify{.answer = Answer::maker_not_said,
                           .words = "who made the entry is not on record, so that nobody can be "
                                    "shown to be a second person"}
               : MayVerify{.answer = Answer::own_entry,
                           .words = for_display(verifier) + " made the entry: nobody verifies an "
                                                            "entry of their own"};
}

std::optional<Recorded<EntryId, OnePersonSite>> one_person_at(const People& people, Instant at) {
    std::optional<Recorded<EntryId, OnePersonSite>> held;
    for (const auto& setting : people.one_person_settings()) {
        if (setting.stamp.entered_at <= at &&
            (!held || held->stamp.entered_at <= setting.stamp.entered_at)) {
            held.emplace(setting);
        }
    }
    return held;
}

} // namespace holdwarden::records

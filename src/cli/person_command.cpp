#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/seal_use.hpp>
#include <holdwarden/cli/sign.hpp>
#include <holdwarden/seal/pin.hpp>
#include <holdwarden/store/pin_reset.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <ostream>

namespace holdwarden::cli {
namespace {

using records::Person;
using records::PersonId;
using records::Role;

constexpr std::array<Role, 1> kInCharge{Role::person_in_charge};

struct DescribeOptions {
    StoreArguments store;
    SignArguments sign;
    std::string name;
    std::string printed;
    std::vector<std::string> roles;
    bool active = false;
};

struct PinOptions {
    StoreArguments store;
    SignArguments sign;
    std::string name;
    std::string new_pin;
    bool reset = false;
    std::string key; ///< the authority of a reset
    std::string why;
};

struct AloneOptions {
    StoreArguments store;
    SignArguments sign;
    std::string why;
    bool off = false;
};

struct ListOptions {
    StoreArguments store;
    std::string format;
};

std::vector<Role> roles_of(const std::vector<std::string>& words) {
    std::vector<Role> roles;
    for (const std::string& word : words) {
        const auto role = records::role_named(word);
        if (!role) {
            throw Error{ErrorKind::usage,
                        {.what = fmt::format("--role '{}' is not known", for_display(word, 60)),
                         .where = "",
                         .fix = "give logger, person-in-charge or reviewer"}};
        }
        if (std::find(roles.begin(), roles.end(), *role) == roles.end()) {
            roles.push_back(*role);
        }
    }
    return roles;
}

std::string words_of(const Person& person) {
    std::string text;
    for (const Role role : person.roles) {
        text += (text.empty() ? "" : ", ") + std::string{to_name(role)};
    }
    return text;
}

bool somebody_in_charge_signs(const OpenStore& store) {
    const auto all = store->people().list();
    return std::any_of(all.begin(), all.end(), [&](const auto& one) {
        return one.facts.active && one.facts.has(Role::person_in_charge) &&
               store->people().pin_hash(one.id).has_value();
    });
}

/// Once somebody in charge can sign, only they change who may: 21 CFR 11.10(d) and (g). Before, the
/// first people are taken down on trust. Not where PINs stayed behind when the store was made from
/// a packet: somebody could sign there.
bool needs_signature(const OpenStore& store) {
    return store::pins_stayed_behind(*store) || somebody_in_charge_signs(store);
}

void sign_if_needed(const OpenStore& store, const SignArguments& arguments,
                    const std::string& purpose, Context& context) {
    if (needs_signature(store)) {
        sign(store, arguments, purpose, kInCharge, context);
    }
}

records::Recorded<PersonId, Person> described(const OpenStore& store, const std::string& name) {
    const auto person = records::person_named(store->people(), name);
    if (!person) {
        throw Error{ErrorKind::not_found,
                    {.what = "'" + for_display(name) + "' is not among the people",
                     .where = "",
                     .fix = "say `person add " + for_display(name) + "` first"}};
    }
    return *person;
}

void print(const OpenStore& store, const Person& person, Context& context) {
    context.out << person.name;
    if (!person.printed_name.empty()) {
        context.out << " (" << person.printed_name << ")";
    }
    context.out << ": " << (person.roles.empty() ? "no role" : words_of(person))
                << (person.active ? "" : "; retired") << store.entered(store.now()) << ".\n";
}

int run_add(const DescribeOptions& o, Context& context) {
    Person person{.name = o.name, .printed_name = o.printed, .roles = roles_of(o.roles)};
    if (person.roles.empty()) {
        person.roles.push_back(Role::logger);
    }
    const OpenStore store{o.store, context, store::Access::write};
    if (const auto there = records::person_named(store->people(), o.name)) {
        throw Error{ErrorKind::conflict,
                    {.what = "'" + for_display(there->facts.name) + "' is there already",
                     .where = "",
                     .fix = "choose another short name (it is never given to a second person), or "
                            "say `person change " +
                            for_display(there->facts.name) + "`"}};
    }
    sign_if_needed(store, o.sign, "add the person " + o.name, context);
    store->people().describe(person, store.stamp());
    print(store, person, context);
    return kDone;
}

int run_change(const DescribeOptions& o, Context& context) {
    const std::vector<Role> roles = roles_of(o.roles);
    if (roles.empty() && o.printed.empty() && !o.active) {
        throw Error{ErrorKind::usage,
                    {.what = "nothing to change is named",
                     .where = "",
                     .fix = "give --role, --printed-name or --active"}};
    }
    const OpenStore store{o.store, context, store::Access::write};
    Person person = described(store, o.name).facts;
    person.roles = roles.empty() ? person.roles : roles;
    person.printed_name = o.printed.empty() ? person.printed_name : o.printed;
    person.active = person.active || o.active;
    sign_if_needed(store, o.sign, "change the person " + person.name, context);
    store->people().describe(person, store.stamp());
    print(store, person, context);
    return kDone;
}

int run_retire(const DescribeOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    Person person = described(store, o.name).facts;
    if (!person.active) {
        throw Error{ErrorKind::conflict,
                    {.what = "'" + for_display(person.name) + "' is retired already",
                     .where = "",
                     .fix = "nothing is left to do"}};
    }
    person.active = false;
    sign_if_needed(store, o.sign, "retire the person " + person.name, context);
    store->people().describe(person, store.stamp());
    print(store, person, context);
    return kDone;
}

/// Asked twice on a terminal, where a slip of the finger shows nowhere.
std::string new_pin(const PinOptions& o, const std::string& name, Context& context) {
    std::string pin =
        ask_secret(o.new_pin, "--new-pin-file", "New PIN of " + for_display(name) + ": ", context);
    seal::check_pin(pin);
    if (o.new_pin.empty()) {
        std::string again = ask_secret("", "--new-pin-file", "Once more: ", context);
        const bool same = again == pin;
        seal::wipe(again);
        if (!same) {
            seal::wipe(pin);
            throw Error{
                ErrorKind::bad_input,
                {.what = "the two differ; no PIN was set", .where = "", .fix = "try again"}};
        }
    }
    return pin;
}

/// On the authority of the signing key, where nobody in charge can sign any more.
int run_reset(const PinOptions& o, Context& context) {
    const seal::SigningKey key = seal::SigningKey::load(signing_key_file(o.key, context));
    const OpenStore store{o.store, context, store::Access::write};
    const auto person = described(store, o.name);
    std::string pin = new_pin(o, person.facts.name, context);
    const std::string hash = seal::pin_hash(pin);
    seal::wipe(pin);
    store::reset_pin(*store, person.id, hash, o.why, key, store.stamp());
    context.out << "PIN of " << person.facts.name << " set anew with the site's key"
                << store.entered(store.now()) << ". The history keeps that, and why.\n";
    return kDone;
}

int run_pin(const PinOptions& o, Context& context) {
    if (o.reset) {
        return run_reset(o, context);
    }
    if (!o.key.empty() || !o.why.empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "--key and --why go with --reset",
                     .where = "",
                     .fix = "add --reset, or leave them out"}};
    }
    const OpenStore store{o.store, context, store::Access::write};
    const auto person = described(store, o.name);
    const std::string& name = person.facts.name;
    const bool has_pin = store->people().pin_hash(person.id).has_value();
    // One's own with the old one; anybody's by a person in charge.
    if (has_pin && store.stamp().by == name) {
        sign(store, o.sign, "change the own PIN", {}, context);
    } else if (has_pin || needs_signature(store)) {
        if (store::pins_stayed_behind(*store) && !somebody_in_charge_signs(store)) {
            throw Error{ErrorKind::conflict,
                        {.what = "PINs stayed where the packet was made that this store is from, "
                                 "and nobody in charge can sign yet",
                         .where = "",
                         .fix = "set one with the signing key: person pin " + for_display(name) +
                                " --reset --why REASON"}};
        }
        sign(store, o.sign, "set the PIN of " + name, kInCharge, context);
    }
    std::string pin = new_pin(o, name, context);
    const std::string hash = seal::pin_hash(pin);
    seal::wipe(pin);
    store->people().set_pin(person.id, hash, store.stamp());
    context.out << "PIN of " << name << (has_pin ? " changed" : " set")
                << store.entered(store.now()) << ".\n";
    return kDone;
}

int run_alone(const AloneOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    sign_if_needed(store, o.sign,
                   o.off ? "say that more than one person works here"
                         : "say that one person works here alone",
                   context);
    store->people().set_one_person({.alone = !o.off, .why = o.why}, store.stamp());
    context.out << (o.off ? "From now on a second person verifies"
                          : "From now on people may verify entries of their own, and each "
                            "verification says so")
                << store.entered(store.now()) << ".\n";
    return kDone;
}

struct Attempts {
    std::size_t wrong_in_a_row = 0;
    Span wait;
};

Attempts attempts_of(const OpenStore& store, PersonId person) {
    const auto all = store->people().attempts(person);
    Attempts counted{.wait = records::pin_wait(all)};
    for (auto one = all.rbegin(); one != all.rend() && !one->right; ++one) {
        ++counted.wrong_in_a_row;
    }
    return counted;
}

nlohmann::ordered_json json_of(const OpenStore& store,
                               const records::Recorded<PersonId, Person>& person) {
    nlohmann::ordered_json roles = nlohmann::ordered_json::array();
    for (const Role role : person.facts.roles) {
        roles.push_back(to_name(role));
    }
    return {{"person", person.facts.name},
            {"printed_name", printed_name(person.facts)},
            {"roles", roles},
            {"active", person.facts.active},
            {"has_pin", store->people().pin_hash(person.id).has_value()},
            {"wrong_pins_in_a_row", attempts_of(store, person.id).wrong_in_a_row}};
}

int run_list(const ListOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    const auto people = store->people().list();
    const auto alone = records::one_person_at(store->people(), store.now());
    const bool is_alone = alone && alone->facts.alone;
    if (json) {
        nlohmann::ordered_json all = nlohmann::ordered_json::array();
        for (const auto& person : people) {
            all.push_back(json_of(store, person));
        }
        const nlohmann::ordered_json answer{
            {"format", "holdwarden-people/1"},
            {"one_person_site", is_alone},
            {"why_one_person",
             is_alone ? nlohmann::ordered_json(alone->facts.why) : nlohmann::ordered_json{}},
            {"people", all}};
        context.out << answer.dump(2) << "\n";
        return kDone;
    }
    std::vector<std::vector<std::string>> rows{{"person", "printed name", "roles", "signs"}};
    for (const auto& person : people) {
        const Attempts tried = attempts_of(store, person.id);
        std::string signs = !person.facts.active                  ? "retired"
                            : store->people().pin_hash(person.id) ? "with a PIN"
                                                                  : "not yet: no PIN";
        if (tried.wrong_in_a_row > 0) {
            signs += fmt::format("; wrong PINs in a row: {}", tried.wrong_in_a_row);
        }
        rows.push_back(
            {person.facts.name, person.facts.printed_name, words_of(person.facts), signs});
    }
    if (rows.size() == 1) {
        context.out << "Nobody signs here yet; add people with: holdwarden person add NAME --role "
                       "reviewer\n";
    } else {
        context.out << table(rows);
    }
    if (is_alone) {
        context.out << "One person works here alone, so entries may be verified by whoever made "
                       "them: "
                    << for_display(alone->facts.why, 500) << "\n";
    }
    return kDone;
}

void declare_description(Arguments& arguments, DescribeOptions& o) {
    arguments.option("--printed-name", o.printed, "The name in full, as sign-offs print it");
    arguments.options("--role", o.roles, "logger, person-in-charge or reviewer; repeatable");
}

} // namespace

std::vector<Command> person_commands() {
    const auto add = std::make_shared<DescribeOptions>();
    const auto change = std::make_shared<DescribeOptions>();
    const auto retire = std::make_shared<DescribeOptions>();
    const auto pin = std::make_shared<PinOptions>();
    const auto alone = std::make_shared<AloneOptions>();
    const auto list = std::make_shared<ListOptions>();
    const char* const kWho = "The name or initials that entries are made by";
    return {
        {.name = "person add",
         .help = "Take somebody down who makes entries or signs",
         .declare =
             [=](Arguments& arguments) {
                 arguments.need("name", add->name, kWho);
                 declare_description(arguments, *add);
                 add->store.declare_writing(arguments);
                 add->sign.declare(arguments);
                 arguments.example("holdwarden person add QM --printed-name 'Quill Marsh' "
                                   "--role reviewer");
             },
         .run = [add](Context& context) { return run_add(*add, context); }},
        {.name = "person change",
         .help = "Say anew what somebody is: roles, printed name, back at work",
         .declare =
             [=](Arguments& arguments) {
                 arguments.need("name", change->name, kWho);
                 declare_description(arguments, *change);
                 arguments.flag("--active", change->active, "Back at work after having retired");
                 change->store.declare_writing(arguments);
                 change->sign.declare(arguments);
                 arguments.example("holdwarden person change QM --role reviewer --role logger");
             },
         .run = [change](Context& context) { return run_change(*change, context); }},
        {.name = "person retire",
         .help = "Somebody makes entries and signs no more",
         .declare =
             [=](Arguments& arguments) {
                 arguments.need("name", retire->name, kWho);
                 retire->store.declare_writing(arguments);
                 retire->sign.declare(arguments);
                 arguments.example("holdwarden person retire QM");
             },
         .run = [retire](Context& context) { return run_retire(*retire, context); }},
        {.name = "person pin",
         .help = "Set or change the PIN that somebody signs with",
         .declare =
             [=](Arguments& arguments) {
                 arguments.need("name", pin->name, kWho);
                 arguments.option("--new-pin-file", pin->new_pin,
                                  "File with the new PIN, or - for standard input (else it is "
                                  "asked for)");
                 arguments.flag("--reset", pin->reset,
                                "When nobody in charge can sign any more: on the authority of the "
                                "signing key");
                 declare_signing_key(arguments, pin->key);
                 arguments.option("--why", pin->why, "Of a reset: why; the history keeps it");
                 pin->store.declare_writing(arguments);
                 pin->sign.declare(arguments);
                 arguments.example("holdwarden person pin QM --new-pin-file qm.pin --by QM");
             },
         .run = [pin](Context& context) { return run_pin(*pin, context); }},
        {.name = "person alone",
         .help = "Say that one person works here, so that nobody else can verify",
         .declare =
             [=](Arguments& arguments) {
                 arguments.option("--why", alone->why, "Why; every verification prints it");
                 arguments.flag("--off", alone->off, "More than one person works here again");
                 alone->store.declare_writing(arguments);
                 alone->sign.declare(arguments);
                 arguments.example("holdwarden person alone --why 'one cook on winter nights' "
                                   "--by QM");
             },
         .run = [alone](Context& context) { return run_alone(*alone, context); }},
        {.name = "person list",
         .help = "List the people, their roles and who can sign",
         .declare =
             [=](Arguments& arguments) {
                 list->store.declare_reading(arguments);
                 arguments.option("--format", list->format, "text or json");
                 arguments.example("holdwarden person list");
             },
         .run = [list](Context& context) { return run_list(*list, context); }},
    };
}

} // namespace holdwarden::cli

#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/cli/completion.hpp>
#include <holdwarden/records/equipment.hpp>

#include <algorithm>
#include <array>
#include <set>

namespace holdwarden::cli {
namespace {

using Form = DeclaredArgument::Form;

/// The part of a command line before the cursor, as far as it is understood.
struct Typed {
    const DeclaredCommand* command = nullptr;
    std::size_t positionals = 0;             ///< how many are complete
    std::set<std::string> given;             ///< options
    const DeclaredArgument* wants = nullptr; ///< the option whose value the cursor is at
    std::string store;                       ///< the value of --store
};

const DeclaredArgument* option_named(const DeclaredCommand& command, const std::string& name) {
    const auto found =
        std::find_if(command.arguments.begin(), command.arguments.end(), [&](const auto& argument) {
            return argument.form != Form::positional && argument.name == name;
        });
    return found == command.arguments.end() ? nullptr : &*found;
}

/// The command that `words` begin with, the longer name first, and how many words that took.
std::pair<const DeclaredCommand*, std::size_t>
command_of(const std::vector<std::string>& words, const std::vector<DeclaredCommand>& commands) {
    for (std::size_t count = std::min<std::size_t>(2, words.size()); count > 0; --count) {
        const std::string name = count == 2 ? words[0] + " " + words[1] : words[0];
        for (const DeclaredCommand& command : commands) {
            if (command.name == name && !command.hidden) {
                return {&command, count};
            }
        }
    }
    return {nullptr, 0};
}

/// `before`: the words before the cursor.
Typed read(const std::vector<std::string>& before, const std::vector<DeclaredCommand>& commands) {
    Typed typed;
    const auto [command, taken] = command_of(before, commands);
    typed.command = command;
    for (std::size_t i = taken; command != nullptr && i < before.size(); ++i) {
        const std::string& word = before[i];
        if (!word.starts_with("--")) {
            ++typed.positionals;
            continue;
        }
        const std::size_t equals = word.find('=');
        const std::string name = word.substr(0, equals);
        const DeclaredArgument* option = option_named(*command, name);
        typed.given.insert(name);
        if (option == nullptr || option->form == Form::flag) {
            continue;
        }
        std::string value = equals == std::string::npos ? "" : word.substr(equals + 1);
        if (equals == std::string::npos) {
            if (i + 1 == before.size()) {
                typed.wants = option;
                break;
            }
            value = before[++i];
        }
        if (name == "--store") {
            typed.store = value;
        }
    }
    return typed;
}

template <class Values>
std::vector<Candidate> words_of(const Values& values) {
    std::vector<Candidate> all;
    for (const auto value : values) {
        all.push_back({std::string{to_name(value)}, ""});
    }
    return all;
}

std::vector<Candidate> stages() {
    std::vector<Candidate> all = words_of(all_stages());
    for (const Outcome outcome : {Outcome::served, Outcome::discarded}) {
        all.push_back({std::string{to_name(outcome)}, "ends the lot"});
    }
    return all;
}

/// Those of `words` that the help of an argument names: what it takes differs between commands.
std::vector<Candidate> named_in(const std::string& help, const std::vector<std::string>& words) {
    std::vector<Candidate> all;
    std::string padded;
    for (const char c : " " + help + " ") {
        const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '-';
        padded += letter ? c : ' ';
    }
    for (const std::string& word : words) {
        if (padded.find(" " + word + " ") != std::string::npos) {
            all.push_back({word, ""});
        }
    }
    return all;
}

std::vector<std::string> kinds_of_things() {
    std::vector<std::string> all{"time-control-procedure", "cooling-method", "other"};
    for (const records::UnitKind kind : records::all_unit_kinds()) {
        all.emplace_back(to_name(kind));
    }
    return all;
}

/// What one argument may be, of which `current` is typed.
Completion values(const DeclaredArgument& argument, const Typed& typed, const std::string& current,
                  const NameSource& names) {
    Completion answer;
    auto& all = answer.candidates;
    const auto add = [&](std::vector<Candidate> more) {
        all.insert(all.end(), more.begin(), more.end());
    };
    switch (const Takes takes = what_it_takes(argument.name)) {
    case Takes::lot:
    case Takes::any_lot:
        // A command with --air takes a unit in the lot's place.
        if (!typed.given.contains("--air")) {
            add(names(takes, typed.store));
            // One that has ended takes no entries, but can be read about.
            if (std::none_of(all.begin(), all.end(),
                             [&](const Candidate& one) { return one.word.starts_with(current); })) {
                add(names(Takes::any_lot, typed.store));
            }
        }
        if (const auto* air = option_named(*typed.command, "--air");
            air != nullptr && air->form == Form::flag) {
            add(names(Takes::unit, typed.store));
        }
        break;
    case Takes::unit:
    case Takes::probe:
    case Takes::person:
    case Takes::pack:
        add(names(takes, typed.store));
        break;
    case Takes::stage:
        add(argument.form == Form::positional ? stages() : words_of(all_stages()));
        break;
    case Takes::food:
        add(words_of(all_foods()));
        break;
    case Takes::oven:
        add(words_of(all_ovens()));
        break;
    case Takes::unit_kind:
        add(named_in(argument.help, kinds_of_things()));
        break;
    case Takes::scale:
        add({{"F", ""}, {"C", ""}});
        break;
    case Takes::rule:
        add({{"as-read", ""}, {"guarded", ""}});
        break;
    case Takes::format:
        add(named_in(argument.help, {"text", "ascii", "html", "pdf", "csv", "json", "svg"}));
        break;
    case Takes::file:
        answer.files = Completion::Files::any;
        break;
    case Takes::folder:
        answer.files = Completion::Files::folders;
        break;
    default:
        break;
    }
    return answer;
}

/// The first and second words of commands that may follow `before`.
std::vector<Candidate> command_candidates(const std::vector<std::string>& before,
                                          const std::vector<DeclaredCommand>& commands) {
    std::vector<Candidate> all;
    if (before.size() > 1) {
        return all;
    }
    for (const DeclaredCommand& command : commands) {
        const std::size_t blank = command.name.find(' ');
        const std::string first = command.name.substr(0, blank);
        if (command.hidden) {
            continue;
        }
        if (!before.empty()) {
            if (blank != std::string::npos && first == before.front()) {
                all.push_back({command.name.substr(blank + 1), command.help});
            }
        } else if (std::none_of(all.begin(), all.end(),
                                [&](const Candidate& one) { return one.word == first; })) {
            all.push_back({first, blank == std::string::npos ? command.help : ""});
        }
    }
    return all;
}

std::vector<Candidate> option_candidates(const Typed& typed) {
    std::vector<Candidate> all;
    for (const DeclaredArgument& argument : typed.command->arguments) {
        const bool again = argument.form == Form::option && argument.repeats;
        if (argument.form != Form::positional && (again || !typed.given.contains(argument.name))) {
            all.push_back({argument.name, argument.help});
        }
    }
    all.push_back({"--help", "What the command takes, with an example"});
    return all;
}

/// The positional argument that comes next, or null.
const DeclaredArgument* next_positional(const Typed& typed) {
    std::size_t left = typed.positionals;
    for (const DeclaredArgument& argument : typed.command->arguments) {
        if (argument.form == Form::positional) {
            if (left == 0 || argument.repeats) {
                return &argument;
            }
            --left;
        }
    }
    return nullptr;
}

} // namespace

Completion completion(std::vector<std::string> words, const std::vector<DeclaredCommand>& commands,
                      const NameSource& names) {
    // bash hands "--unit=cab" over as three words: --unit, =, cab.
    std::string current = words.empty() ? "" : words.back();
    if (!words.empty()) {
        words.pop_back();
    }
    if (current == "=" && !words.empty()) {
        current.clear();
    } else if (words.size() > 1 && words.back() == "=") {
        words.pop_back();
    }
    std::erase(words, "=");
    const Typed typed = read(words, commands);

    Completion answer;
    const auto add = [&](std::vector<Candidate> more) {
        answer.candidates.insert(answer.candidates.end(), more.begin(), more.end());
    };
    std::string stem; // "--unit=", repeated before each candidate
    const DeclaredArgument* wants = typed.wants;
    if (typed.command != nullptr && wants == nullptr && current.starts_with("--")) {
        const std::size_t equals = current.find('=');
        if (equals != std::string::npos) {
            wants = option_named(*typed.command, current.substr(0, equals));
            stem = current.substr(0, equals + 1);
            current.erase(0, equals + 1);
        }
    }
    if (wants != nullptr) {
        answer = values(*wants, typed, current, names);
    } else if (!stem.empty()) {
        return answer;
    } else if (current.starts_with("-")) {
        if (typed.command != nullptr) {
            add(option_candidates(typed));
        } else {
            add({{"--help", "The commands"}, {"--version", "The program's version"}});
        }
    } else {
        add(command_candidates(words, commands));
        if (typed.command != nullptr) {
            if (const DeclaredArgument* next = next_positional(typed)) {
                Completion more = values(*next, typed, current, names);
                add(std::move(more.candidates));
                answer.files = more.files;
            } else {
                add(option_candidates(typed));
            }
        }
    }
    std::erase_if(answer.candidates,
                  [&](const Candidate& one) { return !one.word.starts_with(current); });
    for (Candidate& one : answer.candidates) {
        one.word = stem + one.word;
    }
    return answer;
}

} // namespace holdwarden::cli

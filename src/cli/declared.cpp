#include <holdwarden/cli/declared.hpp>

#include <algorithm>
#include <map>

namespace holdwarden::cli {
namespace {

using Form = DeclaredArgument::Form;

/// Writes down what a command declares. The targets are left alone.
class Collector final : public Arguments {
public:
    explicit Collector(DeclaredCommand& into) : into_{into} {}

    void need(const std::string& name, std::string& /*into*/, const std::string& help) override {
        add({.form = Form::positional, .name = name, .help = help, .required = true});
    }
    void may(const std::string& name, std::string& /*into*/, const std::string& help) override {
        add({.form = Form::positional, .name = name, .help = help});
    }
    void rest(const std::string& name, std::vector<std::string>& /*into*/,
              const std::string& help) override {
        add({.form = Form::positional, .name = name, .help = help, .repeats = true});
    }
    void option(const std::string& name, std::string& /*into*/, const std::string& help) override {
        add({.form = Form::option, .name = name, .help = help});
    }
    void options(const std::string& name, std::vector<std::string>& /*into*/,
                 const std::string& help) override {
        add({.form = Form::option, .name = name, .help = help, .repeats = true});
    }
    void flag(const std::string& name, bool& /*into*/, const std::string& help) override {
        add({.form = Form::flag, .name = name, .help = help});
    }
    void example(const std::string& line) override { into_.examples.push_back(line); }

private:
    void add(DeclaredArgument argument) { into_.arguments.push_back(std::move(argument)); }

    DeclaredCommand& into_;
};

/// Arguments whose name says what they take; positional ones without dashes.
const std::map<std::string, Takes>& kinds() {
    static const std::map<std::string, Takes> kKinds{
        {"lot", Takes::lot},
        {"lots", Takes::lot},
        {"--lot", Takes::lot},
        {"unit", Takes::unit},
        {"units", Takes::unit},
        {"--unit", Takes::unit},
        {"probe", Takes::probe},
        {"probes", Takes::probe},
        {"--probe", Takes::probe},
        {"person", Takes::person},
        {"--by", Takes::person},
        {"stage", Takes::stage},
        {"--stage", Takes::stage},
        {"--food", Takes::food},
        {"--oven", Takes::oven},
        {"--kind", Takes::unit_kind},
        {"pack", Takes::pack},
        {"packs", Takes::pack},
        {"--code", Takes::pack},
        {"--scale", Takes::scale},
        {"--rule", Takes::rule},
        {"--format", Takes::format},
        {"file", Takes::file},
        {"--csv", Takes::file},
        {"--store", Takes::file},
        {"--output", Takes::file},
        {"--key", Takes::file},
        {"--svg", Takes::file},
        {"--calendar", Takes::file},
        {"--checkpoint", Takes::file},
        {"--folder", Takes::folder},
        {"--to", Takes::time},
        {"temperature", Takes::temperature},
        {"--at", Takes::time},
        {"--as-of", Takes::time},
        {"--from", Takes::time},
        {"--until", Takes::time},
        {"--night", Takes::date},
        {"--made-on", Takes::date},
        {"--watched", Takes::length_of_time},
        {"--max-gap", Takes::length_of_time},
        {"--hold", Takes::length_of_time},
        {"--rest", Takes::length_of_time},
    };
    return kKinds;
}

std::string upper(std::string text) {
    std::transform(text.begin(), text.end(), text.begin(),
                   [](char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 32) : c; });
    return text;
}

/// "--output" of "-o,--output".
std::string long_name(const std::string& argument) {
    const auto comma = argument.find(',');
    return comma == std::string::npos ? argument : argument.substr(comma + 1);
}

} // namespace

DeclaredCommand declared(const Command& command) {
    DeclaredCommand answer{.name = command.name,
                           .help = command.help,
                           .hidden = command.hidden,
                           .arguments = {},
                           .examples = {}};
    Collector collector{answer};
    command.declare(collector);
    return answer;
}

std::vector<DeclaredCommand> all_declared() {
    std::vector<DeclaredCommand> all;
    for (const Command& command : all_commands()) {
        all.push_back(declared(command));
    }
    return all;
}

Takes what_it_takes(const std::string& argument) {
    const auto found = kinds().find(long_name(argument));
    return found == kinds().end() ? Takes::text : found->second;
}

std::string value_name(const std::string& argument) {
    switch (what_it_takes(argument)) {
    case Takes::lot:
    case Takes::any_lot:
        return "LOT";
    case Takes::unit:
        return "UNIT";
    case Takes::probe:
        return "PROBE";
    case Takes::person:
        return "PERSON";
    case Takes::pack:
        return "PACK";
    case Takes::file:
        return "FILE";
    case Takes::folder:
        return "FOLDER";
    case Takes::temperature:
        return "TEMPERATURE";
    case Takes::time:
        return "TIME";
    case Takes::date:
        return "DATE";
    case Takes::length_of_time:
        return "LENGTH";
    default:
        break;
    }
    const std::string name = long_name(argument);
    return upper(name.substr(std::min(name.find_first_not_of('-'), name.size())));
}

} // namespace holdwarden::cli

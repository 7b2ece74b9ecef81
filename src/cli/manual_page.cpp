#include <holdwarden/base/error.hpp>
#include <holdwarden/cli/manual_page.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::cli {
namespace {

using Form = DeclaredArgument::Form;

std::string first_word(const std::string& name) {
    return name.substr(0, name.find(' '));
}

/// The code point that starts at `at`, which moves behind it. Text of ours is valid UTF-8.
unsigned code_point(const std::string& text, std::size_t& at) {
    const auto byte = [&](std::size_t i) {
        return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
    };
    const unsigned lead = byte(at++);
    const int more = lead >= 0xF0U ? 3 : lead >= 0xE0U ? 2 : lead >= 0xC0U ? 1 : 0;
    unsigned code = more == 0 ? lead : lead & (0x3FU >> static_cast<unsigned>(more));
    for (int i = 0; i < more; ++i) {
        code = (code << 6U) | (byte(at++) & 0x3FU);
    }
    return code;
}

std::string head_line(const std::string& title, const ManualHead& head) {
    std::string upper = title;
    std::transform(upper.begin(), upper.end(), upper.begin(), [](char c) {
        return c >= 'a' && c <= 'z' ? static_cast<char>(c - ('a' - 'A')) : c;
    });
    return fmt::format(".TH {} 1 \"{}\" \"holdwarden {}\" \"User commands\"\n", upper, head.date,
                       head.version);
}

std::string shown_value(const DeclaredArgument& argument) {
    return fmt::format(
        "\\fI{}\\fR",
        roff(argument.form == Form::positional ? argument.name : value_name(argument.name)));
}

std::string synopsis(const DeclaredCommand& command) {
    std::string text = fmt::format(".B holdwarden {}\n", roff(command.name));
    const bool has_options = std::any_of(command.arguments.begin(), command.arguments.end(),
                                         [](const auto& a) { return a.form != Form::positional; });
    if (has_options) {
        text += "[\\fIoptions\\fR]\n";
    }
    for (const DeclaredArgument& argument : command.arguments) {
        if (argument.form == Form::positional) {
            const std::string shown = shown_value(argument) + (argument.repeats ? "..." : "");
            text += argument.required ? shown + "\n" : "[" + shown + "]\n";
        }
    }
    return text;
}

std::string sentence(std::string text) {
    if (!text.empty() && text.back() != '.' && text.back() != ':') {
        text += '.';
    }
    return roff(text) + "\n";
}

std::string argument_entry(const DeclaredArgument& argument) {
    std::string label;
    switch (argument.form) {
    case Form::positional:
        label = shown_value(argument) + (argument.repeats ? "..." : "");
        break;
    case Form::option:
        label = fmt::format("\\fB{}\\fR {}", roff(argument.name), shown_value(argument));
        break;
    case Form::flag:
        label = fmt::format("\\fB{}\\fR", roff(argument.name));
        break;
    }
    std::string help = argument.help;
    if (argument.form == Form::option && argument.repeats) {
        help += " (may be given more than once)";
    }
    return ".TP\n" + label + "\n" + sentence(help);
}

std::string examples(const DeclaredCommand& command) {
    if (command.examples.empty()) {
        return "";
    }
    std::string text = command.examples.size() == 1 ? ".PP\nExample:\n" : ".PP\nExamples:\n";
    text += ".PP\n.nf\n";
    for (const std::string& line : command.examples) {
        text += roff(line) + "\n";
    }
    return text + ".fi\n";
}

std::string description(const DeclaredCommand& command) {
    std::string text = sentence(command.help);
    for (const Form form : {Form::positional, Form::option, Form::flag}) {
        for (const DeclaredArgument& argument : command.arguments) {
            if (argument.form == form) {
                text += argument_entry(argument);
            }
        }
    }
    return text + examples(command);
}

/// `text` with the one `mark` in it replaced. Throws Error.
std::string filled(std::string text, const std::string& mark, const std::string& by) {
    const std::size_t at = text.find(mark);
    if (at == std::string::npos) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the frame of the manual page has no " + mark,
                     .where = "reports/manual/holdwarden.1",
                     .fix = "install holdwarden's data again, or set HOLDWARDEN_DATA"}};
    }
    return text.replace(at, mark.size(), by);
}

} // namespace

std::string roff(const std::string& text) {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        const bool line_start = at == 0 || text[at - 1] == '\n';
        const unsigned code = code_point(text, at);
        if (line_start && (code == '.' || code == '\'')) {
            out += "\\&";
        }
        if (code == '\\') {
            out += "\\(rs";
        } else if (code == '-') {
            out += "\\-";
        } else if (code == '\'') {
            out += "\\(aq"; // a typed apostrophe, not a closing quote
        } else if (code < 0x80U) {
            out += static_cast<char>(code);
        } else {
            out += fmt::format("\\[u{:04X}]", code);
        }
    }
    return out;
}

std::vector<std::string> command_words(const std::vector<DeclaredCommand>& all) {
    std::vector<std::string> words;
    for (const DeclaredCommand& command : all) {
        const std::string word = first_word(command.name);
        if (!command.hidden && std::find(words.begin(), words.end(), word) == words.end()) {
            words.push_back(word);
        }
    }
    return words;
}

std::string command_page(const std::string& word, const std::vector<DeclaredCommand>& all,
                         const ManualHead& head) {
    std::vector<DeclaredCommand> ours;
    std::copy_if(all.begin(), all.end(), std::back_inserter(ours), [&](const auto& command) {
        return !command.hidden && first_word(command.name) == word;
    });
    if (ours.empty()) {
        return "";
    }
    std::string names;
    std::string synopses;
    std::string descriptions;
    for (const DeclaredCommand& command : ours) {
        names += (names.empty() ? "" : ", ") + roff(command.name);
        synopses += (synopses.empty() ? "" : ".br\n") + synopsis(command);
        if (ours.size() > 1) {
            descriptions += ".SS \"" + roff(command.name) + "\"\n";
        }
        descriptions += description(command);
    }
    const std::string title = "holdwarden-" + word;
    return head_line(title, head) + ".SH NAME\n" + roff(title) + " \\- " +
           (ours.size() == 1 ? roff(ours.front().help) : names) + "\n.SH SYNOPSIS\n" + synopses +
           ".SH DESCRIPTION\n" + descriptions +
           ".SH SEE ALSO\n.BR holdwarden (1):\n"
           "times, temperatures, environment and exit statuses; and docs/commands.md of the "
           "guide.\n";
}

std::string program_page(const std::string& frame, const std::vector<DeclaredCommand>& all,
                         const ManualHead& head) {
    std::string commands;
    for (const DeclaredCommand& command : all) {
        if (!command.hidden) {
            commands += fmt::format(".TP\n.B {}\n{}", roff(command.name), sentence(command.help));
        }
    }
    return filled(filled(filled(frame, "@COMMANDS@\n", commands), "@DATE@", head.date), "@VERSION@",
                  head.version);
}

} // namespace holdwarden::cli

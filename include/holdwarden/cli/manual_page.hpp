#pragma once

#include <holdwarden/cli/declared.hpp>

#include <string>
#include <vector>

namespace holdwarden::cli {

/// What stands in the head of each manual page.
struct ManualHead {
    std::string date;    ///< "2026-11-24"
    std::string version; ///< "0.1.0"
};

/// The page of the commands that share `word` as their first ("lot": lot open, lot list, ...), in
/// the man macros that groff and mandoc read. Empty when there is none or all are hidden.
std::string command_page(const std::string& word, const std::vector<DeclaredCommand>& all,
                         const ManualHead& head);

/// The program's own page: `frame` (reports/manual/holdwarden.1) with @DATE@, @VERSION@ and, on a
/// line of its own, @COMMANDS@ filled in. Throws Error{bad_input} when one of them is missing.
std::string program_page(const std::string& frame, const std::vector<DeclaredCommand>& all,
                         const ManualHead& head);

/// The first words of the commands that are not hidden, each once, in the order of the index.
std::vector<std::string> command_words(const std::vector<DeclaredCommand>& all);

/// `text` as the man macros print it, hyphens as they are typed.
std::string roff(const std::string& text);

} // namespace holdwarden::cli

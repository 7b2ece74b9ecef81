#pragma once

#include <holdwarden/cli/command.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/sheets/pdf.hpp>

#include <string>

namespace holdwarden::cli {

enum class PageForm { text, html, pdf };

/// The options of a command that prints a page or writes it into a file.
struct PageArguments {
    std::string format;
    std::string output;
    bool force = false;

    void declare(Arguments& arguments);
    /// What --format says, else what the output's name ends in, else text. Throws Error{usage},
    /// also for a PDF that would go to a terminal.
    PageForm form(const Context& context) const;
};

/// "letter", "a4", or by the site's scale when empty. Throws Error{usage}.
sheets::Paper paper_word(const std::string& text, Scale scale);

/// Prints the page, or writes it into --output and says so.
void deliver(const PageArguments& arguments, const std::string& page, Context& context);

} // namespace holdwarden::cli

#pragma once

#include <stdexcept>
#include <string>

namespace holdwarden {

/// What sort of thing went wrong; the command line maps each to an exit status.
enum class ErrorKind {
    usage,     ///< the command was asked wrongly (exit status 2)
    bad_input, ///< a file, text or record holds something unusable
    not_found, ///< a named thing does not exist
    conflict,  ///< the request contradicts what is recorded
    store,     ///< the store cannot be opened, read or written
};

/// The three things every message says.
struct ErrorText {
    std::string what;  ///< what is wrong, the offending value quoted
    std::string where; ///< file:line, option or record; may be empty when `what` names it
    std::string fix;   ///< the reader's next step
};

/// The only exception type that crosses a module's border.
class Error : public std::runtime_error {
public:
    Error(ErrorKind kind, ErrorText text);

    ErrorKind kind() const noexcept { return kind_; }
    const ErrorText& text() const noexcept { return text_; }

    /// The same error with `where` put in front of the place it already names.
    Error at(const std::string& where) const;

private:
    ErrorKind kind_;
    ErrorText text_;
};

} // namespace holdwarden

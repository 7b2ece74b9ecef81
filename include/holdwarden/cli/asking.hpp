#pragma once

#include <holdwarden/cli/run.hpp>

#include <string>

namespace holdwarden::cli {

/// Asks the person at a terminal. Where standard input is none, nothing is asked: the caller
/// refuses and names the option instead.
class Asking {
public:
    explicit Asking(Context& context) : context_{context} {}

    bool possible() const noexcept { return context_.in_is_terminal; }
    /// The line typed, without blanks around it; `usual` when it is empty, which is shown in
    /// brackets. The question goes to standard error. Throws Error{bad_input} when the input ends.
    std::string line(const std::string& question, const std::string& usual = "");

private:
    Context& context_;
};

} // namespace holdwarden::cli

#pragma once

#include <chrono>
#include <functional>
#include <string>

namespace holdwarden::sheets {

/// How long a drawing is waited for.
struct Patience {
    std::chrono::seconds busy{900}; ///< processor time it may use
    std::chrono::seconds still{60}; ///< how long it may use none
};

/// What `draw` returns, drawn by a process of its own: the libraries that draw end the process they
/// run in, or never return, when they get no memory. Throws the Error that `draw` throws;
/// std::bad_alloc where it does; Error{bad_input} when that process ended without a drawing, or
/// patience did.
std::string drawn_apart(const std::function<std::string()>& draw, Patience patience = {});

} // namespace holdwarden::sheets

#include <holdwarden/base/error.hpp>

#include <utility>

namespace holdwarden {
namespace {

std::string one_line(const ErrorText& text) {
    std::string line = text.where.empty() ? text.what : text.where + ": " + text.what;
    if (!text.fix.empty()) {
        line += "; " + text.fix;
    }
    return line;
}

} // namespace

Error::Error(ErrorKind kind, ErrorText text)
    : std::runtime_error{one_line(text)}, kind_{kind}, text_{std::move(text)} {}

Error Error::at(const std::string& where) const {
    ErrorText text = text_;
    text.where = text.where.empty() ? where : where + ", " + text.where;
    return Error{kind_, std::move(text)};
}

} // namespace holdwarden

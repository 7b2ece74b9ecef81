#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/asking.hpp>

#include <istream>
#include <ostream>

namespace holdwarden::cli {

std::string Asking::line(const std::string& question, const std::string& usual) {
    context_.err << question << (usual.empty() ? "" : " [" + usual + "]") << ": " << std::flush;
    std::string text;
    if (!std::getline(context_.in, text)) {
        context_.err << "\n";
        throw Error{ErrorKind::bad_input,
                    {.what = "no answer: the input ended",
                     .where = "",
                     .fix = "nothing was entered; begin again"}};
    }
    const std::string answer{trimmed(text)};
    return answer.empty() ? usual : answer;
}

} // namespace holdwarden::cli

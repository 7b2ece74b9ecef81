#include <holdwarden/judge/marks.hpp>

namespace holdwarden::judge {

std::string_view mark(Verdict verdict) noexcept {
    switch (verdict) {
    case Verdict::met:
        return "\u25A0"; // black square
    case Verdict::not_shown:
        return "\u25E7"; // square, left half black
    case Verdict::open:
        return "\u25A1"; // white square
    case Verdict::not_met:
        return "\u25BC"; // black triangle pointing down
    case Verdict::ended:
        return "\u25AC"; // black bar
    }
    return "";
}

} // namespace holdwarden::judge

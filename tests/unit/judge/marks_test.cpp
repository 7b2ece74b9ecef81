#include <holdwarden/base/text.hpp>
#include <holdwarden/judge/marks.hpp>

#include <catch2/catch.hpp>

#include <set>
#include <string_view>

using namespace holdwarden;
using judge::Verdict;

TEST_CASE("each verdict has a mark of its own, one character that every printer can show") {
    std::set<std::string_view> seen;
    for (const Verdict verdict :
         {Verdict::ended, Verdict::met, Verdict::open, Verdict::not_shown, Verdict::not_met}) {
        const std::string_view shape = judge::mark(verdict);
        CHECK(is_utf8(shape));
        // The Unicode Standard, block Geometric Shapes: U+25A0 to U+25FF, three bytes in UTF-8,
        // from E2 96 A0 to E2 97 BF.
        CHECK(shape.size() == 3);
        CHECK(shape >= "\xE2\x96\xA0");
        CHECK(shape <= "\xE2\x97\xBF");
        CHECK(seen.insert(shape).second);
    }
}

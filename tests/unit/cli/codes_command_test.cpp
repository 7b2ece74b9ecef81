#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/cli/run.hpp>
#include <holdwarden/codes/load.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <sstream>

using namespace holdwarden;
using namespace holdwarden::cli;

namespace {

struct Answer {
    int status = 0;
    std::string out;
    std::string err;
};

Answer holdwarden_says(const std::vector<std::string>& arguments) {
    std::istringstream in;
    std::ostringstream out;
    std::ostringstream err;
    Context context{.in = in,
                    .out = out,
                    .err = err,
                    .now = [] { return Instant{}; },
                    .env = [](const std::string&) { return std::nullopt; },
                    .data = HOLDWARDEN_SOURCE_DIR};
    const int status = run(arguments, context);
    return {status, out.str(), err.str()};
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("codes alone lists packs, stages and food kinds") {
    const Answer answer = holdwarden_says({"codes"});
    CHECK(answer.status == kDone);
    CHECK(answer.err.empty());
    CHECK(has(answer.out, "us-fda-2022"));
    for (const Stage stage : all_stages()) {
        CHECK(has(answer.out, std::string{to_name(stage)}));
    }
    for (const FoodKind food : all_foods()) {
        CHECK(has(answer.out, std::string{to_name(food)}));
    }
}

TEST_CASE("codes show prints figures, clauses, how they are known, what is left out, the caution") {
    // FDA Food Code 2022: 3-501.16(A)(1), 3-401.11(B) (112 min at 130 °F), 3-401.13 (from memory).
    const Answer answer = holdwarden_says({"codes", "show", "us-fda-2022"});
    CHECK(answer.status == kDone);
    CHECK(has(answer.out, "hot-holding   3-501.16(A)(1)"));
    CHECK(has(answer.out, "135 °F (57 °C) or above"));
    CHECK(has(answer.out, "130 °F (54.4 °C) or above    for 112 min"));
    CHECK(has(answer.out, "remembered: check it"));
    CHECK(has(answer.out, "Left out"));
    CHECK(has(answer.out, "Caution: "));
}

TEST_CASE("no line of any pack is wider than 100 columns") {
    for (const std::string& id : codes::pack_ids(HOLDWARDEN_SOURCE_DIR "/schema/codes")) {
        std::istringstream lines{holdwarden_says({"codes", "show", id}).out};
        std::string line;
        std::size_t count = 0;
        while (std::getline(lines, line)) {
            INFO(id << ": " << line);
            ++count;
            const auto columns = std::count_if(line.begin(), line.end(), [](char c) {
                return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; // UTF-8 (RFC 3629)
            });
            CHECK(columns <= 100);
        }
        CHECK(count > 20);
    }
}

TEST_CASE("a pack that is not there is refused with the ones that are") {
    const Answer answer = holdwarden_says({"codes", "show", "us-fda-1999"});
    CHECK(answer.status == kFailed);
    CHECK(answer.out.empty());
    CHECK(has(answer.err, "'us-fda-1999'"));
    CHECK(has(answer.err, "us-fda-2022"));

    const Answer path = holdwarden_says({"codes", "show", "./nowhere.toml"});
    CHECK(path.status == kFailed);
    CHECK(has(path.err, "./nowhere.toml"));
}

TEST_CASE("codes show without a pack is wrong usage") {
    CHECK(holdwarden_says({"codes", "show"}).status == kWrongUsage);
    CHECK(holdwarden_says({"codes", "sing"}).status == kWrongUsage);
}

TEST_CASE("folded text keeps a figure with its unit") {
    CHECK(folded("hold it at 135 °F or so", 2, 16) == "  hold it at\n  135 °F or so\n");
    CHECK(folded("at most 5 h 50 min.", 0, 11) == "at most 5 h\n50 min.\n");
    CHECK(folded("one two", 0, 3) == "one\ntwo\n");
    CHECK(folded("", 2) == "  \n");
}

#include <holdwarden/base/error.hpp>
#include <holdwarden/codes/load.hpp>
#include <holdwarden/codes/receiving.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::codes;

TEST_CASE("limits for receiving are read, each way to arrive once and pointing the right way") {
    const std::string head = "id = \"x\"\ntitle = \"X\"\nedition = \"1\"\ncaution = \"none\"\n";
    const std::string tail = "[[requirement]]\nid = \"hot-holding\"\nclause = \"1\"\n"
                             "status = \"remembered\"\nsays = \"x\"\nhold = \"63 °C or above\"\n";
    const auto receiving = [](const std::string& as, const std::string& limit) {
        return "[[receiving]]\nas = \"" + as + "\"\nclause = \"2\"\nstatus = \"remembered\"\n" +
               (limit.empty() ? "" : "limit = \"" + limit + "\"\n") + "says = \"x\"\n";
    };
    const Receiving pack = parse_receiving(
        head + receiving("cold", "4 °C or below") + receiving("frozen", "") + tail, "x.toml");
    REQUIRE(pack.of(ReceivedAs::cold) != nullptr);
    CHECK(pack.of(ReceivedAs::cold)->limit->to_text() == "4 °C or below");
    CHECK(pack.of(ReceivedAs::frozen)->clause == "2");
    CHECK(pack.of(ReceivedAs::hot) == nullptr);
    const std::string cold = receiving("cold", "4 °C or below");
    for (const std::string& bad :
         {receiving("cold", ""), receiving("frozen", "4 °C or below"),
          receiving("cold", "4 °C or above"), receiving("hot", "60 °C or below"),
          receiving("lukewarm", "4 °C or below"), cold + cold}) {
        INFO(bad);
        CHECK_THROWS_AS(parse_pack(head + bad + tail, "x.toml"), Error);
    }
}

namespace {

std::vector<std::string> receiving_lines(const std::string& id) {
    std::vector<std::string> lines;
    const auto pack =
        load_receiving(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/" + id + ".toml");
    for (const ReceivingRule& rule : pack.rules) {
        lines.push_back(rule.clause + " | " + std::string{to_name(rule.as)} + " | " +
                        (rule.limit ? rule.limit->to_text() : "frozen"));
    }
    return lines;
}

} // namespace

TEST_CASE("the packs hold the published figures for receiving, and no others") {
    using Lines = std::vector<std::string>;
    // FDA Food Code 3-202.11(A), (D) and (E) (from memory, all three editions).
    for (const char* id : {"us-fda-2013", "us-fda-2017", "us-fda-2022"}) {
        CHECK(receiving_lines(id) == Lines{"3-202.11(A) | cold | 41 °F (5 °C) or below",
                                           "3-202.11(D) | hot | 135 °F (57 °C) or above",
                                           "3-202.11(E) | frozen | frozen"});
    }
    // Standard 3.2.2, as quoted by fact sheets of Food Standards Australia New Zealand.
    CHECK(receiving_lines("au-3.2.2") ==
          Lines{"3.2.2 cl. 5 | cold | 5 °C or below", "3.2.2 cl. 5 | hot | 60 °C or above"});
    // Food and Environmental Hygiene Department, Food Hygiene Code (read in an account of it).
    CHECK(receiving_lines("hk") == Lines{"FEHD Food Hygiene Code 4.2-4.3 | cold | 4 °C or below",
                                         "FEHD Food Hygiene Code 4.2-4.3 | hot | 60 °C or above"});
    for (const char* id :
         {"us-fsis", "uk-england", "uk-scotland", "nz-fcp", "ie-fsai", "fr-2009"}) {
        CHECK(receiving_lines(id).empty());
    }
}

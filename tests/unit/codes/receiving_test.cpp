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

#include "kitchen.hpp"
#include "schema_walk.hpp"

#include <nlohmann/json.hpp>

using namespace kitchen;
using Json = nlohmann::json;

namespace {

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

/// The kitchen with two people who sign.
void with_people(Kitchen& kitchen) {
    kitchen.open_for_business();
    kitchen.add_signer("RK", "person-in-charge", "7294");
}

} // namespace

TEST_CASE("a delivery is entered, judged and listed") {
    Kitchen kitchen;
    kitchen.open_for_business();
    const std::string said =
        kitchen.good({"receive", "brisket flats", "38F", "--supplier", "Yard Farms",
                      "--supplier-lot", "4411", "--amount", "40kg", "--by", "RK"});
    CHECK(has(said, "Receipt 1: brisket flats, 40 kg from Yard Farms, lot 4411, cold, 38 °F"));
    CHECK(has(said, "taken in"));
    CHECK(has(said, "met: 38 °F was read; the limit is 41 °F (5 °C) or below (3-202.11(A)"));

    // Over the limit: sent back, or a reason; nothing is written without.
    const std::string before = kitchen.store_bytes();
    const Answer warm = kitchen.says({"receive", "milk", "44F", "--supplier", "Yard Farms"});
    CHECK(warm.status == cli::kFailed);
    CHECK(has(warm.err, "--refused"));
    CHECK(kitchen.store_bytes() == before);
    const std::string law = kitchen.good({"receive", "milk", "44F", "--supplier", "Yard Farms",
                                          "--reason", "state law: milk at 45 °F"});
    CHECK(has(law, "not met"));
    CHECK(has(kitchen.good({"receive", "flats", "50F", "--supplier", "Yard Farms", "--refused",
                            "--reason", "warm"}),
              "refused, warm"));
    CHECK(has(kitchen.good({"receive", "peas", "--supplier", "Yard Farms", "--as", "frozen"}),
              "not shown"));
    CHECK(has(kitchen.good({"receive", "salt", "--supplier", "Yard Farms", "--as", "other"}),
              "Not judged"));
    kitchen.good({"receive", "brisket flats", "39F", "--supplier", "Yard Farms", "--instead-of",
                  "1", "--why", "read again"});
    const std::string day = kitchen.good({"day"});
    CHECK(has(day, "day book of 2026-11-01"));
    CHECK_FALSE(has(day, "38 °F")); // what was put right is not shown twice
    CHECK(has(day, "puts right receipt 1: read again"));
    CHECK(has(day, "refused, warm"));
    CHECK(has(kitchen.good({"day", "2026-10-30"}), "none entered"));
}

TEST_CASE("what is thrown away is of a lot, or of food that was none") {
    Kitchen kitchen;
    kitchen.open_for_business();
    const std::string lot = kitchen.good({"bin", "beans", "2kg", "--reason", "dried out"});
    CHECK(has(lot, "2 kg of lot beans-1"));
    CHECK(has(lot, "stage beans discarded"));
    CHECK(has(kitchen.good({"bin", "old sauce", "1pan", "--product", "--reason", "spilt"}),
              "of old sauce"));
    const Answer unknown = kitchen.says({"bin", "old sauce", "1pan", "--reason", "spilt"});
    CHECK(unknown.status == cli::kFailed);
    CHECK(has(unknown.err, "--product"));
    CHECK(kitchen.says({"bin", "brisket", "1pan", "--reason", "x"}).status == cli::kFailed);
    const std::string day = kitchen.good({"day"});
    CHECK(has(day, "2 kg of lot beans-1: dried out"));
    CHECK(has(day, "1 pan of old sauce: spilt"));
}

TEST_CASE("the air of a unit is entered with a remark, and never judges food") {
    Kitchen kitchen;
    kitchen.open_for_business();
    const std::string cold = kitchen.good({"air", "walk-in-1", "38", "--by", "RK"});
    CHECK(has(cold, "walk-in-1, air: 38 °F"));
    CHECK(has(cold, "Air is no proof of what food is at."));
    CHECK(has(kitchen.good({"air", "walk-in-1", "44", "--at", "2026-11-01 05:00"}),
              "Measure the food itself now."));
    CHECK(has(kitchen.good({"air", "cabinet-1", "150F"}), "135 °F (57 °C) or above"));
    const std::string day = kitchen.good({"day"});
    CHECK(has(day, "38 °F at 06:00"));
    CHECK(has(day, "44 °F at 05:00"));
    CHECK(has(day, "no proof of what food is at"));
    CHECK(kitchen.says({"air", "beans-1", "38"}).status == cli::kFailed);
}

TEST_CASE("REC-20: a look at a recording system is signed, twice a day, apart from its readings") {
    Kitchen kitchen;
    with_people(kitchen);
    CHECK_FALSE(has(kitchen.good({"day"}), "times this day"));
    const std::string seen = kitchen.good(
        {"seen", "walk-in-1", "38F", "--by", "RK", "--pin-file", "-", "--at", "2026-11-01 05:30"},
        "7294\n");
    CHECK(has(seen, "seen working"));
    CHECK(has(seen, "signed by RK"));
    CHECK(has(kitchen.good({"day"}), "walk-in-1: seen working 1 of 2 times this day"));
    // A signature needs a name and a PIN; without, nothing is written.
    const Answer nobody = kitchen.says({"seen", "walk-in-1"});
    CHECK(nobody.status != cli::kDone);
    CHECK(kitchen.says({"seen", "walk-in-1", "--by", "QM"}).status != cli::kDone);
    const Answer broken =
        kitchen.says({"seen", "walk-in-1", "--broken", "--by", "RK", "--pin-file", "-"}, "7294\n");
    CHECK(has(broken.err, "what was done"));
    kitchen.good({"seen", "walk-in-1", "--broken", "--note", "cable out; put back", "--by", "RK",
                  "--pin-file", "-"},
                 "7294\n");
    const std::string day = kitchen.good({"day"});
    CHECK(has(day, "05:30 (RK), 06:00 NOT (RK)"));
    CHECK_FALSE(has(day, "times this day"));
}

TEST_CASE("the day book for programs fits its schema") {
    Kitchen kitchen;
    with_people(kitchen);
    const auto faults = [&] {
        std::ifstream file{std::string{HOLDWARDEN_SOURCE_DIR} +
                           "/schema/json/holdwarden-day-1.schema.json"};
        std::string text;
        for (const std::string& fault : test::schema_faults(
                 Json::parse(file), Json::parse(kitchen.good({"day", "--format", "json"})))) {
            text += fault + "\n";
        }
        return text;
    };
    CHECK(faults() == "");
    kitchen.good({"receive", "flats", "38F", "--supplier", "Yard Farms", "--amount", "3cases",
                  "--by", "RK"});
    kitchen.good({"receive", "peas", "--as", "frozen", "--found", "thawed", "--refused", "--reason",
                  "thawed", "--supplier", "Yard Farms"});
    kitchen.good({"receive", "flats", "39F", "--supplier", "Yard Farms", "--instead-of", "1",
                  "--why", "misread"});
    kitchen.good({"bin", "beans", "2kg", "--reason", "dry"});
    kitchen.good({"bin", "x", "1l", "--reason", "dry", "--product"});
    kitchen.good({"air", "walk-in-1", "38F"});
    kitchen.good({"seen", "walk-in-1", "38F", "--by", "RK", "--pin-file", "-"}, "7294\n");
    CHECK(faults() == "");
    const Json day = Json::parse(kitchen.good({"day", "--format", "json"}));
    CHECK(day.at("receipts").size() == 2);
    CHECK(day.at("receipts").at(0).at("verdict") == "not-met");
    CHECK(day.at("waste").at(0).at("lot") == "beans-1");
}

#include <holdwarden/codes/load.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <set>
#include <string>
#include <vector>

using namespace holdwarden;
using namespace holdwarden::codes;

namespace {

const std::filesystem::path kPacks{HOLDWARDEN_SOURCE_DIR "/schema/codes"};

} // namespace

TEST_CASE("every shipped pack loads under its own id and says what it leaves out") {
    const auto ids = pack_ids(kPacks);
    CHECK(ids == std::vector<std::string>{"au-3.2.2", "fr-2009", "hk", "ie-fsai", "nz-fcp",
                                          "uk-england", "uk-scotland", "us-fda-2013", "us-fda-2017",
                                          "us-fda-2022", "us-fsis"});
    for (const std::string& id : ids) {
        INFO(id);
        const Pack pack = load_pack(kPacks / (id + ".toml"));
        CHECK(pack.id == id);
        CHECK_FALSE(pack.left_out.empty());
    }
}

TEST_CASE("every requirement of a shipped pack has advice that fits whatever the time and depth") {
    for (const std::string& id : pack_ids(kPacks)) {
        const Pack pack = load_pack(kPacks / (id + ".toml"));
        std::set<std::string> requirements;
        for (const Requirement& requirement : pack.requirements) {
            requirements.insert(requirement.id);
        }
        for (const std::string& requirement : requirements) {
            INFO(id << " " << requirement);
            CHECK(pack.advice_for(requirement, false, std::nullopt, std::nullopt) != nullptr);
            CHECK(pack.advice_for(requirement, true, std::nullopt, std::nullopt) != nullptr);
        }
    }
}

TEST_CASE("a pack lists the provisions of its code that the record cannot tell") {
    const auto leaves_out = [](const char* id, const char* words) {
        const Pack pack = load_pack(kPacks / (std::string{id} + ".toml"));
        return std::any_of(pack.left_out.begin(), pack.left_out.end(), [&](const LeftOut& out) {
            return out.what.find(words) != std::string::npos;
        });
    };
    // FDA Food Code 2013, 2017 and 2022: 3-401.11(A)(2) names ratites, (A)(3) baluts, beside foods
    // that have a kind of their own.
    for (const char* id : {"us-fda-2013", "us-fda-2017", "us-fda-2022"}) {
        INFO(id);
        CHECK(leaves_out(id, "ratites, 3-401.11(A)(2)"));
        CHECK(leaves_out(id, "baluts, 3-401.11(A)(3)"));
    }
    // FSIS Cooking Guideline (2021): a limit allows for the thermometer's error.
    CHECK(leaves_out("us-fsis", "thermometer's error"));
    // Standard 3.2.2 cl. 7(4): not for food that is reheated for immediate use.
    CHECK(leaves_out("au-3.2.2", "immediate use, 3.2.2 cl. 7(4)"));
}

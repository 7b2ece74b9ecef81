#include "target.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/codes/load.hpp>

using namespace holdwarden;
using fuzz::require;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    try {
        const codes::Pack pack = codes::parse_pack(fuzz::text_of(data, size), "pack.toml");
        for (const auto& requirement : pack.requirements) {
            require(!requirement.id.empty() && !requirement.clause.empty(),
                    "every requirement has an id and a clause");
            if (const auto* hold = std::get_if<codes::HoldRule>(&requirement.rule)) {
                require(!hold->limit.to_text().empty(), "a limit can be shown");
            }
            for (const FoodKind food : all_foods()) {
                if (requirement.covers(food)) {
                    require(!pack.find(requirement.id, food).empty(), "what is there is found");
                }
            }
        }
    } catch (const Error&) { // refused
    }
    return 0;
}

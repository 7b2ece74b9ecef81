#include "judge_many.hpp"

#include <cstddef>
#include <future>
#include <iterator>
#include <utility>

namespace holdwarden::cli {
namespace {

/// Fewer are judged before a second reader has opened the store.
constexpr std::size_t kWorthASecondReader = 16;

/// The lots at `first`, `first + step`, ... into their places.
std::map<std::string, codes::Pack> judge_every(std::size_t first, std::size_t step, LotJudge judge,
                                               const std::vector<records::LotId>& lots,
                                               std::vector<LotJudge::Brief>& into) {
    for (std::size_t i = first; i < lots.size(); i += step) {
        LotJudge::Brief& brief = into[i];
        brief = judge.brief(lots[i]);
        if (brief.history.end) { // nothing is forecast of it, and nothing else shows readings
            brief.history.points.clear();
            brief.history.air.clear();
        }
    }
    return judge.packs();
}

} // namespace

JudgedLots judge_many(const OpenStore& store, const StoreArguments& arguments, Context& context,
                      Instant as_of, const LotJudge::Asked& asked,
                      const std::vector<records::LotId>& lots) {
    JudgedLots judged;
    judged.lots.resize(lots.size());
    if (lots.size() < kWorthASecondReader) {
        judged.packs = judge_every(0, 1, LotJudge{store, context, as_of, asked}, lots, judged.lots);
        return judged;
    }
    const OpenStore beside{arguments, context, store::Access::read};
    auto odd = std::async(std::launch::async, [&] {
        return judge_every(1, 2, LotJudge{beside, context, as_of, asked}, lots, judged.lots);
    });
    judged.packs = judge_every(0, 2, LotJudge{store, context, as_of, asked}, lots, judged.lots);
    judged.packs.merge(odd.get());
    return judged;
}

} // namespace holdwarden::cli

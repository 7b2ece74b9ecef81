#include <holdwarden/base/error.hpp>
#include <holdwarden/cli/plan_limits.hpp>

namespace holdwarden::cli {
namespace {

Temperature printed(const codes::TemperatureLimit& limit, Scale scale) {
    const Scale other = scale == Scale::celsius ? Scale::fahrenheit : Scale::celsius;
    const auto own = limit.printed(scale);
    return own ? *own : limit.printed(other).value();
}

const codes::WindowRule* window(const codes::Requirement* requirement) {
    return requirement == nullptr ? nullptr : std::get_if<codes::WindowRule>(&requirement->rule);
}

} // namespace

std::optional<Temperature> hot_holding_limit(const codes::Pack& pack, Scale scale) {
    for (const codes::Requirement* r : pack.find("hot-holding", FoodKind::other_tcs)) {
        if (const auto* hold = std::get_if<codes::HoldRule>(&r->rule)) {
            return printed(hold->limit, scale);
        }
    }
    return std::nullopt;
}

std::optional<PackWindows> cooling_windows(const codes::Pack& pack, Scale scale) {
    const auto first_of = [&](const char* id) -> const codes::Requirement* {
        const auto found = pack.find(id, FoodKind::other_tcs);
        return found.empty() ? nullptr : found.front();
    };
    const codes::Requirement* first_rule = first_of("cooling-first-window");
    const codes::Requirement* total_rule = first_of("cooling-total");
    const codes::Requirement* second_rule = first_of("cooling-second-window");
    const codes::WindowRule* first = window(first_rule);
    const codes::WindowRule* total = window(total_rule);
    const codes::WindowRule* second = window(second_rule);
    const codes::WindowRule* last = total != nullptr ? total : second;
    if (first == nullptr || last == nullptr || !first->from || !first->to || !last->to) {
        return std::nullopt;
    }
    PackWindows out{.windows = {},
                    .from = printed(*first->from, scale),
                    .middle = printed(*first->to, scale),
                    .end = printed(*last->to, scale),
                    .clauses = first_rule->clause + ", " +
                               (total != nullptr ? total_rule : second_rule)->clause};
    out.windows = {heat::celsius(out.from), heat::celsius(out.middle), heat::celsius(out.end),
                   first->within.span,
                   total != nullptr ? total->within.span
                                    : first->within.span + second->within.span};
    return out;
}

} // namespace holdwarden::cli

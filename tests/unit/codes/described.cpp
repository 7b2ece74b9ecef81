#include "described.hpp"

#include <fmt/format.h>

namespace described {
namespace {

using namespace holdwarden;
using namespace holdwarden::codes;

std::string joined(const std::vector<std::string>& parts) {
    std::string text;
    for (const std::string& part : parts) {
        text += (text.empty() ? "" : "; ") + part;
    }
    return text;
}

std::string time(const TimeLimit& limit) {
    return (limit.figure_included ? "" : "less than ") + to_text(limit.span);
}

std::string figures(const HoldRule& rule) {
    return rule.limit.to_text();
}

std::string figures(const WindowRule& rule) {
    std::string start;
    switch (rule.start) {
    case WindowStart::falls_below:
        start = rule.from->to_text();
        break;
    case WindowStart::rises_above:
        start = rule.from->to_text();
        break;
    case WindowStart::end_of_window:
        start = "end of " + rule.after;
        break;
    case WindowStart::end_of_cooking:
        start = "end of cooking";
        break;
    case WindowStart::stage_start:
        start = "start of the stage";
        break;
    }
    const std::string goal = rule.to         ? rule.to->to_text()
                             : rule.to_stage ? std::string{to_name(*rule.to_stage)}
                                             : "reheated";
    return fmt::format("{} -> {}, {}", start, goal, time(rule.within));
}

std::string figures(const TableRule& rule) {
    std::vector<std::string> parts;
    for (const TableRow& row : rule.rows) {
        const auto s = row.keep.ms() / 1000;
        parts.push_back(row.at.to_text() + (s % 60 == 0 && s > 0 ? fmt::format(" {} min", s / 60)
                                                                 : fmt::format(" {} s", s)));
    }
    for (const OvenRow& row : rule.ovens) {
        std::string mass;
        mass += row.from_g ? fmt::format(" from {} g", *row.from_g) : "";
        mass += row.below_g ? fmt::format(" below {} g", *row.below_g) : "";
        parts.push_back(fmt::format("{}{}: {}", to_name(row.oven), mass, row.air.to_text()));
    }
    if (rule.needs_roast_cook) {
        parts.emplace_back("after a roast cook");
    }
    if (rule.rest_counts) {
        parts.emplace_back("rest counts");
    }
    if (rule.most_times) {
        parts.push_back(fmt::format("at most {}", *rule.most_times));
    }
    return joined(parts);
}

std::string figures(const TimeControlRule& rule) {
    std::string text = rule.cold_start.to_text();
    text += rule.hot_start ? " or " + rule.hot_start->to_text() : "";
    text += ", " + time(rule.within);
    text += rule.hot_within ? ", hot " + time(*rule.hot_within) : "";
    text += rule.return_within ? ", back " + time(*rule.return_within) : "";
    text += rule.one_spell ? ", once" : "";
    text += rule.adds_up_below ? ", all below " + rule.adds_up_below->to_text() + " add up" : "";
    return text + (rule.six_hour_form ? ", six-hour form" : "");
}

std::string figures(const CeilingRule& rule) {
    return rule.limit.to_text() + (rule.six_hour_form ? ", six-hour form" : "");
}

std::string figures(const DateMarkRule& rule) {
    return fmt::format("{} days, over {}, {}", rule.days, to_text(rule.applies_over),
                       rule.kept_at.to_text());
}

std::string foods(const Requirement& requirement) {
    std::string text;
    for (const FoodKind food : requirement.foods) {
        text += (text.empty() ? "" : " ") + std::string{to_name(food)};
    }
    return text.empty() ? "all" : text;
}

} // namespace

Pack shipped(const std::string& id) {
    return load_pack(std::filesystem::path{HOLDWARDEN_SOURCE_DIR} / "schema" / "codes" /
                     (id + ".toml"));
}

std::vector<std::string> lines(const Pack& pack) {
    std::vector<std::string> all;
    for (const Requirement& r : pack.requirements) {
        all.push_back(
            fmt::format("{} | {} | {} | {}{}", r.id, r.clause, foods(r),
                        r.option.empty() ? "" : "[" + r.option + "] ",
                        std::visit([](const auto& rule) { return figures(rule); }, r.rule)));
    }
    return all;
}

} // namespace described

#include <holdwarden/cli/code_text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

namespace holdwarden::cli {
namespace {

using namespace codes;

template <class... Visitors>
struct Overloaded : Visitors... {
    using Visitors::operator()...;
};

/// How many columns a terminal gives a UTF-8 text: one for each code point, which is enough for the
/// degree signs and dashes that packs hold.
std::size_t width(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
    }));
}

std::string padded(std::string text, std::size_t columns) {
    const std::size_t used = width(text);
    text.append(used < columns ? columns - used : 0, ' ');
    return text;
}

std::string foods_text(const std::vector<FoodKind>& foods) {
    if (foods.empty()) {
        return "all";
    }
    std::string list;
    for (const FoodKind food : foods) {
        list += (list.empty() ? "" : ", ") + std::string{to_name(food)};
    }
    return list;
}

/// "reached", "for 112 min", "for 134 s": tables of the trade count whole minutes or seconds.
std::string keep_text(Span keep) {
    if (keep == Span{}) {
        return "reached";
    }
    const std::int64_t s = keep.ms() / 1000;
    return s % 60 == 0 ? fmt::format("for {} min", s / 60) : fmt::format("for {} s", s);
}

/// 4536 g is shown as "10 lb (4.5 kg)".
std::string mass_text(std::int64_t grams) {
    return fmt::format("{:.2g} lb ({:.2g} kg)", static_cast<double>(grams) / 453.59237,
                       static_cast<double>(grams) / 1000.0);
}

/// "2 °F": a size has no sign.
std::string size_text(TemperatureDelta delta) {
    const std::string text = to_text(delta);
    return text.starts_with('+') ? text.substr(1) : text;
}

std::string oven_text(const OvenRow& row) {
    std::string mass = "any mass";
    if (row.from_g && row.below_g) {
        mass = mass_text(*row.from_g) + " or more, under " + mass_text(*row.below_g);
    } else if (row.from_g) {
        mass = mass_text(*row.from_g) + " or more";
    } else if (row.below_g) {
        mass = "under " + mass_text(*row.below_g);
    }
    return padded(std::string{to_name(row.oven)}, 15) + padded(mass, 30) + row.air.to_text();
}

std::string start_text(const WindowRule& rule) {
    switch (rule.start) {
    case WindowStart::falls_below:
        return "from the fall below " + rule.from->figures();
    case WindowStart::rises_above:
        return "from the rise above " + rule.from->figures();
    case WindowStart::end_of_window:
        return "from the end of " + rule.after;
    case WindowStart::end_of_cooking:
        return "from the end of cooking";
    case WindowStart::stage_start:
        return "from the start of the stage";
    }
    return "";
}

std::string goal_text(const WindowRule& rule) {
    if (rule.to) {
        return rule.to->to_text();
    }
    return rule.to_stage ? fmt::format("{} has begun", to_name(*rule.to_stage))
                         : "the temperature and time of its reheating";
}

std::string window_text(const WindowRule& rule) {
    return fmt::format("{}: {}, {}", time_limit_text(rule.within), goal_text(rule),
                       start_text(rule));
}

std::string time_control_text(const TimeControlRule& rule) {
    std::string text =
        fmt::format("{} after leaving {}", time_limit_text(rule.within), rule.cold_start.to_text());
    if (rule.hot_start && rule.hot_within) {
        text += fmt::format("; {} after leaving {}", time_limit_text(*rule.hot_within),
                            rule.hot_start->to_text());
    } else if (rule.hot_start) {
        text += " or " + rule.hot_start->to_text();
    } else {
        text += "; no hot start";
    }
    text += rule.return_within
                ? fmt::format("; may go back to holding {}", time_limit_text(*rule.return_within))
                : "; no return to holding";
    if (rule.adds_up_below) {
        text +=
            fmt::format("; all times between that and {} add up", rule.adds_up_below->to_text());
        return text;
    }
    return text + (rule.one_spell ? "; once only" : "; spells add up");
}

/// Lines under a requirement: limit and tables.
std::string rule_lines(const Rule& rule) {
    const auto one = [](const std::string& text) { return folded("limit    " + text, 4); };
    return std::visit(
        Overloaded{[&](const HoldRule& r) { return one(r.limit.to_text()); },
                   [&](const WindowRule& r) { return one(window_text(r)); },
                   [&](const TimeControlRule& r) { return one(time_control_text(r)); },
                   [&](const CeilingRule& r) {
                       return one(fmt::format("{}, in the {} form", r.limit.to_text(),
                                              r.six_hour_form ? "six-hour" : "four-hour"));
                   },
                   [&](const DateMarkRule& r) {
                       return one(fmt::format(
                           "day {} is the last, for food kept {}at {}", r.days,
                           r.applies_over == Span{} ? "" : "over " + to_text(r.applies_over) + " ",
                           r.kept_at.to_text()));
                   },
                   [](const TableRule& r) {
                       std::string text = r.rows.size() == 1 ? "" : "    any one of\n";
                       for (const TableRow& row : r.rows) {
                           text += fmt::format("    {} {} {}\n",
                                               r.rows.size() == 1 ? "limit   " : "        ",
                                               padded(row.at.to_text(), 28), keep_text(row.keep));
                       }
                       if (!r.ovens.empty()) {
                           text += "    and the oven\n";
                       }
                       for (const OvenRow& row : r.ovens) {
                           text += "             " + oven_text(row) + "\n";
                       }
                       if (r.needs_roast_cook) {
                           text +=
                               "    only     for the uncut rest of a roast that was cooked by the "
                               "roast table\n";
                       }
                       if (r.rest_counts) {
                           text += "    counting the rest right after the oven\n";
                       }
                       if (r.most_times) {
                           text += fmt::format("    at most  {} time{}\n", *r.most_times,
                                               *r.most_times == 1 ? "" : "s");
                       }
                       return text;
                   }},
        rule);
}

std::string advice_text(const Advice& advice) {
    std::string when = advice.for_not_shown ? "not shown" : "not met";
    if (advice.up_to) {
        const std::string time = to_text(advice.up_to->span);
        when += advice.up_to->figure_included
                    ? fmt::format(", {} at most in the worst case", time)
                    : fmt::format(", less than {} in the worst case", time);
    }
    if (advice.while_worst) {
        when += fmt::format(", worst reading {}", advice.while_worst->to_text());
    }
    std::string text = folded(when + ":", 4);
    for (const std::string& act : advice.act) {
        text += folded("- " + act, 6);
    }
    return text + folded("(" + advice.source + ")", 6);
}

} // namespace

namespace {

/// Whether the word before `blank` ends in a digit and the one behind it is a unit.
bool unit_follows(std::string_view text, std::size_t blank) {
    const std::string_view next = text.substr(std::min(blank + 1, text.size()));
    if (next.starts_with("°")) {
        return true;
    }
    if (blank == 0 || text[blank - 1] < '0' || text[blank - 1] > '9') {
        return false;
    }
    const std::string_view word = next.substr(0, next.find_first_of(" .,;:)"));
    return word == "d" || word == "h" || word == "min" || word == "s";
}

} // namespace

std::string folded(const std::string& text, std::size_t indent, std::size_t columns) {
    std::string out;
    std::string line;
    std::string_view rest = text;
    const auto flush = [&] {
        out += std::string(indent, ' ') + line + "\n";
        line.clear();
    };
    while (!rest.empty()) {
        auto blank = std::min(rest.find(' '), rest.size());
        if (unit_follows(rest, blank)) {
            blank = std::min(rest.find(' ', blank + 1), rest.size()); // a figure keeps its unit
        }
        const std::string_view word = rest.substr(0, blank);
        if (!line.empty() && indent + width(line) + 1 + width(word) > columns) {
            flush();
        }
        line += (line.empty() ? "" : " ") + std::string{word};
        rest.remove_prefix(std::min(blank + 1, rest.size()));
    }
    flush();
    return out;
}

std::string hanging(const std::string& label, std::size_t indent, const std::string& text,
                    std::size_t columns) {
    const std::string lines = folded(text, indent, columns);
    return padded(label, indent) + lines.substr(std::min(indent, lines.size()));
}

std::string foods_in_words(const Requirement& requirement) {
    return foods_text(requirement.foods);
}

std::string time_limit_text(const TimeLimit& limit) {
    return (limit.figure_included ? "within " : "in less than ") + to_text(limit.span);
}

std::string status_in_words(Status status) {
    switch (status) {
    case Status::seen_in_edition:
        return "seen in a copy of this edition";
    case Status::seen_in_adoption:
        return "seen in a code that adopted it";
    case Status::seen_in_account:
        return "seen in an account of it, not in the text itself";
    case Status::remembered:
        return "remembered: check it before you rely on it";
    }
    return "";
}

std::string pack_line(const Pack& pack) {
    return fmt::format("  {}{}, {}\n", padded(pack.id, 14), pack.title, pack.edition);
}

std::string rule_in_short(const Requirement& requirement) {
    return std::visit(
        Overloaded{[](const HoldRule& r) { return r.limit.to_text(); },
                   [](const WindowRule& r) { return window_text(r); },
                   [](const TimeControlRule& r) { return time_control_text(r); },
                   [](const CeilingRule& r) { return r.limit.to_text(); },
                   [](const DateMarkRule& r) { return fmt::format("{} days", r.days); },
                   [](const TableRule& r) {
                       const auto cell = [](const TableRow& row) {
                           return fmt::format("{} {}", row.at.to_text(), keep_text(row.keep));
                       };
                       constexpr std::size_t kMostListed = 4;
                       if (r.rows.size() > kMostListed) {
                           return fmt::format("a table of {} rows, {} to {}{}", r.rows.size(),
                                              cell(r.rows.front()), cell(r.rows.back()),
                                              r.ovens.empty() ? "" : ", with oven conditions");
                       }
                       std::string text;
                       for (const TableRow& row : r.rows) {
                           text += (text.empty() ? "" : "; or ") + cell(row);
                       }
                       return text;
                   }},
        requirement.rule);
}

std::string requirement_text(const Requirement& requirement) {
    std::string text = fmt::format("  {}   {}\n", requirement.id, requirement.clause);
    text += folded(requirement.says, 4);
    text += rule_lines(requirement.rule);
    if (!requirement.option.empty()) {
        text += folded(
            "option   " + requirement.option + ": one option, met in all its parts, will do", 4);
    }
    text += folded("foods    " + foods_text(requirement.foods), 4);
    return text + folded("known    " + status_in_words(requirement.status), 4);
}

std::string pack_text(const Pack& pack) {
    std::string text = folded(fmt::format("{}, {} ({})", pack.title, pack.edition, pack.id), 0);
    text += "\nRequirements\n";
    for (const Requirement& requirement : pack.requirements) {
        text += "\n" + requirement_text(requirement);
    }
    if (pack.thermometer) {
        text += fmt::format("\n  thermometer accuracy   {}\n    limit    within {} or {}\n",
                            pack.thermometer->clause, size_text(pack.thermometer->fahrenheit),
                            size_text(pack.thermometer->celsius));
        text += folded("known    " + status_in_words(pack.thermometer->status), 4);
    }
    text += "\nWhat to do (the first line that fits)\n";
    std::string_view last;
    for (const Advice& advice : pack.advice) {
        if (advice.requirement != last) {
            text += "\n  " + advice.requirement + "\n";
        }
        last = advice.requirement;
        text += advice_text(advice);
    }
    text += "\nLeft out\n\n";
    for (const LeftOut& left : pack.left_out) {
        text += folded("- " + left.what + ": " + left.why, 2);
    }
    return text + "\n" + folded("Caution: " + pack.caution, 0);
}

} // namespace holdwarden::cli

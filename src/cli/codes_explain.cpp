#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/code_example.hpp>
#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/drawing.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/judge/marks.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <ostream>

namespace holdwarden::cli {
namespace {

using namespace codes;

struct ExplainOptions {
    std::string requirement;
    std::string pack = kDefaultPack;
};

/// How a record is held against a rule: docs/how-limits-are-read.md in short.
std::vector<std::string> reading_of(const Requirement& r) {
    if (std::holds_alternative<HoldRule>(r.rule)) {
        return {
            "Each reading in the food is compared with the figure printed for its own scale; one "
            "on the wrong side is a miss. Air readings prove nothing about food.",
            "A miss lasts at the least from its first wrong reading to its last, at the most "
            "from the right reading before to the right one after.",
            "Two good readings further apart than the largest interval (2 h unless you say "
            "otherwise) leave the time between them not shown."};
    }
    if (const auto* window = std::get_if<WindowRule>(&r.rule); window != nullptr) {
        if (window->to_stage && window->start == WindowStart::stage_start) {
            return {"The clock runs from the start of the stage to the start of the stage that "
                    "must follow it at once. Stages with no full cook between them add up."};
        }
        if (window->to_stage) {
            return {
                "The clock runs from the end of the cooking stage on record to the start of the "
                "stage that must have begun."};
        }
        std::vector<std::string> text;
        switch (window->start) {
        case WindowStart::falls_below:
            text.emplace_back("The clock starts no earlier than the last reading at or above the "
                              "start, and no later than the first below it.");
            break;
        case WindowStart::rises_above:
            text.emplace_back("The clock starts no earlier than the last reading at or below the "
                              "start, and no later than the first above it.");
            break;
        case WindowStart::end_of_window:
            text.emplace_back("The clock starts where the window before it ended, with the same "
                              "doubt about when that was.");
            break;
        case WindowStart::end_of_cooking:
            text.emplace_back("The clock starts at the end of the cooking stage on record.");
            break;
        case WindowStart::stage_start:
            text.emplace_back("The clock starts with the stage.");
            break;
        }
        text.emplace_back(
            "The goal is reached no earlier than the last reading that had not reached "
            "it, and no later than the reading that first did for good.");
        text.push_back(fmt::format("If the longest time this leaves open is {}, it is met; if even "
                                   "the shortest is not, it is "
                                   "not met; else it is not shown, or open while time is left.",
                                   time_limit_text(window->within)));
        return text;
    }
    if (const auto* table = std::get_if<TableRule>(&r.rule)) {
        std::vector<std::string> text{
            "For each row, the time at or above is at least from the first to the last reading "
            "of an unbroken run, at most from the reading before to the reading after. A gap of "
            "more than 10 minutes breaks a run.",
            "A logged reading stands for an instant; a typed one for up to 17 s, or for the time "
            "it says it was watched. A peak between readings is not assumed.",
            "Any one row will do."};
        if (!table->ovens.empty()) {
            text.emplace_back("The oven goes with the rows: its kind, and its air readings or what "
                              "it was set to. A row kept with no such record is not shown.");
        }
        return text;
    }
    if (const auto* time = std::get_if<TimeControlRule>(&r.rule)) {
        std::vector<std::string> text{
            "It needs a good reading shortly before the food leaves control; then its clock runs "
            "until the food is recorded as eaten or discarded.",
            "Without a recorded end it is not shown, and a later reading in the food is a miss."};
        if (time->return_within) {
            text.push_back(fmt::format("It may go back to holding {} after it left control; each "
                                       "return is held against the time out up to then.",
                                       time_limit_text(*time->return_within)));
        }
        if (time->adds_up_below) {
            text.emplace_back(
                "Times between the two limits in storage, rests, reheats and preparation add up as "
                "well: at least what lies between readings there, at most what no reading vouches "
                "for. A cook that comes hot, and the cooling of hot food, do not count.");
        }
        return text;
    }
    if (std::holds_alternative<CeilingRule>(r.rule)) {
        return {"One reading on the wrong side is a miss; readings too far apart leave the time "
                "between them not shown."};
    }
    return {
        "Days are counted by the site's calendar; the day of making or opening is day 1, and time "
        "in the freezer does not count."};
}

/// Day 1 and the days after it, made on 1 April.
std::string days_drawn(const DateMarkRule& rule) {
    std::string days = "    day  ";
    std::string dates = "    April";
    for (int day = 1; day <= std::min(rule.days, 10); ++day) {
        days += fmt::format("{:>4}", day);
        dates += fmt::format("{:>4}", day);
    }
    return days + "  is the last\n" + dates + "  when made on 1 April\n";
}

std::string example_text(const Pack& pack, const Requirement& r, const CodeExample& example) {
    std::vector<DrawnReading> readings;
    for (const records::Reading& reading : example.lot.points.front().readings) {
        readings.push_back({reading.at, reading.value});
    }
    std::vector<DrawnLimit> limits;
    for (const auto& [at, label] : example.limits) {
        limits.push_back({at, label});
    }
    std::string text =
        "\n" + folded(example.story, 2) + "\n" + drawn(readings, limits, Zone::utc(), 2);
    const auto finding = finding_in(example, pack, r);
    if (finding) {
        text += "\n" + folded(fmt::format("{} {}. {}", judge::mark(finding->verdict),
                                          judge::to_words(finding->verdict), finding->reason),
                              4);
    }
    return text;
}

std::vector<const Requirement*> asked_for(const Pack& pack, const std::string& id) {
    std::vector<const Requirement*> found;
    std::vector<std::string> ids;
    for (const Requirement& requirement : pack.requirements) {
        if (requirement.id == id) {
            found.push_back(&requirement);
        }
        if (std::find(ids.begin(), ids.end(), requirement.id) == ids.end()) {
            ids.push_back(requirement.id);
        }
    }
    if (found.empty()) {
        throw Error{ErrorKind::not_found,
                    {.what = fmt::format("{} has no requirement '{}'", pack.id, for_display(id)),
                     .where = "",
                     .fix = "use " + listed(ids)}};
    }
    return found;
}

int explain(const ExplainOptions& options, Context& context) {
    const Pack pack = load_named_pack(context, options.pack);
    const auto requirements = asked_for(pack, options.requirement);
    context.out << folded(
        fmt::format("{} in {}, {}", options.requirement, pack.title, pack.edition), 0);
    for (const Requirement* requirement : requirements) {
        context.out << "\n" << requirement_text(*requirement);
    }
    context.out << "\nHow a record is read\n\n";
    for (const std::string& sentence : reading_of(*requirements.front())) {
        context.out << hanging("  -", 4, sentence);
    }
    context.out << "\nWorked example (invented readings, times in UTC)\n";
    bool drawn_any = false;
    for (const Requirement* requirement : requirements) {
        if (const auto* date = std::get_if<DateMarkRule>(&requirement->rule)) {
            context.out << "\n" << days_drawn(*date);
            drawn_any = true;
        }
        const auto examples = examples_of(pack, *requirement);
        if (!examples.empty() && requirements.size() > 1) {
            context.out << "\n  " << requirement->clause << "\n";
        }
        for (const CodeExample& example : examples) {
            context.out << example_text(pack, *requirement, example);
            drawn_any = true;
        }
    }
    if (!drawn_any) {
        context.out << folded("Readings alone do not show this rule; see what it asks above.", 2);
    }
    context.out << "\n" << folded("Caution: " + pack.caution, 0);
    return kDone;
}

} // namespace

std::vector<Command> codes_explain_commands() {
    const auto options = std::make_shared<ExplainOptions>();
    return {{.name = "codes explain",
             .help = "Say what one requirement asks and how a record is held against it",
             .declare =
                 [options](Arguments& arguments) {
                     arguments.need("requirement", options->requirement,
                                    "Such as hot-holding or cooling-total");
                     arguments.option("--code", options->pack,
                                      "Id of a pack, or path of a .toml file");
                     arguments.example("holdwarden codes explain cooling-first-window");
                     arguments.example("holdwarden codes explain hot-holding --code uk-scotland");
                 },
             .run = [options](Context& context) { return explain(*options, context); }}};
}

} // namespace holdwarden::cli

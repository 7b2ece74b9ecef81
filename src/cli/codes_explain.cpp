#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/code_example.hpp>
#include <holdwarden/cli/code_reading.hpp>
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

std::string example_text(const Pack& pack, const Requirement& r, const CodeExample& example) {
    std::vector<DrawnReading> readings;
    for (const records::Reading& reading : example.lot.points.front().readings) {
        if (!example.drawn_from || reading.at >= *example.drawn_from) {
            readings.push_back({reading.at, reading.value});
        }
    }
    std::vector<DrawnLimit> limits;
    for (const auto& [at, label] : example.limits) {
        limits.push_back({at, label});
    }
    std::vector<DrawnMark> marks;
    for (const auto& [at, label] : example.marks) {
        marks.push_back({at, label});
    }
    std::string text = "\n" + folded(example.story, 2) + "\n";
    text += readings.empty() ? drawn_days(marks, Zone::utc(), 2)
                             : drawn(readings, limits, Zone::utc(), 2, marks);
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
    for (const std::string& sentence : readings_of(pack, requirements)) {
        context.out << hanging("  -", 4, sentence);
    }
    context.out << "\nWorked example (invented readings, times in UTC)\n";
    bool drawn_any = false;
    for (const Requirement* requirement : requirements) {
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

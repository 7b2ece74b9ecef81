#include "kitchen.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/cli/manual_page.hpp>

using namespace holdwarden;
using namespace holdwarden::cli;

namespace {

std::string page_of(const DeclaredCommand& command, const std::vector<DeclaredCommand>& all) {
    return command_page(command.name.substr(0, command.name.find(' ')), all,
                        {.date = "2026-11-24", .version = "0.1.0"});
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("a manual page prints text as it is typed", "[cli][manual]") {
    // Oracle: groff_char(7) and groff(7): \- is the hyphen-minus that can be copied, \(rs the
    // backslash, \(aq the typewriter apostrophe, \& before a dot or apostrophe keeps a line from
    // being a request, \[uXXXX] a code point.
    CHECK(roff("--at 2026-11-01") == "\\-\\-at 2026\\-11\\-01");
    CHECK(roff("a\\b") == "a\\(rsb");
    CHECK(roff(".TH") == "\\&.TH");
    CHECK(roff("one\n.two") == "one\n\\&.two");
    CHECK(roff("'it's") == "\\&\\(aqit\\(aqs");
    CHECK(roff("140 °F…") == "140 \\[u00B0]F\\[u2026]");
    CHECK(roff("").empty());
}

TEST_CASE("what --help says of a command stands on its manual page", "[cli][manual]") {
    const std::vector<DeclaredCommand> all = all_declared();
    REQUIRE(all.size() > 20);
    kitchen::Kitchen kitchen;
    for (const DeclaredCommand& command : all) {
        if (command.hidden) {
            continue;
        }
        std::vector<std::string> line;
        const auto blank = command.name.find(' ');
        line.push_back(command.name.substr(0, blank));
        if (blank != std::string::npos) {
            line.push_back(command.name.substr(blank + 1));
        }
        line.emplace_back("--help");
        const std::string help = kitchen.good(line);
        const std::string page = page_of(command, all);
        INFO(command.name);
        CHECK(has(page, roff(command.help)));
        CHECK(has(help, command.help));
        for (const DeclaredArgument& argument : command.arguments) {
            INFO(argument.name);
            CHECK(has(page, roff(argument.name)));
            CHECK(has(page, roff(argument.help)));
            CHECK(has(help, argument.name));
        }
        for (const std::string& example : command.examples) {
            CHECK(has(page, roff(example)));
            CHECK(has(help, example));
        }
    }
}

TEST_CASE("the program's page lists every command and hides those for scripts", "[cli][manual]") {
    kitchen::Kitchen kitchen;
    kitchen.set_clock("2026-11-01T06:00:00-07:00");
    const std::string page = kitchen.good({"manual"});
    for (const DeclaredCommand& command : all_declared()) {
        INFO(command.name);
        CHECK(has(page, "\n.B " + roff(command.name) + "\n") == !command.hidden);
    }
    CHECK(has(page, ".TH HOLDWARDEN 1 \"2026-11-01\""));
    CHECK_FALSE(has(page, "@"));
    const std::string help = kitchen.good({"--help"});
    CHECK_FALSE(has(help, "manual"));

    kitchen.environment()["SOURCE_DATE_EPOCH"] = "86400"; // reproducible-builds.org: seconds of UTC
    CHECK(has(kitchen.good({"manual", "check"}), ".TH HOLDWARDEN\\-CHECK 1 \"1970-01-02\"") ==
          false);
    CHECK(has(kitchen.good({"manual", "check"}), "\"1970-01-02\""));
    kitchen.environment()["SOURCE_DATE_EPOCH"] = "soon";
    CHECK(has(kitchen.good({"manual", "check"}), "\"2026-11-01\""));
}

TEST_CASE("an unknown manual page and a folder that is not there are refused", "[cli][manual]") {
    kitchen::Kitchen kitchen;
    const kitchen::Answer unknown = kitchen.says({"manual", "bask"});
    CHECK(unknown.status == kWrongUsage);
    CHECK(has(unknown.err, "'bask'"));
    CHECK(has(unknown.err, "check"));
    CHECK(kitchen.says({"manual", "manual"}).status == kWrongUsage);
    CHECK(kitchen.says({"manual", "--folder", (kitchen.folder() / "none").string()}).status ==
          kFailed);
    CHECK_THROWS_AS(program_page("no marks", all_declared(), {.date = "", .version = ""}), Error);
}

TEST_CASE("what an option takes goes by its long name, and a word of several commands names them",
          "[cli][manual]") {
    CHECK(value_name("-o,--output") == "FILE");
    CHECK(value_name("--to") == "TIME");
    CHECK(value_name("--kitchen") == "KITCHEN");
    kitchen::Kitchen kitchen;
    CHECK(has(kitchen.good({"--help"}), "One of: new, show"));
}

#include "kitchen.hpp"

using namespace kitchen;
using Catch::Matchers::Contains;

namespace {

struct Refused {
    std::vector<std::string> arguments;
    int status;
    const char* says;  ///< what is wrong
    const char* mends; ///< how to mend it
};

} // namespace

TEST_CASE("a wrong entry says what, where and how to mend it, and leaves the store as it was") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"stage", "brisket-1", "hot-holding", "--at", "2026-10-31 18:00"});
    kitchen.good({"place", "p1", "brisket-1", "--at", "2026-10-31 18:00"});
    kitchen.good({"stage", "brisket-2", "served", "--at", "2026-10-31 20:00"});
    const std::string tomorrow =
        kitchen.write("tomorrow.csv", "time,p1_f\n2026-10-31 18:00,140\n2026-11-02 18:00,140\n");
    const std::string ancient =
        kitchen.write("ancient.csv", "time,p1_f\n2026-10-31 18:00,140\n1969-07-20 18:00,140\n");
    const std::string unknown =
        kitchen.write("unknown.csv", "time,probe,temp_f\n2026-10-31 18:00,p9,140\n");
    const std::string no_time = kitchen.write("no-time.csv", "probe,temp_f\np1,140\n");
    const std::string no_rows = kitchen.write("no-rows.csv", "time,p1_f\n");
    const std::string all_bad = kitchen.write("all-bad.csv", "time,p1_f\nnoon,140\n");
    const std::string text = kitchen.write("text.db", std::string(4096, 'x'));

    const int failed = cli::kFailed;
    const int usage = cli::kWrongUsage;
    const std::vector<Refused> table{
        // stores
        {{"lot", "list", "--store", "/nowhere/kitchen.db"}, failed, "no such file", "init"},
        {{"lot", "list", "--store", text}, failed, "not a holdwarden store", "--store"},
        {{"lot", "list", "--store", kitchen.folder().string()}, failed, "not a file", "name"},
        {{"init", "--name", "B", "--zone", "America/Denver"}, failed, "already", "another name"},
        // init
        {{"init", "--zone", "America/Denver"}, usage, "--name is missing", "name the kitchen"},
        {{"init", "--name", "B"}, usage, "--zone is missing", "America/Denver"},
        {{"init", "--name", "B", "--zone", "Mars/Olympus"}, usage, "Mars/Olympus", "IANA"},
        {{"init", "--name", "B", "--zone", "America/Denver", "--altitude", "high"},
         failed,
         "'high'",
         "5280ft"},
        {{"init", "--name", "B", "--zone", "America/Denver", "--scale", "K"},
         usage,
         "'K'",
         "F or C"},
        {{"init", "--name", "B", "--zone", "America/Denver", "--code", "us-fda-1776"},
         failed,
         "us-fda-1776",
         "us-fda-2022"},
        {{"init", "--name", "B", "--zone", "America/Denver", "--max-gap", "0min"},
         usage,
         "--max-gap",
         "30min"},
        // names
        {{"probe", "add", "p1"}, failed, "already", "another name"},
        {{"probe", "add", ""}, failed, "empty", "name"},
        {{"probe", "add", "../p"}, failed, "'../p'", "slashes"},
        {{"probe", "add", "p\x1b[2J"}, failed, "control characters", "plain letters"},
        {{"probe", "add", std::string(100, 'p')}, failed, "longer than 64", "shorten"},
        {{"probe", "add", "p3", "--accuracy", "good"}, failed, "--accuracy", "number"},
        {{"probe", "add", "p3", "--accuracy", "-1F"}, failed, "--accuracy", ""},
        {{"probe", "add"}, usage, "name", ""},
        {{"unit", "add", "u"}, usage, "--kind is missing", "cabinet"},
        {{"unit", "add", "u", "--kind", "bathtub"}, usage, "'bathtub'", "walk-in"},
        {{"unit", "add", "u", "--kind", "oven", "--oven", "wet"}, usage, "'wet'", "convection"},
        {{"unit", "add", "cabinet-1", "--kind", "cabinet"}, failed, "already", "another"},
        {{"lot", "open", "beans-1"}, failed, "already", "another name"},
        {{"lot", "open", "x", "--food", "stew"}, usage, "'stew'", "poultry"},
        {{"lot", "open", "x", "--mass", "12"}, failed, "--mass", "5.4kg"},
        {{"lot", "open", "x", "--thickness", "wide"}, failed, "--thickness", "60mm"},
        {{"lot", "open", "x", "--made-on", "2026-02-30"}, failed, "2026-02-30", "2026-10-31"},
        {{"lot", "open", "x", "--at", "2026-11-02 06:00"}, failed, "future", "correct the time"},
        {{"lot", "show", "ham"}, failed, "'ham' is not in the store", "lot open"},
        {{"lot", "list", "--format", "xml"}, usage, "'xml'", "text or json"},
        // stages
        {{"stage", "brisket-1", "simmering"}, usage, "'simmering'", "hot-holding"},
        {{"stage", "b", "resting"}, failed, "'brisket-1' and 'beans-1'", "more of the name"},
        {{"stage", "brisket-1", "resting", "--at", "2026-10-31 17:00"},
         failed,
         "backwards",
         "--at"},
        {{"stage", "brisket-1", "resting", "--at", "2026-10-31 18:00"},
         failed,
         "backwards",
         "--at"},
        {{"stage", "brisket-2", "cooling"}, failed, "served", "new lot"},
        {{"stage", "brisket-2", "served"}, failed, "already", "once"},
        {{"stage", "brisket-1", "served", "--at", "2026-10-31 17:00"}, failed, "backwards", "--at"},
        {{"stage", "brisket-1", "resting", "--unit", "cabinet-9"}, failed, "cabinet-9", "unit add"},
        {{"stage", "brisket-1", "resting", "--form", "6h"}, usage, "time-control", "leave"},
        {{"stage", "brisket-1", "time-control", "--form", "5h"}, usage, "'5h'", "4h or 6h"},
        {{"stage", "brisket-1", "served", "--unit", "cabinet-1"}, usage, "--unit", "leave"},
        {{"stage", "brisket-1", "resting", "--probe", "p2"}, usage, "temperature", "141F"},
        {{"stage", "brisket-1", "resting", "tepid"}, failed, "'tepid'", "140F"},
        {{"stage", "brisket-1", "resting", "--setting", "hot"}, failed, "--setting", "140F"},
        {{"stage", "brisket-1", "resting", "--oven", "hot"}, usage, "'hot'", "convection"},
        {{"stage", "brisket-1", "resting", "140F", "--probe", "p9"}, failed, "p9", "probe add"},
        // readings and times
        {{"log", "brisket-1", "1400F"}, failed, "was 140 °F meant?", "--sure"},
        {{"log", "brisket-1", "1400F", "--sure"}, failed, "1400 °F is outside", "thermometer"},
        {{"log", "brisket-1", "140K"}, failed, "'140K'", "140F"},
        {{"log", "brisket-1", "nan"}, failed, "'nan'", "140F"},
        {{"log", "brisket-1", "140,5"}, failed, "'140,5'", "140F"},
        {{"log", "brisket-1", "OK"}, failed, "'OK'", "140F"},
        {{"log", "brisket-1"}, usage, "temperature", ""},
        {{"log", "brisket-1", "140F", "--at", "2026-11-02 06:00"}, failed, "future", "correct"},
        {{"log", "brisket-1", "140F", "--at", "noon"}, usage, "--at", "2026-11-01 01:30"},
        {{"log", "brisket-1", "140F", "--at", "2026-11-01 01:30"}, usage, "twice", "-07:00"},
        {{"log", "brisket-1", "140F", "--at", "2026-03-08 02:30"}, usage, "never", "03:00"},
        {{"log", "brisket-1", "140F", "--at", "2026-02-30 12:00"}, usage, "--at", ""},
        {{"log", "brisket-1", "140F", "--watched", "a bit"}, failed, "--watched", "90s"},
        {{"log", "brisket-1", "140F", "--watched", "500ms"}, failed, "--watched", "30s"},
        {{"log", "brisket-1", "140F", "--probe", "p9"}, failed, "p9", "probe add"},
        {{"log", "brisket-1", "140F", "--point", "a/b"}, failed, "a/b", "slashes"},
        {{"log", "cabinet-1", "140F"}, failed, "lot 'cabinet-1'", "lot open"},
        {{"log", "cabinet-1", "140F", "--air", "--point", "core"}, usage, "--air", "point"},
        {{"log", "brisket-1", "140F", "--by", "R\nK"}, failed, "control", "plain"},
        // placements
        {{"place", "p9", "brisket-1"}, failed, "p9", "probe add"},
        {{"place", "p1", "beans-1"}, failed, "brisket-1", "lift p1"},
        {{"place", "p1", "beans-1", "--at", "2026-10-31 17:00"}, failed, "brisket-1", "lift p1"},
        {{"place", "p2", "brisket-2"}, failed, "served", "--at"},
        {{"place", "p2", "beans-1", "--at", "2026-11-01 05:00", "--until", "2026-11-01 04:00"},
         failed,
         "no length",
         "after it begins"},
        {{"place", "p2", "cabinet-9", "--air"}, failed, "cabinet-9", "unit add"},
        {{"lift", "p2"}, failed, "nowhere", "place"},
        {{"lift", "p1", "--at", "2026-10-31 17:00"}, failed, "cannot be lifted", "--at"},
        // files
        {{"import", "/nowhere/night.csv"}, failed, "/nowhere/night.csv", ""},
        {{"import", "-"}, usage, "standard input", "file"},
        {{"import", tomorrow}, failed, "future", "--zone"},
        {{"import", ancient}, failed, "before 1970", "--zone"},
        {{"import", unknown}, failed, "'p9' is no probe", "probe add p9"},
        {{"import", unknown, "--probe-map", "p8=p1", "--probe-map", "p9=p1"},
         failed,
         "'p8'",
         "it has 'p9'"},
        {{"import", unknown, "--probe-map", "p9"}, usage, "'p9'", "COLUMN=PROBE"},
        {{"import", no_time}, failed, "time", ""},
        {{"import", no_rows}, failed, "no rows", "docs/commands.md"},
        {{"import", all_bad}, failed, "line 2", "docs/commands.md"},
        {{"import", kitchen.folder().string()}, failed, "", ""},
    };
    CHECK(table.size() >= 40);
    const std::string before = kitchen.store_bytes();
    for (const Refused& refused : table) {
        const Answer answer = kitchen.says(refused.arguments);
        std::string line;
        for (const std::string& word : refused.arguments) {
            line += word + " ";
        }
        INFO(line << "-> " << answer.status << " " << answer.err);
        CHECK(answer.status == refused.status);
        CHECK(answer.out.empty());
        CHECK_THAT(answer.err, Contains(refused.says) && Contains(refused.mends));
        CHECK(answer.err.find('\x1b') == std::string::npos);
        CHECK((kitchen.store_bytes() == before));
    }
}

#include <holdwarden/base/error.hpp>
#include <holdwarden/codes/load.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <vector>

using namespace holdwarden;
using namespace holdwarden::codes;

namespace {

// An invented pack of every sort of rule. Its lines are numbered from 1, as editors do.
const std::vector<std::string> kLines{
    /* 1 */ "id = \"test\"",
    /* 2 */ "title = \"A test\"",
    /* 3 */ "edition = \"1\"",
    /* 4 */ "caution = \"Invented.\"",
    /* 5 */
    "thermometer = { celsius = \"1 °C\", fahrenheit = \"2 °F\", clause = \"9\", status = "
    "\"remembered\" }",
    /* 6 */ "[[requirement]]",
    /* 7 */ "id = \"cooking\"",
    /* 8 */ "clause = \"1\"",
    /* 9 */ "status = \"remembered\"",
    /* 10 */ "says = \"Cook it.\"",
    /* 11 */ "foods = [\"fish\", \"poultry\"]",
    /* 12 */ "[requirement.table]",
    /* 13 */ "rows = [",
    /* 14 */ "  { at = \"145 °F (63 °C) or above\", keep = \"3 min\" },",
    /* 15 */ "  { at = \"150 °F (66 °C) or above\", keep = \"1 min\" },",
    /* 16 */ "]",
    /* 17 */ "ovens = [{ oven = \"still-dry\", below = \"10 lb\", air = \"350 °F or above\" }]",
    /* 18 */ "[[requirement]]",
    /* 19 */ "id = \"cooling-first-window\"",
    /* 20 */ "clause = \"2\"",
    /* 21 */ "status = \"seen-in-edition\"",
    /* 22 */ "says = \"Cool it.\"",
    /* 23 */ "[requirement.window]",
    /* 24 */ "start = \"falls-below\"",
    /* 25 */ "from = \"135 °F (57 °C) or above\"",
    /* 26 */ "to = \"70 °F (21 °C) or below\"",
    /* 27 */ "within = \"2 h\"",
    /* 28 */ "[[requirement]]",
    /* 29 */ "id = \"cooling-second-window\"",
    /* 30 */ "clause = \"3\"",
    /* 31 */ "status = \"seen-in-account\"",
    /* 32 */ "says = \"Cool it on.\"",
    /* 33 */
    "window = { start = \"end-of-window\", after = \"cooling-first-window\", to = \"5 °C or "
    "below\", within = \"less than 4 h\" }",
    /* 34 */ "[[requirement]]",
    /* 35 */ "id = \"hot-holding\"",
    /* 36 */ "clause = \"4\"",
    /* 37 */ "status = \"seen-in-adoption\"",
    /* 38 */ "says = \"Hold it.\"",
    /* 39 */ "hold = \"above 63 °C\"",
    /* 40 */ "[[requirement]]",
    /* 41 */ "id = \"time-control\"",
    /* 42 */ "clause = \"5\"",
    /* 43 */ "status = \"remembered\"",
    /* 44 */ "says = \"Time it.\"",
    /* 45 */
    "time-control = { cold-start = \"5 °C or below\", hot-start = \"60 °C or above\", within = \"4 "
    "h\", hot-within = \"2 h\", return-within = \"2 h\", one-spell = true }",
    /* 46 */ "[[requirement]]",
    /* 47 */ "id = \"time-control-ceiling\"",
    /* 48 */ "clause = \"6\"",
    /* 49 */ "status = \"remembered\"",
    /* 50 */ "says = \"Cap it.\"",
    /* 51 */ "ceiling = { limit = \"70 °F or below\", six-hour-form = false }",
    /* 52 */ "[[requirement]]",
    /* 53 */ "id = \"date-mark\"",
    /* 54 */ "clause = \"7\"",
    /* 55 */ "status = \"remembered\"",
    /* 56 */ "says = \"Date it.\"",
    /* 57 */ "date-mark = { days = 7, applies-over = \"24 h\", kept-at = \"41 °F or below\" }",
    /* 58 */ "[[requirement]]",
    /* 59 */ "id = \"reheating\"",
    /* 60 */ "clause = \"8\"",
    /* 61 */ "status = \"remembered\"",
    /* 62 */ "says = \"Reheat it.\"",
    /* 63 */ "option = \"a\"",
    /* 64 */
    "table = { most-times = 1, rest-counts = true, needs-roast-cook = true, rows = [{ at = \"75 °C or above\", keep = "
    "\"30 s\", status = \"remembered\" }] }",
    /* 65 */ "[[advice]]",
    /* 66 */ "requirement = \"hot-holding\"",
    /* 67 */ "for = \"not-met\"",
    /* 68 */ "up-to = \"4 h\"",
    /* 69 */ "act = [\"Reheat it.\"]",
    /* 70 */ "source = \"invented\"",
    /* 71 */ "[[advice]]",
    /* 72 */ "requirement = \"hot-holding\"",
    /* 73 */ "for = \"not-met\"",
    /* 74 */ "while-worst = \"50 °C or above\"",
    /* 75 */ "act = [\"Discard it.\"]",
    /* 76 */ "source = \"invented\"",
    /* 77 */ "[[left-out]]",
    /* 78 */ "what = \"The rest\"",
    /* 79 */ "why = \"invented\"",
};

std::string text_of(const std::vector<std::string>& lines) {
    std::string text;
    for (const std::string& line : lines) {
        text += line + "\n";
    }
    return text;
}

/// kLines with one line replaced (an empty replacement leaves an empty line).
std::string with(std::size_t line, const std::string& replacement) {
    auto lines = kLines;
    lines.at(line - 1) = replacement;
    return text_of(lines);
}

struct Case {
    std::size_t line;        ///< the line replaced
    std::string replacement; ///< by what
    std::string where;       ///< "line:column" of the complaint, counted by hand
    std::string what;        ///< a part of the message
    std::string fix;         ///< a part of how to mend it
};

// Lines and columns are counted by hand in the text above; columns count characters, from 1.
const std::vector<Case> kCases{
    {1, "id = ", "1:6", "", "mend the TOML"},
    {1, "identity = \"test\"", "1:1", "a pack has no key 'identity'", "use id, title"},
    {2, "", "1:1", "'title' is missing", "add 'title'"},
    {3, "edition = 2022", "3:11", "'edition' must be a text", "quotation marks"},
    {4, "caution = \"  \"", "4:11", "'caution' must be a text that says something", ""},
    {5, "thermometer = 1", "5:15", "'thermometer' must be a table", ""},
    {5,
     "thermometer = { celsius = \"1 °F\", fahrenheit = \"2 °F\", clause = \"9\", status = "
     "\"remembered\" }",
     "5:27", "'1 °F' is not a size in °C", "\"1 °C\""},
    {5,
     "thermometer = { celsius = \"0 °C\", fahrenheit = \"2 °F\", clause = \"9\", status = "
     "\"remembered\" }",
     "5:27", "'0 °C' is not a size", ""},
    {7, "id = \"cookery\"", "7:6", "'cookery' is no requirement", "cooking-roast"},
    {7, "id = \"hot-holding\"", "12:1", "'hot-holding' is not a 'table' rule", "give it 'hold'"},
    {8, "", "6:1", "'clause' is missing", "add 'clause' here"},
    {9, "", "6:1", "'status' is missing", ""},
    {9, "status = \"certain\"", "9:10", "'certain' is no status", "seen-in-edition"},
    {10, "speaks = \"Cook it.\"", "10:1", "a requirement has no key 'speaks'", "says"},
    {11, "foods = [\"fish\", \"unicorn\"]", "11:18", "'unicorn' is no food kind", "intact-roast"},
    {11, "foods = [\"fish\", \"fish\"]", "11:18", "'fish' is listed twice", ""},
    {11, "foods = []", "11:9", "'foods' must be a list of texts, not empty", ""},
    {11, "foods = [1]", "11:10", "'foods' must hold texts", ""},
    {14, "  { at = \"145 °F (63 °C) or below\", keep = \"3 min\" },", "14:10",
     "points the wrong way", "or above"},
    {14, "  { at = \"145 °F (75 °C) or above\", keep = \"3 min\" },", "14:10",
     "are not the same temperature", "copy both figures"},
    {14, "  { at = \"145 K (63 °C) or above\", keep = \"3 min\" },", "14:10", "at: ", ""},
    {14, "  { at = 145, keep = \"3 min\" },", "14:10", "'at' must be a text",
     "a figure with its unit"},
    {14, "  7,", "14:3", "'rows' must hold tables", "{ … }"},
    {15, "  { at = \"145 °F (63 °C) or above\", keep = \"1 min\" },", "15:10",
     "the table is not in order", "rising temperatures"},
    {15, "  { at = \"150 °F (62.9 °C) or above\", keep = \"1 min\" },", "15:10", "are not the same",
     ""},
    {15, "  { at = \"146 °F (62.8 °C) or above\", keep = \"1 min\" },", "15:10",
     "the table is not in order", ""},
    {15, "  { at = \"150 °F (66 °C) or above\", keep = \"181 s\" },", "15:44",
     "3 min 1 s at a higher temperature is longer than 3 min", "fall or stay"},
    {15, "  { at = \"150 °F (66 °C) or above\", keep = \"1 °F\" },", "15:44",
     "'1 °F' cannot be read", "2h"},
    {15, "  { at = \"150 °F (66 °C) or above\", hold = \"1 min\" },", "15:37",
     "a row has no key 'hold'", "keep"},
    {17, "ovens = [{ oven = \"pit\", air = \"350 °F or above\" }]", "17:19",
     "'pit' is no kind of oven", "convection"},
    {17, "ovens = [{ oven = \"still-dry\", below = \"10 F\", air = \"350 °F or above\" }]", "17:40",
     "mass '10 F'", "10 lb"},
    {17, "ovens = 1", "17:9", "'ovens' must be a list of tables", "[[ovens]]"},
    {24, "start = \"soon\"", "24:9", "'soon' is no start of a window", "falls-below"},
    {24, "start = \"stage-start\"", "25:8", "'from' goes with", "take it out"},
    {25, "", "23:1", "'from' goes with", "add 'from'"},
    {25, "from = \"135 °F (57 °C) or below\"", "25:8", "points the wrong way", "or above"},
    {26, "to = \"70 °F (21 °C) or above\"", "26:6", "points the wrong way", "or below"},
    {26, "", "23:1", "a window ends at a temperature or with a stage", "'to' and 'to-stage'"},
    {26, "to-stage = \"chilling\"", "26:12", "'chilling' is no stage", "cooling"},
    {27, "within = 120", "27:10", "'within' must be a text", "a figure with its unit"},
    {27, "within = \"2 F\"", "27:10", "'2 F' cannot be read", "2h"},
    {27, "within = \"0 h\"", "27:10", "allows no time at all", ""},
    {29, "id = \"cooling-first-window\"", "29:6", "given twice for one food kind (2 and 3)",
     "'foods'"},
    {33,
     "window = { start = \"end-of-window\", after = \"hot-holding\", to = \"5 °C or below\", "
     "within = \"4 h\" }",
     "33:45", "no window 'hot-holding' comes before", ""},
    {33,
     "window = { start = \"end-of-window\", after = \"cooling-second-window\", to = \"5 °C or "
     "below\", within = \"4 h\" }",
     "33:45", "no window", ""},
    {33, "window = { start = \"end-of-window\", to = \"5 °C or below\", within = \"4 h\" }",
     "33:10", "'after' goes with", "add 'after'"},
    {33,
     "window = { start = \"stage-start\", after = \"cooling-first-window\", to = \"5 °C or "
     "below\", within = \"4 h\" }",
     "33:43", "'after' goes with", "take it out"},
    {39, "", "34:1", "this one has 0", "give it one of hold"},
    {39, "hold = \"above 63 °C\"\nceiling = { limit = \"70 °F or below\" }", "34:1",
     "this one has 2", ""},
    {39, "hold = \"63 °C or below\"", "39:8", "points the wrong way", ""},
    {39, "hold = \"63 °C\"", "39:8", "limit '63 °C' cannot be read", "or above"},
    {45, "time-control = { cold-start = \"5 °C or above\", within = \"4 h\" }", "45:31",
     "points the wrong way", ""},
    {45,
     "time-control = { cold-start = \"5 °C or below\", hot-start = \"60 °C or below\", within = "
     "\"4 h\" }",
     "45:60", "points the wrong way", ""},
    {45,
     "time-control = { cold-start = \"5 °C or below\", within = \"4 h\", hot-within = \"2 h\" }",
     "45:77", "no 'hot-start'", ""},
    {45, "time-control = { cold-start = \"5 °C or below\", within = \"4 h\", one-spell = \"yes\" }",
     "45:76", "'one-spell' must be true or false", ""},
    {51, "ceiling = { limit = \"70 °F or above\" }", "51:21", "points the wrong way", ""},
    {57, "date-mark = { days = 0, applies-over = \"24 h\", kept-at = \"41 °F or below\" }", "57:22",
     "from 1 to 365", ""},
    {57, "date-mark = { days = 7, applies-over = \"24 h\", kept-at = \"41 °F or above\" }", "57:58",
     "points the wrong way", ""},
    {64, "table = { rows = [] }", "64:18", "'rows' must be a list of tables, not empty", ""},
    {64, "table = { most-times = 11, rows = [{ at = \"75 °C or above\", keep = \"30 s\" }] }",
     "64:24", "from 0 to 10", ""},
    {66, "requirement = \"cold-holding\"", "66:15", "this pack has no requirement 'cold-holding'",
     ""},
    {67, "for = \"met\"", "67:7", "'met' is no verdict to advise on", "not-met and not-shown"},
    {68, "", "71:1", "this advice is never given", "narrower row first"},
    {68, "up-to = \"fewer than 4 h\"", "68:9", "", ""},
    {70, "source = \"invented\"\nplanned = \"no\"", "71:11", "'planned' must be true or false", ""},
    {74, "up-to = \"less than 4 h\"", "71:1", "this advice is never given", "narrower row first"},
    {69, "act = \"Reheat it.\"", "69:7", "'act' must be a list of texts", ""},
    {70, "", "65:1", "'source' is missing", ""},
    {74, "while-worst = \"50\"", "74:15", "limit '50' cannot be read", ""},
    {78, "which = \"The rest\"", "78:1", "what is left out has no key 'which'", "what and why"},
};

} // namespace

TEST_CASE("the invented pack itself is read") {
    const Pack pack = parse_pack(text_of(kLines), "test.toml");
    CHECK(pack.requirements.size() == 8);
    CHECK(pack.advice.size() == 2);
    CHECK(pack.left_out.size() == 1);
    const auto& time =
        std::get<TimeControlRule>(pack.find_one("time-control", FoodKind::fish)->rule);
    CHECK(time.hot_within->span == Span::hours(2));
    CHECK(time.return_within->span == Span::hours(2));
    CHECK(time.one_spell);
    const auto& second =
        std::get<WindowRule>(pack.find_one("cooling-second-window", FoodKind::fish)->rule);
    CHECK(second.after == "cooling-first-window");
    CHECK_FALSE(second.within.figure_included);
    const auto* reheating = pack.find_one("reheating", FoodKind::fish);
    CHECK(reheating->option == "a");
    CHECK(std::get<TableRule>(reheating->rule).most_times == 1);
    CHECK(std::get<TableRule>(reheating->rule).needs_roast_cook);
    CHECK(std::get<TableRule>(reheating->rule).rest_counts);
}

TEST_CASE("what is wrong with a pack names file, line and column and how to mend it") {
    for (const Case& wrong : kCases) {
        INFO("line " << wrong.line << " replaced by: " << wrong.replacement);
        try {
            parse_pack(with(wrong.line, wrong.replacement), "test.toml");
            FAIL_CHECK("was accepted");
        } catch (const Error& error) {
            CHECK((error.kind() == ErrorKind::bad_input));
            CHECK(error.text().where == "test.toml:" + wrong.where);
            CHECK_THAT(error.text().what, Catch::Contains(wrong.what));
            CHECK_THAT(error.text().fix, Catch::Contains(wrong.fix));
            CHECK_FALSE(error.text().fix.empty());
        }
    }
}

TEST_CASE("an empty file and bytes that are no text are refused at a place") {
    for (const std::string& text :
         {std::string{}, std::string{"\n\n"}, std::string{"id = \"\xff\""}, std::string{"\0\0", 2},
          std::string(300, '[')}) {
        try {
            parse_pack(text, "test.toml");
            FAIL_CHECK("was accepted");
        } catch (const Error& error) {
            CHECK_THAT(error.text().where, Catch::StartsWith("test.toml:"));
        }
    }
}

TEST_CASE("packs that differ only where the record can tell may share an id") {
    // The two forms of time control, FDA Food Code 3-501.19(B) and (C).
    const std::string second =
        "[[requirement]]\nid = \"time-control\"\nclause = \"5b\"\nstatus = \"remembered\"\n"
        "says = \"Time it.\"\n"
        "time-control = { cold-start = \"5 °C or below\", within = \"6 h\", six-hour-form = true "
        "}\n";
    CHECK(parse_pack(with(77, second + "[[left-out]]"), "test.toml").requirements.size() == 9);
    CHECK_THROWS_AS(parse_pack(with(77, second + second + "[[left-out]]"), "test.toml"), Error);
}

TEST_CASE("a ceiling may be given for each form of time control once") {
    const std::string second =
        "[[requirement]]\nid = \"time-control-ceiling\"\nclause = \"6b\"\nstatus = "
        "\"remembered\"\nsays = \"Cap it.\"\nceiling = { limit = \"70 °F or below\" }\n";
    CHECK(parse_pack(with(77, second + "[[left-out]]"), "test.toml").requirements.size() == 9);
    CHECK_THROWS_AS(parse_pack(with(77, second + second + "[[left-out]]"), "test.toml"), Error);
}

TEST_CASE("a status reads back by the name it has in a pack") {
    for (const Status status : {Status::seen_in_edition, Status::seen_in_adoption,
                                Status::seen_in_account, Status::remembered}) {
        const std::string line = "status = \"" + std::string{to_name(status)} + "\"";
        const Pack pack = parse_pack(with(37, line), "test.toml");
        CHECK((pack.find_one("hot-holding", FoodKind::fish)->status == status));
    }
}

TEST_CASE("a pack file that is not there is not found, and a folder lists its packs sorted") {
    namespace fs = std::filesystem;
    try {
        load_pack("nowhere/at-all.toml");
        FAIL_CHECK("was found");
    } catch (const Error& error) {
        CHECK((error.kind() == ErrorKind::not_found));
        CHECK_THAT(error.text().what, Catch::Contains("nowhere/at-all.toml"));
    }
    CHECK_THROWS_AS(load_pack(fs::path{HOLDWARDEN_SOURCE_DIR}), Error); // a folder is no pack
    CHECK(pack_ids("nowhere").empty());
    const auto ids = pack_ids(fs::path{HOLDWARDEN_SOURCE_DIR} / "schema" / "codes");
    CHECK(std::is_sorted(ids.begin(), ids.end()));
    CHECK(std::find(ids.begin(), ids.end(), "us-fda-2022") != ids.end());
}

TEST_CASE("the first row of advice that fits is given") {
    const Pack pack = parse_pack(text_of(kLines), "test.toml");
    const auto act = [&](std::optional<Span> time, std::optional<Temperature> worst) {
        const Advice* found = pack.advice_for("hot-holding", false, time, worst);
        return found == nullptr ? std::string{"none"} : found->act.front();
    };
    CHECK(act(Span::hours(4), std::nullopt) == "Reheat it.");
    CHECK(act(Span::hours(4) + Span::milliseconds(1), std::nullopt) == "none");
    CHECK(act(std::nullopt, std::nullopt) == "none"); // an unknown time fits no row with a time
    CHECK(act(Span::hours(5), parse_temperature("50C")) == "Discard it.");
    CHECK(act(Span::hours(5), parse_temperature("49.9C")) == "none");
    CHECK(pack.advice_for("hot-holding", true, std::nullopt, std::nullopt) == nullptr);
    CHECK(pack.advice_for("cooking", false, std::nullopt, std::nullopt) == nullptr);
}

TEST_CASE("advice up to a time includes its figure unless it says less than") {
    const auto act = [](const Pack& pack, Span time) {
        const Advice* found = pack.advice_for("hot-holding", false, time, std::nullopt);
        return found == nullptr ? std::string{"none"} : found->act.front();
    };
    const Pack strict = parse_pack(with(68, "up-to = \"less than 4 h\""), "test.toml");
    CHECK(act(strict, Span::hours(4) - Span::milliseconds(1)) == "Reheat it.");
    CHECK(act(strict, Span::hours(4)) == "none");
    // Less than 4 h, then 4 h: the second is for the figure itself.
    auto lines = kLines;
    lines.at(67) = "up-to = \"less than 4 h\"";
    lines.at(73) = "up-to = \"4 h\"";
    const Pack both = parse_pack(text_of(lines), "test.toml");
    CHECK(act(both, Span::hours(4)) == "Discard it.");
}

TEST_CASE("advice is planned unless the pack says that it is not") {
    CHECK(parse_pack(text_of(kLines), "test.toml").advice.front().planned);
    const Pack pack = parse_pack(with(70, "source = \"invented\"\nplanned = false"), "test.toml");
    CHECK_FALSE(pack.advice.front().planned);
    CHECK(pack.advice.back().planned);
}

TEST_CASE("the shipped advice that rests on 9 CFR 417.3(b) is unplanned, and no other") {
    // 9 CFR 417.3(b): what to do about a deviation that no specified corrective action covers.
    for (const std::string& id : pack_ids(HOLDWARDEN_SOURCE_DIR "/schema/codes")) {
        const Pack pack =
            load_pack(std::string{HOLDWARDEN_SOURCE_DIR "/schema/codes/"} + id + ".toml");
        for (const Advice& row : pack.advice) {
            INFO(id << " " << row.requirement);
            CHECK(row.planned == (row.source.find("417.3(b)") == std::string::npos));
        }
    }
}

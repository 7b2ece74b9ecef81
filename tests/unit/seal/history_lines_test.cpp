#include <holdwarden/base/error.hpp>
#include <holdwarden/seal/history_lines.hpp>
#include <holdwarden/seal/table_csv.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::seal;

namespace {

/// A leaf with a value of every kind that a column holds, and texts that break careless writers.
HistoryLeaf some_leaf() {
    HistoryLeaf leaf;
    leaf.number = 3;
    leaf.what = "entry";
    leaf.ref = 2;
    leaf.own = {{"table", std::string{"entry"}}, {"id", std::int64_t{2}}};
    leaf.rows = {{{"table", std::string{"lot"}},
                  {"id", std::int64_t{-9'223'372'036'854'775'807}},
                  {"share", 0.1},
                  {"whole", 2.0},
                  {"name", std::string{"\"brisket\", \n\u202Egnp.exe\x1B[31m"}},
                  {"odd", std::string{"\xFF\xFE"}},
                  {"bytes", LeafBytes{std::string{"\0\x01", 2}}}}};
    leaf.hash = sha256("any");
    return leaf;
}

bool refused(const std::string& line) {
    try {
        parse_history_line(line);
        return false;
    } catch (const Error& error) {
        return error.kind() == ErrorKind::bad_input;
    }
}

} // namespace

TEST_CASE("a leaf comes back from its line with the same data, whatever its values") {
    const HistoryLeaf leaf = some_leaf();
    const HistoryLeaf back = parse_history_line(to_json_line(leaf));
    CHECK(leaf_data(back) == leaf_data(leaf));
    CHECK(back.hash == leaf.hash);
    CHECK(to_json_line(back) == to_json_line(leaf));
    CHECK(to_json_line(leaf).find('\n') == std::string::npos);
}

TEST_CASE("what is no leaf's line is refused, never taken by halves") {
    const std::string good = to_json_line(some_leaf());
    REQUIRE_FALSE(refused(good));
    for (std::size_t cut = 0; cut < good.size(); ++cut) {
        INFO(cut);
        CHECK(refused(good.substr(0, cut)));
    }
    CHECK(refused("[]"));
    CHECK(refused("{}"));
    CHECK(refused(std::string(100'000, '[')));
    CHECK(refused(R"({"leaf":1,"leaf":2,"what":"reject","ref":1,"hash":")" + std::string(64, '0') +
                  R"(","rejects":[]})"));
    CHECK(refused(R"({"leaf":1,"what":"reject","ref":1,"hash":")" + std::string(64, '0') +
                  R"(","rejects":[],"more":1})"));
    CHECK(refused(R"({"leaf":1,"what":"reject","ref":1,"hash":"00","rejects":[]})"));
    CHECK(refused(R"({"leaf":1,"what":"reject","ref":1e99,"hash":")" + std::string(64, '0') +
                  R"(","rejects":[]})"));
    CHECK(refused(R"({"leaf":1,"what":"reject","ref":18446744073709551615,"hash":")" +
                  std::string(64, '0') + R"(","rejects":[]})"));
}

TEST_CASE("a CSV cell is no formula, hides nothing, and RFC 4180 reads it back") {
    // What a spreadsheet takes for a formula begins with = + - @ (common practice, no source).
    for (const char* text : {"=1+1", "+1", "-1", "@SUM(A1)", "\t=1", " =1"}) {
        CHECK(csv_text(text).front() == '\'');
    }
    CHECK(csv_text("brisket-1") == "brisket-1");
    CHECK(csv_text("a,b") == "\"a,b\"");                       // RFC 4180, 2.6
    CHECK(csv_text("say \"when\"") == "\"say \"\"when\"\"\""); // RFC 4180, 2.7
    CHECK(csv_text("a\nb").find('\n') == std::string::npos);
    CHECK(csv_text("\x1B[2J").find('\x1B') == std::string::npos);
    CHECK(csv_text("\u202Eabc").find("\u202E") == std::string::npos);
    const std::vector<std::string> columns{"id", "name"};
    // A negative number stays one.
    CHECK(csv_line(columns, {{"table", std::string{"t"}}, {"id", std::int64_t{-5}}}) == "-5,\r\n");
    CHECK(columns_of_heading(csv_heading(columns)) == columns);
    CHECK_THROWS_AS(csv_line(columns, {{"table", std::string{"t"}}, {"x", std::int64_t{1}}}),
                    Error);
    CHECK_THROWS_AS(columns_of_heading("id,../x\r\n"), Error);
    CHECK_THROWS_AS(columns_of_heading(""), Error);
}

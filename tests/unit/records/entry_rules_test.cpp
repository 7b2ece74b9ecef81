#include <holdwarden/base/error.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::records;
using Catch::Matchers::Contains;

namespace {

/// 2026-11-01T06:00:00Z.
constexpr Instant kNight = Instant::from_unix_s(1'793'512'800);
constexpr Instant at(int minutes) {
    return kNight + Span::minutes(minutes);
}

const Zone kUtc = Zone::utc();

ErrorKind kind_of(const std::function<void()>& call) {
    try {
        call();
    } catch (const Error& error) {
        return error.kind();
    }
    FAIL("accepted");
    return ErrorKind::usage;
}

Placement in_lot(int from, std::optional<int> to) {
    Placement placement{
        .probe = ProbeId::of(1), .target = LotPoint{LotId::of(1)}, .from = at(from), .to = {}};
    if (to) {
        placement.to = at(*to);
    }
    return placement;
}

void place(const std::vector<Placement>& existing, const Placement& next) {
    check_placement("P1", existing, std::vector<std::string>(existing.size(), "lot 'beans', core"),
                    next, kUtc);
}

} // namespace

TEST_CASE("names that could mislead a reader or a file system are refused") {
    for (const char* name : {"brisket-1", "Pan 3", "größe", "豆", "P1_f", "a"}) {
        INFO(name);
        CHECK_NOTHROW(check_name("lot", name));
    }
    const std::string longest(kLongestName, 'x');
    CHECK_NOTHROW(check_name("lot", longest));
    for (const std::string& name :
         {std::string{}, std::string{"  "}, std::string{" a"}, std::string{"a "},
          std::string{"a\nb"}, std::string{"a\x1b[31m"}, std::string{"a\0b", 3},
          std::string{"../x"}, std::string{"a/b"}, std::string{"a\\b"}, std::string{".hidden"},
          std::string{"--help"}, std::string{"a\xff"}, std::string{"a\u202e"}, longest + "x"}) {
        INFO(name);
        CHECK(kind_of([&] { check_name("lot", name); }) == ErrorKind::bad_input);
    }
    CHECK_NOTHROW(check_text("note", ""));
    CHECK_THROWS_AS(check_text("note", "  "), Error);
    CHECK_THROWS_AS(check_text("note", "\t"), Error);
    CHECK_NOTHROW(check_text("note", "and/or"));
    CHECK_THROWS_AS(check_text("note", std::string(kLongestText + 1, 'x')), Error);
    CHECK_THROWS_AS(check_text("note", "two\nlines"), Error);
}

TEST_CASE("nothing happens in the future, but for two clocks that differ a little", "[TIM-6]") {
    // The five minutes are common practice, no source.
    CHECK_NOTHROW(check_not_future("the reading", at(5), at(0), kUtc));
    CHECK_THROWS_WITH(check_not_future("the reading", at(5) + Span::milliseconds(1), at(0), kUtc),
                      Contains("the reading lies in the future"));
    CHECK_NOTHROW(check_not_future("the reading", at(-60 * 24 * 365), at(0), kUtc));
    CHECK_THROWS_AS(check_not_future("the reading", Instant::from_unix_ms(-1), at(0), kUtc), Error);
}

TEST_CASE("a lot goes forwards through its stages and ends once") {
    const std::vector<StageEntry> stages{
        {.stage = Stage::cooking, .from = at(0), .unit = "", .setting = {}, .oven = {}, .by = ""}};
    CHECK_NOTHROW(check_stage_order("beans", {}, {}, Stage::cooking, at(0), kUtc));
    CHECK_NOTHROW(check_stage_order("beans", stages, {}, Stage::resting, at(1), kUtc));
    CHECK_THROWS_WITH(check_stage_order("beans", stages, {}, Stage::resting, at(0), kUtc),
                      Contains("backwards") && Contains("cooking began") && Contains("--at"));
    CHECK_THROWS_WITH(check_stage_order("beans", stages, {}, Stage::resting, at(-1), kUtc),
                      Contains("backwards"));
    CHECK_NOTHROW(check_end("beans", stages, {}, at(0), kUtc));
    CHECK_THROWS_WITH(check_end("beans", stages, {}, at(-1), kUtc), Contains("backwards"));
    const LotEnd end{.outcome = Outcome::served, .at = at(9), .by = ""};
    CHECK_THROWS_WITH(check_end("beans", stages, end, at(10), kUtc), Contains("served"));
    CHECK_THROWS_WITH(check_stage_order("beans", stages, end, Stage::resting, at(10), kUtc),
                      Contains("open a new lot"));
}

TEST_CASE("a probe reads one thing at a time, to the millisecond") {
    const std::vector<Placement> closed{in_lot(10, 20)};
    CHECK_NOTHROW(place(closed, in_lot(0, 10)));
    CHECK_NOTHROW(place(closed, in_lot(20, 30)));
    CHECK_NOTHROW(place(closed, in_lot(20, std::nullopt)));
    for (const auto& next : {in_lot(0, 11), in_lot(19, 30), in_lot(12, 15), in_lot(0, 40),
                             in_lot(0, std::nullopt), in_lot(15, std::nullopt), in_lot(10, 20)}) {
        CHECK(kind_of([&] { place(closed, next); }) == ErrorKind::conflict);
    }
    const std::vector<Placement> open{in_lot(10, std::nullopt)};
    CHECK_NOTHROW(place(open, in_lot(0, 10)));
    CHECK_THROWS_WITH(place(open, in_lot(50, std::nullopt)),
                      Contains("lot 'beans', core") && Contains("lift P1"));
    CHECK(kind_of([&] { place({}, in_lot(5, 5)); }) == ErrorKind::bad_input);
    CHECK_NOTHROW(check_lift("P1", in_lot(10, std::nullopt), at(11), kUtc));
    CHECK(kind_of([&] { check_lift("P1", in_lot(10, std::nullopt), at(10), kUtc); }) ==
          ErrorKind::conflict);
}

TEST_CASE("a lot is named by as much of its name as tells it apart") {
    const std::vector<std::string> names{"brisket-1", "brisket-10", "beans", "pork"};
    const auto find = [&](const char* text) {
        return find_by_prefix("lot", names, text, "say `lot open`");
    };
    CHECK(find("brisket-1") == 0); // a whole name wins over a longer one
    CHECK(find("brisket-10") == 1);
    CHECK(find("be") == 2);
    CHECK(find("p") == 3);
    CHECK(kind_of([&] { find("b"); }) == ErrorKind::conflict);
    CHECK_THROWS_WITH(find("bris"), Contains("'brisket-1' and 'brisket-10'"));
    CHECK(kind_of([&] { find("ham"); }) == ErrorKind::not_found);
    CHECK_THROWS_WITH(find("ham"), Contains("'pork'") && Contains("lot open"));
    CHECK(kind_of([&] { find(""); }) == ErrorKind::not_found);
    CHECK(kind_of([&] { find_by_prefix("lot", {}, "ham", "fix"); }) == ErrorKind::not_found);
}

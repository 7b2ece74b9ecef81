#include "kitchen.hpp"

#include <holdwarden/cli/completion.hpp>

#include <algorithm>

using namespace holdwarden;
using namespace holdwarden::cli;

namespace {

/// What the program offers for the words typed, help texts left away; a form of file names as
/// ":file".
std::vector<std::string> offered(kitchen::Kitchen& kitchen, std::vector<std::string> words) {
    words.insert(words.begin(), {"complete", "--"});
    std::istringstream out{kitchen.good(words)};
    std::vector<std::string> all;
    for (std::string line; std::getline(out, line);) {
        all.push_back(line.substr(0, line.find('\t')));
    }
    return all;
}

bool has(const std::vector<std::string>& all, const std::string& word) {
    return std::count(all.begin(), all.end(), word) == 1;
}

using Words = std::vector<std::string>;

} // namespace

TEST_CASE("completion offers commands, then their second words and options", "[cli][complete]") {
    kitchen::Kitchen kitchen;
    const Words commands = offered(kitchen, {""});
    CHECK(has(commands, "check"));
    CHECK(has(commands, "lot"));
    CHECK_FALSE(has(commands, "complete")); // for shells only
    CHECK_FALSE(has(commands, "manual"));
    CHECK(offered(kitchen, {"impo"}) == Words{"import"});
    CHECK(has(offered(kitchen, {"probe", ""}), "add"));
    CHECK(has(offered(kitchen, {"codes", "s"}), "show"));
    CHECK(offered(kitchen, {"lot", "open", "x", "--wat"}).empty());
    CHECK(offered(kitchen, {"log", "x", "1F", "--wat"}) == Words{"--watched"});
    CHECK(offered(kitchen, {"log", "--watched", "30s", "--wat"}).empty()); // given already
    CHECK(has(offered(kitchen, {"check", "--csv", "a.csv", "--air", "x", "--a"}), "--air"));
    CHECK(has(offered(kitchen, {"-"}), "--version"));
    CHECK(offered(kitchen, {"unit", "add", "x", "--kind", "wa"}) == Words{"walk-in"});
    CHECK(offered(kitchen, {"paper", "keep", "x", "--kind", "c"}) == Words{"cooling-method"});
    CHECK(offered(kitchen, {"label", "x", "--format", ""}) == Words{"text", "html", "pdf"});
    CHECK(offered(kitchen, {}).size() == commands.size());
    CHECK(offered(kitchen, {"bask", "in", "the", ""}).empty());
}

TEST_CASE("completion offers the names that a store holds", "[cli][complete]") {
    kitchen::Kitchen kitchen;
    kitchen.open_for_business();
    const std::string before = kitchen.store_bytes();
    CHECK(offered(kitchen, {"log", "br"}) == Words{
                                                 "brisket-1",
                                                 "brisket-2",
                                             });
    CHECK(offered(kitchen, {"log", "--air", ""}) == Words{"cabinet-1", "walk-in-1"});
    CHECK(offered(kitchen, {"log", "wa"}) == Words{"walk-in-1"});
    CHECK(offered(kitchen, {"sheet", "wa"}).empty()); // sheets are of lots
    CHECK(offered(kitchen, {"stage", "beans-1", "hot-holding", "--unit", "c"}) ==
          Words{"cabinet-1"});
    CHECK(offered(kitchen, {"stage", "beans-1", "hot-holding", "--unit=c"}) ==
          Words{"--unit=cabinet-1"});
    CHECK(offered(kitchen, {"stage", "beans-1", "hot-holding", "--unit", "=", "c"}) ==
          Words{"cabinet-1"}); // as bash cuts it
    CHECK(offered(kitchen, {"stage", "beans-1", "ser"}) == Words{"served"});
    CHECK(offered(kitchen, {"place", "p"}) == Words{"p1", "p2"});
    CHECK(offered(kitchen, {"check", "beans-1", "brisket-1", "b"}) ==
          Words{"brisket-1", "brisket-2", "beans-1"}); // any number of lots
    CHECK(offered(kitchen, {"check", "--code", "us-fda-202"}) == Words{"us-fda-2022"});
    CHECK(offered(kitchen, {"check", "--csv", ""}) == Words{":file"});
    CHECK(kitchen.store_bytes() == before);

    kitchen.good({"stage", "beans-1", "discarded"});
    CHECK_FALSE(has(offered(kitchen, {"log", ""}), "beans-1")); // an ended lot takes no readings
    CHECK(offered(kitchen, {"sheet", "be"}) == Words{"beans-1"});

    const std::string other = kitchen.store().string();
    kitchen.environment()["HOLDWARDEN_STORE"] = (kitchen.folder() / "none.db").string();
    CHECK(offered(kitchen, {"log", "br"}).empty());
    CHECK(offered(kitchen, {"log", "--store", other, "br"}) == Words{"brisket-1", "brisket-2"});
}

#include "kitchen.hpp"

using namespace kitchen;
using Catch::Matchers::Contains;

TEST_CASE("REC-16: a store moved to another machine is the same, and goes on there") {
    Kitchen here;
    here.open_for_business();
    const std::string copy = (here.folder() / "moving.db").string();
    const std::string told = here.good({"backup", copy});
    const std::string root = told.substr(told.find("root "), 5 + 64);

    Kitchen there;
    there.set_clock("2026-11-01T07:00:00-07:00");
    CHECK_THAT(there.good({"restore", copy}), Contains(root));
    CHECK_THAT(there.good({"verify"}), Contains(root.substr(5)));
    CHECK_THAT(there.good({"lot", "list"}), Contains("brisket-1"));
    there.good({"log", "brisket-1", "150F"});
    CHECK_THAT(there.good({"verify"}), Contains("as it was when it was written"));

    // Back to the copy: what was entered since is kept aside, and counted.
    const std::string back = there.good({"restore", copy});
    CHECK_THAT(back, Contains("before-restore"));
    CHECK_THAT(back, Contains("goes on for 1 leaves more"));
    CHECK_THAT(back, Contains(root));
}

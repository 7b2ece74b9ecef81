#include <holdwarden/sheets/words.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using sheets::subject_title;

// The words are this project's own (reports/wording/messages.en.hpp); what is tested is that none
// of a record is lost or printed raw on the way through the catalogue.
TEST_CASE("what an entry is about is said in the catalogue's words, names kept and made safe") {
    CHECK(subject_title("lot") == "lot");
    CHECK(subject_title("hot-holding") == "hot holding");
    CHECK(subject_title("probe p5 placed") == "probe p5 placed");
    CHECK(subject_title("core reading") == "core reading");
    CHECK(subject_title("core reading 139 °F") == "core reading 139 °F");
    CHECK(subject_title("hand-1 in core") == "hand-1 in core");
    CHECK(subject_title("probe \x1B[2J placed").find('\x1B') == std::string::npos);
    CHECK(subject_title(" reading") == "reading"); // no name: as it stands
}

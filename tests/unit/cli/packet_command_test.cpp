#include "kitchen.hpp"
#include "schema_walk.hpp"

#include <nlohmann/json.hpp>

using namespace kitchen;
using Catch::Matchers::Contains;

namespace {

void use_key(Kitchen& kitchen) {
    kitchen.environment()["HOME"] = kitchen.folder().string();
    kitchen.good({"key", "new"});
}

std::string contents(const fs::path& file) {
    std::ifstream in{file, std::ios::binary};
    return {std::istreambuf_iterator<char>{in}, {}};
}

std::string root_in(const std::string& text) {
    const std::size_t at = text.find("root ");
    REQUIRE(at != std::string::npos);
    return text.substr(at + 5, 64);
}

/// Two nights: brisket-1 on Saturday, pork-9 a week later; readings and a rejected row on Saturday.
void two_nights(Kitchen& kitchen) {
    kitchen.open_for_business();
    use_key(kitchen);
    kitchen.good({"stage", "brisket-1", "hot-holding", "--at", "2026-10-31 18:00"});
    kitchen.good({"place", "p1", "brisket-1", "--at", "2026-10-31 18:00"});
    std::ofstream{kitchen.folder() / "night.csv"}
        << "time,p1_f\n2026-10-31T18:00:00-06:00,141.0\n2026-10-31T18:10:00-06:00,140.6\n"
           "2026-10-31T18:20:00-06:00,=WARM()\n";
    kitchen.says({"import", (kitchen.folder() / "night.csv").string()});
    for (const char* lot : {"brisket-1", "brisket-2", "beans-1"}) {
        kitchen.good({"stage", lot, "discarded", "--at", "2026-11-01 05:00"});
    }
    kitchen.set_clock("2026-11-08T06:00:00-07:00");
    kitchen.good({"lot", "open", "pork-9", "--at", "2026-11-07 17:00"});
    kitchen.good({"log", "pork-9", "150F", "--at", "2026-11-07 18:00"});
}

} // namespace

TEST_CASE("REC-16: a packet of all the time is read by people, and makes the store again") {
    Kitchen kitchen;
    two_nights(kitchen);
    const fs::path packet = kitchen.folder() / "packet";
    const std::string made = kitchen.good({"packet", "-o", packet.string()});
    const std::string root = root_in(made);
    CHECK_THAT(kitchen.good({"verify", packet.string()}), Contains(root));
    CHECK(fs::exists(packet / "sheets/lot-brisket-1.html"));
    CHECK(fs::exists(packet / "sheets/night-2026-10-31.txt"));
    CHECK(contents(packet / "sheets/all.pdf").starts_with("%PDF"));
    CHECK(fs::exists(packet / "packs/us-fda-2022.toml"));
    // Its folder is its owner's alone.
    CHECK(fs::status(packet).permissions() == fs::perms::owner_all);

    Kitchen other;
    const std::string again = other.good({"restore", packet.string()});
    CHECK(root_in(again) == root);
    CHECK_THAT(other.good({"verify"}), Contains(root));
    CHECK_THAT(other.good({"lot", "list", "--all"}), Contains("pork-9"));
}

TEST_CASE("REC-23: a rejected row goes into a packet as it came, with the reason") {
    Kitchen kitchen;
    two_nights(kitchen);
    const fs::path packet = kitchen.folder() / "packet";
    kitchen.good({"packet", "-o", packet.string()});
    CHECK(contents(packet / "rejected/import-1.raw") == "2026-10-31T18:20:00-06:00,=WARM()\n");
    CHECK_THAT(contents(packet / "tables/reject.csv"), Contains("WARM"));
}

TEST_CASE("a packet of some time leaves other lots out, and keeps their hashes") {
    Kitchen kitchen;
    two_nights(kitchen);
    const fs::path packet = kitchen.folder() / "november";
    kitchen.good({"packet", "--from", "2026-11-07", "--to", "2026-11-08", "-o", packet.string()});
    CHECK_THAT(kitchen.good({"verify", packet.string()}), Contains("known by their hashes alone"));
    const std::string lots = contents(packet / "tables/lot.csv");
    CHECK_THAT(lots, Contains("pork-9"));
    CHECK_THAT(lots, !Contains("brisket-1"));
    CHECK(contents(packet / "records/readings.csv").find("141") == std::string::npos);
    CHECK_FALSE(fs::exists(packet / "sheets/lot-brisket-1.txt"));
    // Probes and people belong to the whole kitchen.
    CHECK_THAT(contents(packet / "tables/probe.csv"), Contains("p1"));

    const fs::path october = kitchen.folder() / "october";
    kitchen.good({"packet", "--to", "2026-11-01", "-o", october.string()});
    CHECK_THAT(contents(october / "tables/lot.csv"), !Contains("pork-9"));
    CHECK_THAT(contents(october / "records/readings.csv"), Contains(",141,F,"));

    Kitchen other;
    const Answer refused = other.says({"restore", packet.string()});
    CHECK(refused.status == cli::kFailed);
    CHECK_THAT(refused.err, Contains("packet of all the time"));
    CHECK_FALSE(fs::exists(other.folder() / "kitchen.db"));
}

TEST_CASE("FMT-6: a packet says units, counts, first and last time, and the tree's root") {
    Kitchen kitchen;
    two_nights(kitchen);
    const fs::path packet = kitchen.folder() / "packet";
    const std::string root = root_in(kitchen.good({"packet", "-o", packet.string()}));
    const auto about = nlohmann::json::parse(contents(packet / "packet.json"));
    CHECK(about["history"]["root"] == root);
    CHECK(about["readings"]["count"] == 2);
    CHECK(about["readings"]["first"] == "2026-11-01T00:00:00Z");
    CHECK(about["readings"]["last"] == "2026-11-01T00:10:00Z");
    const auto schema = [&](const char* name) {
        return nlohmann::json::parse(contents(packet / "schemas" / name));
    };
    CHECK(test::schema_faults(schema("holdwarden-packet-1.schema.json"), about).empty());
    // Every column of every table stands in the dictionary, with a unit.
    const std::string dictionary = contents(packet / "tables/dictionary.csv");
    for (const auto& table : about["tables"]) {
        const std::string name = table["table"];
        std::istringstream in{contents(packet / "tables" / (name + ".csv"))};
        std::string heading;
        std::getline(in, heading);
        std::istringstream columns{heading.substr(0, heading.find('\r'))};
        for (std::string column; std::getline(columns, column, ',');) {
            const std::size_t at = dictionary.find("\n" + name + "," + column + ",");
            INFO(name << " " << column);
            REQUIRE(at != std::string::npos);
            const std::string line = dictionary.substr(at + 1, dictionary.find('\r', at) - at - 1);
            const std::size_t type = line.find(',', name.size() + column.size() + 2);
            CHECK(line[type + 1] != ',');
        }
    }
}

TEST_CASE("FMT-7: a correction in a packet names what it supersedes, and both are there") {
    Kitchen kitchen;
    two_nights(kitchen);
    const fs::path packet = kitchen.folder() / "packet";
    kitchen.good({"packet", "-o", packet.string()});
    CHECK_THAT(contents(packet / "tables/dictionary.csv"),
               Contains("corrective_action,supersedes,INTEGER,number of a record,"
                        "corrective_action"));
}

TEST_CASE("a changed byte anywhere in a packet's records is found, also under a new seal") {
    Kitchen kitchen;
    two_nights(kitchen);
    const fs::path packet = kitchen.folder() / "packet";
    kitchen.good({"packet", "-o", packet.string()});
    for (const char* file : {"records/history.jsonl", "records/readings.csv", "tables/lot.csv"}) {
        const std::string whole = contents(packet / file);
        const std::size_t stride = whole.size() / 12 + 1;
        for (std::size_t at = 3; at < whole.size(); at += stride) {
            std::string changed = whole;
            changed[at] = changed[at] == '1' ? '2' : '1';
            std::ofstream{packet / file, std::ios::binary} << changed;
            const Answer answer = kitchen.says({"verify", packet.string()});
            INFO(file << " at " << at);
            CHECK(answer.status == cli::kFailed);
            CHECK_THAT(answer.out, Contains("DOES NOT FIT"));
        }
        std::ofstream{packet / file, std::ios::binary} << whole;
    }
    kitchen.good({"verify", packet.string()});
    // Someone else's seal over altered records: the manifest fits, the records do not.
    std::string lot = contents(packet / "tables/lot.csv");
    lot.replace(lot.find("brisket-1"), 9, "brisket-7");
    std::ofstream{packet / "tables/lot.csv", std::ios::binary} << lot;
    CHECK_THAT(kitchen.says({"verify", packet.string()}).out,
               Contains("tables/lot.csv is not what the records say"));
}

TEST_CASE("hostile names of lots become harmless file names, each its own") {
    Kitchen kitchen;
    kitchen.open_for_business();
    use_key(kitchen);
    for (const char* name : {"../../etc/passwd", "..", "-rf", "a b", "a_b", "caf\u00E9",
                             "=HYPERLINK(1)", "<script>alert(1)</script>"}) {
        kitchen.says({"lot", "open", "--at", "2026-11-01 05:00", "--", name});
    }
    const fs::path packet = kitchen.folder() / "packet";
    kitchen.good({"packet", "-o", packet.string()});
    kitchen.good({"verify", packet.string()});
    for (const auto& item : fs::recursive_directory_iterator{packet}) {
        const std::string name = item.path().filename().string();
        CHECK(name.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
                                     "0123456789._-+") == std::string::npos);
        if (name.ends_with(".html")) {
            CHECK(contents(item.path()).find("<script") == std::string::npos);
        }
        if (name.ends_with(".csv")) {
            const std::string text = contents(item.path());
            for (const char* formula : {",=", "\n=", ",@", ",\"="}) {
                CHECK(text.find(formula) == std::string::npos);
            }
        }
    }
}

TEST_CASE("a packet that cannot be made leaves nothing behind and nothing changed") {
    Kitchen kitchen;
    two_nights(kitchen);
    fs::create_directory(kitchen.folder() / "there");
    const auto refused = [&](std::vector<std::string> arguments, const char* words) {
        arguments.insert(arguments.begin(), "packet");
        const Answer answer = kitchen.says(arguments);
        CHECK(answer.status != cli::kDone);
        CHECK_THAT(answer.err, Contains(words));
    };
    const std::string out = (kitchen.folder() / "out").string();
    refused({"-o", (kitchen.folder() / "there").string()}, "is there already");
    refused({}, "--output");
    refused({"-o", out, "--from", "2026-11-08", "--to", "2026-11-01"}, "is not before");
    refused({"-o", out, "--from", "2027-01-01"}, "not come yet");
    refused({"-o", out, "--paper", "foolscap"}, "foolscap");
    refused({"-o", (kitchen.folder() / "no/such/out").string()}, "cannot be made");
    refused({"-o", out, "--key", "no-key.pem"}, "no-key.pem");
    CHECK(fs::is_empty(kitchen.folder() / "there"));
    for (const auto& item : fs::directory_iterator{kitchen.folder()}) {
        CHECK(item.path().filename().string().find(".part") == std::string::npos);
    }
}

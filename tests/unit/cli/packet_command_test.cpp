#include "kitchen.hpp"
#include "schema_walk.hpp"

#include <nlohmann/json.hpp>
#include <sqlite3.h>

#include <memory>
#include <utility>

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
}

TEST_CASE("REC-16: a packet of some time makes a store again that says it is a part") {
    Kitchen kitchen;
    two_nights(kitchen);
    const fs::path packet = kitchen.folder() / "october";
    kitchen.good({"packet", "--to", "2026-11-01", "-o", packet.string()});
    const std::string whole =
        kitchen.says({"check", "brisket-1", "--as-of", "2026-11-02 05:00"}).out;

    Kitchen other;
    use_key(other);
    other.set_clock("2026-11-09T06:00:00-07:00");
    const Answer restored = other.says({"restore", packet.string()});
    CHECK(restored.status == cli::kDone);
    CHECK_THAT(restored.err, Contains("a part of the records only"));
    const Answer verified = other.says({"verify"});
    CHECK(verified.status == cli::kDone);
    CHECK_THAT(verified.out, Contains("root is " + root_in(restored.out)));
    CHECK_THAT(verified.out, Contains("a part of the kitchen's records only"));
    CHECK_THAT(verified.err, Contains("kept elsewhere"));
    CHECK_THAT(other.says({"history", "brisket-1"}).err, Contains("kept elsewhere"));
    CHECK_THAT(other.says({"sheet", "brisket-1"}).out, Contains("Made from a part"));
    // A lot is in whole or not at all.
    CHECK(other.says({"check", "brisket-1", "--as-of", "2026-11-02 05:00"}).out == whole);
    CHECK(other.says({"check", "pork-9"}).status != cli::kDone);
    // What goes on, goes on where all is.
    const Answer entry = other.says({"log", "brisket-1", "150F"});
    CHECK(entry.status == cli::kFailed);
    CHECK_THAT(entry.err, Contains("nothing is entered in it"));

    SECTION("a new packet of the same time has the same digests") {
        const fs::path again = other.folder() / "again";
        CHECK(other.says({"packet", "--to", "2026-11-01", "-o", again.string()}).status ==
              cli::kDone);
        for (const char* folder : {"records", "tables", "rejected"}) {
            std::size_t files = 0;
            for (const auto& item : fs::directory_iterator{packet / folder}) {
                const fs::path name = fs::path{folder} / item.path().filename();
                INFO(name);
                CHECK(contents(packet / name) == contents(again / name));
                ++files;
            }
            CHECK(files > 0);
        }
        CHECK(other.says({"verify", again.string()}).status == cli::kDone);
        CHECK(other.says({"verify"}).status == cli::kDone);
    }
    SECTION("a copy of it is a part as well") {
        const std::string copy = (other.folder() / "copy.db").string();
        CHECK(other.says({"backup", copy}).status == cli::kDone);
        CHECK_THAT(other.says({"restore", copy}).err, Contains("a part of the records only"));
    }
    SECTION("nothing is purged from a part") {
        other.set_clock("2036-11-09T06:00:00-07:00");
        CHECK_THAT(other.says({"purge", "--before", "2027-01-01", "--yes"}).err,
                   Contains("left records out"));
    }
}

TEST_CASE("a record removed behind the program's back is not passed off as kept elsewhere") {
    Kitchen kitchen;
    two_nights(kitchen);
    const fs::path packet = kitchen.folder() / "october";
    kitchen.good({"packet", "--to", "2026-11-01", "-o", packet.string()});
    const auto tampered = [](const Kitchen& k, const std::string& sql) {
        sqlite3* handle = nullptr;
        sqlite3_open(k.store().c_str(), &handle);
        std::string drops;
        std::string puts;
        sqlite3_exec(
            handle, "select name, sql from sqlite_schema where name like '%\\_no\\_%' escape '\\'",
            [](void* into, int, char** values, char**) {
                auto& [drop, put] = *static_cast<std::pair<std::string*, std::string*>*>(into);
                *drop += std::string{"drop trigger "} + values[0] + ";";
                *put += std::string{values[1]} + ";";
                return 0;
            },
            std::make_unique<std::pair<std::string*, std::string*>>(&drops, &puts).get(), nullptr);
        char* message = nullptr;
        sqlite3_exec(handle, (drops + sql + puts).c_str(), nullptr, nullptr, &message);
        const std::string said = message == nullptr ? "" : message;
        sqlite3_free(message);
        sqlite3_close(handle);
        INFO(said);
        REQUIRE(said.empty());
    };
    const std::string remove_reading =
        "insert into kept_elsewhere select h.id, 'of another time' from history h join entry e on "
        "h.what = 'entry' and h.ref = e.id where e.kind = 'stage_entry' and e.id = (select "
        "max(entry) from stage_entry);"
        "delete from lot_end where entry = (select max(entry) from stage_entry);"
        "create temp table gone as select max(entry) as e from stage_entry;"
        "delete from stage_entry where entry = (select e from gone);"
        "delete from entry where id = (select e from gone);";
    SECTION("in a store that was never made from a packet") {
        tampered(kitchen, remove_reading);
        const Answer answer = kitchen.says({"verify"});
        CHECK(answer.status == cli::kFailed);
        CHECK_THAT(answer.out, Contains("no packet says so"));
    }
    SECTION("in one that was") {
        Kitchen other;
        other.set_clock("2026-11-09T06:00:00-07:00");
        other.says({"restore", packet.string()});
        tampered(other, remove_reading);
        const Answer answer = other.says({"verify"});
        CHECK(answer.status == cli::kFailed);
        CHECK_THAT(answer.out, Contains("not what the packet's maker signed"));
    }
}

TEST_CASE("a store with PINs comes back from its packet, and goes on with new ones") {
    Kitchen kitchen;
    kitchen.open_for_business();
    use_key(kitchen);
    kitchen.good({"checkpoint", "--by", "RK"});
    kitchen.add_signer("RK", "person-in-charge", "7294");
    const fs::path packet = kitchen.folder() / "packet";
    const std::string root = root_in(kitchen.good({"packet", "-o", packet.string()}));

    Kitchen other;
    other.set_clock("2026-11-01T07:00:00-07:00");
    const Answer restored = other.says({"restore", packet.string()});
    CHECK(restored.status == cli::kDone);
    CHECK_THAT(restored.err, Contains("PINs never leave a store"));
    CHECK(root_in(restored.out) == root);
    CHECK_THAT(other.good({"verify"}), Contains("left out of the packet"));
    // Nobody takes the free place: not without the kitchen's key, not with another.
    const std::vector<std::string> pin{"person", "pin", "RK", "--new-pin-file", "-", "--by", "RK"};
    const Answer refused = other.says(pin, "8350\n");
    CHECK(refused.status == cli::kFailed);
    CHECK_THAT(refused.err, Contains("--reset"));
    use_key(other);
    auto reset = pin;
    reset.insert(reset.end(), {"--reset", "--why", "the disk broke"});
    CHECK_THAT(other.says(reset, "8350\n").err, Contains("is not the one that signs"));
    other.good({"checkpoint", "--by", "RK"}); // nor does a checkpoint make it so
    CHECK_THAT(other.says(reset, "8350\n").err, Contains("is not the one that signs"));
    reset.insert(reset.end(),
                 {"--key", (kitchen.folder() / ".config/holdwarden/key.pem").string()});
    CHECK_THAT(other.good(reset, "8350\n"), Contains("set anew with the site's key"));
    other.good({"person", "add", "QM", "--by", "RK", "--pin-file", "-"}, "8350\n");
    CHECK_THAT(other.good({"verify"}), Contains("left out of the packet"));
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

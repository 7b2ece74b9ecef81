#include "kitchen.hpp"
#include "schema_walk.hpp"

#include <holdwarden/seal/packet.hpp>

#include <nlohmann/json.hpp>
#include <sqlite3.h>

using namespace kitchen;
using Catch::Matchers::Contains;
using Catch::Matchers::StartsWith;

namespace {

void use_key(Kitchen& kitchen) {
    kitchen.environment()["HOME"] = kitchen.folder().string();
    kitchen.good({"key", "new"});
}

std::string fingerprint_in(const std::string& text) {
    const std::string label = "Its fingerprint: ";
    const std::size_t at = text.find(label) + label.size();
    return text.substr(at, text.find('\n', at) - at);
}

/// Another program changes a record and leaves no trace in the schema.
void change_behind_its_back(const fs::path& file) {
    sqlite3* handle = nullptr;
    REQUIRE(sqlite3_open(file.c_str(), &handle) == SQLITE_OK);
    std::string trigger;
    sqlite3_exec(
        handle, "select sql from sqlite_schema where name = 'lot_no_update'",
        [](void* into, int, char** values, char**) {
            *static_cast<std::string*>(into) = values[0];
            return 0;
        },
        &trigger, nullptr);
    const std::string sql = "drop trigger lot_no_update; update lot set opened_at = opened_at + 1 "
                            "where name = 'brisket-2';" +
                            trigger;
    CHECK(sqlite3_exec(handle, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(handle);
}

} // namespace

TEST_CASE("a key is made once, for its owner alone, and shown again") {
    Kitchen kitchen;
    kitchen.environment()["HOME"] = kitchen.folder().string();
    const std::string made = kitchen.good({"key", "new"});
    const fs::path file = kitchen.folder() / ".config/holdwarden/key.pem";
    CHECK(fs::status(file).permissions() == (fs::perms::owner_read | fs::perms::owner_write));
    CHECK(fingerprint_in(kitchen.good({"key", "show"})) == fingerprint_in(made));
    const Answer again = kitchen.says({"key", "new"});
    CHECK(again.status == cli::kFailed);
    CHECK_THAT(again.err, Contains("is there already"));
    fs::permissions(file, fs::perms::group_read, fs::perm_options::add);
    const Answer open = kitchen.says({"key", "show"});
    CHECK(open.status == cli::kFailed);
    CHECK_THAT(open.err, Contains("chmod 600"));
    kitchen.environment().erase("HOME");
    CHECK(kitchen.says({"key", "show"}).status == cli::kWrongUsage);
}

TEST_CASE("verify says that an untouched store fits, and names a changed record") {
    Kitchen kitchen;
    kitchen.open_for_business();
    const std::string before = kitchen.store_bytes();
    CHECK_THAT(kitchen.good({"verify"}),
               StartsWith("Every record is as it was when it was written"));
    CHECK(kitchen.store_bytes() == before);
    change_behind_its_back(kitchen.store());
    const Answer answer = kitchen.says({"verify"});
    CHECK(answer.status == cli::kFailed);
    CHECK_THAT(answer.out, Contains("DOES NOT FIT"));
    CHECK_THAT(answer.out, Contains("(lot entered"));
}

TEST_CASE("a checkpoint kept elsewhere tells a rewritten store") {
    Kitchen kitchen;
    use_key(kitchen);
    kitchen.open_for_business();
    const fs::path safe = kitchen.folder() / "safe";
    fs::create_directory(safe);
    CHECK_THAT(kitchen.good({"checkpoint", "--by", "RK", "--into", safe.string()}),
               StartsWith("holdwarden-checkpoint/1\norigin Larkspur Yard Smokehouse\n"));
    const std::string file = (safe / "checkpoint.txt").string();
    const std::string key = fingerprint_in(kitchen.good({"key", "show"}));
    kitchen.good({"unit", "add", "chiller-1", "--kind", "walk-in"});
    const std::string good = kitchen.good({"verify", "--checkpoint", file, "--key", key});
    CHECK_THAT(good, Contains("is of this history"));
    CHECK_THAT(good, !Contains("Anybody can sign"));
    CHECK_THAT(kitchen.good({"verify", "--checkpoint", file}), Contains("Anybody can sign"));
    CHECK(kitchen.says({"checkpoint", "--into", safe.string()}).status == cli::kFailed);

    const Answer other =
        kitchen.says({"verify", "--checkpoint", file, "--key", std::string(64, '0')});
    CHECK(other.status == cli::kFailed);
    CHECK_THAT(other.out, Contains("not with the one you trust"));

    // The same kitchen written anew, one lot fewer: it fits by itself.
    fs::remove(kitchen.store());
    for (const char* suffix : {"-wal", "-shm"}) {
        fs::remove(fs::path{kitchen.store()}.concat(suffix));
    }
    kitchen.set_clock("2026-11-01T06:00:00-07:00");
    kitchen.good({"init", "--name", "Larkspur Yard Smokehouse", "--zone", "America/Denver"});
    for (int i = 0; i < 12; ++i) {
        kitchen.good({"probe", "add", "p" + std::to_string(i)});
    }
    kitchen.good({"verify"});
    const Answer rewritten = kitchen.says({"verify", "--checkpoint", file});
    CHECK(rewritten.status == cli::kFailed);
    CHECK_THAT(rewritten.out, Contains("is not the one that was signed 2026-11-01T13:00:00Z"));
}

TEST_CASE("proofs are printed, and checked without the store") {
    Kitchen kitchen;
    kitchen.open_for_business();
    for (const std::vector<std::string>& prove :
         {std::vector<std::string>{"prove", "entry", "2"}, {"prove", "growth", "3"}}) {
        const std::string text = kitchen.good(prove);
        const std::string file = kitchen.write("proof.txt", text);
        CHECK_THAT(kitchen.good({"verify", file}), Contains("leaves with root"));
        std::string changed = text;
        char& digit = changed[changed.size() - 2];
        digit = digit == '0' ? '1' : '0';
        const Answer answer = kitchen.says({"verify", kitchen.write("bad.txt", changed)});
        CHECK(answer.status == cli::kFailed);
        CHECK_THAT(answer.out, Contains("does not lead to the root"));
    }
    CHECK(kitchen.says({"prove", "entry", "1000"}).status == cli::kFailed);
    CHECK(kitchen.says({"prove", "batch", "1"}).status == cli::kFailed);
    CHECK(kitchen.says({"prove", "entry", "x"}).status == cli::kWrongUsage);
    CHECK(kitchen.says({"verify", kitchen.write("no.txt", "hello\n")}).status == cli::kFailed);
}

TEST_CASE("verify checks a packet without a store, and its JSON fits the schema") {
    Kitchen kitchen;
    use_key(kitchen);
    const fs::path packet = kitchen.folder() / "packet";
    fs::create_directory(packet);
    std::ofstream{packet / "readings.csv"} << "time,probe,temp_f\n";
    const auto key = seal::SigningKey::load(kitchen.folder() / ".config/holdwarden/key.pem");
    seal::seal_packet(packet,
                      {.origin = "Larkspur Yard Smokehouse",
                       .size = 3,
                       .root = seal::sha256("root"),
                       .time = Instant::from_unix_s(1'793'628'000),
                       .key = {}},
                      key, Instant::from_unix_s(1'793'628'000));
    CHECK_THAT(
        kitchen.good({"verify", packet.string(), "--key", (packet / "public-key.pem").string()}),
        StartsWith("The packet is as it was sealed on 2026-11-02T14:00:00Z: 4 files"));
    CHECK_THAT(kitchen.good({"verify", packet.string()}), Contains("Anybody can sign"));

    std::ifstream in{fs::path{HOLDWARDEN_SOURCE_DIR} /
                     "schema/json/holdwarden-verify-1.schema.json"};
    const nlohmann::json schema = nlohmann::json::parse(in);
    const auto faults = [&](const std::string& json) {
        return test::schema_faults(schema, nlohmann::json::parse(json));
    };
    CHECK(faults(kitchen.good({"verify", packet.string(), "--format", "json"})) ==
          std::vector<std::string>{});
    std::ofstream{packet / "readings.csv"} << "time,probe,temp_c\n";
    const Answer altered = kitchen.says({"verify", packet.string(), "--format", "json"});
    CHECK(altered.status == cli::kFailed);
    CHECK(faults(altered.out) == std::vector<std::string>{});
    CHECK(nlohmann::json::parse(altered.out).at("problems") ==
          nlohmann::json{"readings.csv was altered"});
    CHECK_FALSE(faults("{}").empty());
    CHECK(kitchen.says({"verify", (packet / "none").string()}).status == cli::kFailed);
    CHECK(kitchen.says({"verify", packet.string(), "--key", "abc"}).status == cli::kWrongUsage);
    CHECK(kitchen.says({"verify", packet.string(), "--checkpoint", "x"}).status ==
          cli::kWrongUsage);
}

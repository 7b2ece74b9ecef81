#include "folder.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/seal/packet.hpp>

#include <catch2/catch.hpp>
#include <sys/stat.h>

#include <algorithm>

using namespace holdwarden;
using namespace holdwarden::seal;
using seal_tests::Folder;
namespace fs = std::filesystem;

namespace {

SigningKey some_key(std::uint8_t first = 1) {
    SigningKey::Seed seed{};
    seed[0] = first;
    return SigningKey::from_seed(seed);
}

void seal_with(const Folder& folder, const SigningKey& key) {
    const Checkpoint checkpoint{.origin = "Larkspur Yard Smokehouse",
                                .size = 3,
                                .root = sha256("root"),
                                .time = Instant::from_unix_s(1'793'628'000),
                                .key = {}};
    seal_packet(folder.path(), checkpoint, key, Instant::from_unix_s(1'793'628'000));
}

void fill(const Folder& folder) {
    folder.write("readings.csv", "time,probe,temp_f\n");
    folder.write("sheets/hold.txt", "Hot holding\n");
    folder.write("sheets/empty.txt", "");
}

std::vector<std::string> problems_of(const Folder& folder) {
    return check_packet(folder.path(), fingerprint(some_key().public_key())).problems;
}

using Lines = std::vector<std::string>;

} // namespace

TEST_CASE("a sealed packet has no problems, however its folder is named") {
    const Folder folder;
    fill(folder);
    seal_with(folder, some_key());
    CHECK(problems_of(folder) == Lines{});
    const PacketReport report = check_packet(folder.path() / "", std::nullopt);
    CHECK(report.problems == Lines{});
    CHECK(report.checkpoint.value().origin == "Larkspur Yard Smokehouse");
    CHECK(report.key == fingerprint(some_key().public_key()));
    CHECK(report.manifest.value().files.size() == 6);
}

TEST_CASE("sha256sum checks a manifest as it stands") {
    const Folder folder;
    fill(folder);
    seal_with(folder, some_key());
    const std::string check = "cd '" + folder.path().string() +
                              "' && sha256sum --strict --status -c manifest.txt 2>/dev/null";
    CHECK(std::system(check.c_str()) == 0);
    folder.write("readings.csv", "time,probe,temp_c\n");
    CHECK(std::system(check.c_str()) != 0);
}

TEST_CASE("the page on checking by hand works as it stands") {
    // Runs each command of docs/checking-a-packet.md: sha256sum (GNU coreutils) and openssl.
    const Folder folder;
    fill(folder);
    seal_with(folder, some_key());
    std::ifstream in{std::string{HOLDWARDEN_SOURCE_DIR} + "/docs/checking-a-packet.md"};
    std::vector<std::string> steps;
    bool inside = false;
    for (std::string line; std::getline(in, line);) {
        if (line == "```") {
            inside = !inside;
            if (inside) {
                steps.emplace_back();
            }
        } else if (inside) {
            steps.back() += line + "\n";
        }
    }
    REQUIRE(steps.size() == 5);
    const auto output_of = [&](const std::string& step) {
        const Folder work;
        work.write("step", "cd '" + folder.path().string() + "'\n" + step);
        const std::string command = "bash '" + (work / "step").string() + "' > '" +
                                    (work / "said").string() + "' 2>&1; true";
        CHECK(std::system(command.c_str()) == 0);
        return work.read("said");
    };
    const auto says = [&](std::size_t step, const std::string& text) {
        return output_of(steps[step]).find(text) != std::string::npos;
    };
    const std::string verified = "Signature Verified Successfully";
    CHECK(output_of(steps[0]).substr(0, 64) == hex(fingerprint(some_key().public_key())));
    CHECK(says(1, verified));
    CHECK(says(2, "sheets/hold.txt: OK"));
    CHECK_FALSE(says(2, "FAILED"));
    CHECK(output_of(steps[3]).empty());
    CHECK(says(4, verified));

    folder.write("readings.csv", "time,probe,temp_c\n");
    CHECK(says(2, "readings.csv: FAILED"));
    folder.write("sheets/more.txt", "x");
    CHECK(output_of(steps[3]) == "sheets/more.txt\n");
    folder.write(kManifestFile, folder.read(kManifestFile) + "# more\n");
    CHECK_FALSE(says(1, verified));
    folder.write(kCheckpointSignature, std::string(64, 'x'));
    CHECK_FALSE(says(4, verified));
}

TEST_CASE("each kind of tampering is named") {
    const Folder folder;
    fill(folder);
    seal_with(folder, some_key());
    SECTION("altered, same length") {
        folder.write("readings.csv", "time,probe,temp_c\n");
        CHECK(problems_of(folder) == Lines{"readings.csv was altered"});
    }
    SECTION("altered, longer") {
        folder.write("sheets/empty.txt", " ");
        CHECK(problems_of(folder) == Lines{"sheets/empty.txt was altered"});
    }
    SECTION("missing") {
        fs::remove(folder / "sheets/hold.txt");
        CHECK(problems_of(folder) == Lines{"sheets/hold.txt is missing"});
    }
    SECTION("extra") {
        folder.write("sheets/more.txt", "x");
        CHECK(problems_of(folder) == Lines{"sheets/more.txt is not listed in the manifest"});
    }
    SECTION("renamed") {
        fs::rename(folder / "readings.csv", folder / "r.csv");
        CHECK(problems_of(folder) ==
              Lines{"r.csv is not listed in the manifest", "readings.csv is missing"});
    }
    SECTION("an extra file with a hostile name") {
        folder.write("a\nreadings.csv", "x");
        folder.write(".hidden", "x");
        const Lines problems = problems_of(folder);
        REQUIRE(problems.size() == 2);
        CHECK(problems[0] == ".hidden has a name that no packet uses");
        CHECK(problems[1].find('\n') == std::string::npos);
    }
    SECTION("a link in place of a file, though to the same bytes") {
        const Folder elsewhere;
        elsewhere.write("same.csv", "time,probe,temp_f\n");
        fs::remove(folder / "readings.csv");
        fs::create_symlink(elsewhere / "same.csv", folder / "readings.csv");
        CHECK(problems_of(folder) ==
              Lines{"readings.csv is not a plain file (links are not followed)"});
    }
    SECTION("a link in place of a folder") {
        const Folder elsewhere;
        fs::rename(folder / "sheets", elsewhere / "sheets");
        fs::create_directory_symlink(elsewhere / "sheets", folder / "sheets");
        CHECK(problems_of(folder) == Lines{"sheets is not a plain file (links are not followed)",
                                           "sheets/empty.txt is missing",
                                           "sheets/hold.txt is missing"});
    }
    SECTION("a pipe") {
        fs::remove(folder / "readings.csv");
        REQUIRE(::mkfifo((folder / "readings.csv").c_str(), 0600) == 0);
        CHECK(problems_of(folder) ==
              Lines{"readings.csv is not a plain file (links are not followed)"});
    }
    SECTION("each file of the seal, altered or taken away") {
        for (const char* name : {kManifestFile, kManifestSignature, kCheckpointFile,
                                 kCheckpointSignature, kPublicKeyFile}) {
            const std::string whole = folder.read(name);
            std::string changed = whole;
            changed[changed.size() / 2] = static_cast<char>(changed[changed.size() / 2] ^ 1);
            folder.write(name, changed);
            CHECK_FALSE(problems_of(folder).empty());
            fs::remove(folder / name);
            const Lines problems = problems_of(folder);
            CHECK(std::any_of(problems.begin(), problems.end(),
                              [&](const std::string& line) { return line.starts_with(name); }));
            folder.write(name, whole);
        }
        CHECK(problems_of(folder) == Lines{});
    }
    SECTION("the manifest mended to fit an altered file") {
        folder.write("readings.csv", "time,probe,temp_c\n");
        Manifest manifest = parse_manifest(folder.read(kManifestFile));
        for (ManifestFile& file : manifest.files) {
            file.digest = digest_file(folder / file.path);
        }
        folder.write(kManifestFile, to_text(manifest));
        CHECK(problems_of(folder) == Lines{"manifest.txt was not signed with the packet's key, or "
                                           "was altered since"});
    }
    SECTION("the checkpoint of another packet by the same key") {
        const Folder other;
        fill(other);
        Checkpoint checkpoint = parse_checkpoint(folder.read(kCheckpointFile));
        checkpoint.size = 4;
        seal_packet(other.path(), checkpoint, some_key(), Instant{});
        folder.write(kCheckpointFile, other.read(kCheckpointFile));
        folder.write(kCheckpointSignature, other.read(kCheckpointSignature));
        CHECK(problems_of(folder) ==
              Lines{"checkpoint.sig was altered", "checkpoint.txt was altered"});
    }
}

TEST_CASE("a packet sealed anew with another key is told by the trusted fingerprint") {
    const Folder folder;
    fill(folder);
    seal_with(folder, some_key(2));
    CHECK(check_packet(folder.path(), std::nullopt).problems.empty());
    const Lines problems = problems_of(folder);
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].find("not with the one you trust") != std::string::npos);
}

TEST_CASE("names that lead out of the folder are refused") {
    for (const char* name :
         {"", "/etc/passwd", "../x", "a/../x", "a//b", "a/", "./a", ".a", "a/.b", "-rf", "a/-b",
          "a\\b", "a b", "a\nb", "a:b", "C:\\x", "~", "a*", "ä"}) {
        CHECK_FALSE(is_packet_path(name));
    }
    CHECK_FALSE(is_packet_path(std::string(256, 'a')));
    CHECK_FALSE(is_packet_path(std::string("a\0b", 3)));
    for (const char* name : {"a", "a.csv", "sheets/hold-2026-11-02.txt", "A_1+2/b.c/d"}) {
        CHECK(is_packet_path(name));
    }
    const std::string head =
        "# holdwarden-manifest/1\n# made 2026-11-02T14:00:00Z\n# key " + hex(sha256("key")) + "\n";
    const auto entry = [](const std::string& name) {
        return "# bytes 1\n" + hex(sha256("x")) + "  " + name + "\n";
    };
    CHECK(parse_manifest(head).files.empty());
    CHECK(parse_manifest(head + entry("a") + entry("b")).files.size() == 2);
    for (const std::string& body :
         {entry("../x"), entry("/etc/passwd"), entry("a") + entry("a"), entry("b") + entry("a"),
          entry("a").substr(10), entry("a").substr(0, 70), std::string{"# bytes 01\n"},
          std::string{"\n"}}) {
        CHECK_THROWS_AS(parse_manifest(head + body), Error);
    }
    const ManifestFile outside{.path = "../x", .digest = {}};
    CHECK_THROWS_AS(to_text(Manifest{.made = {}, .key = {}, .files = {outside}}), Error);
}

TEST_CASE("a folder that a packet cannot hold is not sealed") {
    const Folder folder;
    fill(folder);
    fs::create_symlink("/etc/hostname", folder / "sheets/link.txt");
    CHECK_THROWS_AS(seal_with(folder, some_key()), Error);
    CHECK_FALSE(fs::exists(folder / kPublicKeyFile));
    fs::remove(folder / "sheets/link.txt");
    seal_with(folder, some_key());
    CHECK_THROWS_AS(seal_with(folder, some_key()), Error); // already sealed
    CHECK(problems_of(folder) == Lines{});
    CHECK_THROWS_AS(check_packet(folder / "none", std::nullopt), Error);
}

#pragma once

#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/run.hpp>

#include <catch2/catch.hpp>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <sstream>
#include <string>
#include <vector>

namespace kitchen {

using namespace holdwarden;
namespace fs = std::filesystem;

struct Answer {
    int status = 0;
    std::string out;
    std::string err;
};

/// A kitchen of its own: a folder, a store in it, and a clock that stands still until it is set.
class Kitchen {
public:
    Kitchen() {
        std::string name = (fs::temp_directory_path() / "holdwarden-cli-XXXXXX").string();
        folder_ = mkdtemp(name.data());
        environment_["HOLDWARDEN_STORE"] = (folder_ / "kitchen.db").string();
    }
    Kitchen(const Kitchen&) = delete;
    Kitchen& operator=(const Kitchen&) = delete;
    ~Kitchen() {
        std::error_code code;
        fs::remove_all(folder_, code);
    }

    /// The Larkspur Yard Smokehouse with two probes, two units and two lots, at 06:00 on Sunday.
    void open_for_business() {
        set_clock("2026-11-01T06:00:00-07:00");
        good({"init", "--name", "Larkspur Yard Smokehouse", "--zone", "America/Denver",
              "--altitude", "5280ft"});
        good({"probe", "add", "p1", "--accuracy", "1F", "--step", "0.1F"});
        good({"probe", "add", "p2"});
        good({"unit", "add", "cabinet-1", "--kind", "cabinet"});
        good({"unit", "add", "walk-in-1", "--kind", "walk-in"});
        good({"lot", "open", "brisket-1", "--food", "intact-roast", "--at", "2026-10-31 05:00"});
        good({"lot", "open", "brisket-2", "--food", "intact-roast", "--at", "2026-10-31 05:00"});
        good({"lot", "open", "beans-1", "--at", "2026-10-31 18:00"});
    }

    Answer says(const std::vector<std::string>& arguments, const std::string& input = "") {
        std::istringstream in{input};
        std::ostringstream out;
        std::ostringstream err;
        cli::Context context{.in = in,
                             .out = out,
                             .err = err,
                             .now = [this] { return now_; },
                             .env = [this](const std::string& name) -> std::optional<std::string> {
                                 const auto found = environment_.find(name);
                                 return found == environment_.end() ? std::nullopt
                                                                    : std::optional{found->second};
                             },
                             .data = HOLDWARDEN_SOURCE_DIR};
        const int status = cli::run(arguments, context);
        return {status, out.str(), err.str()};
    }

    /// What a command prints; it must succeed and say nothing on standard error.
    std::string good(const std::vector<std::string>& arguments, const std::string& input = "") {
        const Answer answer = says(arguments, input);
        INFO(arguments.front() << ": " << answer.err);
        REQUIRE(answer.status == cli::kDone);
        REQUIRE(answer.err.empty());
        return answer.out;
    }

    /// Somebody who signs with the PIN given on standard input: "--pin-file -".
    void add_signer(const char* name, const char* role, const std::string& pin,
                    const std::string& by = "", const std::string& pin_of_by = "") {
        std::vector<std::string> add{"person", "add", name, "--role", role};
        std::vector<std::string> set{"person", "pin", name, "--new-pin-file", "-"};
        for (auto* command : {&add, &set}) {
            if (!by.empty()) {
                command->insert(command->end(), {"--by", by, "--pin-file", "-"});
            }
        }
        const std::string signature = by.empty() ? "" : pin_of_by + "\n";
        good(add, signature);
        good(set, signature + pin + "\n");
    }

    void set_clock(const char* rfc3339) { now_ = *parse_rfc3339(rfc3339); }
    std::map<std::string, std::string>& environment() { return environment_; }
    fs::path store() const { return environment_.at("HOLDWARDEN_STORE"); }
    const fs::path& folder() const { return folder_; }

    std::string write(const char* name, const std::string& text) const {
        std::ofstream{folder_ / name, std::ios::binary} << text;
        return (folder_ / name).string();
    }

    /// The store's bytes, its write-ahead log included.
    std::string store_bytes() const {
        std::string all;
        for (const char* suffix : {"", "-wal"}) {
            std::ifstream in{fs::path{store()}.concat(suffix), std::ios::binary};
            all.append(std::istreambuf_iterator<char>{in}, {});
        }
        return all;
    }

private:
    fs::path folder_;
    Instant now_;
    std::map<std::string, std::string> environment_;
};

} // namespace kitchen

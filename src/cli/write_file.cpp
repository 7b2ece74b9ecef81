#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/write_file.hpp>

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <fstream>

namespace holdwarden::cli {
namespace {

namespace fs = std::filesystem;

Error cannot_write(const fs::path& file, const char* why) {
    return Error{ErrorKind::bad_input,
                 {.what = fmt::format("the file cannot be written: {}", why),
                  .where = for_display(file.string()),
                  .fix = "name a folder that exists and may be written to, with room on its disk"}};
}

} // namespace

void write_file(const fs::path& file, const std::string& text, IfThere if_there) {
    std::error_code code;
    if (if_there == IfThere::refuse && fs::exists(file, code)) {
        throw Error{ErrorKind::conflict,
                    {.what = "there is such a file already, and it was left as it is",
                     .where = for_display(file.string()),
                     .fix = "name another file, or add --force to replace it"}};
    }
    fs::path part = file;
    part += fmt::format(".{}.part", getpid());
    std::ofstream out{part, std::ios::binary | std::ios::trunc};
    if (!out) {
        throw cannot_write(file, std::strerror(errno));
    }
    out << text;
    out.close();
    if (!out) {
        const int reason = errno;
        fs::remove(part, code);
        throw cannot_write(file, std::strerror(reason));
    }
    fs::rename(part, file, code);
    if (code) {
        const std::string reason = code.message();
        fs::remove(part, code);
        throw cannot_write(file, reason.c_str());
    }
}

std::string file_name_for(const std::string& name) {
    constexpr std::size_t kLongestBytes = 120;
    std::string safe;
    for (const char c : name) {
        const auto byte = static_cast<unsigned char>(c);
        const bool keep = (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') ||
                          (byte >= '0' && byte <= '9') || byte >= 0x80 || byte == '.' ||
                          byte == '-' || byte == '_';
        safe += keep ? c : '_';
    }
    if (safe.size() > kLongestBytes) {
        std::size_t cut = kLongestBytes;
        while (cut > 0 && (static_cast<unsigned char>(safe[cut]) & 0xC0u) == 0x80u) {
            --cut;
        }
        safe.resize(cut);
    }
    if (safe.empty() || safe.front() == '.' || safe.front() == '-') {
        safe.insert(safe.begin(), '_');
    }
    return safe;
}

} // namespace holdwarden::cli

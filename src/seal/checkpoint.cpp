#include "lines.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/seal/checkpoint.hpp>

namespace holdwarden::seal {
namespace {

constexpr std::string_view kFormat = "holdwarden-checkpoint/1";
constexpr std::size_t kMostOriginBytes = 200;

bool is_plain_line(std::string_view text) {
    return !text.empty() && text.size() <= kMostOriginBytes && for_display(text) == text;
}

} // namespace

std::string to_text(const Checkpoint& checkpoint) {
    if (!is_plain_line(checkpoint.origin)) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the name '" + for_display(checkpoint.origin) +
                             "' cannot stand in a checkpoint",
                     .where = "site",
                     .fix = "use a name of at most 200 bytes without control characters"}};
    }
    return std::string{kFormat} + "\norigin " + checkpoint.origin + "\nsize " +
           std::to_string(checkpoint.size) + "\nroot " + hex(checkpoint.root) + "\ntime " +
           to_utc_text(checkpoint.time) + "\nkey " + hex(checkpoint.key) + "\n";
}

Checkpoint parse_checkpoint(std::string_view text) {
    LineReader in{text, kFormat, "checkpoint"};
    Checkpoint checkpoint;
    checkpoint.origin = in.value("origin");
    if (!is_plain_line(checkpoint.origin)) {
        in.fail("its origin is too long or holds control characters");
    }
    checkpoint.size = in.number("size");
    checkpoint.root = in.digest("root");
    checkpoint.time = in.instant("time");
    checkpoint.key = in.digest("key");
    if (!in.done()) {
        in.fail("something follows its end");
    }
    return checkpoint;
}

} // namespace holdwarden::seal

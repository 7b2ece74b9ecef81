#include <holdwarden/base/error.hpp>
#include <holdwarden/seal/leaf.hpp>

#include <bit>
#include <cassert>
#include <limits>

namespace holdwarden::seal {
namespace {

constexpr char kVersion = 1;
constexpr char kInteger = 'i';
constexpr char kReal = 'd';
constexpr char kText = 't';
constexpr char kBytes = 'b';

Error not_a_leaf(const std::string& what) {
    return Error{ErrorKind::bad_input,
                 {.what = "is not a leaf of a history: " + what,
                  .where = "",
                  .fix = "get the proof again from the store it came from"}};
}

class Reader {
public:
    explicit Reader(std::string_view bytes) : left_{bytes} {}

    bool done() const noexcept { return left_.empty(); }
    std::string_view take(std::uint64_t n) {
        if (n > left_.size()) {
            throw not_a_leaf("it ends too early");
        }
        const std::string_view taken = left_.substr(0, static_cast<std::size_t>(n));
        left_.remove_prefix(static_cast<std::size_t>(n));
        return taken;
    }
    std::uint64_t big_endian(unsigned bytes) {
        std::uint64_t value = 0;
        for (const char c : take(bytes)) {
            value = value << 8U | static_cast<unsigned char>(c);
        }
        return value;
    }

private:
    std::string_view left_;
};

} // namespace

LeafWriter::LeafWriter() : bytes_(1, kVersion) {}

void LeafWriter::big_endian(std::uint64_t value, unsigned bytes) {
    for (unsigned i = bytes; i-- > 0;) {
        bytes_ += static_cast<char>(value >> (8 * i) & 0xFFU);
    }
}

void LeafWriter::begin(char kind, std::string_view name) {
    assert(!name.empty() && name.size() <= 255);
    bytes_ += kind;
    big_endian(name.size(), 1);
    bytes_ += name;
}

void LeafWriter::add(std::string_view name, std::int64_t value) {
    begin(kInteger, name);
    big_endian(static_cast<std::uint64_t>(value), 8);
}

void LeafWriter::add(std::string_view name, double value) {
    begin(kReal, name);
    big_endian(std::bit_cast<std::uint64_t>(value), 8);
}

void LeafWriter::add(std::string_view name, std::string_view text) {
    assert(text.size() <= std::numeric_limits<std::uint32_t>::max());
    begin(kText, name);
    big_endian(text.size(), 4);
    bytes_ += text;
}

void LeafWriter::add_bytes(std::string_view name, std::span<const std::uint8_t> bytes) {
    assert(bytes.size() <= std::numeric_limits<std::uint32_t>::max());
    begin(kBytes, name);
    big_endian(bytes.size(), 4);
    bytes_.append(reinterpret_cast<const char*>(bytes.data()), bytes.size());
}

std::vector<LeafField> read_leaf(std::string_view bytes) {
    Reader in{bytes};
    if (in.done() || in.take(1).front() != kVersion) {
        throw not_a_leaf("its first byte is not 1");
    }
    std::vector<LeafField> fields;
    while (!in.done()) {
        const char kind = in.take(1).front();
        LeafField field;
        field.name = in.take(in.big_endian(1));
        if (field.name.empty()) {
            throw not_a_leaf("a field has no name");
        }
        if (kind == kInteger) {
            field.value = static_cast<std::int64_t>(in.big_endian(8));
        } else if (kind == kReal) {
            field.value = std::bit_cast<double>(in.big_endian(8));
        } else if (kind == kText) {
            field.value = std::string{in.take(in.big_endian(4))};
        } else if (kind == kBytes) {
            field.value = LeafBytes{std::string{in.take(in.big_endian(4))}};
        } else {
            throw not_a_leaf("a field is of no known kind");
        }
        fields.push_back(std::move(field));
    }
    return fields;
}

} // namespace holdwarden::seal

#pragma once

// The bytes that stand for a record in the hash tree. docs/formats/leaf.md gives them byte by byte.

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace holdwarden::seal {

/// Bytes that are not text.
struct LeafBytes {
    std::string bytes;
    friend bool operator==(const LeafBytes&, const LeafBytes&) = default;
};

/// One named value of a record.
struct LeafField {
    std::string name;
    std::variant<std::int64_t, double, std::string, LeafBytes> value;
    friend bool operator==(const LeafField&, const LeafField&) = default;
};

/// Writes fields one after the other. Two different sequences of fields never give the same bytes:
/// every name and value says its kind and length first.
class LeafWriter {
public:
    LeafWriter();

    /// A name has 1 to 255 bytes (asserted).
    void add(std::string_view name, std::int64_t value);
    void add(std::string_view name, double value);
    void add(std::string_view name, std::string_view text);
    void add_bytes(std::string_view name, std::span<const std::uint8_t> bytes);

    const std::string& bytes() const noexcept { return bytes_; }

private:
    void begin(char kind, std::string_view name);
    void big_endian(std::uint64_t value, unsigned bytes);

    std::string bytes_;
};

/// The fields that such bytes hold. Throws Error{bad_input} if they are not of this form.
std::vector<LeafField> read_leaf(std::string_view bytes);

} // namespace holdwarden::seal

#include <holdwarden/base/error.hpp>
#include <holdwarden/seal/encoding.hpp>
#include <holdwarden/seal/leaf.hpp>

#include <catch2/catch.hpp>
#include <rapidcheck.h>
#include <rapidcheck/catch.h>

#include <array>
#include <limits>

using namespace holdwarden;
using namespace holdwarden::seal;

namespace {

std::string digits(const std::string& bytes) {
    return hex({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
}

LeafWriter written(const std::vector<LeafField>& fields) {
    LeafWriter leaf;
    for (const LeafField& field : fields) {
        if (const auto* n = std::get_if<std::int64_t>(&field.value)) {
            leaf.add(field.name, *n);
        } else if (const auto* d = std::get_if<double>(&field.value)) {
            leaf.add(field.name, *d);
        } else if (const auto* t = std::get_if<std::string>(&field.value)) {
            leaf.add(field.name, std::string_view{*t});
        } else {
            const std::string& b = std::get<LeafBytes>(field.value).bytes;
            leaf.add_bytes(field.name, {reinterpret_cast<const std::uint8_t*>(b.data()), b.size()});
        }
    }
    return leaf;
}

rc::Gen<std::vector<LeafField>> any_fields() {
    const auto field = rc::gen::exec([] {
        LeafField made;
        made.name = "f" + *rc::gen::string<std::string>();
        made.name.resize(std::min<std::size_t>(made.name.size(), 255));
        switch (*rc::gen::inRange(0, 4)) {
        case 0:
            made.value = *rc::gen::arbitrary<std::int64_t>();
            break;
        case 1:
            made.value = *rc::gen::arbitrary<double>();
            break;
        case 2:
            made.value = *rc::gen::string<std::string>();
            break;
        default:
            made.value = LeafBytes{*rc::gen::string<std::string>()};
        }
        return made;
    });
    return rc::gen::container<std::vector<LeafField>>(field);
}

} // namespace

TEST_CASE("a leaf has the bytes that the format page says") {
    // docs/formats/leaf.md, "Example", put together by hand from its table.
    LeafWriter leaf;
    leaf.add("id", std::int64_t{7});
    leaf.add("note", std::string_view{"äh"}); // UTF-8: c3 a4 68
    leaf.add_bytes("d", std::array<std::uint8_t, 2>{0xFF, 0x00});
    CHECK(digits(leaf.bytes()) == "01"
                                  "69"
                                  "02"
                                  "6964"
                                  "0000000000000007"
                                  "74"
                                  "04"
                                  "6e6f7465"
                                  "00000003"
                                  "c3a468"
                                  "62"
                                  "01"
                                  "64"
                                  "00000002"
                                  "ff00");
}

TEST_CASE("numbers are big-endian, two's complement and IEEE 754") {
    // IEEE 754-2019, 3.6: 1.0 is 3ff0..., -2.0 is c000... (binary64).
    LeafWriter leaf;
    leaf.add("a", std::int64_t{-1});
    leaf.add("b", std::numeric_limits<std::int64_t>::min());
    leaf.add("c", 1.0);
    leaf.add("d", -2.0);
    CHECK(digits(leaf.bytes()) == "01"
                                  "690161ffffffffffffffff"
                                  "6901628000000000000000"
                                  "6401633ff0000000000000"
                                  "640164c000000000000000");
}

TEST_CASE("what was written is read back, and other fields give other bytes") {
    rc::prop("round trip", [] {
        const auto fields = *any_fields();
        RC_ASSERT(read_leaf(written(fields).bytes()) == fields);
    });
    rc::prop("no two leaves share their bytes", [] {
        const auto a = *any_fields();
        const auto b = *any_fields();
        RC_ASSERT((written(a).bytes() == written(b).bytes()) == (a == b));
    });
}

TEST_CASE("bytes that are no leaf are refused, whole or cut off") {
    LeafWriter leaf;
    leaf.add("id", std::int64_t{7});
    leaf.add("note", std::string_view{"ok"});
    const std::string bytes = leaf.bytes();
    const std::size_t first_field = 1 + 1 + 1 + 2 + 8;
    for (std::size_t n = 0; n < bytes.size(); ++n) {
        if (n == 1 || n == first_field) {
            CHECK_NOTHROW(read_leaf(bytes.substr(0, n))); // a leaf of fewer fields
        } else {
            CHECK_THROWS_AS(read_leaf(bytes.substr(0, n)), Error);
        }
    }
    CHECK_THROWS_AS(read_leaf("\x02"), Error);
    CHECK_THROWS_AS(read_leaf(std::string("\x01x\x01"
                                          "a\0\0\0\0",
                                          8)),
                    Error);
    CHECK_THROWS_AS(read_leaf(std::string("\x01t\x00\0\0\0\0", 7)), Error);
    CHECK_THROWS_AS(read_leaf("\x01t\x01"
                              "a\xFF\xFF\xFF\xFF"),
                    Error);
}

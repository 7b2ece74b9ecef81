#pragma once

// A fuzz target: takes any bytes. It must return; a crash, a hang, an exception other than Error or
// a broken claim (require) is a find. libFuzzer calls it (https://llvm.org/docs/LibFuzzer.html),
// and so does replay.cpp.

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string_view>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace holdwarden::fuzz {

inline std::string_view text_of(const std::uint8_t* data, std::size_t size) {
    return {reinterpret_cast<const char*>(data), size};
}

/// A claim that must hold whatever the bytes are.
inline void require(bool holds, const char* claim) {
    if (!holds) {
        std::fprintf(stderr, "broken claim: %s\n", claim);
        std::abort();
    }
}

} // namespace holdwarden::fuzz

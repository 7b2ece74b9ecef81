// Runs a fuzz target over the files of a folder: what the fuzzer once found interesting is tried
// again by every test run, with any compiler.
#include "target.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>
#include <vector>

int main(int argc, char** argv) {
    if (argc != 2) {
        std::cerr << "usage: replay FOLDER\n";
        return 2;
    }
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::recursive_directory_iterator{argv[1]}) {
        if (entry.is_regular_file()) {
            files.push_back(entry.path());
        }
    }
    if (files.empty()) {
        std::cerr << argv[1] << " holds no file to try\n";
        return 1;
    }
    std::ranges::sort(files);
    for (const auto& file : files) {
        std::ifstream in{file, std::ios::binary};
        const std::string bytes{std::istreambuf_iterator<char>{in}, {}};
        std::cerr << file.filename().string() << "\n"; // the last line names the file that crashed
        // A copy of exactly this size, so that a sanitizer sees a read past its end.
        const std::vector<std::uint8_t> exact(bytes.begin(), bytes.end());
        LLVMFuzzerTestOneInput(exact.data(), exact.size());
    }
    std::cout << files.size() << " files tried\n";
    return 0;
}

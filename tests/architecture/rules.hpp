#pragma once

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace architecture {

/// Which modules each module may include; what those may include, it may too.
using Arrows = std::map<std::string, std::set<std::string>>;

/// The arrows of DEVELOPERS.md, "Modules".
const Arrows& arrows();

/// `module` and everything its arrows lead to. Empty for an unknown module.
std::set<std::string> reach(const Arrows& arrows, const std::string& module);

/// What a source file does that its place does not allow, one sentence each ("src/judge/a.cpp:3:
/// ..."). `path` is relative to the project ("src/judge/a.cpp", "include/holdwarden/judge/a.hpp").
std::vector<std::string> offences(const std::string& path, std::string_view text);

/// Modules that the build lets a module link (holdwarden_module lines of a CMakeLists.txt), by
/// module.
Arrows linked_modules(std::string_view cmake_text);

} // namespace architecture

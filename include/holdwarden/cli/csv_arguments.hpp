#pragma once

#include <holdwarden/cli/command.hpp>
#include <holdwarden/intake/csv.hpp>

#include <string>
#include <vector>

namespace holdwarden::cli {

/// The options that say how a CSV file is to be read, the same for each command that reads one.
struct CsvArguments {
    std::string zone;
    std::string scale;
    std::string separator;
    bool decimal_comma = false;
    std::string time_column;
    std::string probe_column;
    std::string temp_column;
    std::vector<std::string> columns;
    std::string time_format;
    std::string repeated_hour;

    void declare(Arguments& arguments);

    /// The names of the options that were given, for a command that has no file to read.
    std::vector<std::string> given() const;

    /// Throws Error{usage} naming the option. `zone_else`: the zone of local times when --zone is
    /// not given; `scale_else` likewise.
    intake::CsvOptions to_options(const std::string& file_name,
                                  std::optional<Zone> zone_else = std::nullopt,
                                  std::optional<Scale> scale_else = std::nullopt) const;
};

/// "F" or "C", as --scale takes it. Throws Error{usage}.
Scale scale_argument(const std::string& text);

/// A file, or standard input when it is called "-".
intake::Source csv_source(const std::string& file, Context& context);

} // namespace holdwarden::cli

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/csv_arguments.hpp>

#include <fmt/format.h>

namespace holdwarden::cli {
namespace {

Error wrong(const std::string& option, const std::string& value, const std::string& fix) {
    return Error{ErrorKind::usage,
                 {.what = fmt::format("{} '{}' is not known", option, for_display(value, 60)),
                  .where = "",
                  .fix = fix}};
}

char separator_named(const std::string& text) {
    if (text == "comma" || text == ",") {
        return ',';
    }
    if (text == "semicolon" || text == ";") {
        return ';';
    }
    if (text == "tab" || text == "\t") {
        return '\t';
    }
    throw wrong("--separator", text, "give comma, semicolon or tab");
}

/// What a temperature column of another name is to be read as.
std::string temperature_name(const std::string& column, bool scale_given) {
    if (!scale_given && (column.ends_with("_f") || column.ends_with("_F"))) {
        return "temp_f";
    }
    if (!scale_given && (column.ends_with("_c") || column.ends_with("_C"))) {
        return "temp_c";
    }
    return "temp";
}

} // namespace

void CsvArguments::declare(Arguments& arguments) {
    arguments.option("--zone", zone, "IANA time zone of local times, such as America/Denver");
    arguments.option("--scale", scale, "F or C: the scale of bare numbers");
    arguments.option("--separator", separator, "comma, semicolon or tab (else the header tells)");
    arguments.flag("--decimal-comma", decimal_comma, "The decimal sign is the comma: 59,5");
    arguments.option("--time-column", time_column, "The column that holds the time");
    arguments.option("--probe-column", probe_column, "The column that holds the probe's name");
    arguments.option("--temp-column", temp_column, "The column that holds the temperature");
    arguments.options("--column", columns, "OLD=NEW: read column OLD as if it were called NEW");
    arguments.option("--time-format", time_format,
                     "unix, unix-ms, or a pattern such as '%d.%m.%Y %H:%M'");
    arguments.option("--repeated-hour", repeated_hour,
                     "first or second: which pass, where the order of rows does not tell");
}

std::vector<std::string> CsvArguments::given() const {
    std::vector<std::string> names;
    const auto see = [&](const std::string& value, const char* name) {
        if (!value.empty()) {
            names.emplace_back(name);
        }
    };
    see(zone, "--zone");
    see(scale, "--scale");
    see(separator, "--separator");
    see(decimal_comma ? "yes" : "", "--decimal-comma");
    see(time_column, "--time-column");
    see(probe_column, "--probe-column");
    see(temp_column, "--temp-column");
    see(columns.empty() ? "" : columns.front(), "--column");
    see(time_format, "--time-format");
    see(repeated_hour, "--repeated-hour");
    return names;
}

intake::CsvOptions CsvArguments::to_options(const std::string& file_name,
                                            std::optional<Zone> zone_else,
                                            std::optional<Scale> scale_else) const {
    intake::CsvOptions options;
    options.name = for_display(file_name);
    options.zone = zone_else;
    if (!zone.empty()) {
        try {
            options.zone = Zone::named(zone);
        } catch (const Error& error) {
            throw Error{ErrorKind::usage, error.at("--zone").text()};
        }
    }
    options.scale = scale.empty() ? scale_else : scale_argument(scale);
    if (!separator.empty()) {
        options.separator = separator_named(separator);
    }
    options.decimal_comma = decimal_comma;
    options.time_format = time_format;
    if (repeated_hour == "first") {
        options.repeated_hour = intake::RepeatedHour::first;
    } else if (repeated_hour == "second") {
        options.repeated_hour = intake::RepeatedHour::second;
    } else if (!repeated_hour.empty()) {
        throw wrong("--repeated-hour", repeated_hour, "give first or second");
    }
    for (const std::string& text : columns) {
        const auto equals = text.find('=');
        if (equals == std::string::npos || equals == 0 || equals + 1 == text.size()) {
            throw wrong("--column", text, "write it as OLD=NEW");
        }
        options.columns.push_back({text.substr(0, equals), text.substr(equals + 1)});
    }
    const auto rename = [&](const std::string& from, const std::string& to) {
        if (!from.empty() && from != to) {
            options.columns.push_back({from, to});
        }
    };
    rename(time_column, "time");
    rename(probe_column, "probe");
    rename(temp_column, temperature_name(temp_column, options.scale.has_value()));
    return options;
}

Scale scale_argument(const std::string& text) {
    if (text == "F" || text == "f") {
        return Scale::fahrenheit;
    }
    if (text == "C" || text == "c") {
        return Scale::celsius;
    }
    throw wrong("--scale", text, "give F or C");
}

intake::Source csv_source(const std::string& file, Context& context) {
    return file == "-" ? intake::stream_source(context.in) : intake::file_source(file);
}

} // namespace holdwarden::cli

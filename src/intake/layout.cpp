#include "layout.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace holdwarden::intake {
namespace {

std::string lower(std::string_view text) {
    std::string out{text};
    std::transform(out.begin(), out.end(), out.begin(), [](char c) {
        return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    });
    return out;
}

/// The header's names, renamed as asked, and how to complain about them.
class Names {
public:
    Names(const Fields& header, const CsvOptions& options) : file_{options.name} {
        for (std::size_t i = 0; i < header.size(); ++i) {
            names_.emplace_back(without_blanks(header[i]));
        }
        for (const ColumnName& rename : options.columns) {
            const auto found = std::find(names_.begin(), names_.end(), rename.from);
            if (found == names_.end()) {
                throw fail(fmt::format("there is no column '{}'", for_display(rename.from, 60)),
                           "name a column that the file has");
            }
            *found = rename.to;
        }
        for (std::size_t i = 0; i < names_.size(); ++i) {
            keys_.push_back(lower(names_[i]));
            if (!keys_[i].empty() &&
                std::find(keys_.begin(), keys_.end() - 1, keys_[i]) != keys_.end() - 1) {
                throw fail(fmt::format("two columns are called '{}'", for_display(names_[i], 60)),
                           "rename one of them with --column OLD=NEW, or in the file");
            }
        }
    }

    std::size_t size() const noexcept { return names_.size(); }
    const std::string& name(std::size_t i) const { return names_[i]; }
    const std::string& key(std::size_t i) const { return keys_[i]; }

    std::size_t find(std::string_view key) const {
        const auto found = std::find(keys_.begin(), keys_.end(), key);
        return found == keys_.end() ? Layout::kNone
                                    : static_cast<std::size_t>(found - keys_.begin());
    }

    Error fail(std::string what, std::string fix) const {
        std::vector<std::string> shown;
        for (const std::string& name : names_) {
            if (shown.size() == 20) {
                shown.emplace_back("more");
                break;
            }
            shown.push_back(fmt::format("'{}'", for_display(name, 40)));
        }
        what += fmt::format(" (the columns are {})", listed(shown));
        return Error{ErrorKind::bad_input,
                     {.what = std::move(what), .where = file_ + ":1", .fix = std::move(fix)}};
    }

private:
    std::string file_;
    std::vector<std::string> names_;
    std::vector<std::string> keys_;
};

std::optional<Scale> suffix_scale(std::string_view key) {
    if (key.size() > 2 && key.ends_with("_f")) {
        return Scale::fahrenheit;
    }
    if (key.size() > 2 && key.ends_with("_c")) {
        return Scale::celsius;
    }
    return std::nullopt;
}

/// The one temperature column of the long form.
void find_value(const Names& names, const CsvOptions& options, Layout& layout) {
    std::size_t found = 0;
    for (const std::string_view key : {"temp_f", "temp_c", "temp"}) {
        const std::size_t column = names.find(key);
        if (column == Layout::kNone) {
            continue;
        }
        ++found;
        layout.value = column;
        layout.scale = key == "temp" ? options.scale : suffix_scale(key);
    }
    if (found == 0) {
        throw names.fail("there is no temperature column",
                         "call it temp_f, temp_c or temp (with --scale), or name it with "
                         "--temp-column NAME");
    }
    if (found > 1) {
        throw names.fail("there is more than one temperature column",
                         "rename all but one with --column OLD=NEW");
    }
    if (names.key(layout.value) == "temp") {
        layout.scale_column = names.find("scale");
    }
}

void find_cells(const Names& names, Layout& layout) {
    for (std::size_t i = 0; i < names.size(); ++i) {
        const auto scale = suffix_scale(names.key(i));
        if (!scale || i == layout.time || i == layout.lot || i == layout.stage) {
            continue;
        }
        const std::string& name = names.name(i);
        std::string probe{without_blanks(std::string_view{name}.substr(0, name.size() - 2))};
        const auto same = [&](const Layout::Cell& cell) { return cell.probe == probe; };
        if (std::any_of(layout.cells.begin(), layout.cells.end(), same)) {
            throw names.fail(fmt::format("two columns hold the probe '{}'", for_display(probe, 60)),
                             "rename the one that was not measured with --column OLD=NEW, to a "
                             "name without _f or _c");
        }
        layout.cells.push_back({i, std::move(probe), *scale});
    }
}

void note_ignored(const Names& names, Layout& layout) {
    std::vector<std::string> ignored;
    for (std::size_t i = 0; i < names.size(); ++i) {
        const bool cell = std::any_of(layout.cells.begin(), layout.cells.end(),
                                      [&](const Layout::Cell& c) { return c.column == i; });
        const std::array<std::size_t, 6> used{layout.time,  layout.lot,   layout.stage,
                                              layout.probe, layout.value, layout.scale_column};
        if (!cell && std::find(used.begin(), used.end(), i) == used.end()) {
            ignored.push_back(fmt::format("'{}'", for_display(names.name(i), 60)));
        }
    }
    if (!ignored.empty()) {
        layout.notes.push_back(
            fmt::format("column{} {} not used", ignored.size() > 1 ? "s" : "", listed(ignored)));
    }
}

} // namespace

char separator_of(std::string_view header) {
    constexpr std::array<char, 3> kSeparators{',', ';', '\t'};
    std::array<std::size_t, 3> counts{};
    bool quoted = false;
    for (const char c : header) {
        quoted = c == '"' ? !quoted : quoted;
        for (std::size_t i = 0; i < kSeparators.size() && !quoted; ++i) {
            counts[i] += c == kSeparators[i] ? 1 : 0;
        }
    }
    const auto most = std::max_element(counts.begin(), counts.end());
    if (*most > 0 && std::count(counts.begin(), counts.end(), *most) > 1) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the header line does not tell what separates the columns",
                     .where = "",
                     .fix = "give --separator comma, semicolon or tab"}};
    }
    return kSeparators[static_cast<std::size_t>(most - counts.begin())];
}

Layout read_header(const Fields& header, const CsvOptions& options) {
    const Names names{header, options};
    Layout layout;
    layout.columns = names.size();
    layout.time = names.find("time");
    layout.lot = names.find("lot");
    layout.stage = names.find("stage");
    layout.probe = names.find("probe");
    if (layout.time == Layout::kNone) {
        throw names.fail("there is no column called 'time'",
                         "name the one that holds the time with --time-column NAME");
    }
    if (layout.probe != Layout::kNone) {
        find_value(names, options, layout);
    } else {
        find_cells(names, layout);
        const bool one_temp =
            layout.cells.empty() || (layout.cells.size() == 1 && layout.cells[0].probe == "temp");
        if (one_temp) {
            layout.cells.clear();
            if (names.find("temp") == Layout::kNone && names.find("temp_f") == Layout::kNone &&
                names.find("temp_c") == Layout::kNone) {
                throw names.fail("there is no temperature in it",
                                 "give a probe column and temp_f or temp_c, or one column a probe "
                                 "called NAME_f or NAME_c; --column OLD=NEW renames");
            }
            find_value(names, options, layout);
            layout.notes.emplace_back("there is no probe column: the readings are taken as those "
                                      "of one probe in the core");
        } else {
            layout.wide = true;
        }
    }
    note_ignored(names, layout);
    return layout;
}

} // namespace holdwarden::intake

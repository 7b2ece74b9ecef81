#pragma once

// Lines of tab-separated fields, written and read by the same description. Internal to the text of
// a handed lot.

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/records/reading.hpp>

#include <fmt/format.h>

#include <charconv>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::records {

inline constexpr std::size_t kLongestField = 1000;         ///< bytes
inline constexpr std::size_t kMostFieldsOfLine = 24;       ///< more than any line has
inline constexpr std::int64_t kLatestMs = (1LL << 42) - 1; ///< what a store can keep: year 2109

/// Writes lines. A field that could be taken for two, or for nothing a person typed, is refused.
class LineWriter {
public:
    static constexpr bool kReads = false;

    template <class Fields>
    void line(std::string_view kind, Fields fields) {
        out_ += kind;
        fields();
        out_ += '\n';
    }
    template <class T, class Blank, class Fields, class After>
    void many(std::string_view kind, std::vector<T>& list, Blank /*blank*/, Fields fields,
              After after) {
        for (T& one : list) {
            line(kind, [&] { fields(one); });
            after(one);
        }
    }
    void text(std::string& value) {
        if (value.size() > kLongestField || for_display(value, kLongestField) != value) {
            throw Error{ErrorKind::bad_input,
                        {.what = "a text of its records cannot be written into a line: '" +
                                 for_display(value, 80) + "'",
                         .where = "",
                         .fix = "amend that record"}};
        }
        out_ += '\t';
        out_ += value;
    }
    void integer(std::int64_t& value) { out_ += fmt::format("\t{}", value); }
    void nothing() { out_ += '\t'; }
    std::string take() { return std::move(out_); }

private:
    std::string out_;
};

/// Reads them, strictly.
class LineReader {
public:
    static constexpr bool kReads = true;

    explicit LineReader(std::string_view text) : left_{text} { advance(); }

    bool done() const noexcept { return !has_line_; }

    template <class Fields>
    void line(std::string_view kind, Fields fields) {
        if (!next_is(kind)) {
            fail("'" + std::string{kind} + "' is missing");
        }
        next_field_ = 1;
        fields();
        if (next_field_ != fields_.size()) {
            fail("it has more fields than a '" + std::string{kind} + "' has");
        }
        advance();
    }
    template <class T, class Blank, class Fields, class After>
    void many(std::string_view kind, std::vector<T>& list, Blank blank, Fields fields,
              After after) {
        while (next_is(kind)) {
            T one = blank();
            line(kind, [&] { fields(one); });
            after(one);
            list.push_back(std::move(one));
        }
    }
    void text(std::string& value) { value = std::string{field()}; }
    void integer(std::int64_t& value) {
        const std::string_view digits = field();
        const auto [end, code] =
            std::from_chars(digits.data(), digits.data() + digits.size(), value);
        const bool plain = code == std::errc{} && end == digits.data() + digits.size() &&
                           fmt::format("{}", value) == digits;
        if (!plain) {
            fail("'" + for_display(digits, 40) + "' is not a whole number");
        }
    }
    /// Whether the next field is empty; then it is passed over.
    bool skip_empty() {
        if (next_field_ < fields_.size() && fields_[next_field_].empty()) {
            ++next_field_;
            return true;
        }
        return false;
    }
    bool next_is(std::string_view kind) const noexcept {
        return has_line_ && fields_.front() == kind;
    }
    [[noreturn]] void fail(const std::string& why) const {
        throw Error{ErrorKind::bad_input,
                    {.what = "is no handed lot that can be read: " + why,
                     .where = fmt::format("line {}", line_),
                     .fix = "ask the kitchen it came from to hand it on again"}};
    }

private:
    std::string_view field() {
        if (next_field_ >= fields_.size()) {
            fail("a field is missing");
        }
        const std::string_view value = fields_[next_field_++];
        if (value.size() > kLongestField) {
            fail("a field is too long");
        }
        if (for_display(value, kLongestField) != value) {
            fail("a field has a control character or is not UTF-8");
        }
        return value;
    }
    void advance() {
        fields_.clear();
        has_line_ = !left_.empty();
        if (!has_line_) {
            return;
        }
        ++line_;
        const std::size_t end = left_.find('\n');
        if (end == std::string_view::npos) {
            fail("its last line has no end");
        }
        std::string_view rest = left_.substr(0, end);
        left_.remove_prefix(end + 1);
        for (;;) {
            const std::size_t tab = rest.find('\t');
            fields_.push_back(rest.substr(0, tab));
            if (tab == std::string_view::npos) {
                return;
            }
            if (fields_.size() > kMostFieldsOfLine) {
                fail("it has too many fields");
            }
            rest.remove_prefix(tab + 1);
        }
    }

    std::string_view left_;
    std::vector<std::string_view> fields_;
    std::size_t next_field_ = 0;
    std::size_t line_ = 0;
    bool has_line_ = false;
};

} // namespace holdwarden::records

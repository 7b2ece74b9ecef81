#pragma once

// How values are written into columns and read back, in one place. Internal to the store.

#include "sqlite.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/records/lot.hpp>

#include <optional>
#include <string>
#include <string_view>

namespace holdwarden::store {

inline std::string_view scale_text(Scale scale) noexcept {
    return scale == Scale::fahrenheit ? "F" : "C";
}

inline Scale scale_from(std::string_view text) noexcept {
    return text == "F" ? Scale::fahrenheit : Scale::celsius;
}

/// Columns `column` (thousandths) and `column + 1` (scale).
template <class Degrees>
std::optional<Degrees> degrees_at(const Statement& row, int column) {
    if (row.is_null(column)) {
        return std::nullopt;
    }
    return Degrees::of_thousandths(static_cast<std::int32_t>(row.integer(column)),
                                   scale_from(row.text(column + 1)));
}

template <class Degrees>
std::optional<std::int64_t> thousandths_of(const std::optional<Degrees>& degrees) {
    return degrees ? std::optional<std::int64_t>{degrees->thousandths()} : std::nullopt;
}

template <class Degrees>
std::optional<std::string_view> scale_of(const std::optional<Degrees>& degrees) {
    return degrees ? std::optional{scale_text(degrees->scale())} : std::nullopt;
}

inline std::string_view form_text(records::TimeControlForm form) noexcept {
    return form == records::TimeControlForm::six_hours ? "6h" : "4h";
}

inline records::TimeControlForm form_from(std::string_view text) noexcept {
    return text == "6h" ? records::TimeControlForm::six_hours
                        : records::TimeControlForm::four_hours;
}

template <class T>
std::optional<std::int64_t> maybe_id(const std::optional<T>& id) {
    return id ? std::optional{id->value()} : std::nullopt;
}

/// Columns `column` (lot), + 1 (point) and + 2 (unit).
inline records::Target target_at(const Statement& row, int column) {
    if (row.is_null(column)) {
        return records::UnitAir{records::UnitId::of(row.integer(column + 2))};
    }
    return records::LotPoint{records::LotId::of(row.integer(column)),
                             std::string{row.text(column + 1)}};
}

/// A target as the three columns lot, point and unit. Refers to the target's own text.
struct TargetColumns {
    std::optional<std::int64_t> lot;
    std::optional<std::string_view> point;
    std::optional<std::int64_t> unit;
};
inline TargetColumns columns_of(const records::Target& target) {
    if (const auto* spot = std::get_if<records::LotPoint>(&target)) {
        return {spot->lot.value(), spot->point, std::nullopt};
    }
    return {std::nullopt, std::nullopt, std::get<records::UnitAir>(target).unit.value()};
}

inline Instant instant_at(const Statement& row, int column) noexcept {
    return Instant::from_unix_ms(row.integer(column));
}

/// A word of the program's vocabulary; `named` looks it up. Throws Error{store} for one it does not
/// know.
template <class Named>
auto word_at(const Statement& row, int column, Named named) {
    const auto value = named(row.text(column));
    if (!value) {
        throw Error{ErrorKind::store,
                    {.what = "the store holds the word '" + for_display(row.text(column)) +
                             "', which this program does not know",
                     .where = "",
                     .fix = "use the program that wrote it"}};
    }
    return *value;
}

template <class Named>
auto maybe_word_at(const Statement& row, int column, Named named) {
    using Optional = decltype(named(std::string_view{}));
    return row.is_null(column) ? Optional{} : Optional{word_at(row, column, named)};
}

template <class Enum>
std::optional<std::string_view> maybe_name(const std::optional<Enum>& value) {
    return value ? std::optional{to_name(*value)} : std::nullopt;
}

/// Columns from `column`: entry id, entered_at, by.
template <class RecordId, class Facts>
records::Recorded<RecordId, Facts> recorded(const Statement& row, int column, RecordId id,
                                            Facts facts) {
    return {.id = id,
            .facts = std::move(facts),
            .entry = records::EntryId::of(row.integer(column)),
            .stamp = {.entered_at = instant_at(row, column + 1),
                      .by = std::string{row.text(column + 2)}}};
}

} // namespace holdwarden::store

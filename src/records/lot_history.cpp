#include <holdwarden/records/lot_history.hpp>

#include <algorithm>

namespace holdwarden::records {

namespace {

bool tells_of(const LotHistory& life, LotId lot) noexcept {
    return life.told_from.empty() ||
           std::find(life.told_from.begin(), life.told_from.end(), lot) != life.told_from.end();
}

bool came_later(const ReadingMark& mark, const Reading& reading) noexcept {
    const auto end = mark.came_later.end();
    const auto first = std::partition_point(mark.came_later.begin(), end,
                                            [&](const Shown& s) { return s.at < reading.at; });
    return std::any_of(
        first, std::partition_point(first, end, [&](const Shown& s) { return s.at == reading.at; }),
        [&](const Shown& s) { return s.value == reading.value; });
}

} // namespace

bool covers(const ReadingMark& mark, const LotHistory& life, std::string_view series,
            const Reading& reading) noexcept {
    if (mark.origin != reading.origin) {
        return false;
    }
    if (mark.origin == Origin::typed) {
        return mark.series == series && mark.from == reading.at && mark.value == reading.value &&
               (!mark.lot || tells_of(life, *mark.lot));
    }
    return mark.probe == reading.probe && mark.from <= reading.at && reading.at <= mark.to &&
           !came_later(mark, reading);
}

} // namespace holdwarden::records

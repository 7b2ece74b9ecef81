#include <holdwarden/records/lot_history.hpp>

namespace holdwarden::records {

bool covers(const ReadingMark& mark, std::string_view series, const Reading& reading) noexcept {
    if (mark.origin != reading.origin) {
        return false;
    }
    if (mark.origin == Origin::typed) {
        return mark.series == series && mark.from == reading.at && mark.value == reading.value;
    }
    return mark.probe == reading.probe && mark.from <= reading.at && reading.at <= mark.to;
}

} // namespace holdwarden::records

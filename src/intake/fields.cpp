#include "fields.hpp"

namespace holdwarden::intake {

const char* Fields::cut_quoted(std::string_view text) {
    fields_.clear();
    undone_.clear();
    undone_.reserve(text.size()); // so that the views into it stay good
    std::size_t at = 0;
    for (;;) {
        if (at < text.size() && text[at] == '"') {
            const std::size_t from = undone_.size();
            ++at;
            for (;;) {
                const std::size_t quote = text.find('"', at);
                if (quote == std::string_view::npos) {
                    return "a quote opens and does not close";
                }
                undone_ += text.substr(at, quote - at);
                at = quote + 1;
                if (at == text.size() || text[at] != '"') {
                    break;
                }
                undone_ += '"';
                ++at;
            }
            if (at < text.size() && text[at] != separator_) {
                return "something follows a closing quote";
            }
            fields_.push_back(std::string_view{undone_}.substr(from));
        } else {
            const std::size_t end = std::min(text.find(separator_, at), text.size());
            const std::string_view field = text.substr(at, end - at);
            if (field.find('"') != std::string_view::npos) {
                return "a quote stands inside an unquoted field";
            }
            fields_.push_back(without_blanks(field));
            at = end;
        }
        if (at == text.size()) {
            return nullptr;
        }
        ++at; // the separator; a row that ends in one has an empty last field
        if (at == text.size()) {
            fields_.emplace_back();
            return nullptr;
        }
    }
}

} // namespace holdwarden::intake

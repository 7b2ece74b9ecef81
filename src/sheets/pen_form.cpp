#include <holdwarden/sheets/markup.hpp>
#include <holdwarden/sheets/pen_form.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::sheets {
namespace {

constexpr std::size_t kBlanks = 12; // as wide as a time or a temperature is written

std::size_t columns_of(const std::string& utf8) {
    std::size_t count = 0;
    for (const char c : utf8) {
        count += (static_cast<unsigned char>(c) & 0xC0U) != 0x80U ? 1U : 0U;
    }
    return count;
}

} // namespace

std::string to_text(const PenForm& form) {
    std::string text = form.title + "\n" + form.site + "\n\n";
    for (const std::string& line : form.lines) {
        text += line + "\n";
    }
    for (const std::string& field : form.fields) {
        text += "\n" + field + ": ______________________\n";
    }
    if (!form.columns.empty()) {
        std::string head = "\n|";
        std::string row = "|";
        for (const PenForm::Column& column : form.columns) {
            const std::size_t wide = std::max(kBlanks, columns_of(column.heading));
            head +=
                " " + column.heading + std::string(wide - columns_of(column.heading), ' ') + " |";
            row += std::string(wide + 2, '_') + "|";
        }
        text += head + "\n";
        for (int i = 0; i < form.rows; ++i) {
            text += row + "\n";
        }
    }
    if (!form.body.empty()) {
        text += "\n" + form.body + (form.body.back() == '\n' ? "" : "\n");
    }
    return text + "\n" + form.foot + "\n";
}

std::string to_html(const PenForm& form) {
    std::string html = fmt::format(
        "<!DOCTYPE html>\n<html lang=\"{}\"><head><meta charset=\"utf-8\">"
        "<meta name=\"viewport\" content=\"width=device-width\"><title>{}</title>\n"
        "<style>body{{font-family:sans-serif;color:#000;background:#fff;margin:1.2em;"
        "font-size:11pt}}h1{{font-size:1.4em;margin:0}}p{{margin:.25em 0}}"
        "table{{border-collapse:collapse;width:100%;table-layout:fixed;margin-top:.8em}}"
        "th,td{{border:1px solid #000;padding:.2em;text-align:left;overflow-wrap:anywhere}}"
        "td{{height:9mm}}thead{{display:table-header-group}}tr{{break-inside:avoid}}"
        "pre{{white-space:pre-wrap;font:inherit;overflow-wrap:anywhere}}"
        ".field{{display:inline-block;min-width:45%;border-bottom:1px solid #000;"
        "margin:.8em 2% 0 0}}</style></head>\n<body>\n<h1>{}</h1>\n<p>{}</p>\n",
        escaped(form.lang), escaped(form.title), escaped(form.title), escaped(form.site));
    for (const std::string& line : form.lines) {
        html += "<p>" + escaped(line) + "</p>\n";
    }
    for (const std::string& field : form.fields) {
        html += "<p class=\"field\">" + escaped(field) + ":</p>\n";
    }
    if (!form.columns.empty()) {
        int shares = 0;
        for (const PenForm::Column& column : form.columns) {
            shares += column.share;
        }
        html += "<table><thead><tr>";
        for (const PenForm::Column& column : form.columns) {
            html += fmt::format("<th scope=\"col\" style=\"width:{:.1f}%\">{}</th>",
                                100.0 * column.share / shares, escaped(column.heading));
        }
        html += "</tr></thead>\n<tbody>\n";
        for (int i = 0; i < form.rows; ++i) {
            html += "<tr>";
            for (std::size_t j = 0; j < form.columns.size(); ++j) {
                html += "<td></td>";
            }
            html += "</tr>\n";
        }
        html += "</tbody></table>\n";
    }
    if (!form.body.empty()) {
        html += "<pre>" + escaped(form.body) + "</pre>\n";
    }
    return html + "<p>" + escaped(form.foot) + "</p>\n</body></html>\n";
}

} // namespace holdwarden::sheets

#pragma once

#include <span>
#include <string>
#include <vector>

namespace holdwarden::sheets {

/// What is stuck on a pan. All words come from the caller.
struct Label {
    struct Line {
        std::string what;  ///< "Made"
        std::string value; ///< "Sat 2026-10-31"
    };
    std::string name;     ///< in large letters
    std::string deadline; ///< in large letters: until when it may be used; empty: none
    std::vector<Line> lines;
    std::string foot; ///< in small letters
    std::string lang = "en";
};

/// A label's edges, in whole tenths of a millimetre.
struct LabelSize {
    int width_tenth_mm = 0;
    int height_tenth_mm = 0;
};

/// Reads "50x25mm", "100 x 50 mm", "3x2in", "2.5x1in". Each edge 20 to 300 mm. Throws Error{usage}.
LabelSize parse_label_size(const std::string& text);

/// The text framed by a line of its own above and below.
std::string to_text(const Label& label);
/// One page, a label of that size to a printed page, `copies` of them.
std::string label_html(const Label& label, LabelSize size, int copies);
/// One page of that size for each copy; the letters are as large as fit. Throws Error{bad_input}
/// when the words do not fit in the smallest letters (5 points).
std::string label_pdf(const Label& label, LabelSize size, int copies);

} // namespace holdwarden::sheets

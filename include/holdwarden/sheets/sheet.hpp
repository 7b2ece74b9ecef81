#pragma once

#include <holdwarden/judge/finding.hpp>
#include <holdwarden/sheets/chart.hpp>

#include <optional>
#include <string>
#include <variant>
#include <vector>

// What every printer prints: a sheet as headings, facts, tables and figures in reading order.
// All wording and all choices (times, figures, margins, order) are made where a sheet is built;
// a printer lays out and escapes, and adds no fact of its own. Texts are UTF-8 without control
// characters.
namespace holdwarden::sheets {

enum class Tone {
    plain,
    note,    ///< smaller: how to read something
    caution, ///< must be seen
};

struct Paragraph {
    std::string text;
    Tone tone = Tone::plain;
};

struct Fact {
    std::string label;
    std::string value;
};
struct Facts {
    std::vector<Fact> facts;
};

struct Bullets {
    std::vector<std::string> items;
};

/// A cell; with a verdict its mark stands before the text.
struct Cell {
    std::string text;
    std::optional<judge::Verdict> verdict = std::nullopt;
    /// Parts of the text that no longer hold, in its order: a printer that can draws a line through
    /// them; the text says it in words for the others.
    std::vector<std::string> struck = {};
};
struct Column {
    std::string title;
    bool figures = false; ///< numbers: set to the right
};
/// The first cell of each row names the row.
struct Table {
    std::string caption;
    std::vector<Column> columns = {};
    std::vector<std::vector<Cell>> rows = {};
    bool dense = false; ///< many short rows: set tightly, and a table even on a phone
};

/// A verdict in words, its mark beside it, and one sentence.
struct VerdictLine {
    judge::Verdict verdict = judge::Verdict::not_shown;
    std::string words; ///< "not met"
    std::string says;
};

/// Something people are asked to do, with lines to sign when it is done.
struct Action {
    std::string heading;          ///< what it is about
    std::string by;               ///< "At once", or by which local time
    std::vector<std::string> act; ///< imperatives, in order
    std::string source;
    std::vector<std::string> lines; ///< what is to be filled in by hand
};

/// Lines for names, signatures and times.
struct SignLines {
    std::vector<std::string> roles;
    std::vector<std::string> lines; ///< what each role fills in
};

/// Small charts beside each other, on the same axes: to be compared at a glance. Each has its own
/// title; what they show in full stands elsewhere on the sheet.
struct SmallCharts {
    std::string title;
    std::string note;
    std::vector<Chart> charts;
};

using Block = std::variant<Paragraph, Facts, Bullets, Table, VerdictLine, Action, SignLines, Chart,
                           SmallCharts>;

struct Section {
    std::string heading = {}; ///< empty only for the opening section
    std::vector<Block> blocks = {};
    std::vector<Section> parts = {};
};

struct Sheet {
    std::string title;
    std::string running;  ///< short line that tells one printed page's sheet from another's
    std::string lang;     ///< BCP 47
    std::string made_at;  ///< RFC 3339, UTC
    std::string software; ///< "holdwarden 0.1.0"
    std::vector<Section> sections;
};

} // namespace holdwarden::sheets

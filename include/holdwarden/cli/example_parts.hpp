#pragma once

// What the invented records of `codes explain` are made of (code_example.hpp).

#include <holdwarden/cli/code_example.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::cli {

/// 2026-10-31T18:00:00Z: the examples' clock begins at 18:00 UTC.
inline constexpr Instant kExampleStart = Instant::from_unix_s(1'793'469'600);

/// The figure an example's readings are near to, in the first scale the code prints.
Temperature figure_of(const codes::TemperatureLimit& limit);

/// The figure moved by `degrees` to its right side (negative: to the wrong one).
Temperature inside(const codes::TemperatureLimit& limit, int degrees);

/// A food the requirement is about.
FoodKind food_of(const codes::Requirement& requirement);

/// The table with this id that any such food may go by; nullptr: the pack has none.
const codes::TableRule* table_of(const codes::Pack& pack, std::string_view id, FoodKind food);

/// The row that is easiest to draw: the shortest time.
const codes::TableRow& quick_row(const codes::TableRule& rule);

/// Tells a record step by step; times are counted from kExampleStart.
class ExampleBuilder {
public:
    ExampleBuilder(std::string story, FoodKind food);

    ExampleBuilder& stage(Stage stage, Span at);
    /// The last stage begun heats as `oven` asks, by what it is set to.
    ExampleBuilder& heated_in(const codes::OvenRow& oven);
    /// The last stage begun, of time control, claims the six-hour form.
    ExampleBuilder& six_hours();
    ExampleBuilder& made_from_ambient();
    ExampleBuilder& read(Span at, Temperature value);
    /// A reading of a hand probe that was watched.
    ExampleBuilder& watched(Span at, Temperature value, Span kept);
    ExampleBuilder& served(Span at);
    /// The last stage is over with its last reading.
    ExampleBuilder& closed();
    ExampleBuilder& mark(Span at, std::string label);
    ExampleBuilder& limit(const codes::TemperatureLimit& limit);
    /// The last stage begun alone is drawn.
    ExampleBuilder& drawn_from_here();
    CodeExample done();

private:
    CodeExample example_;
};

/// The examples of the rules that have a file of their own.
std::vector<CodeExample> table_examples(const codes::Pack& pack, const codes::Requirement& r,
                                        const codes::TableRule& rule);
std::vector<CodeExample> roast_hold_examples(const codes::Pack& pack, const codes::Requirement& r,
                                             const codes::HoldRule& rule);
std::vector<CodeExample> time_control_examples(const codes::Requirement& r,
                                               const codes::TimeControlRule& rule);
std::vector<CodeExample> ceiling_examples(const codes::Pack& pack, const codes::Requirement& r,
                                          const codes::CeilingRule& rule);
std::vector<CodeExample> date_mark_examples(const codes::Requirement& r,
                                            const codes::DateMarkRule& rule);

} // namespace holdwarden::cli

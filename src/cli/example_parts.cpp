#include <holdwarden/cli/example_parts.hpp>

#include <algorithm>
#include <utility>

namespace holdwarden::cli {

using namespace codes;

namespace {

constexpr Instant after(Span span) noexcept {
    return kExampleStart + span;
}

} // namespace

Temperature figure_of(const TemperatureLimit& limit) {
    const auto fahrenheit = limit.printed(Scale::fahrenheit);
    return fahrenheit ? *fahrenheit : *limit.printed(Scale::celsius);
}

Temperature inside(const TemperatureLimit& limit, int degrees) {
    const Temperature at = figure_of(limit);
    const int way = limit.wants_hot() ? 1 : -1;
    return shifted(at, TemperatureDelta::of_thousandths(way * degrees * 1000, at.scale()));
}

FoodKind food_of(const Requirement& requirement) {
    return requirement.covers(FoodKind::other_tcs) ? FoodKind::other_tcs
                                                   : requirement.foods.front();
}

const TableRule* table_of(const Pack& pack, std::string_view id, FoodKind food) {
    for (const Requirement* r : pack.find(id, food)) {
        const auto* table = std::get_if<TableRule>(&r->rule);
        if (table != nullptr && !table->needs_roast_cook) {
            return table;
        }
    }
    return nullptr;
}

const TableRow& quick_row(const TableRule& rule) {
    return rule.rows.back();
}

ExampleBuilder::ExampleBuilder(std::string story, FoodKind food) {
    example_.story = std::move(story);
    example_.lot.name = "example";
    example_.lot.food = food;
    example_.lot.points = {{"core", {}}};
    example_.lot.probes = {{"p1", std::nullopt, std::nullopt}};
    example_.as_of = kExampleStart;
}

ExampleBuilder& ExampleBuilder::stage(Stage stage, Span at) {
    records::StageEntry entry;
    entry.stage = stage;
    entry.from = after(at);
    example_.lot.stages.push_back(entry);
    return *this;
}

ExampleBuilder& ExampleBuilder::heated_in(const OvenRow& oven) {
    example_.lot.stages.back().oven = oven.oven;
    example_.lot.stages.back().setting = figure_of(oven.air);
    example_.lot.raw_mass_g = oven.from_g.value_or(4536); // 10 lb
    return *this;
}

ExampleBuilder& ExampleBuilder::six_hours() {
    example_.lot.stages.back().form = records::TimeControlForm::six_hours;
    return *this;
}

ExampleBuilder& ExampleBuilder::made_from_ambient() {
    example_.lot.made_from_ambient = true;
    return *this;
}

ExampleBuilder& ExampleBuilder::read(Span at, Temperature value) {
    records::Reading reading;
    reading.at = after(at);
    reading.value = value;
    example_.lot.points.front().readings.push_back(reading);
    example_.as_of = std::max(example_.as_of, reading.at);
    return *this;
}

ExampleBuilder& ExampleBuilder::watched(Span at, Temperature value, Span kept) {
    read(at, value);
    records::Reading& reading = example_.lot.points.front().readings.back();
    reading.origin = records::Origin::typed;
    reading.watched_s = static_cast<std::uint16_t>(kept.ms() / 1000);
    return *this;
}

ExampleBuilder& ExampleBuilder::served(Span at) {
    example_.lot.end = records::LotEnd{Outcome::served, after(at), ""};
    mark(at, "served");
    example_.as_of = std::max(example_.as_of, after(at));
    return *this;
}

ExampleBuilder& ExampleBuilder::closed() {
    example_.lot.closes = example_.as_of;
    return *this;
}

ExampleBuilder& ExampleBuilder::mark(Span at, std::string label) {
    example_.marks.emplace_back(after(at), std::move(label));
    return *this;
}

ExampleBuilder& ExampleBuilder::limit(const TemperatureLimit& limit) {
    example_.limits.emplace_back(figure_of(limit), limit.to_text());
    return *this;
}

ExampleBuilder& ExampleBuilder::drawn_from_here() {
    example_.drawn_from = example_.lot.stages.back().from;
    return *this;
}

CodeExample ExampleBuilder::done() {
    std::stable_sort(example_.marks.begin(), example_.marks.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    return example_;
}

} // namespace holdwarden::cli

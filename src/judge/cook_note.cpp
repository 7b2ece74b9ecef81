// What a cook comes to beside its verdict, for a process authority.
#include "internal/rules.hpp"

namespace holdwarden::judge {

void note_cooks(const Case& c, const Part& part, LotJudgement& j) {
    const auto tables = c.pack().find("cooking-roast", c.lot().food);
    if (c.lot().food != FoodKind::intact_roast || tables.empty()) {
        return; // the constants are those of beef roasts
    }
    const auto* table = std::get_if<codes::TableRule>(&tables.front()->rule);
    for (const StageSpan& stage : c.stages()) {
        if (table == nullptr || stage.stage != Stage::cooking || !part.holds(stage.from)) {
            continue;
        }
        for (const Case::Series& series : c.series()) {
            const Readings readings = between(series.readings, stage.from, stage.to);
            CookNote note{stage.from, series.point, {}, lethality(readings)};
            for (const codes::TableRow& row : table->rows) {
                const Dwell kept = judge_rows(c, {row}, readings, stage);
                const Span longest = kept.kept.earliest.value_or(Span{});
                if (longest > Span{}) {
                    note.rows.push_back({row.at.to_text(), row.keep, longest});
                }
            }
            if (!note.rows.empty() || note.lethality.log_reductions > 0) {
                j.cooks.push_back(std::move(note));
            }
        }
    }
}

} // namespace holdwarden::judge

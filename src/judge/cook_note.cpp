// What a cook comes to beside its verdict, for a process authority.
#include "internal/rules.hpp"

#include <algorithm>

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

void take_lesser_claims(std::vector<CookNote>& into, const std::vector<CookNote>& other) {
    for (CookNote& note : into) {
        const auto same = std::ranges::find_if(other, [&](const CookNote& o) {
            return o.stage_from == note.stage_from && o.point == note.point;
        });
        const CookNote lesser = same == other.end() ? CookNote{} : *same;
        if (lesser.lethality.log_reductions < note.lethality.log_reductions) {
            note.lethality = lesser.lethality;
        }
        for (RowKept& row : note.rows) {
            const auto kept = std::ranges::find(lesser.rows, row.at, &RowKept::at);
            row.longest = std::min(row.longest, kept == lesser.rows.end() ? Span{} : kept->longest);
        }
        std::erase_if(note.rows, [](const RowKept& row) { return row.longest == Span{}; });
    }
    std::erase_if(into, [](const CookNote& note) {
        return note.rows.empty() && note.lethality.log_reductions <= 0;
    });
}

} // namespace holdwarden::judge

#include "sqlite_parts.hpp"

#include "rows.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/base/time_text.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <algorithm>

namespace holdwarden::store {

using namespace records;

namespace {

std::optional<std::int64_t> grams(const std::optional<Mass>& mass) {
    return mass ? std::optional{mass->grams} : std::nullopt;
}

std::optional<Mass> mass_at(const Statement& row, int column) {
    return row.is_null(column) ? std::nullopt : std::optional{Mass{row.integer(column)}};
}

Error amounts_open(Mass rest, Mass of) {
    return Error{ErrorKind::bad_input,
                 {.what = to_text(rest) + " of " + to_text(of) + " is not accounted for",
                  .where = "",
                  .fix = "name it with --loss trim=" + to_text(rest) +
                         " (or tasting, cooking, spilled, ...), correct an amount, or give what "
                         "was weighed before with --of"}};
}

void check_points(const std::vector<LotTemplate::Point>& points) {
    for (auto point = points.begin(); point != points.end(); ++point) {
        check_name("point", point->name);
        const bool twice = std::any_of(points.begin(), point, [&](const LotTemplate::Point& other) {
            return other.name == point->name || (point->probe && other.probe == point->probe);
        });
        if (twice) {
            throw Error{ErrorKind::bad_input,
                        {.what = "point '" + point->name + "' or its thermometer is there twice",
                         .where = "",
                         .fix = "name each point once, and one thermometer for each"}};
        }
    }
}

void check_target(const std::optional<LotTemplate::Target>& target) {
    if (!target) {
        return;
    }
    check_plausible(target->low);
    check_plausible(target->high);
    if (target->low.scale() != target->high.scale() ||
        target->low.thousandths() >= target->high.thousandths()) {
        throw Error{
            ErrorKind::bad_input,
            {.what = to_text(target->low) + " to " + to_text(target->high) + " is no target band",
             .where = "",
             .fix = "give the lower end first, both in one scale: 140F..150F"}};
    }
}

void check_losses(const std::vector<Loss>& losses) {
    for (const Loss& loss : losses) {
        check_name("loss", loss.name);
    }
}

} // namespace

Lot SqliteParts::lot_facts(LotId lot) const {
    for (auto& one : store_.lots(Store::Which::all)) {
        if (one.id == lot) {
            return std::move(one.facts);
        }
    }
    throw Error{ErrorKind::not_found, {.what = "no such lot", .where = "", .fix = ""}};
}

/// A reading that came later than the parting would be lost to what the lot became.
void SqliteParts::check_no_reading_after(LotId lot, Instant at) const {
    Statement row{store_.database(), "select max(at) from typed_reading where lot = ?"};
    if (row.run(lot.value()) && !row.is_null(0) && instant_at(row, 0) > at) {
        const Zone zone = Zone::named(store_.site().zone);
        throw Error{ErrorKind::conflict,
                    {.what = "a reading of " + local_text_with_offset(instant_at(row, 0), zone) +
                             " is later than that",
                     .where = "lot '" + lot_facts(lot).name + "'",
                     .fix = "give a time after it with --at, so that nothing read is lost"}};
    }
}

void SqliteParts::write(const Parting& parting, std::int64_t entry) {
    const Database& database = store_.database();
    database.run("insert into parting (entry, kind, at, form) values (?, ?, ?, ?)", entry,
                 parting.kind == Parting::Kind::split ? std::string_view{"split"}
                                                      : std::string_view{"merge"},
                 parting.at.unix_ms(), to_name(parting.form));
    const std::int64_t id = database.last_id();
    const auto shares = [&](const std::vector<Parting::Share>& list, std::string_view side) {
        for (const Parting::Share& share : list) {
            database.run("insert into parting_lot (entry, parting, side, lot, mass_g) values "
                         "(?, ?, ?, ?, ?)",
                         entry, id, side, share.lot.value(), grams(share.amount));
        }
    };
    shares(parting.from, "from");
    shares(parting.into, "into");
    for (const Loss& loss : parting.losses) {
        database.run("insert into parting_loss (entry, parting, name, mass_g) values (?, ?, ?, ?)",
                     entry, id, std::string_view{loss.name}, loss.amount.grams);
    }
}

std::vector<LotId> SqliteParts::split(const NewSplit& split, const Stamp& stamp) {
    std::vector<LotId> made;
    store_.atomically([&] {
        if (split.parts.size() < 2) {
            throw Error{ErrorKind::bad_input,
                        {.what = "a lot is split into two parts at least",
                         .where = "",
                         .fix = "name each part; what went is a --loss"}};
        }
        check_losses(split.losses);
        const Lot lot = lot_facts(split.lot);
        std::vector<std::optional<Mass>> amounts;
        for (const NewPart& part : split.parts) {
            amounts.push_back(part.amount);
        }
        // A raw weight says nothing of parts nobody weighed.
        const bool weighed =
            split.of || std::ranges::any_of(amounts, [](const auto& a) { return a.has_value(); });
        const auto of = split.of ? split.of : lot.mass;
        const auto rest = weighed ? left_over(of, amounts, split.losses) : std::nullopt;
        const auto unweighed =
            std::ranges::find_if(amounts, [](const auto& amount) { return !amount; });
        if (rest && unweighed != amounts.end()) {
            // What a raw weight leaves is not what the part weighs.
            const bool as_it_was = split.of || origin_of(split.lot);
            if (rest->grams == 0) {
                throw Error{
                    ErrorKind::bad_input,
                    {.what = "nothing is left for the part that was not weighed",
                     .where = "",
                     .fix = "correct an amount, or give what was weighed before with --of"}};
            }
            *unweighed = as_it_was ? rest : std::nullopt;
        } else if (rest && rest->grams != 0) {
            throw amounts_open(*rest, *of);
        }
        check_no_reading_after(split.lot, split.at);
        store_.end_lot(split.lot, Outcome::split, split.at, stamp);
        Parting parting{.kind = Parting::Kind::split,
                        .at = split.at,
                        .form = split.form,
                        .from = {{split.lot, weighed ? of : std::nullopt}},
                        .into = {},
                        .losses = split.losses};
        for (std::size_t i = 0; i < split.parts.size(); ++i) {
            Lot part = lot;
            part.name = split.parts[i].name;
            part.mass = amounts[i];
            part.thickness.reset(); // of the whole piece
            if (!split.parts[i].container.empty()) {
                part.container = split.parts[i].container;
            }
            part.opened_at = split.at;
            made.push_back(store_.open_lot(part, stamp));
            parting.into.push_back({made.back(), amounts[i]});
        }
        write(parting, store_.enter("parting", stamp));
    });
    return made;
}

LotId SqliteParts::merge(const NewMerge& merge, const Stamp& stamp) {
    std::optional<LotId> made;
    store_.atomically([&] {
        if (merge.lots.size() < 2) {
            throw Error{ErrorKind::bad_input,
                        {.what = "two lots at least are merged",
                         .where = "",
                         .fix = "name each lot that goes in"}};
        }
        check_losses(merge.losses);
        Parting parting{.kind = Parting::Kind::merge,
                        .at = merge.at,
                        .form = merge.form,
                        .from = {},
                        .into = {},
                        .losses = merge.losses};
        Lot into{.name = merge.into.name, .container = merge.into.container};
        into.opened_at = merge.at;
        std::optional<FoodKind> kind;
        bool one_kind = true;
        std::optional<Mass> all = Mass{0};
        std::vector<std::string> names;
        for (const LotId id : merge.lots) {
            const Lot lot = lot_facts(id);
            one_kind = one_kind && (!kind || *kind == lot.food);
            kind = lot.food;
            all =
                all && lot.mass ? std::optional{Mass{all->grams + lot.mass->grams}} : std::nullopt;
            parting.from.push_back({id, lot.mass});
            check_no_reading_after(id, merge.at);
            store_.end_lot(id, Outcome::merged, merge.at, stamp);
        }
        const FoodKind own = one_kind ? *kind : FoodKind::other_tcs;
        if (merge.food && *merge.food != own && *merge.food != FoodKind::other_tcs) {
            throw Error{
                ErrorKind::bad_input,
                {.what = "lots of such food cannot become " + std::string{to_name(*merge.food)},
                 .where = "",
                 .fix = "leave out --food, or give other-tcs, which takes the strictest "
                        "row"}};
        }
        into.food = merge.food.value_or(own);
        into.mass = merge.into.amount;
        if (into.mass) {
            const std::vector<std::optional<Mass>> parts{into.mass};
            const auto rest = left_over(all, parts, merge.losses);
            if (rest && rest->grams != 0) {
                throw amounts_open(*rest, *all);
            }
        }
        made = store_.open_lot(into, stamp);
        store_.enter_stage({.lot = *made,
                            .stage = merge.stage,
                            .from = merge.at,
                            .unit = merge.unit,
                            .setting = merge.setting,
                            .oven = merge.oven,
                            .form = merge.time_form},
                           stamp);
        parting.into.push_back({*made, into.mass});
        write(parting, store_.enter("parting", stamp));
    });
    return *made;
}

std::optional<Recorded<PartingId, Parting>> SqliteParts::origin_of(LotId lot) const {
    return parting_with(lot, "into");
}

std::optional<Recorded<PartingId, Parting>> SqliteParts::fate_of(LotId lot) const {
    return parting_with(lot, "from");
}

TemplateId SqliteParts::save(const LotTemplate& usual, const Stamp& stamp) {
    std::int64_t id = 0;
    store_.atomically([&] {
        check_name("template", usual.name);
        check_text("description", usual.description);
        check_text("container", usual.container);
        check_text("plan", usual.plan);
        check_points(usual.points);
        check_target(usual.target);
        const auto low = usual.target ? std::optional{usual.target->low} : std::nullopt;
        const auto high = usual.target ? std::optional{usual.target->high} : std::nullopt;
        const std::int64_t entry = store_.enter("lot_template", stamp);
        store_.database().run(
            "insert into lot_template (entry, name, food, description, mass_g, container, "
            "made_from_ambient, stage, unit, setting, setting_scale, plan, ended, target_low, "
            "target_high, target_scale) values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            entry, std::string_view{usual.name}, to_name(usual.food),
            std::string_view{usual.description}, grams(usual.mass),
            std::string_view{usual.container}, std::int64_t{usual.made_from_ambient},
            maybe_name(usual.stage), usual.unit ? std::optional{usual.unit->value()} : std::nullopt,
            thousandths_of(usual.setting), scale_of(usual.setting), std::string_view{usual.plan},
            std::int64_t{usual.ended}, thousandths_of(low), thousandths_of(high), scale_of(low));
        id = store_.database().last_id();
        for (const LotTemplate::Point& point : usual.points) {
            store_.database().run(
                "insert into lot_template_point (entry, template, point, probe) values "
                "(?, ?, ?, ?)",
                entry, id, std::string_view{point.name},
                point.probe ? std::optional{point.probe->value()} : std::nullopt);
        }
    });
    return TemplateId::of(id);
}

std::vector<Recorded<TemplateId, LotTemplate>> SqliteParts::templates() const {
    Statement row{store_.database(),
                  "select t.id, t.name, t.food, t.description, t.mass_g, t.container, "
                  "t.made_from_ambient, t.stage, t.unit, t.setting, t.setting_scale, t.plan, "
                  "t.ended, e.id, e.entered_at, p.name, t.target_low, t.target_scale, "
                  "t.target_high, t.target_scale from lot_template t "
                  "join entry e on e.id = t.entry left join person p on p.id = e.by order by t.id"};
    Statement point{store_.database(),
                    "select point, probe from lot_template_point where template = ? order by id"};
    std::vector<Recorded<TemplateId, LotTemplate>> all;
    for (bool more = row.run(); more; more = row.step()) {
        LotTemplate t{.name = std::string{row.text(1)},
                      .food = word_at(row, 2, food_named),
                      .description = std::string{row.text(3)},
                      .mass = mass_at(row, 4),
                      .container = std::string{row.text(5)},
                      .made_from_ambient = row.integer(6) != 0,
                      .stage = maybe_word_at(row, 7, stage_named),
                      .unit = {},
                      .setting = degrees_at<Temperature>(row, 9),
                      .points = {},
                      .target = {},
                      .plan = std::string{row.text(11)},
                      .ended = row.integer(12) != 0};
        if (!row.is_null(8)) {
            t.unit = UnitId::of(row.integer(8));
        }
        if (const auto low = degrees_at<Temperature>(row, 16)) {
            t.target = {.low = *low, .high = *degrees_at<Temperature>(row, 18)};
        }
        for (bool next = point.run(row.integer(0)); next; next = point.step()) {
            t.points.push_back({.name = std::string{point.text(0)}});
            if (!point.is_null(1)) {
                t.points.back().probe = ProbeId::of(point.integer(1));
            }
        }
        all.push_back(recorded(row, 13, TemplateId::of(row.integer(0)), std::move(t)));
    }
    return all;
}

std::optional<ProbeId> SqliteParts::last_hand_probe(Instant since) const {
    Statement row{store_.database(), "select probe from typed_reading where probe is not null and "
                                     "at >= ? order by at desc, id desc limit 1"};
    return row.run(since.unix_ms()) ? std::optional{ProbeId::of(row.integer(0))} : std::nullopt;
}

std::optional<Recorded<PartingId, Parting>> SqliteParts::parting_with(LotId lot,
                                                                      std::string_view side) const {
    const Database& database = store_.database();
    Statement row{
        database,
        "select t.id, t.kind, t.at, t.form, e.id, e.entered_at, p.name from parting_lot l "
        "join parting t on t.id = l.parting join entry e on e.id = t.entry "
        "left join person p on p.id = e.by where l.lot = ? and l.side = ?"};
    if (!row.run(lot.value(), side)) {
        return std::nullopt;
    }
    Parting parting{.kind = row.text(1) == "split" ? Parting::Kind::split : Parting::Kind::merge,
                    .at = instant_at(row, 2),
                    .form = word_at(row, 3, part_form_named),
                    .from = {},
                    .into = {},
                    .losses = {}};
    const std::int64_t id = row.integer(0);
    Statement shares{database,
                     "select side, lot, mass_g from parting_lot where parting = ? order by id"};
    for (bool more = shares.run(id); more; more = shares.step()) {
        (shares.text(0) == "from" ? parting.from : parting.into)
            .push_back({LotId::of(shares.integer(1)), mass_at(shares, 2)});
    }
    Statement losses{database, "select name, mass_g from parting_loss where parting = ? order by "
                               "id"};
    for (bool more = losses.run(id); more; more = losses.step()) {
        parting.losses.push_back({std::string{losses.text(0)}, Mass{losses.integer(1)}});
    }
    return recorded(row, 4, PartingId::of(id), std::move(parting));
}

} // namespace holdwarden::store

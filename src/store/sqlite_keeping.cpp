#include "sqlite_keeping.hpp"

#include "sqlite_store.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>

#include <algorithm>
#include <set>

namespace holdwarden::store {

using namespace records;

void SqliteKeeping::choose(const RetentionChoice& choice, const Stamp& stamp) {
    const std::set<std::string> once{choice.rules.begin(), choice.rules.end()};
    if (choice.rules.empty() || once.size() != choice.rules.size()) {
        throw Error{ErrorKind::bad_input,
                    {.what = choice.rules.empty() ? "no rule for keeping records is named"
                                                  : "a rule for keeping records is named twice",
                     .where = "",
                     .fix = "see `holdwarden retention`"}};
    }
    store_.atomically([&] {
        const std::int64_t entry = store_.enter("retention_choice", stamp);
        for (const std::string& rule : choice.rules) {
            store_.database().run("insert into retention_choice (entry, rule) values (?, ?)", entry,
                                  std::string_view{rule});
        }
    });
}

std::vector<Recorded<RetentionChoiceId, RetentionChoice>> SqliteKeeping::choices() const {
    Statement row{store_.database(),
                  "select c.id, c.entry, c.rule, e.entered_at, coalesce(p.name, '') from "
                  "retention_choice c join entry e on e.id = c.entry left join person p on p.id = "
                  "e.by order by c.entry, c.id"};
    std::vector<Recorded<RetentionChoiceId, RetentionChoice>> all;
    for (bool more = row.run(); more; more = row.step()) {
        const auto entry = EntryId::of(row.integer(1));
        if (all.empty() || all.back().entry != entry) {
            all.push_back({RetentionChoiceId::of(row.integer(0)),
                           {},
                           entry,
                           {.entered_at = Instant::from_unix_ms(row.integer(3)),
                            .by = std::string{row.text(4)}}});
        }
        all.back().facts.rules.emplace_back(row.text(2));
    }
    return all;
}

std::vector<Recorded<PurgeId, Purge>> SqliteKeeping::purges() const {
    Statement row{store_.database(),
                  "select g.id, g.entry, g.before_at, g.rules, g.leaves, g.sha256, e.entered_at, "
                  "coalesce(p.name, '') from purge g join entry e on e.id = g.entry left join "
                  "person p on p.id = e.by order by g.id"};
    std::vector<Recorded<PurgeId, Purge>> all;
    for (bool more = row.run(); more; more = row.step()) {
        Purge purge{.before = Instant::from_unix_ms(row.integer(2)),
                    .rules = std::string{row.text(3)},
                    .leaves = static_cast<std::uint64_t>(row.integer(4)),
                    .sha256 = {}};
        const Blob digest = row.blob(5);
        std::copy_n(digest.begin(), std::min(digest.size(), purge.sha256.size()),
                    purge.sha256.begin());
        all.push_back({PurgeId::of(row.integer(0)),
                       std::move(purge),
                       EntryId::of(row.integer(1)),
                       {.entered_at = Instant::from_unix_ms(row.integer(6)),
                        .by = std::string{row.text(7)}}});
    }
    return all;
}

} // namespace holdwarden::store

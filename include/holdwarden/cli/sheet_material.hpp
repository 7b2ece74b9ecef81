#pragma once

#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/codes/pack.hpp>
#include <holdwarden/sheets/facts.hpp>
#include <holdwarden/sheets/local_times.hpp>

#include <span>

namespace holdwarden::cli {

/// What a sheet rests on: the site as recorded, judged by `pack` as of `as_of`; `time`: the
/// sheet's, its ends included, for the house limits, approved plans and variances in force in it.
sheets::SiteFacts site_facts(const OpenStore& store, const codes::Pack& pack, Span largest_interval,
                             const sheets::Period& time, Instant as_of);

/// `time`, drawn back to where the first stage of the lots began: what was in force then judges it.
sheets::Period life_of(std::span<const sheets::LotRecord> lots, sheets::Period time);

/// The lots of [from, to): those with a stage, a reading or an end in it, or around it.
std::vector<records::LotId> lots_between(const OpenStore& store, Instant from, Instant to);

/// Conflicts at points of `lots` in [from, to), and the rejected entries of that time. A rejected
/// row is of that time when a cell of it reads as such a time; one without a readable time counts
/// when its file was imported in that time or the two days after.
sheets::Troubles troubles_between(const OpenStore& store, const std::vector<records::LotId>& lots,
                                  Instant from, Instant to);

/// The corrective actions on record for the lot's flags.
std::vector<sheets::Answered> answered_flags(const OpenStore& store, records::LotId lot);

/// The checks of thermometers made in [from, to), those missed, and the thermometers without one.
sheets::CheckRecords checks_between(const OpenStore& store, Instant from, Instant to);

} // namespace holdwarden::cli

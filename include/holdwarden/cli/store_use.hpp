#pragma once

#include <holdwarden/base/zone.hpp>
#include <holdwarden/cli/command.hpp>
#include <holdwarden/records/store.hpp>
#include <holdwarden/store/open.hpp>

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// The options of a command that uses the store.
struct StoreArguments {
    std::string store{};
    std::string by{};
    std::string taken_by{};
    std::string why_late{};

    void declare_reading(Arguments& arguments);
    /// Adds --by.
    void declare_writing(Arguments& arguments);
    /// Adds --by, --taken-by and --why: for an entry of what happened at some time.
    void declare_event(Arguments& arguments);
};

/// `store`, else HOLDWARDEN_STORE, else ./holdwarden.db; with the migrations of the data folder.
store::OpenOptions store_options(const StoreArguments& arguments, const Context& context,
                                 store::Access access);

/// Whether a store is named (`store` or HOLDWARDEN_STORE), there or not, or ./holdwarden.db exists.
bool has_store(const StoreArguments& arguments, const Context& context);

/// The program's clock, and --by, else HOLDWARDEN_BY, else nobody named.
records::Stamp stamp_of(const StoreArguments& arguments, const Context& context);

/// A store opened for one command, with what the command needs to talk about it.
class OpenStore {
public:
    /// Throws Error{store}. Says on standard error when the store was migrated on the way.
    OpenStore(const StoreArguments& arguments, Context& context, store::Access access);

    records::Store& operator*() const noexcept { return *store_; }
    records::Store* operator->() const noexcept { return store_.get(); }
    const records::Site& site() const noexcept { return site_; }
    const Zone& zone() const noexcept { return zone_; }
    Instant now() const noexcept { return stamp_.entered_at; }
    const records::Stamp& stamp() const noexcept { return stamp_; }

    /// RFC 3339 or the site's local time; empty: now. `option` is named in the error.
    Instant time(const std::string& text, const char* option = "--at") const;
    /// "140F", "60 C", or a bare number in the site's scale.
    Temperature temperature(const std::string& text, const char* option) const;
    /// "2026-11-01 01:30 -06:00", in the site's zone; seconds only when not zero.
    std::string shown(Instant at) const;
    /// The stamp of an entry of what happened at `at`. When that is late and no reason is given,
    /// asks for one on a terminal; without one, the entry says that none was given.
    records::Stamp stamp_for(Instant at, const StoreArguments& arguments, Context& context) const;
    /// As `entered`, and for whom; a late entry says so, with its reason.
    std::string entered(Instant at, const records::Stamp& stamp) const;
    /// ", entered by RK", and when, if that was more than the clock tolerance after `at`.
    std::string entered(Instant at) const;

private:
    std::unique_ptr<records::Store> store_;
    records::Site site_;
    Zone zone_ = Zone::utc();
    records::Stamp stamp_;
};

/// Throws Error{usage} unless `format` is empty, "text" or "json"; whether it is "json".
bool json_wanted(const std::string& format);
/// The word of an option that takes one of a few. Throws Error{usage} listing them all.
FoodKind food_word(const std::string& text, const char* option);
OvenKind oven_word(const std::string& text, const char* option);
records::UnitKind unit_kind_word(const std::string& text, const char* option);

/// Columns aligned, two blanks between them; the first row is the heading. What no terminal should
/// be given is written out, and a cell of more than 400 bytes is cut.
std::string table(std::vector<std::vector<std::string>> rows);

/// A lot's point or a unit's air, by name.
records::Target target_named(const OpenStore& store, const std::string& name, bool air,
                             const std::string& point);
/// "brisket-1, core" or "walk-in-1, air".
std::string shown(const records::Store& store, const records::Target& target);

} // namespace holdwarden::cli

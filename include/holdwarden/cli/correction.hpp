#pragma once

#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/corrections.hpp>

#include <string>

namespace holdwarden::cli {

// What the commands that correct the record share.

/// The options of every correction: why, and who makes it.
struct CorrectionArguments {
    StoreArguments store;
    std::string why;

    void declare(Arguments& arguments);
};

/// The lot's verdict now, beside the one as first recorded and those with and without readings that
/// are set aside; whole lines.
std::string verdict_lines(const OpenStore& store, const Context& context, records::LotId lot);

/// "hot-holding reading: value 139 °F, was 193 °F", times in the site's own.
std::string shown(const OpenStore& store, const records::FactChange& change);

} // namespace holdwarden::cli

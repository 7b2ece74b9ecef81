#pragma once

#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/records/reading.hpp>

#include <functional>
#include <memory>
#include <vector>

namespace holdwarden::records {

/// Takes the readings of one series, ascending by time, as they come, and keeps what will be needed
/// of them.
class Keeper {
public:
    Keeper() = default;
    Keeper(const Keeper&) = delete;
    Keeper& operator=(const Keeper&) = delete;
    virtual ~Keeper() = default;

    /// A stage begins before the next reading (a reading exactly on the boundary belongs to both:
    /// it comes before and is the last to come before).
    virtual void begin(Stage stage) = 0;
    virtual void add(const Reading& reading) = 0;
    /// What is kept so far. More may be added later.
    virtual std::vector<Reading>& kept() = 0;
};

/// Makes one for each series.
using KeeperMaker = std::function<std::unique_ptr<Keeper>()>;

} // namespace holdwarden::records

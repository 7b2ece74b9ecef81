#pragma once

#include <holdwarden/records/checks.hpp>
#include <holdwarden/records/store.hpp>

#include <optional>
#include <string>
#include <vector>

namespace holdwarden::cli {

// What people read about checks of thermometers.

/// "p1, ice point: showed 33 °F for 32 °F, +1 °F, within 2 °F", without a full stop.
std::string check_sentence(const std::string& probe, const records::ProbeCheck& check);
/// What the check asks for, a sentence each: a failed one, a coarse display, a recorder that reads
/// high.
std::vector<std::string> check_advice(const records::Thermometer& probe,
                                      const records::ProbeCheck& check);
/// How a check is done, step by step, and what should be shown.
std::string check_steps(records::CheckMethod method, const std::optional<Temperature>& expected);
/// "Every thermometer is checked every 7 days", without a full stop.
std::string schedule_sentence(const records::Store& store, const records::CheckSchedule& schedule);
/// "2 °F", without the sign of a difference.
std::string size_text(TemperatureDelta size);

} // namespace holdwarden::cli

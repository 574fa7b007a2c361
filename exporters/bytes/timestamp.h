// Times in outputs: ISO 8601, whole seconds, UTC.
#pragma once

#include <optional>
#include <string>

namespace leafstack {

/// `text` as "2024-05-01T12:00:00Z". Accepts a date, or date and time to the second, with "Z", an
/// offset ("+02:00", converted) or nothing (taken as UTC). Empty when it is none of these or no
/// real date.
std::optional<std::string> normalTimestamp(const std::string& text);

/// What SOURCE_DATE_EPOCH (seconds since 1970) says, as above. Empty when `text` is no such number.
std::optional<std::string> timestampOfEpoch(const std::string& text);

/// The clock's.
std::string timestampNow();

}  // namespace leafstack

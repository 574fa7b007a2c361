// Words for messages: numbers, quoted values and the nearest known name.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace leafstack {

/// Shortest decimal that reads back as the same number; whole numbers without a point or exponent.
std::string formatNumber(double value);

/// The text in double quotes on one line: control characters escaped, long texts shortened.
std::string inQuotes(std::string_view text);

/// As `inQuotes`, without the quotes: for values shown as they were written.
std::string oneLine(std::string_view text);

/// Damerau-Levenshtein distance (insert, delete, replace, swap neighbours), restricted form.
int editDistance(std::string_view a, std::string_view b);

/// The candidate nearest to `name`, or empty if none is near. Letter case, '-' and '_', and a
/// missing or different unit at the end of the name ("height", "heightMm" for "height_mm") do not
/// count as differences.
std::string nearestName(std::string_view name, std::span<const std::string> candidates);

/// `items` with commas and, before the last, `last_word` ("a, b or c").
std::string joined(std::span<const std::string> items, std::string_view last_word);

}  // namespace leafstack

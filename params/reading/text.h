// Words for messages: numbers, quoted values and the nearest known name.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace leafstack {

/// Shortest decimal that reads back as the same number; whole numbers without a point or exponent.
std::string formatNumber(double value);
/// A number that was worked out, without the last digits' rounding: to a millionth.
std::string formatFigure(double value);

/// The first code point of valid UTF-8 that is no text: one that controls what stands around it, or
/// a noncharacter (characters.h).
std::optional<char32_t> firstNoText(std::string_view text);

/// What to call it: "a control character", "U+202E, which ...".
std::string nameOfNoText(char32_t code);

/// The text as it may be shown on a terminal, on one line: what is no text, malformed bytes
/// included, as escapes.
std::string escaped(std::string_view text);

/// The text in double quotes, escaped; long texts shortened.
std::string inQuotes(std::string_view text);

/// As `inQuotes`, without the quotes: for values shown as they were written.
std::string oneLine(std::string_view text);

/// Damerau-Levenshtein distance (insert, delete, replace, swap neighbours), restricted form.
int editDistance(std::string_view a, std::string_view b);

/// `name` in lower case, without separators and without the unit at its end: "height" for
/// "Height-mm".
std::string nameCore(std::string_view name);

/// The candidate nearest to `name`, or empty if none is near. Letter case, '-' and '_', and a
/// missing or different unit at the end of the name ("height", "heightMm" for "height_mm") do not
/// count as differences.
std::string nearestName(std::string_view name, std::span<const std::string> candidates);

/// `items` with commas and, before the last, `last_word` ("a, b or c").
std::string joined(std::span<const std::string> items, std::string_view last_word);

}  // namespace leafstack

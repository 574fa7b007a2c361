// Looks at raw text before and after the JSON parser: encoding, non-finite literals, and plain
// words for syntax errors.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>

namespace leafstack {

/// A sentence about the byte at `offset`.
struct TextFault {
  std::size_t offset = 0;
  std::string message;
  std::string suggestion;
};

/// First byte that cannot be in a UTF-8 text file: malformed, overlong or surrogate sequences, NUL.
std::optional<TextFault> findEncodingFault(std::string_view text);

/// Length of the longest JSON number the text begins with, 0 if none.
std::size_t numberLength(std::string_view text);

/// A copy of the text, of equal length, in which every NaN, Infinity and overflowing number outside
/// strings is replaced by a 0, and what stood there by offset.
struct FiniteText {
  std::string text;
  std::map<std::size_t, std::string> literals;
};
FiniteText replaceNonFinite(std::string_view text);

/// What the parser may meet next, known from what it met last.
enum class Expecting { kDocument, kKeyOrEnd, kColon, kItemOrEnd, kCommaOrEnd, kNothing };

/// Where a syntax error was met: everything before `offset` is fine.
struct SyntaxState {
  std::size_t offset = 0;
  Expecting expecting = Expecting::kDocument;
  bool in_object = false;
  int open_brackets = 0;
};

/// Plain words for the first syntax error at or after the state's offset.
TextFault describeSyntaxError(std::string_view text, const SyntaxState& state);

}  // namespace leafstack

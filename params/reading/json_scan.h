// Looks at raw text before and after the JSON parser: encoding, non-finite literals, and plain
// words for syntax errors.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace leafstack {

/// How to go on after a fault: `put` (0: a blank) and blanks stand for `count` bytes at `offset`,
/// or before the byte there where `count` is 0; `unread`: they stand for a value that could not be
/// read.
struct Mending {
  std::size_t offset = 0, count = 0;
  bool unread = false;
  char put = 0;
};

/// A sentence about the byte at `offset`.
struct TextFault {
  std::size_t offset = 0;
  std::string message;
  std::string suggestion;
  std::vector<Mending> mendings = {};  ///< in the order of the text; none: nobody knows how
};

/// A copy of equal length whose comments are blanks; a comment that does not end is a fault.
struct PlainText {
  std::string text;
  std::optional<TextFault> fault;
};
PlainText withoutComments(std::string_view text);

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

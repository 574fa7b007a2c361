// Tokens of ISO 10303-21, clause 6 and 7: whitespace and comments dropped, strings decoded.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "tests/part21/part21.h"

namespace leafstack::part21 {

struct Token {
  enum class Kind {
    kKeyword,  ///< entity and section names, "ISO-10303-21"
    kInteger,
    kReal,
    kString,
    kEnum,
    kBinary,
    kInstanceName,  ///< #123
    kPunctuation,   ///< one of ( ) , ; = $ *
    kEnd
  };
  Kind kind = Kind::kEnd;
  std::string text;
  double number = 0;
  long id = 0;
  int line = 1;

  bool is(char punctuation) const {
    return kind == Kind::kPunctuation && text.size() == 1 && text[0] == punctuation;
  }
};

/// All tokens, ended by one kEnd. Characters and escapes the standard does not allow are problems.
std::vector<Token> tokenize(std::string_view text, std::vector<Problem>& problems);

/// Decodes the inside of a string literal ('' and \…\ directives) to UTF-8. Returns what is wrong
/// with it, or an empty string.
std::string decodeString(std::string_view raw, std::string& decoded);

}  // namespace leafstack::part21

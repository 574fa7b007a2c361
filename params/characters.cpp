#include "params/characters.h"

#include <utf8.h>

#include <algorithm>

namespace leafstack {

std::size_t malformedUtf8(std::string_view text) {
  return utf8::find_invalid(text);
}

std::u32string codePoints(std::string_view text, char32_t instead) {
  return utf8::utf8to32(utf8::replace_invalid(text, instead));
}

void appendUtf8(std::string& text, char32_t code) {
  utf8::append(code, text);
}

bool holdsNoncharacter(std::string_view text) {
  const std::u32string codes = codePoints(text, U'?');
  return std::any_of(codes.begin(), codes.end(), isNoncharacter);
}

}  // namespace leafstack

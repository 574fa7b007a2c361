#include "params/reading/characters.h"

#include <utf8.h>

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

}  // namespace leafstack

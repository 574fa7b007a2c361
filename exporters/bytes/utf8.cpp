#include "exporters/bytes/utf8.h"

#include "params/reading/characters.h"

namespace leafstack {

std::string printableLine(std::string_view text) {
  if (isPlainAscii(text)) {
    return std::string(text);
  }
  std::string out;
  for (const char32_t code : codePoints(text, U'?')) {
    const bool is_control = code < 0x20 || (code >= 0x7F && code < 0xA0);
    appendUtf8(out, is_control ? U' ' : isNoncharacter(code) ? U'?' : code);
  }
  return out;
}

}  // namespace leafstack

// Text that every drawing program can letter.
#pragma once

#include <string>
#include <string_view>

namespace leafstack {

/// One line that every drawing program can letter: malformed UTF-8, surrogates and needlessly long
/// forms become question marks, control characters blanks.
std::string printableLine(std::string_view text);

/// Nothing but printable ASCII, which is what most words are.
inline bool isPlainAscii(std::string_view text) {
  for (const char letter : text) {
    if (letter < 0x20 || letter > 0x7E) {
      return false;
    }
  }
  return true;
}

}  // namespace leafstack

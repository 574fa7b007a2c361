// UTF-8 text taken apart.
#pragma once

#include <string>
#include <string_view>
#include <utility>

namespace leafstack {

/// Code point at `at` of UTF-8 text, and how many bytes it takes; malformed bytes are one each and
/// count as a question mark.
std::pair<unsigned, std::size_t> codePointAt(std::string_view text, std::size_t at);

/// One line that every drawing program can letter: malformed bytes, surrogates and needlessly long
/// forms become question marks, control characters blanks.
std::string printableLine(std::string_view text);

}  // namespace leafstack

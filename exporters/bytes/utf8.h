// Text that every drawing program can letter.
#pragma once

#include <string>
#include <string_view>

namespace leafstack {

/// One line that every drawing program can letter: malformed UTF-8, surrogates and needlessly long
/// forms become question marks, control characters blanks.
std::string printableLine(std::string_view text);

}  // namespace leafstack

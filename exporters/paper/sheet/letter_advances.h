// How far each letter of the sans-serif face moves the pen on.
#pragma once

namespace leafstack {

inline constexpr int kUnitsPerBody = 2048;

/// Advance in 1/kUnitsPerBody of the letters' body, of a code point in DejaVu Sans Book or Bold.
/// What is not in the table counts as the widest letter that is.
int letterAdvance(unsigned code_point, bool is_bold);

/// Whether the table has it.
bool isKnownLetter(unsigned code_point);

}  // namespace leafstack

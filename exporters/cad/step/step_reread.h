// A written STEP file read back as text: has everything arrived?
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace leafstack {

struct StepContents {
  int solids = 0;                        ///< MANIFOLD_SOLID_BREP
  std::vector<std::string> products;     ///< names; order does not matter
  std::vector<std::string> occurrences;  ///< names
};

/// Throws ExportError, naming `file`, when `text` is cut short, refers to an entity that is not
/// there, repeats a number, or holds other solids or names than `expected`. Meant for files of
/// this program: names are compared as tokens, and entities start lines.
void checkStepFile(std::string_view text, const StepContents& expected, const std::string& file);

}  // namespace leafstack

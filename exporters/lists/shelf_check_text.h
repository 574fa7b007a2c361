// What a shelf was judged by, for people and for programs.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "generator/shelf/shelf_check.h"
#include "generator/verdict/ratings.h"

namespace leafstack {

/// The clash check's word on the gate.
struct ShelfClash {
  std::string line;
  bool is_clear = false;
  std::vector<std::string> findings = {};
};

/// What the check is about, and what else it came to.
struct ShelfCheckContext {
  std::string set, gate;              ///< as they were named; no gate: the plain one
  std::optional<ShelfClash> clash;    ///< where it was run: sizes that fit
  std::vector<RatedLoad> loads = {};  ///< of the gate
  bool ranges_drawn = false;          ///< whether parts meet at their ends was seen too

  /// Of a check with these rules and layout.
  bool fits(const ShelfCheck& check) const { return check.fits() && (!clash || clash->is_clear); }
};

/// A line a rule, what is broken first; then what would help, or how far each size may go.
std::string shelfCheckText(const ShelfCheck& check, const ShelfCheckContext& context);

/// The same as JSON. What has no limit on a side has no "least" or no "most".
std::string shelfCheckJson(const ShelfCheck& check, const ShelfCheckContext& context);

}  // namespace leafstack

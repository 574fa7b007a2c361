// Does a shelf fit together, and does it fit a gate: every rule with its figures, and how far each
// size may go.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "generator/layout/figures/layout_types.h"
#include "params/table/parameter.h"
#include "params/table/shelf_rules.h"

namespace leafstack {

/// Places looked at between a size and its table's limit, to either side: what fits may come and go
/// between them, for heights are rounded.
inline constexpr int kRangeSteps = 120;

/// A size of the shelf with its value.
struct SizeThere {
  std::string_view pointer;
  double value = 0;
};

/// One rule, kept or broken. What `least` and `most` leave open is infinite.
struct JudgedRule {
  bool fits = true;
  bool is_of_gate = false;       ///< else of the shelf by itself
  bool is_of_choices = false;    ///< of kinds that go together: `figure_name` alone tells it
  std::vector<SizeThere> sizes;  ///< all it depends on that are numbers; the first is judged
  std::string figure_name;       ///< where that is not the first size's own value; else ""
  double figure = 0, least = 0, most = 0;
  std::string unit;
  std::string why;  ///< what is wrong where it is broken
};

/// How far one size may go, all others as they are, before a rule or the layout breaks: found to a
/// tenth of a millimetre, at the first of kRangeSteps places where something does.
struct SizeRange {
  const Parameter* row = nullptr;
  double value = 0, least = 0, most = 0;  ///< those of the table where nothing else says more
  std::string below, above;               ///< what breaks there; "" for the table's own limit
  bool is_auto = false;                   ///< the value is what "auto" comes to

  bool isLimited() const { return !below.empty() || !above.empty(); }
};

/// A size that would put all of it right, changed alone to the nearest value that does.
struct SizeCure {
  const Parameter* row = nullptr;
  double value = 0, would = 0;
};

struct ShelfCheck {
  std::vector<JudgedRule> rules;
  std::vector<LayoutProblem> problems;  ///< of the gate, laid out with this shelf
  std::vector<SizeCure> cures;          ///< where a rule or the layout is broken
  std::vector<SizeRange> ranges;        ///< of every size that is a number, or comes to one
  bool has_ranges = true;  ///< false on surveyed ground, where they would take too long

  bool rulesHold() const;
  bool shelfRulesHold() const;  ///< those that need no gate
  bool fits() const { return rulesHold() && problems.empty(); }
};

/// The shelf by itself: its own rules.
ShelfCheck checkShelf(const GateSpec& spec);
/// On its gate, of a known number of panels.
ShelfCheck checkShelfOnGate(const GateSpec& spec);

}  // namespace leafstack

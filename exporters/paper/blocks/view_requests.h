// What is asked to be dimensioned or labelled on one view, in the model's terms.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "exporters/paper/sheet/sheet.h"

namespace leafstack {

enum class Side { kBelow, kAbove, kLeft, kRight };

/// The distance of two points along the side it stands on.
struct LinearRequest {
  Side side = Side::kBelow;
  Vec3 from{}, to{};
  std::string prefix = {}, suffix = {};
  std::optional<int> decimals = {};  ///< else as decimalsOf() has it
};

/// Distances of `features` from `datum` along the side, each at the end of its own line.
struct RunningRequest {
  Side side = Side::kAbove;
  Vec3 datum{};
  std::vector<Vec3> features;
  Vec3 counts_along{};  ///< where numbers grow; none: to the side that reaches further
};

/// Elementary symbols of ISO 2553; a groove from both sides is one with `is_both_sides`.
enum class WeldSymbol { kFillet, kSquare, kFlare, kBevel, kV };

/// A weld by ISO 2553 (system A), on the arrow's side: size, symbol, length, and what stands in the
/// tail.
struct WeldSign {
  WeldSymbol symbol = WeldSymbol::kFillet;
  std::string size, length, tail;
  bool is_on_site = false;     ///< a flag where the arrow meets the reference line
  bool is_all_round = false;   ///< a circle there
  bool is_both_sides = false;  ///< the same on the other side, and no identification line
  std::string where;           ///< after the tail: how to get at a weld that the view hides

  bool operator==(const WeldSign&) const = default;
};

/// Words with a leader to a point of the view.
struct LabelRequest {
  Side side = Side::kAbove;
  struct Label {
    Vec3 at{};
    std::string text;
    /// In place of the text: reference lines of one arrow, one further out than another. On sides
    /// above and below only.
    std::vector<WeldSign> welds = {};
  };
  std::vector<Label> labels;
  bool has_dots = true;     ///< a dot where a leader ends on a surface; none in a hole
  bool is_balloon = false;  ///< item numbers in circles (ISO 6433, from memory)
};

/// Words at a point of the view, on it.
struct NoteRequest {
  Vec3 at{};
  std::string text;
  TextAnchor anchor = TextAnchor::kCentre;
  double above_mm = 0;  ///< base line above the point, on paper
  double right_mm = 0;
  double height_mm = 2.5;
};

using ViewRequest = std::variant<LinearRequest, RunningRequest, LabelRequest, NoteRequest>;

}  // namespace leafstack

// One panel's axes as lines of stations, before they become nodes; for gate_frame.cpp.
#pragma once

#include <vector>

#include "generator/geometry/range.h"
#include "generator/model/model.h"

namespace leafstack::frame {

/// A tube of the panel by its axis, closed.
struct Line {
  int instance = -1;
  double from_mm = 0, to_mm = 0;  ///< X, or Z where it stands plumb
  double fixed_mm = 0;            ///< Z at from_mm of one that runs along, X of a plumb one
  double grade = 0;               ///< rise per mm of one that runs along
  std::vector<double> stations;   ///< where something joins it, X or Z
  std::vector<int> nodes;         ///< one for each station, after build()
  std::vector<int> members;

  double zAt(double x_mm) const { return fixed_mm + grade * (x_mm - from_mm); }
};

struct PanelLines {
  int panel = 1;
  Line bottom, top;
  std::vector<Line> plumb;  ///< stiles, uprights and pickets, by rising X
  std::vector<Line> slats;
  std::vector<double> wheels_x_mm;
};

/// From the solids of one panel.
PanelLines panelLines(const Model& model, int panel);

/// X of `instance` in the layout's frame, closed.
Range alongX(const Model& model, const Instance& instance);

}  // namespace leafstack::frame

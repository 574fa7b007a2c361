// What uneven ground costs each panel, in mm.
#include <algorithm>
#include <cmath>

#include "generator/layout/ground/ground.h"
#include "generator/layout/layout_parts.h"

namespace leafstack {
namespace {

// Positions looked at; what is told of them is for the eye and the spirit level.
constexpr int kUnevenPositions = 480;

double driveAt(const Layout& layout, int i) {
  return layout.drive_travel_mm * i / kUnevenPositions;
}

void findLean(const Layout& layout, PanelOnUneven& row) {
  const PanelLayout& panel = layout.panel(row.panel);
  const double height = panel.top_z_mm - panel.underside_z_mm;
  for (int i = 0; i <= kUnevenPositions; ++i) {
    const double drive = driveAt(layout, i);
    const double lean = -height * layout.ground.travels[row.panel]->at(drive).sin;
    if (std::abs(lean) > std::abs(row.lean_mm)) {
      row.lean_mm = lean;
      row.lean_at_mm = drive;
    }
  }
}

/// By how much the ways of a carrier's ropes get shorter and longer than closed. Longest, so slack
/// a rope is closed, if nowhere too tight.
Range changeMm(const Layout& layout, const RopeLayout& rope) {
  Range change;
  for (const bool opening : {true, false}) {
    const RopeWay way = ropeWayOf(layout, rope, opening);
    const double closed = wayMm(way, layout.ground.travels, 0);
    for (int i = 1; i <= kUnevenPositions; ++i) {
      const double more = wayMm(way, layout.ground.travels, driveAt(layout, i)) - closed;
      change = {std::min(change.low, more), std::max(change.high, more)};
    }
  }
  return change;
}

void findAhead(const Layout& layout, PanelOnUneven& row) {
  if (layout.ground.ahead.empty()) {
    return;
  }
  const GroundLine& ahead = layout.ground.ahead[row.panel - 1];
  row.ahead_mm = ahead.heightRange(0, layout.drive_travel_mm);
  row.ahead_open_mm = ahead.heightMm(layout.drive_travel_mm);
  row.rope_play_mm = layout.ground.rope_play_mm[row.panel - 1];
}

}  // namespace

void findUneven(Layout& layout) {
  if (!layout.ground.is_surveyed) {
    return;
  }
  // A rope that is s longer than its way lets x[k+1] - x[k] differ from x[k] - x[k-1] by s: what
  // panels in front may do adds up.
  double apart = 0;
  double play = 0;
  for (const PanelLayout& panel : layout.panels) {
    PanelOnUneven row;
    row.panel = panel.number;
    findLean(layout, row);
    findAhead(layout, row);
    row.latch_play_mm = play;
    layout.ground.uneven.push_back(row);
    if (panel.number < layout.panel_count) {
      const Range change = changeMm(layout, layout.ropes[panel.number - 1]);
      double& most = layout.ground.most_rope_error_mm;
      most = std::max({most, change.high, -change.low});
      apart += change.high;
      play += apart;
    }
  }
}

}  // namespace leafstack

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

/// How much longer than closed a rope's way gets somewhere: so slack it is closed, if nowhere too
/// tight.
double slackMm(const Layout& layout, const RopeLayout& rope) {
  double slack = 0;
  for (const bool opening : {true, false}) {
    const double closed = ropeNeedsMm(layout, rope, opening, 0);
    for (int i = 1; i <= kUnevenPositions; ++i) {
      const double way = ropeNeedsMm(layout, rope, opening, driveAt(layout, i));
      slack = std::max(slack, way - closed);
    }
  }
  return slack;
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
    row.latch_play_mm = play;
    layout.ground.uneven.push_back(row);
    if (panel.number < layout.panel_count) {
      apart += slackMm(layout, layout.ropes[panel.number - 1]);
      play += apart;
    }
  }
}

}  // namespace leafstack

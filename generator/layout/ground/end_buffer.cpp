#include "generator/layout/ground/end_buffer.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/terminal.h"

namespace leafstack {
namespace {

// Common practice, no source: how much of its thickness a rubber buffer gives way, and what it
// keeps off the rail's corners and off the rope bracket.
constexpr double kGivesWay = 0.25;
constexpr double kOffCornerMm = 10;
constexpr double kOffBracketMm = 5;

/// How far the front rope bracket stands out past the ends of panels 2 and on; 0: it does not.
double bracketProjectionMm(const GateSpec& spec, int number) {
  const double past = spec.hardware.bracket.length_mm / 2 - spec.ropes.bracket_inset_mm;
  return number > 1 ? std::max(0.0, past) : 0;
}

}  // namespace

EndBuffer endBuffer(const GateSpec& spec, const Layout& layout, int number) {
  const double past = bracketProjectionMm(spec, number);
  EndBuffer buffer;
  buffer.thickness_mm = std::max(spec.hardware.stop.buffer_mm, std::ceil(past / (1 - kGivesWay)));
  buffer.low_up_mm = kOffCornerMm;
  buffer.high_up_mm = std::max(2 * kOffCornerMm, layout.heights.rail_height_mm - kOffCornerMm);
  if (past <= 0) {
    return buffer;
  }
  const RopeLayout& rope = layout.ropes.at(number - 2);
  const PanelLayout& panel = layout.panel(number);
  const double bore =
      (rope.front_bore_z_mm - panel.undersideZ(rope.front_bracket_mm)) * panel.cosine();
  // The bracket leans with the rail, the buffer does not.
  const double lean = buffer.thickness_mm * std::abs(panel.grade);
  const double half = bracketHeightMm(spec) / 2 + kOffBracketMm + lean;
  const double below = bore - half - buffer.low_up_mm;
  const double above = buffer.high_up_mm - bore - half;
  if (above >= below) {
    buffer.low_up_mm = std::min(bore + half, buffer.high_up_mm - kOffCornerMm);
  } else {
    buffer.high_up_mm = std::max(bore - half, buffer.low_up_mm + kOffCornerMm);
  }
  return buffer;
}

double stopsPastPanelsMm(const GateSpec& spec, const Layout& layout) {
  double panels = -std::numeric_limits<double>::infinity();
  double stops = panels;
  for (const PanelLayout& panel : layout.panels) {
    const double past =
        stopPastPanelMm(spec.hardware) + endBuffer(spec, layout, panel.number).thickness_mm;
    panels = std::max(panels, panel.trailing_open_mm);
    stops = std::max(stops, panel.trailing_open_mm + past);
  }
  return stops - panels;
}

}  // namespace leafstack

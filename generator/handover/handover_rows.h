// What goes with a finished gate: hazards at their places with what the design does about them,
// where forces are measured, what wears and is kept in stock.
//
// An aid for whoever assesses the risks of the finished gate, not that assessment. Rows hold
// figures; their words are the exporters'.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "generator/geometry/vec.h"
#include "generator/shop/schedules.h"
#include "generator/verdict/warning.h"

namespace leafstack {

enum class HazardKind {
  kClosingEdge,  ///< the front panel's edge against the latch side
  kParkingEnd,   ///< trailing ends towards what stands beyond them
  kPassing,      ///< two panels past each other
  kFencePost,    ///< the front panel past the storage-side post
  kReach,        ///< through the infill, at the panel that passes behind it
  kRopes,        ///< where a rope runs on its pulleys
  kRack,         ///< where the pinion meets the rack
  kWheels,       ///< where wheels roll on the track
  kLeaving,      ///< the track, or falling
  kRunaway       ///< released on its slope
};

/// One hazard at its place, closed, in the model's frame.
struct PlacedHazard {
  HazardKind kind{};
  int panel = 0, other = 0;  ///< that it is about; 0: none
  Vec3 at_mm{};
  std::string marks;      ///< of the parts that the design has against it
  double gap_mm = 0;      ///< between what passes; 0 where none is told
  double speed_mm_s = 0;  ///< greatest, of one against the other
  double force_N = 0;     ///< of a runaway: that the drive holds
  std::string text;       ///< as the program warns of it; "" where it does not
};

/// Where the force of the closing edge is measured: so far open, so high over the driveway.
struct ForcePoint {
  int height = 0;  ///< which of forceHeights_mm(), from 0
  double gap_mm = 0, height_mm = 0;
  double speed_mm_s = 0;  ///< of the front panel there, by the drive's own slowing down
  Vec3 at_mm{};           ///< on the latch side, model's frame
};

struct SpareRow {
  std::string mark, name, description, words;  ///< the supplier's words
  int quantity = 0;
};

struct HandoverRows {
  std::vector<PlacedHazard> hazards;       ///< numbered from 1 in this order
  std::vector<ForcePoint> points;          ///< by height, then gap
  std::vector<SpareRow> spares;            ///< in the order of the bill
  std::vector<std::string> other_hazards;  ///< warned of, at no single place
};

HandoverRows handoverRows(const Model& model, const Schedules& schedules,
                          const std::vector<Warning>& warnings);

/// Heights over the driveway where a sliding edge is measured: 50 mm up, the middle of its height
/// but 2500 mm at most, 300 mm below its top (shared practice as second-hand sources quote EN
/// 12453; from memory). Gaps: 50, 300 and 500 mm.
std::vector<double> forceHeights_mm(double top_mm);

/// Speed of a body that the drive slows down, so far before its end: drive's travel left and speeds
/// of the drive, mm and mm/s.
double speedBeforeEnd_mm_s(const DriveSpec& drive, double top_speed_mm_s, double left_mm);

}  // namespace leafstack

#include "generator/layout/ground/rack_fit.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

#include "generator/geometry/numbers.h"
#include "generator/layout/figures/cradle.h"
#include "generator/layout/figures/hardware.h"
#include "generator/layout/figures/sections.h"
#include "generator/layout/figures/terminal.h"
#include "generator/layout/ground/ground.h"

namespace leafstack {
namespace {

constexpr double kShortestPieceMm = 150;  // shorter leftovers are shared with the piece before

/// A position of the pinion as the rail sees it, closed: along its lower edge, and how far the rack
/// there should lie over where it would be straight.
struct PathPoint {
  double along_mm = 0, up_mm = 0;
};

std::vector<PathPoint> pinionPath(const Layout& layout) {
  constexpr int kPinionPlaces = 480;
  const PanelLayout& panel = layout.panel(1);
  const double cosine = panel.cosine();
  const double sine = panel.grade * cosine;
  // From the pinion's axis to the rack's lower edge: its teeth enter by two modules.
  const double edge = pinionPitchRadiusMm(layout.hardware) - layout.hardware.rack.module_mm;
  const double axis_z =
      panel.undersideZ(layout.pinion_mm) + (layout.heights.rack_lower_up_mm - edge) / cosine;
  std::vector<PathPoint> path;
  for (int i = 0; i <= kPinionPlaces; ++i) {
    const Pose pose = layout.ground.travels[1]->at(layout.drive_travel_mm * i / kPinionPlaces);
    const double dx = layout.pinion_mm - pose.x_mm;
    const double dz = axis_z - pose.z_mm;
    const double x = pose.cos * dx + pose.sin * dz - panel.leading_closed_mm;
    const double z = pose.cos * dz - pose.sin * dx - panel.underside_z_mm;
    path.push_back(
        {cosine * x + sine * z, cosine * z - sine * x + edge - layout.heights.rack_lower_up_mm});
  }
  return path;
}

/// Where a place along the rack lies: between which joints, and what share from the first.
struct OnPiece {
  std::size_t piece = 0;
  double share = 0;
  OnPiece(const std::vector<double>& joints_mm, double along_mm) {
    while (piece + 2 < joints_mm.size() && along_mm > joints_mm[piece + 1]) {
      ++piece;
    }
    share = (along_mm - joints_mm[piece]) / (joints_mm[piece + 1] - joints_mm[piece]);
  }
  double of(const std::vector<double>& at_joints) const {
    return (1 - share) * at_joints[piece] + share * at_joints[piece + 1];
  }
};

/// Heights at the joints of the broken line nearest to a path by least squares. Pieces that no
/// pinion reaches go on as straight as may be.
std::vector<double> nearestLine(const std::vector<double>& joints_mm,
                                const std::vector<PathPoint>& path) {
  constexpr double kStraightening = 1e-3;
  const std::size_t n = joints_mm.size();
  std::vector<std::vector<double>> rows(n, std::vector<double>(n + 1, 0));
  for (const PathPoint& point : path) {
    const OnPiece at(joints_mm, point.along_mm);
    const double weights[] = {1 - at.share, at.share};
    for (int i = 0; i < 2; ++i) {
      for (int j = 0; j < 2; ++j) {
        rows[at.piece + i][at.piece + j] += weights[i] * weights[j];
      }
      rows[at.piece + i][n] += weights[i] * point.up_mm;
    }
  }
  for (std::size_t first = 0; first + 2 < n; ++first) {
    const double bend[] = {1, -2, 1};
    for (int i = 0; i < 3; ++i) {
      for (int j = 0; j < 3; ++j) {
        rows[first + i][first + j] += kStraightening * bend[i] * bend[j];
      }
    }
  }
  // Positive definite: no pivots have to be sought.
  for (std::size_t pivot = 0; pivot < n; ++pivot) {
    for (std::size_t row = 0; row < n; ++row) {
      const double share = rows[row][pivot] / rows[pivot][pivot];
      for (std::size_t column = pivot; row != pivot && column <= n; ++column) {
        rows[row][column] -= share * rows[pivot][column];
      }
    }
  }
  std::vector<double> heights;
  for (std::size_t i = 0; i < n; ++i) {
    heights.push_back(rows[i][n] / rows[i][i]);
  }
  return heights;
}

/// How far the line is over the path.
Range overPath(const std::vector<double>& joints_mm, const std::vector<double>& heights_mm,
               const std::vector<PathPoint>& path, double pinion_up_mm) {
  Range over{std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
  for (const PathPoint& point : path) {
    const double here =
        OnPiece(joints_mm, point.along_mm).of(heights_mm) - point.up_mm - pinion_up_mm;
    over = {std::min(over.low, here), std::max(over.high, here)};
  }
  return over;
}

/// How much higher than straight the rack may lie, with what holds it in the middle of its side.
double roomOverRackMm(const GateSpec& spec, const Layout& layout) {
  const RackHardware& rack = spec.hardware.rack;
  const HollowSection& rail = spec.gate.bottom_rail;
  const double highest =
      rack.fixing == RackFixing::kFoot
          ? highestRackMm(spec)
          : rail.height_mm - 2 * rail.wall_mm - (rack.standoff_mm + rack.height_mm) / 2;
  return std::max(0.0, highest - layout.heights.rack_lower_up_mm);
}

}  // namespace

std::vector<double> boughtRackPlaces(const RackHardware& rack) {
  const double span = rack.piece_mm - 2 * rack.hole_end_mm;
  const int gaps = std::max(1, static_cast<int>(std::ceil(span / rack.hole_pitch_mm)));
  std::vector<double> places;
  for (int i = 0; i <= gaps; ++i) {
    places.push_back(rack.hole_end_mm + i * span / gaps);
  }
  return places;
}

double offRackCutMm(const RackHardware& rack) {
  constexpr double kEdgeMm = 2;
  return (rack.fixing == RackFixing::kFoot ? rack.foot_length_mm : rack.standoff_mm) / 2 + kEdgeMm;
}

std::vector<double> rackPieces(const RackHardware& rack, double length_mm) {
  std::vector<double> pieces(static_cast<std::size_t>(length_mm / rack.piece_mm), rack.piece_mm);
  const double rest = length_mm - static_cast<double>(pieces.size()) * rack.piece_mm;
  const double least =
      rack.fixing == RackFixing::kFoot
          ? std::max(kShortestPieceMm, boughtRackPlaces(rack)[1] + offRackCutMm(rack))
          : kShortestPieceMm;
  // One that is a saw's cut shorter than a bought piece is one: nobody cuts that off.
  constexpr double kWholeMm = 1;
  if (rest > rack.piece_mm - kWholeMm) {
    pieces.push_back(rack.piece_mm);
  } else if (rest >= least || pieces.empty()) {
    pieces.push_back(rest);
  } else if (rest > kLengthEqualMm) {
    const double shared = (rack.piece_mm + rest) / 2;
    pieces.back() = shared;
    pieces.push_back(shared);
  }
  return pieces;
}

void layRackToPath(const GateSpec& spec, Layout& layout) {
  GroundLayout& ground = layout.ground;
  const double rise = ground.rack_rise_mm.high - ground.rack_rise_mm.low;
  if (!ground.is_surveyed || rise <= kRackStraightModules * spec.hardware.rack.module_mm) {
    return;
  }
  const PanelLayout& panel = layout.panel(1);
  const double start = spec.drive.rack_inset_mm + layout.heights.rack_lower_up_mm * panel.grade;
  std::vector<double> joints = {start};
  for (const double piece : rackPieces(
           spec.hardware.rack, panel.length_mm / panel.cosine() - spec.drive.rack_inset_mm)) {
    joints.push_back(joints.back() + piece);
  }
  const std::vector<PathPoint> path = pinionPath(layout);
  std::vector<double> heights = nearestLine(joints, path);
  const double deepest = overPath(joints, heights, path, 0).low;
  const double room = roomOverRackMm(spec, layout);
  const auto [lowest, highest] = std::minmax_element(heights.begin(), heights.end());
  // No deeper than it should be anywhere, no lower than straight, and no higher than is room for.
  const double pinion_up = deepest - *lowest - std::max(0.0, *highest - *lowest - room);
  for (double& height : heights) {
    height = std::max(0.0, height - deepest + pinion_up);
  }
  const Range off = overPath(joints, heights, path, pinion_up);
  if (off.high - off.low < rise) {
    ground.rack_up_mm = std::move(heights);
    ground.rack_pinion_up_mm = pinion_up;
    ground.rack_off_mm = off;
  }
}

namespace {

struct Involutes {
  double sine = 0, base_pitch_mm = 0;
  double recess_mm = 0;  ///< of the line of contact, past the pitch point: to the pinion's tips
  double most_approach_mm = 0;  ///< before it: from where the pinion's involute begins

  explicit Involutes(const HardwareSpec& shelf) {
    constexpr double kPressureDeg = 20;
    const double angle = kPressureDeg / kDegreesPerRadian;
    const double pitch = pinionPitchRadiusMm(shelf);
    const double tip = pitch + shelf.rack.module_mm;
    const double base = pitch * std::cos(angle);
    sine = std::sin(angle);
    base_pitch_mm = std::numbers::pi * shelf.rack.module_mm * std::cos(angle);
    recess_mm = std::sqrt(tip * tip - base * base) - pitch * sine;
    most_approach_mm = pitch * sine;
  }
};

}  // namespace

double contactRatio(const HardwareSpec& shelf, double less_mm) {
  const Involutes teeth(shelf);
  const double approach =
      std::min(teeth.most_approach_mm, (shelf.rack.module_mm - less_mm) / teeth.sine);
  return std::max(0.0, teeth.recess_mm + approach) / teeth.base_pitch_mm;
}

double contactLostMm(const HardwareSpec& shelf) {
  const Involutes teeth(shelf);
  return std::max(0.0, shelf.rack.module_mm - (teeth.base_pitch_mm - teeth.recess_mm) * teeth.sine);
}

double mostLessMm(const Layout& layout) {
  const Range& rise =
      layout.ground.rack_up_mm.empty() ? layout.ground.rack_rise_mm : layout.ground.rack_off_mm;
  return rise.high - rise.low;
}

double highestRackMm(const GateSpec& spec) {
  const HollowSection& rail = spec.gate.bottom_rail;
  const RackHardware& rack = spec.hardware.rack;
  if (rack.fixing == RackFixing::kFoot) {
    return holeZone(rail).high_mm - rack.height_mm - (rack.foot_up_mm + rack.slot_height_mm) / 2;
  }
  return rail.height_mm - 2 * rail.wall_mm - rack.standoff_mm;
}

double lowestRackMm(const GateSpec& spec) {
  const RackHardware& rack = spec.hardware.rack;
  const double low = holeZone(spec.gate.bottom_rail).low_mm;
  if (rack.fixing == RackFixing::kFoot) {
    return low - rack.height_mm - (rack.foot_up_mm - rack.slot_height_mm) / 2;
  }
  return low + (rack.standoff_mm - rack.height_mm) / 2;
}

double pinionRoomMm(const GateSpec& spec, const Layout& layout) {
  if (layout.panel_count < 2) {
    return 0;
  }
  const Terminal terminal = terminalOf(spec);
  const double half_depth = spec.gate.bottom_rail.depth_mm / 2;
  const double strand = pulleyPitchMm(spec) / 2 - half_depth;
  const double clear = std::max(hardware::kHardwareClearanceMm, spec.checks.hardware_clearance_mm);
  double reach = cradleOf(spec).cover_outer_mm - half_depth;
  const double tip = pinionPitchRadiusMm(spec.hardware) + spec.hardware.rack.module_mm;
  const double beside = std::abs(layout.ground_bracket_mm - layout.pinion_mm) - tip - clear;
  const auto include = [&](double along, double across) {
    reach = beside < along ? std::max(reach, across) : reach;
  };
  // Both ropes end there, from either side.
  include(terminal.half_bracket_mm,
          2 * strand - spec.hardware.bracket.face_gap_mm + 2 * spec.shop.coatMm());
  include(terminal.nearMm(), strand + terminal.nearRadiusMm());
  include(terminal.tailMm(), strand + terminal.tailRadiusMm());
  return reach + clear;
}

double driveOutMm(const GateSpec& spec, const Layout& layout) {
  if (spec.hardware.rack.fixing == RackFixing::kFoot) {
    return 0;  // its feet are as deep as they are
  }
  return std::max(0.0, pinionRoomMm(spec, layout) - spec.hardware.motor.pinion_offset_mm);
}

double motorWedgeMm(const GateSpec& spec, const Layout& layout) {
  const double slope = std::abs(layout.ground.lineOf(kRearStrip).slope(layout.pinion_mm));
  return slope > 0 ? slope * spec.drive.motor.length_mm / 2 + hardware::kThinnestWedgeMm : 0;
}

double motorBandMm(const GateSpec& spec) {
  const bool is_level = spec.site.grade == 0 && spec.site.track_survey_mm.empty();
  return is_level ? spec.hardware.motor.adjust_mm : 0;
}

double footingDropMm(const GateSpec& spec, const Layout& layout) {
  if (spec.drive.footing_drop_mm) {
    return *spec.drive.footing_drop_mm;
  }
  const HardwareSpec& shelf = spec.hardware;
  const double cosine = alongCosine(spec.site);
  // From panel 1's track to the motor's middle the ground may rise across.
  const double across = layout.stack.frame_depth_mm / 2 + layout.stack.drive_out_mm +
                        shelf.motor.offset_mm + shelf.motor.depth_mm / 2;
  const double rise = layout.ground.cross_grade * across * cosine;
  const double lowest = bareRackUpMm(shelf) + rise + motorWedgeMm(spec, layout) - motorBandMm(spec);
  return std::max(0.0, std::ceil((lowest - highestRackMm(spec)) / cosine / kFootingStepMm)) *
         kFootingStepMm;
}

}  // namespace leafstack

// How the clearance of the tightest pairs runs through the travel: what a reviewer plots.
//
// Pairs are those the clash check looks at: of different bodies, no designed contact. Alike ones
// (same marks on the same panels) are one curve, which follows whichever of them is nearest.
// Positions are drive travel; points are in the gate's frame as it is at that position.
//
// Properties (tested): V1 a curve's least is met at `at_mm` by the two instances named, to
// kDeflectionsMm of the fine meshes, of either part; V2 no position is below it by more than the coarse meshes'
// error; V3 between neighbouring points the clearance at the middle is on their straight
// line to kCurveWithinMm, or they are no further apart than kCurveFinestMm.
#pragma once

#include <array>
#include <vector>

#include "generator/clash/report/clash.h"

namespace leafstack {

inline constexpr int kCurvesShown = 8;
/// Pairs that never come nearer have no curve, and no curve goes higher.
inline constexpr double kCurveToMm = 120;
inline constexpr double kCurveWithinMm = 0.25;
inline constexpr double kCurveFinestMm = 0.5;

struct CurvePoint {
  double at_mm = 0;
  double clearance_mm = 0;  ///< 0 where parts meet; kCurveToMm where they are at least that far
};

struct ClearanceCurve {
  FindingPart a, b;
  int pairs = 0;        ///< how many alike pairs it stands for
  double least_mm = 0;  ///< as drawn
  double at_mm = 0;
  int instance_a = 0, instance_b = 0;  ///< nearest there
  std::array<Vec3, 2> points_mm{};
  std::vector<CurvePoint> points;  ///< by position, closed to open, `at_mm` among them
};

/// Of the kCurvesShown tightest, the tightest first.
std::vector<ClearanceCurve> clearanceCurves(const Model& model);

}  // namespace leafstack

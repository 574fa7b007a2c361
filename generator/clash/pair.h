// One pair of instances, measured at any position of the travel.
#pragma once

#include <map>
#include <memory>
#include <utility>
#include <vector>

#include "generator/clash/mesh.h"
#include "generator/model.h"

namespace leafstack {

/// A clearance this little short of the requirement is rounding, not a finding.
inline constexpr double kClearanceToleranceMm = 1e-3;
/// Solids this near touch, as far as any kernel can tell.
inline constexpr double kTouchMm = 1e-4;

/// A pair's clearance at one position.
struct Measured {
  double clearance_mm = 0;    ///< 0 for touch and overlap
  bool exact = false;         ///< by the kernel, because the mesh's error left doubt
  bool is_bound = false;      ///< no nearer than clearance_mm, which was near enough to know
  bool is_contained = false;  ///< one lies wholly inside the other: clearance_mm is 0
  bool disputed = false;      ///< kernel and mesh disagree by more than the mesh's error
  Approach approach;          ///< points in the gate's frame at that position
};

/// Meshes and placed shapes of a model's instances, made when first asked for.
class PlacedShapes {
 public:
  explicit PlacedShapes(const Model& model);

  /// Bounds at closed, in the gate's frame; a rope's cover both ends of the travel.
  const Bounds& bounds(int instance) const { return bounds_[instance]; }
  bool isRope(int instance) const { return rope_of_[instance] >= 0; }
  /// Mesh at closed in the gate's frame; for ropes, of the rope as it is at `drive_mm`, carried
  /// back to its carrier's closed place.
  const TriangleMesh& mesh(int instance, double drive_mm);
  /// The solid where it is at `drive_mm`.
  TopoDS_Shape shapeAt(int instance, double drive_mm) const;
  /// How far `b` moves along X relative to `a` from closed to `drive_mm`.
  double relativeShift(int a, int b, double drive_mm) const;

  /// Clearance of two instances at `drive_mm`; by the kernel only where the mesh leaves doubt
  /// whether it meets `required_mm`.
  /// Beyond both `required_mm` and `within_mm` only a lower bound is found.
  Measured measure(int a, int b, double drive_mm, double required_mm, double within_mm);
  /// The kernel's clearance, cross-checked with what the meshes gave.
  Measured measureExactly(int a, int b, double drive_mm, const Approach& by_mesh);
  /// Both meshes' errors together.
  double errorMm(int a, int b, double drive_mm);
  /// Mesh distance only: within both meshes' errors of the truth, or at least `enough_mm`.
  Approach approach(int a, int b, double drive_mm, double enough_mm);

 private:
  const Model& model_;
  std::vector<Bounds> bounds_;
  std::vector<int> rope_of_;
  std::map<std::pair<int, double>, std::unique_ptr<TriangleMesh>> meshes_;
};

}  // namespace leafstack

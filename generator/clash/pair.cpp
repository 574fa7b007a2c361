#include "generator/clash/pair.h"

#include <algorithm>
#include <cmath>

#include "generator/clash/exact.h"
#include "generator/occt/checked.h"

namespace leafstack {
namespace {

Bounds united(const Bounds& p, const Bounds& q) {
  Bounds box;
  for (int axis = 0; axis < 3; ++axis) {
    box.low[axis] = std::min(p.low[axis], q.low[axis]);
    box.high[axis] = std::max(p.high[axis], q.high[axis]);
  }
  return box;
}

}  // namespace

PlacedShapes::PlacedShapes(const Model& model) : model_(model) {
  rope_of_.assign(model.instances.size(), -1);
  for (const Instance& instance : model.instances) {
    bounds_.push_back(instance.bounds);
  }
  for (int i = 0; i < static_cast<int>(model.ropes.size()); ++i) {
    const int instance = model.ropes[i].instance;
    rope_of_[instance] = i;
    // A strand's end moves one way, so the two ends of the travel bound it. The kernel's bounds of
    // a part torus are loose by a rope's diameter: loose is safe here.
    const Part& part = model.parts[model.ropes[i].part];
    bounds_[instance] = united(bounds_[instance], movedBounds(tightBounds(part.open_solid),
                                                              model.instances[instance].at_closed));
  }
}

const TriangleMesh& PlacedShapes::mesh(int instance, double drive_mm) {
  const std::pair<int, double> key = {instance, isRope(instance) ? drive_mm : 0.0};
  std::unique_ptr<TriangleMesh>& slot = meshes_[key];
  if (!slot) {
    const Instance& placed = model_.instances[instance];
    if (isRope(instance)) {
      const RopeRun& rope = model_.ropes[rope_of_[instance]];
      slot = std::make_unique<TriangleMesh>(ropeLineAt(model_, rope, drive_mm),
                                            model_.spec.ropes.diameter_mm / 2, placed.at_closed);
    } else {
      slot = std::make_unique<TriangleMesh>(model_.parts[placed.part].solid, placed.at_closed);
    }
  }
  return *slot;
}

TopoDS_Shape PlacedShapes::shapeAt(int instance, double drive_mm) const {
  const Instance& placed = model_.instances[instance];
  const TopoDS_Shape solid = isRope(instance)
                                 ? ropeSolidAt(model_, model_.ropes[rope_of_[instance]], drive_mm)
                                 : model_.parts[placed.part].solid;
  return solid.Located(locationAt(model_, placed, drive_mm));
}

double PlacedShapes::relativeShift(int a, int b, double drive_mm) const {
  return model_.shiftMm(model_.instances[b].panel, drive_mm) -
         model_.shiftMm(model_.instances[a].panel, drive_mm);
}

Approach PlacedShapes::approach(int a, int b, double drive_mm, double enough_mm) {
  Approach found = nearestApproach(mesh(a, drive_mm), mesh(b, drive_mm),
                                   relativeShift(a, b, drive_mm), enough_mm);
  const double carried = model_.shiftMm(model_.instances[a].panel, drive_mm);
  found.on_a[0] += carried;
  found.on_b[0] += carried;
  return found;
}

Measured PlacedShapes::measure(int a, int b, double drive_mm, double required_mm,
                               double within_mm) {
  Measured result;
  const double error = errorMm(a, b, drive_mm);
  // Beyond this no pair is of interest: the search may stop.
  const double enough = std::max(required_mm, within_mm) + error + kClearanceToleranceMm;
  result.approach = approach(a, b, drive_mm, enough);
  result.clearance_mm = result.approach.distance_mm;
  result.is_bound = result.clearance_mm >= enough;
  const bool surely_clear =
      result.clearance_mm > 0 && result.clearance_mm - error >= required_mm - kClearanceToleranceMm;
  const bool surely_short = result.clearance_mm + error < required_mm - kClearanceToleranceMm;
  const bool mesh_is_exact = error == 0;
  if (surely_clear || surely_short || mesh_is_exact) {
    return result;
  }
  return measureExactly(a, b, drive_mm, result.approach);
}

Measured PlacedShapes::measureExactly(int a, int b, double drive_mm, const Approach& by_mesh) {
  Measured result;
  result.approach = by_mesh;
  result.clearance_mm = by_mesh.distance_mm;
  const double error = errorMm(a, b, drive_mm);
  if (error == 0) {
    return result;
  }
  if (result.clearance_mm == 0 &&
      deepestPoint(mesh(a, drive_mm), mesh(b, drive_mm), relativeShift(a, b, drive_mm)) > error) {
    return result;  // deeper than the meshes can err
  }
  const Approach kernel = kernelApproach(shapeAt(a, drive_mm), shapeAt(b, drive_mm));
  result.exact = true;
  if (kernel.distance_mm < 0 ||
      std::abs(kernel.distance_mm - result.clearance_mm) > error + kClearanceToleranceMm) {
    result.disputed = true;
    return result;
  }
  result.clearance_mm = kernel.distance_mm <= kTouchMm ? 0 : kernel.distance_mm;
  result.approach = kernel;
  return result;
}

double PlacedShapes::errorMm(int a, int b, double drive_mm) {
  return mesh(a, drive_mm).errorMm() + mesh(b, drive_mm).errorMm();
}

}  // namespace leafstack
